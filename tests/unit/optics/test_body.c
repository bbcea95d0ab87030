#include "check.h"
#include "reference.h"

#include "farhue/body.h"

#include <math.h>

/* shared/reference/kubelka_munk_layers.csv: 16 layers over 6 backings, hyperbolic formulas against
 * integration of the differential equation, printed to 1e-9. */
static void published_layers(void **state)
{
    (void)state;
    reference table = reference_load("kubelka_munk_layers.csv");
    check(table.rows == 16 * 6);
    for (size_t row = 0; row < table.rows; ++row) {
        double K = reference_number(&table, row, "K"), S = reference_number(&table, row, "S");
        double X = reference_number(&table, row, "X");
        fh_body body = fh_body_of((fh_body_pair){K * X, S * X});
        check_close(body.R0, reference_number(&table, row, "R0"), 1e-9);
        check_close(body.T, reference_number(&table, row, "T"), 1e-9);
        check_close(fh_body_over(body, reference_number(&table, row, "Rg")),
                    reference_number(&table, row, "R"), 1e-9);
        check_close(fh_body_thick(K, S), reference_number(&table, row, "Rinf"), 1e-9);
    }
    reference_free(&table);
}

/* From two backings of the table back to K X and S X. */
static void inverse_of_the_table(void **state)
{
    (void)state;
    reference table = reference_load("kubelka_munk_layers.csv");
    for (size_t row = 0; row + 5 < table.rows; row += 6) {
        double K = reference_number(&table, row, "K"), S = reference_number(&table, row, "S");
        double X = reference_number(&table, row, "X");
        fh_body body = fh_body_of((fh_body_pair){K * X, S * X}), found;
        fh_body_pair pair;
        check(fh_body_between(fh_body_over(body, 0.05), 0.05, fh_body_over(body, 0.9), 0.9,
                              &found) == FH_OK);
        check_close(found.R0, body.R0, 1e-9);
        check_close(found.T, body.T, 1e-7);
        check(fh_body_invert(body, &pair) == FH_OK);
        check_close(pair.KX, K * X, 1e-9 * (1 + K * X));
        check_close(pair.SX, S * X, 1e-9 * (1 + S * X));
    }
    reference_free(&table);
}

/* Independent computation: from R over one backing and R∞, the pair gives both back. */
static void inverse_from_a_thick_layer(void **state)
{
    (void)state;
    fh_body_pair pair, given = {0.3, 1.7};
    double R_inf = fh_body_thick(given.KX, given.SX);
    for (double backing = 0.0; backing < 1.0; backing += 0.25) {
        double R = fh_body_over(fh_body_of(given), backing);
        check(fh_body_from_thick(R, backing, R_inf, &pair) == FH_OK);
        check_close(pair.KX, 0.3, 1e-11);
        check_close(pair.SX, 1.7, 1e-11);
    }
    check(fh_body_from_thick(0.2, 0.3, 0.9, &pair) == FH_E_IMPOSSIBLE);
    check(fh_body_from_thick(0.95, 0.0, 0.9, &pair) == FH_E_IMPOSSIBLE);
    check(fh_body_from_thick(0.5, 0.0, 1.0, &pair) == FH_E_ARGUMENT);
}

/* The limits that the closed form must meet, by theory: K = 0, S = 0, none, very thick. */
static void limits(void **state)
{
    (void)state;
    fh_body b = fh_body_of((fh_body_pair){0, 0});
    check_close(b.R0, 0, 0);
    check_close(b.T, 1, 0);
    b = fh_body_of((fh_body_pair){0, 3});
    check_close(b.R0, 0.75, 1e-15);
    check_close(b.T, 0.25, 1e-15);
    b = fh_body_of((fh_body_pair){2, 0});
    check_close(b.R0, 0, 0);
    check_close(b.T, exp(-2), 1e-15);
    b = fh_body_of((fh_body_pair){1e-14, 3});
    check_close(b.R0, 0.75, 1e-12);
    b = fh_body_of((fh_body_pair){2, 1e-14});
    check_close(b.T, exp(-2), 1e-12);
    b = fh_body_of((fh_body_pair){1e200, 2e200});
    check_close(b.R0, fh_body_thick(1, 2), 1e-12);
    check_close(b.T, 0, 0);
    check_close(fh_body_over(b, 1.0), b.R0, 0);
    check_close(fh_body_thick(0, 0), 0, 0);
    check_close(fh_body_thick(0, 1), 1, 0);
    check_close(fh_body_thick(1e300, 1e-300), 0, 1e-15);
    check_close(fh_body_ratio(1.0), 0, 0);
    b = fh_body_of((fh_body_pair){0, 1e300});
    check_close(fh_body_over(b, 1.0), 1.0, 1e-12);
}

static void impossible_readings(void **state)
{
    (void)state;
    fh_body body = {-1, -1};
    fh_body_pair pair = {-1, -1};
    check(fh_body_between(0.1, 0.5, 0.2, 0.5, &body) == FH_E_ARGUMENT);
    check(fh_body_between(0.6, 0.0, 0.5, 0.9, &body) ==
          FH_E_IMPOSSIBLE); /* white darker than black */
    check(fh_body_between(0.9, 0.0, 1.0, 0.5, &body) == FH_E_IMPOSSIBLE);
    check(fh_body_between((double)NAN, 0.0, 0.5, 0.9, &body) == FH_E_IMPOSSIBLE);
    check_close(body.R0, -1, 0); /* untouched on failure */
    check(fh_body_invert((fh_body){0.4, 0.0}, &pair) == FH_E_IMPOSSIBLE);
    check(fh_body_invert((fh_body){0.7, 0.4}, &pair) == FH_E_IMPOSSIBLE);
    check_close(pair.KX, -1, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_layers),           cmocka_unit_test(inverse_of_the_table),
        cmocka_unit_test(inverse_from_a_thick_layer), cmocka_unit_test(limits),
        cmocka_unit_test(impossible_readings),
    };
    return cmocka_run_group_tests_name("optics/body", tests, NULL, NULL);
}
