#include <math.h>

#include "base/linear.h"
#include "check.h"

/* Independent computation: by hand. [[4,2],[2,3]] = L Lᵀ with L = [[2,0],[1,√2]]. */
static void cholesky_of_a_small_matrix(void **state)
{
    (void)state;
    double a[4] = {4, 2, 2, 3};
    assert_int_equal(fh_cholesky(a, 2), FH_OK);
    check_close(a[0], 2.0, 1e-15);
    check_close(a[2], 1.0, 1e-15);
    check_close(a[3], sqrt(2.0), 1e-15);

    double b[2] = {8, 7}; /* 4x + 2y = 8, 2x + 3y = 7: x = 1.25, y = 1.5 */
    fh_cholesky_solve(a, 2, b);
    check_close(b[0], 1.25, 1e-14);
    check_close(b[1], 1.5, 1e-14);
}

static void cholesky_refuses_what_is_not_positive_definite(void **state)
{
    (void)state;
    double indefinite[4] = {1, 2, 2, 1}, flat[4] = {1, 1, 1, 1}, nan[1] = {NAN};
    assert_int_equal(fh_cholesky(indefinite, 2), FH_E_DATA);
    assert_int_equal(fh_cholesky(flat, 2), FH_E_DATA);
    assert_int_equal(fh_cholesky(nan, 1), FH_E_DATA);
}

/* Known: the second difference matrix of size n has eigenvalues 2 − 2 cos(kπ/(n+1)). */
static void eigenvalues_of_the_second_difference(void **state)
{
    (void)state;
    enum { N = 36 };
    double a[N * N] = {0}, values[N], vectors[N * N];
    for (size_t i = 0; i < N; ++i) {
        a[i * N + i] = 2.0;
        if (i + 1 < N) a[i * N + i + 1] = a[(i + 1) * N + i] = -1.0;
    }
    fh_eigen_symmetric(a, N, values, vectors);
    for (size_t k = 0; k < N; ++k)
        check_close(values[k], 2.0 - 2.0 * cos((double)(N - k) * acos(-1.0) / (N + 1)), 1e-13);
    for (size_t k = 0; k < N; ++k) {
        const double *v = vectors + k * N;
        for (size_t i = 0; i < N; ++i) {
            double applied = 2.0 * v[i] - (i ? v[i - 1] : 0.0) - (i + 1 < N ? v[i + 1] : 0.0);
            check_close(applied, values[k] * v[i], 1e-13);
        }
        for (size_t l = 0; l <= k; ++l) {
            double dot = 0.0;
            for (size_t i = 0; i < N; ++i) dot += v[i] * vectors[l * N + i];
            check_close(dot, k == l ? 1.0 : 0.0, 1e-13);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cholesky_of_a_small_matrix),
        cmocka_unit_test(cholesky_refuses_what_is_not_positive_definite),
        cmocka_unit_test(eigenvalues_of_the_second_difference),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
