#include <math.h>
#include <string.h>

#include "check.h"
#include "farhue/batch.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "starve.h"

enum { PAINTS = 3 };

/* Three invented paints. */
static void invent_shelf(fh_paint shelf[PAINTS])
{
    static const struct {
        const char *id;
        double peak, K, S;
    } of[PAINTS] = {{"white", 380, 0.02, 1.0}, {"red", 500, 4, 0.4}, {"blue", 620, 9, 0.15}};
    for (size_t p = 0; p < PAINTS; ++p) {
        shelf[p] = fh_paint_blank();
        strcpy(shelf[p].id, of[p].id);
        for (size_t i = 0; i < FH_BANDS; ++i) {
            const double d = (fh_band_nm(i) - of[p].peak) / 60.0;
            shelf[p].K.v[i] = 0.01 + of[p].K * exp(-d * d);
            shelf[p].S.v[i] = of[p].S;
        }
    }
}

typedef struct scene {
    fh_paint books[PAINTS], real[PAINTS];
    fh_surface face;
    fh_target target;
    fh_batch batch;
    fh_batch_options options;
    fh_reading paint_out;
} scene;

static fh_reading read_coat(const scene *s, const fh_paint *shelf, const fh_blend *blend)
{
    const fh_weights day = fh_weights_of(fh_condition_default());
    fh_reading r = fh_reading_blank();
    const fh_spectrum coat = fh_blend_opaque(shelf, blend, &s->face);
    strcpy(r.id, "paint-out");
    r.lab = fh_lab_of_spectrum(&coat, &day);
    r.random = fh_mat3_diagonal(0.01, 0.01, 0.01);
    return r;
}

/* The target is the mixture by the books; in the workshop the red is a quarter stronger. */
static void set_scene(scene *s)
{
    const fh_weights day = fh_weights_of(fh_condition_default());
    const fh_blend recipe = {PAINTS, {0, 1, 2}, {7, 2, 1}};
    fh_reading part = fh_reading_blank();
    memset(s, 0, sizeof *s);
    invent_shelf(s->books);
    invent_shelf(s->real);
    for (size_t i = 0; i < FH_BANDS; ++i) s->real[1].K.v[i] *= 1.25;
    s->face = fh_mix_options_default().surface;
    strcpy(part.id, "part");
    part.origin = FH_ORIGIN_SPECTRUM;
    part.reflectance = fh_blend_opaque(s->books, &recipe, &s->face);
    part.lab = fh_lab_of_spectrum(&part.reflectance, &day);
    fh_target_init(&s->target, &part, NULL);
    s->options = fh_batch_options_for(&s->target);
    s->options.surface = s->face;
    s->paint_out = read_coat(s, s->real, &recipe);
    s->batch = (fh_batch){.paint_count = PAINTS, .paint = {0, 1, 2}, .step_count = 1};
    for (size_t p = 0; p < PAINTS; ++p) s->batch.step[0].added[p] = recipe.part[p];
    s->batch.step[0].paint_out = &s->paint_out;
}

static void too_red_a_batch_gets_white_and_blue(void **state)
{
    (void)state;
    static scene s;
    set_scene(&s);
    fh_batch_advice c;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL), FH_OK);
    check(c.significant && c.helps);
    check_between(c.now, 1.5, 5.0);
    check(c.add[0] > 0.0 && c.add[2] > 0.0);
    check_close(c.add[1], 0.0, 0.0);
    check_close(c.size, 10.0, 1e-12);
    check_close(c.new_size, 10.0 + c.add[0] + c.add[1] + c.add[2], 1e-12);
    check_between(c.surprise, 0.3, 3.0);
    check(c.learned_K[1] > 1.03); /* one paint-out can't tell the strength of red from less white */

    /* In the real pot it is nearer than before. */
    const fh_blend pot = {PAINTS, {0, 1, 2}, {7 + c.add[0], 2 + c.add[1], 1 + c.add[2]}};
    const fh_reading after = read_coat(&s, s.real, &pot);
    check(fh_de2000(s.target.part.lab, after.lab) <
          0.3 * fh_de2000(s.target.part.lab, s.paint_out.lab));
}

static void additions_keep_to_the_steps(void **state)
{
    (void)state;
    static scene s;
    set_scene(&s);
    for (size_t p = 0; p < PAINTS; ++p) s.options.step[p] = 0.25;
    fh_batch_advice c;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL), FH_OK);
    for (size_t p = 0; p < PAINTS; ++p)
        check_close(c.add[p] / 0.25, floor(c.add[p] / 0.25 + 0.5), 1e-9);
    s.options.most_growth = 0.05;
    for (size_t p = 0; p < PAINTS; ++p) s.options.step[p] = 0.0;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL), FH_OK);
    check(c.new_size <= 10.5 + 1e-9);
    /* Steps don't carry it over the limit either. */
    for (size_t p = 0; p < PAINTS; ++p) s.options.step[p] = 0.4;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL), FH_OK);
    check(c.new_size <= 10.5 + 1e-9);
}

/* The best that may be added, brute force over all additions in steps of a fortieth of the limit:
 * however little the batch may grow, the advice is as good. */
static double best_of_all(const scene *s, double most)
{
    enum { STEPS = 40 };
    double best = HUGE_VAL;
    for (int i = 0; i <= STEPS; ++i)
        for (int j = 0; i + j <= STEPS; ++j)
            for (int k = 0; i + j + k <= STEPS; ++k) {
                const double of = most / STEPS;
                fh_blend pot = {PAINTS, {0, 1, 2}, {9 + i * of, 0.6 + j * of, 0.4 + k * of}};
                const fh_spectrum coat = fh_blend_opaque(s->books, &pot, &s->face);
                double worst = 0.0;
                for (size_t l = 0; l < s->target.light_count; ++l)
                    worst = fmax(worst, fh_de2000(fh_lab_of_spectrum(&s->target.part.reflectance,
                                                                     &s->target.light[l]),
                                                  fh_lab_of_spectrum(&coat, &s->target.light[l])));
                best = fmin(best, worst);
            }
    return best;
}

static void little_growth_is_used_well(void **state)
{
    (void)state;
    static scene s;
    static const double wanted[2][PAINTS] = {{6, 1.5, 2.5}, {1, 4, 5}};
    static const double growths[] = {0.03, 0.1, 0.3, 1.0};
    for (size_t w = 0; w < 2; ++w)
        for (size_t g = 0; g < sizeof growths / sizeof *growths; ++g) {
            fh_batch_advice c;
            set_scene(&s);
            fh_blend recipe = {PAINTS, {0, 1, 2}, {0}};
            memcpy(recipe.part, wanted[w], sizeof wanted[w]);
            s.target.part.reflectance = fh_blend_opaque(s.books, &recipe, &s.face);
            s.target.part.lab = fh_lab_of_spectrum(&s.target.part.reflectance, &s.target.light[0]);
            const fh_blend pot = {PAINTS, {0, 1, 2}, {9, 0.6, 0.4}};
            s.paint_out = read_coat(&s, s.books, &pot); /* as the books say */
            for (size_t p = 0; p < PAINTS; ++p) s.batch.step[0].added[p] = pot.part[p];
            s.options.most_growth = growths[g];
            assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL),
                             FH_OK);
            check(c.helps);
            check(c.new_size <= 10.0 * (1.0 + growths[g]) + 1e-9);
            check_between(c.predicted, 0.0, 1.02 * best_of_all(&s, 10.0 * growths[g]) + 0.05);
        }
}

/* Where the look of the assembled thing is the target, that look counts, and not what part would
 * come nearest to it: behind the shell (A 0.1, B 0.5, C 0.1) no part is so dark below 560 nm. */
static void against_a_measured_look(void **state)
{
    (void)state;
    static scene s;
    static fh_shell shell;
    fh_reading look = fh_reading_blank();
    fh_batch_advice c;
    fh_recipe recipe;
    set_scene(&s);
    shell = (fh_shell){.method = fh_method_unknown()};
    shell.curves.A = fh_spectrum_flat(0.1);
    shell.curves.B = fh_spectrum_flat(0.5);
    shell.curves.C = fh_spectrum_flat(0.1);
    strcpy(look.id, "look");
    look.origin = FH_ORIGIN_SPECTRUM;
    for (size_t i = 0; i < FH_BANDS; ++i) look.reflectance.v[i] = i < 18 ? 0.085 : 0.12;
    const fh_weights day = fh_weights_of(fh_condition_default());
    look.lab = fh_lab_of_spectrum(&look.reflectance, &day);
    assert_int_equal(fh_target_init_look(&s.target, &look, &shell, NULL, NULL), FH_OK);
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL), FH_OK);

    const fh_blend pot = {PAINTS, {0, 1, 2}, {7, 2, 1}};
    assert_int_equal(fh_recipe_of(&s.target, s.books, &pot, &s.face, &recipe, NULL), FH_OK);
    for (size_t l = 0; l < s.target.light_count; ++l) {
        fh_spectrum seen;
        for (size_t i = 0; i < FH_BANDS; ++i) {
            const double part = recipe.reflectance.v[i];
            seen.v[i] = 0.1 + 0.5 * part / (1.0 - 0.1 * part);
        }
        check_close(recipe.seen[l],
                    fh_de2000(fh_lab_of_spectrum(&look.reflectance, &s.target.light[l]),
                              fh_lab_of_spectrum(&seen, &s.target.light[l])),
                    1e-6);
    }
    check(c.significant);
    check_between(c.now, 0.7 * recipe.worst, 1.4 * recipe.worst); /* the red is stronger there */
    fh_recipe_doubt doubt = fh_recipe_doubt_default();
    double low, high;
    for (size_t p = 0; p < PAINTS; ++p) s.books[p].spread = s.books[p].strength = 0.0;
    doubt.dispensing = 0.0;
    doubt.trials = 40;
    assert_int_equal(
        fh_recipe_interval(&s.target, s.books, &recipe, &s.face, &doubt, &low, &high, NULL), FH_OK);
    check_close(low, recipe.worst, 1e-3); /* nothing is open: a measured look, exact */
    check_close(high, recipe.worst, 1e-3);
}

static void no_correction_within_the_uncertainty(void **state)
{
    (void)state;
    static scene s;
    set_scene(&s);
    s.paint_out.lab = s.target.part.lab;
    s.paint_out.lab.a += 0.15;
    fh_batch_advice c;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL), FH_OK);
    check(!c.significant);
    for (size_t p = 0; p < PAINTS; ++p) check_close(c.add[p], 0.0, 0.0);
    check_close(c.new_size, c.size, 0.0);
    /* The same difference, known ten times better, is worth a correction. */
    s.paint_out.random = fh_mat3_diagonal(1e-4, 1e-4, 1e-4);
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL), FH_OK);
    check(c.significant);
}

/* One light, a paint-out that states nothing, so 0.2 per axis: L* may be off by 0.2 √7.815 = 0.559
 * (χ² of three, 95 %: tables of the distribution). */
static void the_bound_of_significance(void **state)
{
    (void)state;
    static scene s;
    set_scene(&s);
    const fh_condition day = fh_condition_default();
    assert_int_equal(fh_target_set_lights(&s.target, &day, 1, NULL), FH_OK);
    s.paint_out.random = fh_mat3_diagonal(0, 0, 0);
    for (int over = 0; over < 2; ++over) {
        fh_batch_advice c;
        s.paint_out.lab = s.target.part.lab;
        s.paint_out.lab.L += over ? 0.575 : 0.540;
        assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL),
                         FH_OK);
        check(c.significant == (over == 1));
        check(c.within);
    }
}

/* The target's Lab for D65 by another spectrum, the estimate's: under A it is off, and that counts.
 */
static void a_metameric_batch_is_off(void **state)
{
    (void)state;
    static scene s;
    set_scene(&s);
    fh_estimate estimate;
    fh_reading lab_only = s.target.part;
    lab_only.origin = FH_ORIGIN_LAB;
    assert_int_equal(fh_estimate_of_reading(&lab_only, &estimate, NULL), FH_OK);
    s.paint_out.origin = FH_ORIGIN_SPECTRUM;
    s.paint_out.reflectance = estimate.reflectance;
    s.paint_out.lab = s.target.part.lab;
    fh_batch_advice c;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL), FH_OK);
    check(c.now > 0.8 && c.significant);
}

/* Red was put in as a quarter of what was said: that is no error of weighing. */
static void nothing_is_advised_beyond_learning(void **state)
{
    (void)state;
    static scene s;
    set_scene(&s);
    const fh_blend real = {PAINTS, {0, 1, 2}, {7, 0.2, 1}};
    s.paint_out = read_coat(&s, s.books, &real);
    fh_batch_advice c;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL), FH_OK);
    check(c.surprise > 6.0 && c.significant && !c.helps);
    for (size_t p = 0; p < PAINTS; ++p) check_close(c.add[p], 0.0, 0.0);
}

/* A paint known by its masstone alone is five times as strong as its books say: with the doubt
 * about its strength one paint-out teaches most of it, without it it's a surprise. */
static void strength_is_learned(void **state)
{
    (void)state;
    static scene s;
    set_scene(&s);
    const fh_blend recipe = {PAINTS, {0, 1, 2}, {7, 2, 1}};
    for (size_t i = 0; i < FH_BANDS; ++i) {
        s.real[1].K.v[i] = 5.0 * s.books[1].K.v[i];
        s.real[1].S.v[i] = 5.0 * s.books[1].S.v[i];
    }
    s.paint_out = read_coat(&s, s.real, &recipe);
    fh_batch_advice with, without;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &without, NULL),
                     FH_OK);
    s.books[1].strength = 0.9;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &with, NULL),
                     FH_OK);
    check(without.surprise > 6.0);
    check(with.surprise < 3.0);
    check_between(with.learned_K[1], 3.5, 7.0);
    check_between(with.learned_S[1], 3.5, 7.0);
    check(with.helps && with.add[0] > 0.0);
}

/* The part will be fully matt: its target is the mixture by the books with all of the mirror
 * reflection of 45° spread over it, r(45°) = 0.050240 for index 1.5 (Fresnel, by hand). A glossy
 * paint-out of just that mixture is right, whatever its own Lab; without the finish it isn't. */
static void the_finish_counts(void **state)
{
    (void)state;
    static scene s;
    set_scene(&s);
    const fh_weights day = fh_weights_of(fh_condition_default());
    fh_reading *part = &s.target.part;
    part->reflectance = fh_spectrum_add(part->reflectance, fh_spectrum_flat(1.0), 0.050240);
    part->lab = fh_lab_of_spectrum(&part->reflectance, &day);
    const fh_blend recipe = {PAINTS, {0, 1, 2}, {7, 2, 1}};
    s.paint_out = read_coat(&s, s.books, &recipe);
    check(fh_surface_of_finish((fh_finish){1.5, 0.0}, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED,
                               &s.options.finish) == FH_OK);
    fh_batch_advice c;
    for (int spectrum = 0; spectrum < 2; ++spectrum) {
        if (spectrum) {
            s.paint_out.origin = FH_ORIGIN_SPECTRUM;
            s.paint_out.reflectance = fh_blend_opaque(s.books, &recipe, &s.face);
        }
        assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL),
                         FH_OK);
        check_close(c.now, 0.0, 0.02);
        check(!c.significant);
    }
    s.options.finish = s.options.surface;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL), FH_OK);
    check(c.now > 2.0 && c.significant);
}

/* Darker than black plus nothing lighter in the pots: adding can't help. */
static void says_when_nothing_helps(void **state)
{
    (void)state;
    static scene s;
    set_scene(&s);
    const fh_blend red = {1, {1}, {1}};
    s.paint_out = read_coat(&s, s.real, &red);
    s.batch = (fh_batch){.paint_count = 1, .paint = {1}, .step_count = 1};
    s.batch.step[0].added[0] = 5.0;
    s.batch.step[0].paint_out = &s.paint_out;
    fh_batch_advice c;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, NULL), FH_OK);
    check(c.significant);
    check(!c.helps);
    check_close(c.add[0], 0.0, 0.0);
}

static void bad_batches_are_refused(void **state)
{
    (void)state;
    static scene s;
    fh_batch_advice c;
    fh_error error = {0};
    set_scene(&s);
    s.batch.step[0].added[1] = -1;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, &error),
                     FH_E_DATA);
    set_scene(&s);
    for (size_t p = 0; p < PAINTS; ++p) s.batch.step[0].added[p] = 0;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, &error),
                     FH_E_DATA);
    check(strstr(error.message, "empty") != NULL);
    set_scene(&s);
    s.batch.paint[2] = 1;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, &error),
                     FH_E_DATA);
    set_scene(&s);
    s.batch.step_count = 0;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, &error),
                     FH_E_ARGUMENT);
    set_scene(&s);
    s.options.most_growth = 0;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, &error),
                     FH_E_ARGUMENT);
    set_scene(&s);
    s.paint_out.lab.L = NAN;
    assert_int_equal(fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, &error),
                     FH_E_DATA);

    set_scene(&s);
    for (long n = 0;; n++) {
        starve_after(n);
        const fh_status status =
            fh_batch_correct(&s.target, s.books, &s.batch, &s.options, &c, &error);
        if (!starve_end()) break;
        check(status == FH_E_MEMORY);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(too_red_a_batch_gets_white_and_blue),
        cmocka_unit_test(additions_keep_to_the_steps),
        cmocka_unit_test(little_growth_is_used_well),
        cmocka_unit_test(against_a_measured_look),
        cmocka_unit_test(no_correction_within_the_uncertainty),
        cmocka_unit_test(the_bound_of_significance),
        cmocka_unit_test(a_metameric_batch_is_off),
        cmocka_unit_test(nothing_is_advised_beyond_learning),
        cmocka_unit_test(strength_is_learned),
        cmocka_unit_test(the_finish_counts),
        cmocka_unit_test(says_when_nothing_helps),
        cmocka_unit_test(bad_batches_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
