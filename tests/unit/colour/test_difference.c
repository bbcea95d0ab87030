/* CIEDE2000 against the published pairs, an independent computation and a second library. */
#include "check.h"
#include "reference.h"

#include <lcms2.h>
#include <math.h>
#include <stdio.h>

#include "base/random.h"
#include "farhue/difference.h"

static fh_lab lab_at(const reference *table, size_t row, const char *L, const char *a,
                     const char *b)
{
    return (fh_lab){reference_number(table, row, L), reference_number(table, row, a),
                    reference_number(table, row, b)};
}

/* Source: Sharma, Wu, Dalal 2005, table 1; four printed decimals. */
static void published_pairs(void **state)
{
    (void)state;
    reference table = reference_load("ciede2000_pairs.csv");
    assert_int_equal(table.rows, 34);
    for (size_t i = 0; i < table.rows; ++i) {
        fh_lab p = lab_at(&table, i, "L1", "a1", "b1"), q = lab_at(&table, i, "L2", "a2", "b2");
        double expected = reference_number(&table, i, "dE00");
        check_close(fh_de2000(p, q), expected, 0.00005);
        check_close(fh_de2000(q, p), expected, 0.00005);
    }
    reference_free(&table);
}

/* Source: independent computation, by a script apart from the project and by a general colour
 * library that agree to 1e-6 (comment of the file). */
static void worked_examples(void **state)
{
    (void)state;
    reference table = reference_load("colour_difference_examples.csv");
    assert_int_equal(table.rows, 58);
    for (size_t i = 0; i < table.rows; ++i) {
        fh_lab p = lab_at(&table, i, "L1", "a1", "b1"), q = lab_at(&table, i, "L2", "a2", "b2");
        check_close(fh_de1976(p, q), reference_number(&table, i, "dE76"), 1e-6);
        check_close(fh_de1994_graphic(p, q), reference_number(&table, i, "dE94"), 1e-6);
        check_close(fh_de1994_textile(p, q), reference_number(&table, i, "dE94t"), 1e-6);
        check_close(fh_decmc(p, q, 1, 1), reference_number(&table, i, "dCMC11"), 1e-6);
        check_close(fh_decmc(p, q, 2, 1), reference_number(&table, i, "dCMC21"), 1e-6);
        check_close(fh_de2000(p, q), reference_number(&table, i, "dE00"), 1e-6);
    }
    reference_free(&table);
}

static fh_lab random_lab(uint64_t trial, uint64_t which)
{
    return (fh_lab){100.0 * fh_random_uniform(1, which, trial, 0),
                    200.0 * fh_random_uniform(1, which, trial, 1) - 100.0,
                    200.0 * fh_random_uniform(1, which, trial, 2) - 100.0};
}

/* Source: lcms2's cmsCIE2000DeltaE, a second implementation, on a million random pairs. */
static void agrees_with_lcms2(void **state)
{
    (void)state;
    double worst = 0.0;
    for (uint64_t i = 0; i < 1000000; ++i) {
        fh_lab p = random_lab(i, 1), q = random_lab(i, 2);
        cmsCIELab cp = {p.L, p.a, p.b}, cq = {q.L, q.a, q.b};
        worst = fmax(worst, fabs(fh_de2000(p, q) - cmsCIE2000DeltaE(&cp, &cq, 1, 1, 1)));
    }
    check_between(worst, 0.0, 1e-9);
}

/* The components make up the whole; factors divide them. Property, from the formula's shape. */
static void components(void **state)
{
    (void)state;
    fh_lab p = {52, 30, -14}, q = {55, 22, -20};
    fh_difference d = fh_de2000_parts(p, q, (fh_factors){1, 1, 1});
    check_close(d.dE * d.dE, d.dL * d.dL + d.dC * d.dC + d.dH * d.dH + d.rotation, 1e-12);
    check(d.dL > 0 && d.dC < 0 && d.dH < 0); /* lighter, duller, hue turned clockwise */
    fh_difference wide = fh_de2000_parts(p, q, (fh_factors){2, 4, 8});
    check_close(wide.dL, d.dL / 2, 1e-15);
    check_close(wide.dC, d.dC / 4, 1e-15);
    check_close(wide.dH, d.dH / 8, 1e-15);
    fh_difference back = fh_de2000_parts(q, p, (fh_factors){1, 1, 1});
    check_close(back.dL, -d.dL, 1e-15);
    check_close(back.dH, -d.dH, 1e-15);
}

static void edges(void **state)
{
    (void)state;
    fh_lab black = {0, 0, 0}, white = {100, 0, 0}, p = {50, 10, 10};
    check(fh_de2000(p, p) == 0.0);
    check(fh_de2000(black, black) == 0.0);
    /* 100 apart in L* around the middle: S_L = 1, exact by the formula. */
    check_close(fh_de2000(black, white), 100.0, 1e-12);
    check(isnan(fh_de2000(p, (fh_lab){NAN, 0, 0})));
    check(isfinite(fh_de2000((fh_lab){120, 200, -200}, black)));
    check_close(fh_decmc(black, white, 2, 1), 100.0 / (2 * 0.511), 1e-12); /* L* < 16: S_L = 0.511 */
}

/* The float kernel is held to the double path. */
static void batch_follows_double(void **state)
{
    (void)state;
    enum { COUNT = 4096 };
    static float L[COUNT], a[COUNT], b[COUNT], out[COUNT];
    for (uint64_t round = 0; round < 8; ++round) {
        fh_lab origin = random_lab(round, 3);
        for (size_t i = 0; i < COUNT; ++i) {
            fh_lab q = random_lab(round * COUNT + i, 4);
            if (i % 2) /* every second one close by */
                q = (fh_lab){origin.L + (q.L - 50) / 50, origin.a + q.a / 50,
                             origin.b + q.b / 50};
            L[i] = (float)q.L, a[i] = (float)q.a, b[i] = (float)q.b;
        }
        fh_de2000_batch(origin, L, a, b, COUNT, out);
        for (size_t i = 0; i < COUNT; ++i) {
            double exact = fh_de2000(origin, (fh_lab){(double)L[i], (double)a[i], (double)b[i]});
            check_close((double)out[i], exact, 2e-3 + 1e-4 * exact);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_pairs),   cmocka_unit_test(worked_examples),
        cmocka_unit_test(agrees_with_lcms2), cmocka_unit_test(components),
        cmocka_unit_test(edges),             cmocka_unit_test(batch_follows_double),
    };
    return cmocka_run_group_tests_name("difference", tests, NULL, NULL);
}
