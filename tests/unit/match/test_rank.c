/* Ranking: order, groups on common draws, refusals, and the same figures every time. */
#include "check.h"
#include "exact.h"
#include "starve.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/rank.h"

enum { COUNT = 12 };

static fh_target target;
static fh_reading candidates[COUNT];
static fh_ranked out[COUNT], again[COUNT];

static fh_mat3 sigma(double s)
{
    return fh_mat3_diagonal(s * s, s * s, s * s);
}

/* Greys, each a step lighter than the target; steps in an order that is not sorted. */
static void greys(double step, double random)
{
    fh_reading part = exact_reading("part", fh_spectrum_flat(0.30));
    fh_target_init(&target, &part, NULL);
    for (int i = 0; i < COUNT; ++i) {
        double away = step * (double)((i * 5 + 3) % COUNT + 1);
        candidates[i] = exact_reading("grey", fh_spectrum_flat(0.30 + away));
        candidates[i].random = sigma(random);
    }
}

static void rank(fh_ranked *result)
{
    fh_rank_options options = fh_rank_defaults();
    fh_error error = {0};
    if (fh_rank(&target, candidates, COUNT, &options, result, NULL, NULL, &error))
        fail_msg("rank: %s", error.message);
}

/* Without uncertainty the order is that of the differences, and each is a group of its own. */
static void plain_order(void **state)
{
    (void)state;
    greys(0.004, 0.0);
    rank(out);
    for (int i = 0; i < COUNT; ++i) {
        assert_int_equal((out[i].index * 5 + 3) % COUNT, i);
        assert_int_equal(out[i].group, i + 1);
        check(out[i].judged && out[i].why[0] == '\0');
        check_close(out[i].p_first, i ? 1.0 : 0.5, 0.0);
    }
}

/* With noise much larger than the steps nothing can be told apart. */
static void noise_makes_one_group(void **state)
{
    (void)state;
    greys(0.0002, 1.5);
    rank(out);
    for (int i = 0; i < COUNT; ++i) {
        assert_int_equal(out[i].group, 1);
        check_between(out[i].p_first, 0.05, 0.95);
    }
}

/* The same noise, but all of it shared by the candidates: it moves them together, so that those on
 * one side of the target keep their order. */
static void shared_noise_cancels(void **state)
{
    (void)state;
    greys(0.002, 0.0);
    for (int i = 0; i < COUNT; ++i) {
        /* far from the target, so that the shared error never crosses it */
        candidates[i] = exact_reading(
            "grey", fh_spectrum_flat(candidates[i].reflectance.v[0] + 0.10));
        assert_int_equal(
            fh_reading_add_shared(&candidates[i], "instrument: two", fh_mat3_diagonal(1, 0, 0)),
            FH_OK);
    }
    rank(out);
    for (int i = 0; i < COUNT; ++i) {
        assert_int_equal((out[i].index * 5 + 3) % COUNT, i);
        assert_int_equal(out[i].group, i + 1);
        check(out[i].verdict.seen[0].interval.high - out[i].verdict.seen[0].interval.low > 1.5);
    }
}

/* One that cannot be compared stands at the end with its reason; the others are ranked. */
static void refused_at_the_end(void **state)
{
    (void)state;
    greys(0.004, 0.1);
    target.part.method.specular = FH_SPECULAR_INCLUDED;
    candidates[4].method.specular = FH_SPECULAR_EXCLUDED;
    candidates[7].lab.L = (double)NAN;
    rank(out);
    for (int i = 0; i < COUNT - 2; ++i) check(out[i].judged);
    assert_int_equal(out[COUNT - 2].index, 4);
    check(strstr(out[COUNT - 2].why, "mirror reflection excluded") != NULL);
    assert_int_equal(out[COUNT - 1].index, 7);
    check(strstr(out[COUNT - 1].why, "no colour of a surface") != NULL);
    assert_int_equal(out[COUNT - 1].group, 0);
}

/* Those beyond the nearest get fewer trials, and the same place. */
static void far_ones_get_fewer_trials(void **state)
{
    (void)state;
    greys(0.01, 0.2);
    rank(out);
    fh_rank_options options = fh_rank_defaults();
    options.near_most = 3;
    assert_int_equal(fh_rank(&target, candidates, COUNT, &options, again, NULL, NULL, NULL), FH_OK);
    for (int i = 0; i < COUNT; ++i) {
        assert_int_equal(again[i].index, out[i].index);
        assert_int_equal(again[i].verdict.trials, i < 3 ? options.trials : options.far_trials);
    }
    check(memcmp(&again[0].verdict, &out[0].verdict, sizeof out[0].verdict) == 0);
}

static void empty_and_wrong(void **state)
{
    (void)state;
    greys(0.01, 0.0);
    fh_rank_options options = fh_rank_defaults();
    assert_int_equal(fh_rank(&target, candidates, 0, &options, out, NULL, NULL, NULL), FH_OK);
    options.near_most = 0;
    assert_int_equal(fh_rank(&target, candidates, COUNT, &options, out, NULL, NULL, NULL),
                     FH_E_ARGUMENT);
    options = fh_rank_defaults();
    target.tolerance = 0.0;
    assert_int_equal(fh_rank(&target, candidates, COUNT, &options, out, NULL, NULL, NULL),
                     FH_E_ARGUMENT);
}

static void survives_want_of_memory(void **state)
{
    (void)state;
    greys(0.01, 0.1);
    fh_rank_options options = {.trials = 200, .far_trials = 50, .near_most = 2, .seed = 1};
    out[0].index = 99;
    for (long n = 0;; ++n) {
        starve_after(n);
        fh_status status = fh_rank(&target, candidates, COUNT, &options, out, NULL, NULL, NULL);
        if (!starve_end()) break;
        assert_int_equal(status, FH_E_MEMORY);
        assert_int_equal(out[0].index, 99);
    }
    check(out[0].index != 99);
}

/* By the rule: one mode for all, the shell's where both are known; what a part leaves unsaid is as
 * the shell was read, and 45°:0° says its mode by itself. */
static void how_candidates_have_to_be_read(void **state)
{
    (void)state;
    enum {
        ANY = FH_GEOMETRY_UNKNOWN,
        RING = FH_GEOMETRY_45_0,
        BALL = FH_GEOMETRY_8_D,
        PHOTO = FH_GEOMETRY_PHOTO,
        OPEN = FH_SPECULAR_UNKNOWN,
        OUT = FH_SPECULAR_EXCLUDED,
        IN = FH_SPECULAR_INCLUDED
    };
    static const int cases[][6] = {
        /* part; shell; expected */
        {ANY, OPEN, ANY, OPEN, ANY, OPEN},   {ANY, OPEN, BALL, IN, BALL, IN},
        {ANY, OPEN, RING, OPEN, RING, OUT},  {BALL, OPEN, RING, OPEN, BALL, OUT},
        {BALL, OUT, ANY, OPEN, BALL, OUT},   {BALL, OUT, RING, OPEN, BALL, OUT},
        {RING, OPEN, BALL, OUT, RING, OPEN}, {PHOTO, OPEN, BALL, IN, BALL, IN},
        {BALL, IN, RING, OPEN, RING, OUT},   {BALL, OUT, BALL, IN, BALL, IN},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; ++i) {
        fh_target t = {.part = fh_reading_blank()};
        fh_shell s = {.method = fh_method_unknown()};
        t.part.method.geometry = (fh_geometry)cases[i][0];
        t.part.method.specular = (fh_specular)cases[i][1];
        s.method.geometry = (fh_geometry)cases[i][2];
        s.method.specular = (fh_specular)cases[i][3];
        t.shell = &s;
        const fh_method way = fh_target_way(&t);
        if ((int)way.geometry != cases[i][4] || (int)way.specular != cases[i][5])
            fail_msg("case %zu: geometry %d, mode %d", i, (int)way.geometry, (int)way.specular);
        t.shell = NULL;
        check(fh_target_way(&t).geometry == t.part.method.geometry);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plain_order),
        cmocka_unit_test(noise_makes_one_group),
        cmocka_unit_test(shared_noise_cancels),
        cmocka_unit_test(refused_at_the_end),
        cmocka_unit_test(far_ones_get_fewer_trials),
        cmocka_unit_test(empty_and_wrong),
        cmocka_unit_test(survives_want_of_memory),
        cmocka_unit_test(how_candidates_have_to_be_read),
    };
    return cmocka_run_group_tests_name("rank", tests, NULL, NULL);
}
