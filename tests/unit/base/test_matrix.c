#include "check.h"

#include <math.h>
#include <string.h>

#include "farhue/matrix.h"

static void inverse_and_product(void **state)
{
    (void)state;
    fh_mat3 a = {{{2, -1, 0.5}, {3, 4, -2}, {0.1, 7, 1}}}, inverse;
    assert_int_equal(fh_mat3_inverse(a, &inverse), FH_OK);
    fh_mat3 one = fh_mat3_multiply(a, inverse), identity = fh_mat3_identity();
    check_all_close(&one.m[0][0], &identity.m[0][0], 9, 1e-14);
    /* by hand: determinant 2·(4+14) + 1·(3+0.2) + 0.5·(21−0.4) = 49.5, first cofactor 18 */
    check_close(inverse.m[0][0], 18.0 / 49.5, 1e-15);
    /* A product that is not symmetric tells rows from columns. */
    fh_vec3 x = fh_mat3_apply(a, (fh_vec3){{1, 0, 0}});
    check(x.v[0] == 2 && x.v[1] == 3 && x.v[2] == 0.1);
    check(fh_mat3_transpose(a).m[0][1] == 3);

    fh_mat3 before = inverse;
    assert_int_equal(fh_mat3_inverse((fh_mat3){{{1, 2, 3}, {2, 4, 6}, {1, 0, 1}}}, &inverse),
                     FH_E_DATA);
    assert_int_equal(fh_mat3_inverse((fh_mat3){{{NAN}}}, &inverse), FH_E_DATA);
    assert_int_equal(fh_mat3_inverse((fh_mat3){{{0}}}, &inverse), FH_E_DATA);
    assert_memory_equal(&inverse, &before, sizeof before);
}

static void cholesky(void **state)
{
    (void)state;
    /* by hand: L = [[2,0,0],[1,3,0],[-1,0.5,1]] */
    fh_mat3 c = {{{4, 2, -2}, {2, 10, 0.5}, {-2, 0.5, 2.25}}}, l;
    assert_int_equal(fh_mat3_cholesky(c, &l), FH_OK);
    const double expected[9] = {2, 0, 0, 1, 3, 0, -1, 0.5, 1};
    check_all_close(&l.m[0][0], expected, 9, 1e-15);
    /* semi-definite: rank 1 */
    fh_mat3 flat = {{{1, 2, 3}, {2, 4, 6}, {3, 6, 9}}};
    assert_int_equal(fh_mat3_cholesky(flat, &l), FH_OK);
    fh_mat3 back = fh_mat3_multiply(l, fh_mat3_transpose(l));
    check_all_close(&back.m[0][0], &flat.m[0][0], 9, 1e-12);
    assert_int_equal(fh_mat3_cholesky((fh_mat3){{{0}}}, &l), FH_OK);

    const fh_mat3 bad[] = {{{{1, 2, 0}, {2, 1, 0}, {0, 0, 1}}},  /* indefinite */
                           {{{-1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}, /* negative */
                           {{{1, 0.5, 0}, {0.1, 1, 0}, {0, 0, 1}}}, /* not symmetric */
                           {{{0, 1, 0}, {1, 0, 0}, {0, 0, 1}}},
                           {{{NAN, 0, 0}, {0, 1, 0}, {0, 0, 1}}}};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; ++i)
        assert_int_equal(fh_mat3_cholesky(bad[i], &l), FH_E_DATA);
}

static void carry(void **state)
{
    (void)state;
    /* by hand: J = swap of the first two axes, times 2 */
    fh_mat3 j = {{{0, 2, 0}, {2, 0, 0}, {0, 0, 1}}}, c = fh_mat3_diagonal(1, 9, 4);
    c.m[0][1] = c.m[1][0] = 0.5;
    fh_mat3 moved = fh_mat3_carry(j, c);
    const double expected[9] = {36, 2, 0, 2, 4, 0, 0, 0, 4};
    check_all_close(&moved.m[0][0], expected, 9, 1e-15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(inverse_and_product),
        cmocka_unit_test(cholesky),
        cmocka_unit_test(carry),
    };
    return cmocka_run_group_tests_name("matrix", tests, NULL, NULL);
}
