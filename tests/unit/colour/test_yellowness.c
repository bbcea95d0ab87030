#include <math.h>

#include "check.h"
#include "farhue/appearance.h"
#include "reference.h"

/* Coefficients of ASTM E313-20, table 1, worked for real chips; XYZ are printed to four decimals,
 * YI to three. */
static void worked_examples(void **state)
{
    (void)state;
    reference t = reference_load("yellowness_e313_examples.csv");
    for (size_t i = 0; i < t.rows; ++i) {
        const fh_xyz xyz = {reference_number(&t, i, "X"), reference_number(&t, i, "Y"),
                            reference_number(&t, i, "Z")};
        const fh_condition condition = {
            reference_text(&t, i, "illuminant")[0] == 'C' ? FH_ILLUMINANT_C : FH_ILLUMINANT_D65,
            reference_number(&t, i, "observer_deg") > 5 ? FH_OBSERVER_10 : FH_OBSERVER_2};
        double yi;
        assert_int_equal(fh_yellowness(xyz, condition, &yi), FH_OK);
        check_close(yi, reference_number(&t, i, "YI"), 0.0005 + 0.0002);
    }
    reference_free(&t);
}

/* The perfect diffuser has no yellowness: the coefficients are rounded to four decimals. */
static void white_is_not_yellow(void **state)
{
    (void)state;
    const fh_condition conditions[] = {{FH_ILLUMINANT_C, FH_OBSERVER_2},
                                       {FH_ILLUMINANT_C, FH_OBSERVER_10},
                                       {FH_ILLUMINANT_D65, FH_OBSERVER_2},
                                       {FH_ILLUMINANT_D65, FH_OBSERVER_10}};
    for (size_t i = 0; i < 4; ++i) {
        double yi;
        assert_int_equal(fh_yellowness(fh_weights_of(conditions[i]).white, conditions[i], &yi),
                         FH_OK);
        check_close(yi, 0.0, 0.05);
    }
}

static void refuses(void **state)
{
    (void)state;
    double yi = 7;
    const fh_condition c = {FH_ILLUMINANT_C, FH_OBSERVER_2}, a = {FH_ILLUMINANT_A, FH_OBSERVER_2};
    assert_int_equal(fh_yellowness((fh_xyz){1, 1, 1}, a, &yi), FH_E_ARGUMENT);
    assert_int_equal(fh_yellowness((fh_xyz){1, 0, 1}, c, &yi), FH_E_DATA);
    assert_int_equal(fh_yellowness((fh_xyz){NAN, 1, 1}, c, &yi), FH_E_DATA);
    check_close(yi, 7.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples),
        cmocka_unit_test(white_is_not_yellow),
        cmocka_unit_test(refuses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
