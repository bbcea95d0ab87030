/* The tolerance: what is told to people never admits a colour that shows. */
#include "check.h"
#include "exact.h"
#include "starve.h"

#include <math.h>
#include <string.h>

#include "base/random.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "farhue/tolerance.h"

static exact_shell shells[EXACT_SHELLS];
static fh_shell shell;
static fh_target target;

static const fh_vec3 along_a = {{0, 1, 0}}, along_b = {{0, 0, 1}};

static void use_shell(int which)
{
    memset(&shell, 0, sizeof shell);
    shell.kind = FH_SHELL_GIVEN;
    shell.method = fh_method_unknown();
    for (int i = 0; i < FH_BANDS; ++i) {
        const double *w = shells[which].w[i];
        shell.curves.A.v[i] = w[0];
        shell.curves.B.v[i] = w[1];
        shell.curves.C.v[i] = w[2] / w[1];
    }
}

static fh_reading part_of(int which, bool lab_only)
{
    fh_reading part = exact_reading("part", exact_part(which));
    if (lab_only) part.origin = FH_ORIGIN_LAB;
    return part;
}

static double uniform(uint64_t trial, uint64_t index, double low, double high)
{
    return low + (high - low) * fh_random_uniform(20, 1, trial, index);
}

/* Half of them around the safe radius, half around the box. */
static fh_lab random_colour(const fh_tolerance *tolerance, uint64_t trial)
{
    double reach[3][2];
    for (int axis = 0; axis < 3; ++axis) {
        bool box = trial % 2;
        double size = 2.5 * tolerance->safe;
        reach[axis][0] = box ? 1.2 * tolerance->low[axis] : -size;
        reach[axis][1] = box ? 1.2 * tolerance->high[axis] : size;
    }
    double at[3];
    for (int axis = 0; axis < 3; ++axis)
        at[axis] = uniform(trial, (uint64_t)axis, reach[axis][0], reach[axis][1]);
    fh_lab bare = tolerance->bare;
    if (!tolerance->polar || trial % 2 == 0)
        return (fh_lab){bare.L + at[0], bare.a + at[1], bare.b + at[2]};
    fh_lch lch = fh_lch_of_lab(bare);
    double C = fmax(lch.C + at[1], 0.0);
    double sine = fmin(fmax(at[2] / (2.0 * sqrt(lch.C * C) + 1e-9), -1.0), 1.0);
    return fh_lab_of_lch((fh_lch){lch.L + at[0], C, lch.h + 2.0 * asin(sine) * 57.29577951308232});
}

/* 10,000 random inner colours for each of the six shells of the exact table
 * (shared/reference/shell_air_gap_monte_carlo.csv): none that the safe radius or the box admits
 * shows more than the tolerance; once for a target known by its Lab alone, once for a measured one.
 * The colours are smooth changes of the target's own reflectance; behind a Lab-only target every
 * twentieth is the estimate made from its own Lab. */
static void never_admits_what_shows(void **state)
{
    (void)state;
    exact_load(shells);
    for (int round = 0; round < 2 * EXACT_SHELLS; ++round) {
        const int which = round % EXACT_SHELLS;
        const bool lab_only = round < EXACT_SHELLS;
        use_shell(which);
        fh_reading part = part_of(5 + which % 3, lab_only);
        fh_target_init(&target, &part, &shell);
        fh_tolerance tolerance;
        assert_int_equal(fh_tolerance_find(&target, &tolerance, NULL), FH_OK);
        fh_estimate own;
        assert_int_equal(fh_estimate_of_reading(&part, &own, NULL), FH_OK);
        int in_radius = 0, in_box = 0;
        for (uint64_t trial = 0; trial < 10000; ++trial) {
            fh_lab lab = random_colour(&tolerance, trial);
            bool near = fh_de2000(tolerance.bare, lab) < tolerance.safe;
            bool boxed = fh_tolerance_box_holds(&tolerance, lab);
            if (!near && !boxed) continue;
            fh_estimate other;
            fh_spectrum bare = fh_estimate_draw(
                &own, (fh_vec3){{lab.L - own.lab.L, lab.a - own.lab.a, lab.b - own.lab.b}}, NULL);
            if (lab_only && trial % 20 == 0 &&
                fh_estimate_spectrum(lab, &own.weights, &other, NULL, NULL) == FH_OK)
                bare = other.reflectance;
            check_between(fh_seen_difference(&target, &bare, NULL), 0.0, target.tolerance);
            in_radius += near;
            in_box += boxed;
        }
        check(in_radius > 100 && in_box > 1000);
    }
}

/* Bare part, one light, the condition of that light: seen is bare, so the safe radius is the
 * tolerance itself, less the margin of 2 % (independent computation: identity). */
static void without_a_shell_seen_is_bare(void **state)
{
    (void)state;
    fh_reading part = part_of(5, false);
    fh_target_init(&target, &part, NULL);
    fh_condition light = fh_condition_default();
    assert_int_equal(fh_target_set_lights(&target, &light, 1, NULL), FH_OK);
    fh_tolerance tolerance;
    assert_int_equal(fh_tolerance_find(&target, &tolerance, NULL), FH_OK);
    check_between(tolerance.safe, 1.94, 1.9605);
    check_between(tolerance.forgiving, 1.95, 1.9605);
    check(!tolerance.capped);
    check_close(tolerance.pigments, 0.0, 2e-3);
}

/* A point on the contour shows as the tolerance, less the margin. */
static void contour_is_where_it_shows(void **state)
{
    (void)state;
    enum { POINTS = 24 };
    exact_load(shells);
    use_shell(2);
    fh_reading part = part_of(6, false);
    fh_target_init(&target, &part, &shell);
    fh_estimate own;
    assert_int_equal(fh_estimate_of_reading(&part, &own, NULL), FH_OK);
    fh_vec3 offset[POINTS];
    bool capped[POINTS];
    assert_int_equal(fh_tolerance_contour(&target, along_a, along_b, POINTS, offset, capped, NULL),
                     FH_OK);
    int open = 0;
    for (int i = 0; i < POINTS; ++i) {
        check_close(offset[i].v[0], 0.0, 0.0);
        if (capped[i]) continue;
        ++open;
        fh_spectrum bare = fh_estimate_draw(&own, offset[i], NULL);
        check_between(fh_seen_difference(&target, &bare, NULL), 1.94, 1.97);
    }
    check(open > POINTS / 2);
    assert_int_equal(fh_tolerance_contour(&target, along_a, along_b, 2, offset, NULL, NULL),
                     FH_E_ARGUMENT);
}

/* A larger tolerance never has the smaller region. */
static void grows_with_the_tolerance(void **state)
{
    (void)state;
    exact_load(shells);
    use_shell(0);
    fh_reading part = part_of(7, false);
    double before = 0.0;
    for (int i = 0; i < 3; ++i) {
        fh_target_init(&target, &part, &shell);
        target.tolerance = 1 << i;
        fh_tolerance tolerance;
        assert_int_equal(fh_tolerance_find(&target, &tolerance, NULL), FH_OK);
        check(tolerance.safe > before);
        before = tolerance.safe;
    }
}

/* Bare figures are told in the target's condition whatever the part was measured in. */
static void part_in_another_condition(void **state)
{
    (void)state;
    fh_weights d50 = fh_weights_of((fh_condition){FH_ILLUMINANT_D50, FH_OBSERVER_2});
    fh_reading part = part_of(5, false), moved = part;
    moved.condition = d50.condition;
    moved.lab = fh_lab_of_spectrum(&part.reflectance, &d50);
    fh_tolerance one, two;
    fh_target_init(&target, &part, NULL);
    assert_int_equal(fh_tolerance_find(&target, &one, NULL), FH_OK);
    fh_target_init(&target, &moved, NULL);
    assert_int_equal(fh_tolerance_find(&target, &two, NULL), FH_OK);
    check_close(one.bare.b, two.bare.b, 1e-9);
    check_close(one.safe, two.safe, 0.02);
}

static void sentence(void **state)
{
    (void)state;
    fh_tolerance t = {.seen = 1.0, .safe = 2.06, .forgiving = 10.04, .loosest = {{0.2, 1, -9}}};
    char text[FH_SENTENCE];
    fh_tolerance_sentence(&t, true, text);
    assert_string_equal(text, "Any bare difference below 2.0 shows less than 1.0 through the shell; "
                              "in the most forgiving direction (bluer) up to 10.0 does (ΔE00).");
    t.safe = 0.04;
    fh_tolerance_sentence(&t, true, text);
    check(strstr(text, "hardly any") != NULL);
}

static void bad_targets(void **state)
{
    (void)state;
    fh_reading part = part_of(2, false);
    fh_tolerance tolerance = {.safe = 7.0};
    fh_error error = {0};
    fh_target_init(&target, &part, NULL);
    const double wrong[] = {0.0, -1.0, 51.0, (double)NAN};
    for (int i = 0; i < 4; ++i) {
        target.tolerance = wrong[i];
        assert_int_equal(fh_tolerance_find(&target, &tolerance, &error), FH_E_ARGUMENT);
        check(strstr(error.message, "expected a ΔE00 above 0") != NULL);
    }
    fh_target_init(&target, &part, NULL);
    target.part.lab.L = (double)NAN;
    assert_int_equal(fh_tolerance_find(&target, &tolerance, &error), FH_E_DATA);
    fh_target_init(&target, &part, NULL);
    target.part.origin = FH_ORIGIN_LAB;
    target.part.lab = (fh_lab){20, 120, 120};
    assert_int_equal(fh_tolerance_find(&target, &tolerance, &error), FH_E_IMPOSSIBLE);
    memset(&shell, 0, sizeof shell);
    fh_target_init(&target, &part, &shell);
    assert_int_equal(fh_tolerance_find(&target, &tolerance, &error), FH_E_DATA);
    check(strstr(error.message, "hides the part in every band") != NULL);
    shell.curves.B = fh_spectrum_flat(0.3);
    target.part.method.specular = FH_SPECULAR_INCLUDED;
    shell.method.specular = FH_SPECULAR_EXCLUDED;
    assert_int_equal(fh_tolerance_find(&target, &tolerance, &error), FH_E_DATA);
    check(strstr(error.message, "mirror reflection included, the shell with it excluded") != NULL);
    check_close(tolerance.safe, 7.0, 0.0);

    fh_condition twice[] = {fh_condition_default(), fh_condition_default()};
    assert_int_equal(fh_target_set_lights(&target, twice, 2, &error), FH_E_ARGUMENT);
    assert_int_equal(fh_target_set_lights(&target, twice, 0, &error), FH_E_ARGUMENT);
    check(target.light_count == 3);
}

static void survives_want_of_memory(void **state)
{
    (void)state;
    fh_reading part = part_of(2, false);
    fh_tolerance tolerance = {.safe = 7.0};
    fh_vec3 offsets[3];
    fh_target_init(&target, &part, NULL);
    for (long n = 0; n < 3; ++n) {
        starve_after(n);
        fh_status status = fh_tolerance_contour(&target, along_a, along_b, 3, offsets, NULL, NULL);
        if (!starve_end()) break;
        assert_int_equal(status, FH_E_MEMORY);
    }
    starve_after(0);
    fh_status status = fh_tolerance_find(&target, &tolerance, NULL);
    assert_true(starve_end());
    assert_int_equal(status, FH_E_MEMORY);
    check_close(tolerance.safe, 7.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(never_admits_what_shows),
        cmocka_unit_test(without_a_shell_seen_is_bare),
        cmocka_unit_test(contour_is_where_it_shows),
        cmocka_unit_test(grows_with_the_tolerance),
        cmocka_unit_test(part_in_another_condition),
        cmocka_unit_test(sentence),
        cmocka_unit_test(bad_targets),
        cmocka_unit_test(survives_want_of_memory),
    };
    return cmocka_run_group_tests_name("tolerance", tests, NULL, NULL);
}
