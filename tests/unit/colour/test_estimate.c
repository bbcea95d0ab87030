#include <math.h>
#include <string.h>

#include "check.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "reference.h"
#include "starve.h"

static fh_weights weights(fh_illuminant illuminant, fh_observer observer)
{
    return fh_weights_of((fh_condition){illuminant, observer});
}

static fh_spectrum row_spectrum(const reference *table, const char *name)
{
    double nm[128], value[128];
    const size_t column = reference_column(table, name);
    for (size_t i = 0; i < table->rows; ++i) {
        nm[i] = reference_number_at(table, i, 0);
        value[i] = reference_number_at(table, i, column);
    }
    fh_spectrum s;
    assert_int_equal(fh_spectrum_resample(nm, value, table->rows, &s, NULL), FH_OK);
    return s;
}

/* Own requirement: XYZ to 1e-6 of 100 for every colour of an sRGB grid with a step of 1/8. */
static void estimate_has_the_colour_over_all_of_srgb(void **state)
{
    (void)state;
    const fh_weights w = weights(FH_ILLUMINANT_D65, FH_OBSERVER_2);
    for (int code = 0; code < 9 * 9 * 9; ++code) {
        const fh_rgb linear = {fh_srgb_decode(code % 9 / 8.0), fh_srgb_decode(code / 9 % 9 / 8.0),
                               fh_srgb_decode(code / 81 / 8.0)};
        const fh_lab lab = fh_lab_of_xyz(fh_xyz_of_srgb(linear), fh_srgb_white());
        fh_estimate e;
        assert_int_equal(fh_estimate_spectrum(lab, &w, &e, NULL, NULL), FH_OK);
        const fh_xyz found = fh_xyz_of_spectrum(&e.reflectance, &w);
        const fh_xyz expected = fh_xyz_of_lab(lab, w.white);
        check_close(found.X, expected.X, 1e-6);
        check_close(found.Y, expected.Y, 1e-6);
        check_close(found.Z, expected.Z, 1e-6);
        for (size_t i = 0; i < FH_BANDS; ++i) check_between(e.reflectance.v[i], 0.0, 1.0);
        check(e.mode_count == FH_ESTIMATE_MODES);
    }
}

/* A grey is flat where light is seen: nothing calls for a slope. */
static void estimate_of_a_grey_is_nearly_flat(void **state)
{
    (void)state;
    const fh_weights w = weights(FH_ILLUMINANT_D65, FH_OBSERVER_10);
    fh_estimate e;
    assert_int_equal(fh_estimate_spectrum((fh_lab){50, 0, 0}, &w, &e, NULL, NULL), FH_OK);
    const double grey = fh_xyz_of_lab((fh_lab){50, 0, 0}, w.white).Y / 100.0;
    for (size_t i = 4; i < 32; ++i) check_close(e.reflectance.v[i], grey, 0.02);
}

/* Measured chart patches (average of 30 charts): the estimate under A must be nearer than the
 * Lab under D65 taken over as it is, for every chromatic patch. */
static void estimate_carries_real_patches_to_lamp_light(void **state)
{
    (void)state;
    reference table = reference_load("chart24_spectra_average30_10nm.csv");
    const fh_weights day = weights(FH_ILLUMINANT_D65, FH_OBSERVER_10);
    const fh_weights lamp = weights(FH_ILLUMINANT_A, FH_OBSERVER_10);
    double sum = 0.0;
    for (size_t patch = 1; patch < table.columns; ++patch) {
        const fh_spectrum real = row_spectrum(&table, table.fields[patch]);
        fh_estimate e;
        assert_int_equal(
            fh_estimate_spectrum(fh_lab_of_spectrum(&real, &day), &day, &e, NULL, NULL), FH_OK);
        sum += fh_de2000(fh_lab_of_spectrum(&real, &lamp), fh_estimate_lab(&e, &lamp, NULL, NULL));
    }
    check_between(sum / 24.0, 0.0, 1.5);
    reference_free(&table);
}

/* Moving the Lab a little along the gain gives the moved Lab; modes leave it where it is. */
static void draws_hold_the_colour(void **state)
{
    (void)state;
    const fh_weights w = weights(FH_ILLUMINANT_D65, FH_OBSERVER_10);
    const fh_lab colours[] = {{50, 0, 0},    {40, 50, 30}, {70, -40, 30},
                              {30, 20, -60}, {92, 1, 4},   {8, 1, 1}};
    for (size_t c = 0; c < sizeof colours / sizeof *colours; ++c) {
        fh_estimate e;
        assert_int_equal(fh_estimate_spectrum(colours[c], &w, &e, NULL, NULL), FH_OK);
        const fh_spectrum still = fh_estimate_draw(&e, (fh_vec3){{0, 0, 0}}, NULL);
        check_all_close(still.v, e.reflectance.v, FH_BANDS, 1e-12);
        const double z[FH_ESTIMATE_MODES] = {1, -1, 1.5, 0.5, -1, 1, -0.5, 1};
        const fh_vec3 moves[] = {{{1, 0, 0}}, {{0, 1, 0}}, {{0, 0, 1}}, {{-0.5, 0.5, -0.5}}};
        for (size_t m = 0; m < 4; ++m)
            for (int open = 0; open < 2; ++open) {
                const fh_spectrum r = fh_estimate_draw(&e, moves[m], open ? z : NULL);
                const fh_lab lab = fh_lab_of_spectrum(&r, &w);
                check_close(lab.L, colours[c].L + moves[m].v[0], 2e-4);
                check_close(lab.a, colours[c].a + moves[m].v[1], 2e-4);
                check_close(lab.b, colours[c].b + moves[m].v[2], 2e-4);
            }
    }
}

/* The Jacobian of fh_estimate_lab against differences of estimates made anew. It differs where the
 * likeliest curve also bends; for a middling colour it is near. */
static void jacobian_agrees_with_new_estimates(void **state)
{
    (void)state;
    const fh_weights day = weights(FH_ILLUMINANT_D65, FH_OBSERVER_10);
    const fh_weights lamp = weights(FH_ILLUMINANT_LED_B1, FH_OBSERVER_10);
    const fh_lab lab = {55, 12, 18};
    fh_estimate e, moved;
    fh_mat3 j, covariance;
    assert_int_equal(fh_estimate_spectrum(lab, &day, &e, NULL, NULL), FH_OK);
    const fh_lab here = fh_estimate_lab(&e, &lamp, &j, &covariance);
    const fh_lab next = {lab.L, lab.a + 0.1, lab.b};
    assert_int_equal(fh_estimate_spectrum(next, &day, &moved, NULL, NULL), FH_OK);
    const fh_lab there = fh_estimate_lab(&moved, &lamp, NULL, NULL);
    check_close((there.L - here.L) / 0.1, j.m[0][1], 0.05);
    check_close((there.a - here.a) / 0.1, j.m[1][1], 0.05);
    check_close((there.b - here.b) / 0.1, j.m[2][1], 0.05);
    for (int i = 0; i < 3; ++i) check_between(covariance.m[i][i], 1e-4, 25.0);

    /* In its own condition nothing is open and the Jacobian is 1. */
    fh_estimate_lab(&e, &day, &j, &covariance);
    for (int i = 0; i < 3; ++i)
        for (int k = 0; k < 3; ++k) {
            check_close(j.m[i][k], i == k ? 1.0 : 0.0, 1e-9);
            check_close(covariance.m[i][k], 0.0, 1e-9);
        }
}

static void impossible_colours_are_refused_with_the_nearest(void **state)
{
    (void)state;
    const fh_weights w = weights(FH_ILLUMINANT_D65, FH_OBSERVER_10);
    const fh_lab beyond[] = {{50, 150, 0}, {80, 0, -80},  {101, 0, 0},
                             {-3, 0, 0},   {20, -80, 60}, {97, 30, 30}};
    for (size_t c = 0; c < sizeof beyond / sizeof *beyond; ++c) {
        fh_estimate e;
        memset(&e, 0x55, sizeof e);
        fh_estimate untouched = e;
        fh_lab near = {0, 0, 0};
        fh_error error = {0};
        assert_int_equal(fh_estimate_spectrum(beyond[c], &w, &e, &near, &error), FH_E_IMPOSSIBLE);
        assert_memory_equal(&e, &untouched, sizeof e);
        check(strstr(error.message, "nearest") != NULL);
        const double away = fh_de1976(near, beyond[c]);
        check_between(away, 0.5, 200.0);
        /* Just inside is possible, just outside is not. */
        const double in = 0.05 / away, out = -0.05 / away;
        const fh_lab mid = {50, 0, 0};
        const fh_lab inside = {near.L + in * (mid.L - near.L) * 2.0,
                               near.a + in * (mid.a - near.a) * 2.0,
                               near.b + in * (mid.b - near.b) * 2.0};
        const fh_lab outside = {near.L + out * (near.L - beyond[c].L),
                                near.a + out * (near.a - beyond[c].a),
                                near.b + out * (near.b - beyond[c].b)};
        assert_int_equal(fh_estimate_spectrum(inside, &w, &e, NULL, NULL), FH_OK);
        assert_int_equal(fh_estimate_spectrum(outside, &w, &e, NULL, NULL), FH_E_IMPOSSIBLE);
    }
    fh_estimate e;
    assert_int_equal(fh_estimate_spectrum((fh_lab){NAN, 0, 0}, &w, &e, NULL, NULL), FH_E_ARGUMENT);
    assert_int_equal(fh_estimate_spectrum((fh_lab){50, HUGE_VAL, 0}, &w, &e, NULL, NULL),
                     FH_E_ARGUMENT);
}

static void nearest_of_a_possible_colour_is_itself(void **state)
{
    (void)state;
    const fh_weights w = weights(FH_ILLUMINANT_F11, FH_OBSERVER_10);
    fh_lab near;
    assert_int_equal(fh_nearest_possible((fh_lab){45, 30, -20}, &w, &near), FH_OK);
    check_close(fh_de1976(near, (fh_lab){45, 30, -20}), 0.0, 1e-5);
}

static void measured_spectra_stand_as_they_are(void **state)
{
    (void)state;
    fh_reading r = fh_reading_blank();
    for (size_t i = 0; i < FH_BANDS; ++i) r.reflectance.v[i] = 0.2 + 0.02 * (double)i;
    r.reflectance.v[35] = 1.05; /* gloss */
    r.origin = FH_ORIGIN_SPECTRUM;
    const fh_weights day = weights(FH_ILLUMINANT_D65, FH_OBSERVER_10);
    r.lab = fh_lab_of_spectrum(&r.reflectance, &day);
    r.random = fh_mat3_diagonal(0.04, 0.01, 0.01);
    fh_estimate e;
    assert_int_equal(fh_estimate_of_reading(&r, &e, NULL), FH_OK);
    assert_int_equal(e.mode_count, 0);
    const fh_spectrum drawn = fh_estimate_draw(&e, (fh_vec3){{0, 0, 0}}, NULL);
    check_all_close(drawn.v, r.reflectance.v, FH_BANDS, 1e-15);

    const fh_weights lamp = weights(FH_ILLUMINANT_A, FH_OBSERVER_10);
    fh_reading out;
    assert_int_equal(fh_reading_in_condition(&r, &lamp, &out, NULL), FH_OK);
    const fh_lab expected = fh_lab_of_spectrum(&r.reflectance, &lamp);
    check_close(fh_de1976(out.lab, expected), 0.0, 1e-12);
    assert_int_equal(out.origin, FH_ORIGIN_SPECTRUM);
    assert_int_equal(out.shared_count, 0);
    check_between(out.random.m[0][0], 0.03, 0.05); /* lightness hardly depends on the lamp */
}

static void lab_alone_in_another_condition_is_marked(void **state)
{
    (void)state;
    fh_reading r = fh_reading_blank();
    r.lab = (fh_lab){60, 25, 30};
    strcpy(r.id, "dial");
    const fh_weights lamp = weights(FH_ILLUMINANT_A, FH_OBSERVER_10);
    fh_reading out, twice;
    assert_int_equal(fh_reading_in_condition(&r, &lamp, &out, NULL), FH_OK);
    assert_int_equal(out.origin, FH_ORIGIN_ESTIMATED);
    assert_int_equal(out.shared_count, 1);
    assert_string_equal(out.shared[0].source, "estimate: dial");
    check(out.shared[0].covariance.m[1][1] > 0.0);

    /* There and back: the Lab again, and no second helping of uncertainty. */
    const fh_weights day = weights(FH_ILLUMINANT_D65, FH_OBSERVER_10);
    assert_int_equal(fh_reading_in_condition(&out, &day, &twice, NULL), FH_OK);
    check_close(fh_de1976(twice.lab, r.lab), 0.0, 1e-5);
    assert_int_equal(twice.shared_count, 1);

    r.condition.illuminant = FH_ILLUMINANT_FILE;
    fh_error error = {0};
    assert_int_equal(fh_reading_in_condition(&r, &lamp, &out, &error), FH_E_DATA);
    check(strstr(error.message, "dial") != NULL);
}

static void memory_may_run_out(void **state)
{
    (void)state;
    const fh_weights w = weights(FH_ILLUMINANT_D65, FH_OBSERVER_10);
    const fh_lab colours[2] = {{50, 10, 10}, {50, 150, 0}}; /* possible, impossible */
    for (size_t c = 0; c < 2; ++c)
        for (long n = 0;; n++) {
            fh_estimate e;
            starve_after(n);
            const fh_status status = fh_estimate_spectrum(colours[c], &w, &e, NULL, NULL);
            if (!starve_end()) break;
            check(status == FH_E_MEMORY);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(estimate_has_the_colour_over_all_of_srgb),
        cmocka_unit_test(estimate_of_a_grey_is_nearly_flat),
        cmocka_unit_test(estimate_carries_real_patches_to_lamp_light),
        cmocka_unit_test(draws_hold_the_colour),
        cmocka_unit_test(jacobian_agrees_with_new_estimates),
        cmocka_unit_test(impossible_colours_are_refused_with_the_nearest),
        cmocka_unit_test(nearest_of_a_possible_colour_is_itself),
        cmocka_unit_test(measured_spectra_stand_as_they_are),
        cmocka_unit_test(memory_may_run_out),
        cmocka_unit_test(lab_alone_in_another_condition_is_marked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
