#include "check.h"
#include "reference.h"

#include "farhue/fresnel.h"
#include "optics/quadrature.h"

#include <math.h>

/* shared/reference/fresnel_diffuse.csv: integration and Walsh's formula, printed to 1e-6. */
static void published_table(void **state)
{
    (void)state;
    reference table = reference_load("fresnel_diffuse.csv");
    const double degree = acos(-1.0) / 180.0;
    for (size_t row = 0; row < table.rows; ++row) {
        double n = reference_number(&table, row, "n");
        check_close(fh_fresnel_outside(n, 1.0), reference_number(&table, row, "r_normal"), 5e-7);
        check_close(fh_fresnel_outside(n, cos(8 * degree)), reference_number(&table, row, "r_8deg"),
                    5e-7);
        check_close(fh_fresnel_outside(n, cos(45 * degree)),
                    reference_number(&table, row, "r_45deg"), 5e-7);
        check_close(fh_fresnel_diffuse_outside(n), reference_number(&table, row, "r_ext_diffuse"),
                    5e-7);
        check_close(fh_fresnel_diffuse_inside(n), reference_number(&table, row, "r_int_diffuse"),
                    5e-7);
    }
    reference_free(&table);
}

/* [Judd1942] prints 0.0918 and 0.5963 for n = 1.5. */
static void judd_1942(void **state)
{
    (void)state;
    check_close(fh_fresnel_diffuse_outside(1.5), 0.0918, 0.00005);
    check_close(fh_fresnel_diffuse_inside(1.5), 0.5963, 0.00005);
}

/* ∫ x^k dx = 1/(k + 1), exact for a rule of order 32 up to degree 63. */
static void quadrature_moments(void **state)
{
    (void)state;
    for (int k = 0; k <= 63; ++k) {
        double sum = 0.0;
        for (int i = 0; i < FH_GAUSS; ++i) sum += fh_gauss_weight[i] * pow(fh_gauss_node[i], k);
        check_close(sum, 1.0 / (k + 1), 1e-15);
    }
}

/* Independent computation: ∫ r(μ) 2μ dμ by quadrature against Walsh's closed formula; the integral
 * takes over below 1.1, so both branches and the seam are seen here. */
static void closed_form_against_integral(void **state)
{
    (void)state;
    for (double n = 1.0; n < 2.6; n += 0.05) {
        double outside = 0.0, inside = 0.0, critical = sqrt(1.0 - 1.0 / (n * n));
        for (int i = 0; i < FH_GAUSS; ++i) {
            double x = fh_gauss_node[i], mu = x * x * x;
            outside += fh_gauss_weight[i] * 3 * x * x * 2 * mu * fh_fresnel_outside(n, mu);
            /* beyond the critical angle everything is thrown back: the share critical² */
            double c = critical + (1.0 - critical) * x * x;
            inside +=
                fh_gauss_weight[i] * 2 * x * (1.0 - critical) * 2 * c * fh_fresnel_inside(n, c);
        }
        check_close(fh_fresnel_diffuse_outside(n), outside, 2e-6);
        check_close(fh_fresnel_diffuse_inside(n), inside + critical * critical, 2e-6);
    }
    check_close(fh_fresnel_diffuse_outside(1.0999999), fh_fresnel_diffuse_outside(1.1000001), 1e-7);
}

/* A beam meets the same reflectance from either side. */
static void same_from_both_sides(void **state)
{
    (void)state;
    for (double mu = 0.05; mu <= 1.0; mu += 0.05) {
        double inside = fh_fresnel_refract(1.586, mu);
        check_close(fh_fresnel_inside(1.586, inside), fh_fresnel_outside(1.586, mu), 1e-12);
    }
}

static void limits(void **state)
{
    (void)state;
    check_close(fh_fresnel_outside(1.5, 0.0), 1.0, 0.0);
    check_close(fh_fresnel_inside(1.5, 0.2), 1.0, 0.0);
    check_close(fh_fresnel_diffuse_outside(1.0), 0.0, 0.0);
    check_close(fh_fresnel_diffuse_inside(1.0), 0.0, 0.0);
    check_between(fh_fresnel_diffuse_outside(1.0001), 0.0, 0.001);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_table),      cmocka_unit_test(judd_1942),
        cmocka_unit_test(quadrature_moments),   cmocka_unit_test(closed_form_against_integral),
        cmocka_unit_test(same_from_both_sides), cmocka_unit_test(limits),
    };
    return cmocka_run_group_tests_name("optics/fresnel", tests, NULL, NULL);
}
