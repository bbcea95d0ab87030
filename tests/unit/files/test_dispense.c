#include <math.h>
#include <string.h>

#include "check.h"
#include "farhue/dispense.h"

/* An invented white and black, flat over the spectrum, and the grey of 9 parts of one in 1 of the
 * other as the target. */
typedef struct bench {
    fh_paint shelf[2];
    fh_target target;
    fh_surface surface;
    fh_recipe recipe;
} bench;

static void lay_out(bench *b)
{
    const fh_blend blend = {2, {0, 1}, {0.9, 0.1}};
    const fh_weights day = fh_weights_of(fh_condition_default());
    fh_reading part = fh_reading_blank();
    for (size_t i = 0; i < 2; ++i) {
        b->shelf[i] = fh_paint_blank();
        strcpy(b->shelf[i].id, i ? "black" : "white");
        b->shelf[i].K = fh_spectrum_flat(i ? 8.0 : 0.01);
        b->shelf[i].S = fh_spectrum_flat(i ? 0.2 : 1.0);
        b->shelf[i].density = i ? 1.0 : 1.4;
        b->shelf[i].drop = 0.05;
    }
    assert_int_equal(fh_surface_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &b->surface),
                     FH_OK);
    strcpy(part.id, "dial ring");
    part.origin = FH_ORIGIN_SPECTRUM;
    part.reflectance = fh_blend_opaque(b->shelf, &blend, &b->surface);
    part.lab = fh_lab_of_spectrum(&part.reflectance, &day);
    fh_target_init(&b->target, &part, NULL);
    b->target.tolerance = 1.0;
    assert_int_equal(fh_recipe_of(&b->target, b->shelf, &blend, &b->surface, &b->recipe, NULL),
                     FH_OK);
    check_close(b->recipe.worst, 0.0, 1e-9);
}

static fh_dispensed dispense(const bench *b, fh_quantity wanted, fh_quantity least)
{
    fh_dispensed d = {.size = -1.0};
    fh_error error = {0};
    if (fh_recipe_dispense(&b->target, b->shelf, &b->recipe, &b->surface, wanted, least, &d,
                           &error))
        fail_msg("%s", error.message);
    return d;
}

/* By hand: 10 ml are 9 and 1 ml; a ml of the blend weighs 0.9 · 1.4 + 0.1 = 1.36 g, so 13.6 g are
 * the same; a step of 20 drops is 1 ml. */
static void quantities_that_fit(void **state)
{
    (void)state;
    bench b;
    lay_out(&b);
    const struct {
        fh_quantity wanted, least;
    } same[] = {{{10.0, FH_MILLILITRES}, {1.0, FH_MILLILITRES}},
                {{13.6, FH_GRAMS}, {20.0, FH_DROPS}},
                {{200.0, FH_DROPS}, {0.5, FH_MILLILITRES}}};
    for (size_t i = 0; i < sizeof same / sizeof *same; ++i) {
        const fh_dispensed d = dispense(&b, same[i].wanted, same[i].least);
        check_close(d.ml[0], 9.0, 1e-9);
        check_close(d.ml[1], 1.0, 1e-9);
        check_close(d.size, 10.0, 1e-9);
        check_close(d.rounded.worst, 0.0, 1e-6);
        check(!d.coarse);
        check_close(d.larger, 0.0, 0.0);
    }
}

/* Own requirement: what is wanted or up to a tenth more, wherever the steps (a tenth of the batch
 * or less) allow it; 10.3 ml in steps of 1 ml are 11. */
static void not_less_than_wanted(void **state)
{
    (void)state;
    bench b;
    lay_out(&b);
    for (int tenths = 30; tenths <= 400; tenths += 7)
        for (int step = 1; step <= 40 && 10 * step <= tenths; ++step) {
            const double ml = tenths / 10.0;
            const fh_dispensed d = dispense(&b, (fh_quantity){ml, FH_MILLILITRES},
                                            (fh_quantity){step / 10.0, FH_MILLILITRES});
            check_between(d.size, ml - 1e-9, 1.1 * ml + 1e-9);
            check_close(d.wanted, ml, 1e-12);
        }
    const fh_dispensed d =
        dispense(&b, (fh_quantity){10.3, FH_MILLILITRES}, (fh_quantity){1.0, FH_MILLILITRES});
    check_close(d.size, 11.0, 1e-9);
}

/* In steps of 1 ml a batch of 4 ml can't have 10 % of black (a quarter or a fifth or none of it),
 * one a few times as large can; where no size up to eight times does, none is named. */
static void steps_too_coarse(void **state)
{
    (void)state;
    bench b;
    lay_out(&b);
    const fh_quantity step = {1.0, FH_MILLILITRES};
    fh_dispensed d = dispense(&b, (fh_quantity){4.0, FH_MILLILITRES}, step);
    check(d.coarse && d.rounded.worst > 1.0);
    check(d.larger > d.size);
    const fh_dispensed again = dispense(&b, (fh_quantity){d.larger, FH_MILLILITRES}, step);
    check(!again.coarse && again.rounded.worst <= 1.0);

    b.target.tolerance = 1e-7;
    d = dispense(&b, (fh_quantity){1.0, FH_MILLILITRES}, step);
    check(d.coarse);
    check_close(d.larger, 0.0, 0.0);
    b.recipe.worst = 1.0; /* one that misses it by itself isn't told that of its steps */
    d = dispense(&b, (fh_quantity){4.0, FH_MILLILITRES}, step);
    check(!d.coarse);
}

static void what_is_not_known(void **state)
{
    (void)state;
    bench b;
    lay_out(&b);
    b.shelf[1].density = 0.0;
    fh_dispensed d = {.size = -1.0};
    fh_error error = {0};
    const fh_quantity ml = {1.0, FH_MILLILITRES}, grams = {5.0, FH_GRAMS};
    assert_int_equal(
        fh_recipe_dispense(&b.target, b.shelf, &b.recipe, &b.surface, grams, ml, &d, &error),
        FH_E_DATA);
    check(strstr(error.message, "black") != NULL);
    assert_int_equal(
        fh_recipe_dispense(&b.target, b.shelf, &b.recipe, &b.surface, ml, grams, &d, NULL),
        FH_E_DATA);
    check_close(d.size, -1.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quantities_that_fit),
        cmocka_unit_test(not_less_than_wanted),
        cmocka_unit_test(steps_too_coarse),
        cmocka_unit_test(what_is_not_known),
    };
    return cmocka_run_group_tests_name("files/dispense", tests, NULL, NULL);
}
