#include <math.h>
#include <string.h>

#include "base/fit.h"
#include "base/random.h"
#include "check.h"

/* Independent computation: the normal equations by hand. A line through (0,1), (1,3), (2,4),
 * (3,4): Σx = 6, Σx² = 14, Σy = 12, Σxy = 23; slope (4·23 − 6·12)/(4·14 − 36) = 1, intercept 1.5;
 * (AᵀA)⁻¹ = [[14, −6], [−6, 4]] / 20. */
static void line_through_four_points(void **state)
{
    (void)state;
    const double design[8] = {1, 0, 1, 1, 1, 2, 1, 3}, data[4] = {1, 3, 4, 4};
    double x[2], covariance[4];
    assert_int_equal(fh_fit_linear(design, data, NULL, 4, 2, x, covariance), FH_OK);
    check_close(x[0], 1.5, 1e-14);
    check_close(x[1], 1.0, 1e-14);
    const double expected[4] = {0.7, -0.3, -0.3, 0.2};
    check_all_close(covariance, expected, 4, 1e-14);
}

/* A weight of 3 is the same as the row three times over. */
static void weight_repeats_a_row(void **state)
{
    (void)state;
    const double design[6] = {1, 0, 1, 1, 1, 2}, data[3] = {1, 3, 4}, weight[3] = {1, 3, 1};
    const double long_design[10] = {1, 0, 1, 1, 1, 1, 1, 1, 1, 2}, long_data[5] = {1, 3, 3, 3, 4};
    double a[2], b[2];
    assert_int_equal(fh_fit_linear(design, data, weight, 3, 2, a, NULL), FH_OK);
    assert_int_equal(fh_fit_linear(long_design, long_data, NULL, 5, 2, b, NULL), FH_OK);
    check_all_close(a, b, 2, 1e-14);
}

static void linear_refuses(void **state)
{
    (void)state;
    const double same[6] = {1, 2, 2, 4, 3, 6}, data[3] = {1, 2, 3}, nan[3] = {1, NAN, 3};
    double x[2] = {7, 7};
    assert_int_equal(fh_fit_linear(same, data, NULL, 3, 2, x, NULL), FH_E_DATA);
    assert_int_equal(fh_fit_linear(same, nan, NULL, 3, 1, x, NULL), FH_E_DATA);
    assert_int_equal(fh_fit_linear(same, data, NULL, 1, 2, x, NULL), FH_E_ARGUMENT);
    assert_int_equal(fh_fit_linear(same, data, NULL, 3, 0, x, NULL), FH_E_ARGUMENT);
    check_close(x[0], 7.0, 0.0);
}

/* The conditions of Karush, Kuhn and Tucker decide whether a bounded solution is the minimum. */
static void check_optimal(const double *design, const double *data, size_t rows, size_t columns,
                          const double *lower, const double *upper, const double *x)
{
    double residual[32];
    for (size_t i = 0; i < rows; ++i) {
        residual[i] = data[i];
        for (size_t j = 0; j < columns; ++j) residual[i] -= design[i * columns + j] * x[j];
    }
    for (size_t j = 0; j < columns; ++j) {
        double downhill = 0.0;
        for (size_t i = 0; i < rows; ++i) downhill += design[i * columns + j] * residual[i];
        check_between(x[j], lower[j], upper[j]);
        if (x[j] > lower[j]) check_between(downhill, -1e-9, HUGE_VAL);
        if (x[j] < upper[j]) check_between(downhill, -HUGE_VAL, 1e-9);
    }
}

static void bounded_is_optimal_on_random_problems(void **state)
{
    (void)state;
    enum { ROWS = 12, COLUMNS = 6 };
    for (uint64_t trial = 0; trial < 500; ++trial) {
        double design[ROWS * COLUMNS], data[ROWS], lower[COLUMNS], upper[COLUMNS], x[COLUMNS], rest;
        uint64_t index = 0;
        for (size_t i = 0; i < ROWS * COLUMNS; ++i)
            design[i] = fh_random_normal(1, 2, trial, index++);
        for (size_t i = 0; i < ROWS; ++i) data[i] = fh_random_normal(1, 2, trial, index++);
        for (size_t j = 0; j < COLUMNS; ++j) {
            lower[j] = j == 0 ? -HUGE_VAL : -0.1 * fh_random_uniform(1, 2, trial, index++);
            upper[j] = j <= 1 ? HUGE_VAL : 0.1 * fh_random_uniform(1, 2, trial, index++);
        }
        assert_int_equal(fh_fit_bounded(design, data, NULL, ROWS, COLUMNS, lower, upper, x, &rest),
                         FH_OK);
        check_optimal(design, data, ROWS, COLUMNS, lower, upper, x);
    }
}

/* More unknowns than rows, and a column twice: still a point that can't be bettered. */
static void bounded_with_dependent_columns(void **state)
{
    (void)state;
    const double design[6] = {1, 1, 2, 0, 0, 1}, data[2] = {3, 1};
    const double none[3] = {0, 0, 0}, high[3] = {HUGE_VAL, HUGE_VAL, HUGE_VAL};
    double x[3], rest;
    assert_int_equal(fh_fit_bounded(design, data, NULL, 2, 3, NULL, NULL, x, &rest), FH_OK);
    check_optimal(design, data, 2, 3, none, high, x);
    check_close(rest, 0.0, 1e-20);
    const double crossed[3] = {-1, 0, 0};
    assert_int_equal(fh_fit_bounded(design, data, NULL, 2, 3, NULL, crossed, x, NULL), FH_E_DATA);
}

/* y = a e^{−bt} + c at ten times. */
static void decay(void *user, const double *x, double *residuals)
{
    const double *data = user;
    for (size_t i = 0; i < 10; ++i) residuals[i] = x[0] * exp(-x[1] * (double)i) + x[2] - data[i];
}

static void decay_slope(void *user, const double *x, double *jacobian)
{
    (void)user;
    for (size_t i = 0; i < 10; ++i) {
        jacobian[3 * i] = exp(-x[1] * (double)i);
        jacobian[3 * i + 1] = -(double)i * x[0] * exp(-x[1] * (double)i);
        jacobian[3 * i + 2] = 1.0;
    }
}

static void nonlinear_finds_the_decay(void **state)
{
    (void)state;
    const double truth[3] = {2.0, 0.4, 0.5};
    double nothing[10] = {0}, data[10], with[9], without[9];
    decay(nothing, truth, data);
    fh_fit_problem problem = {
        .rows = 10, .columns = 3, .residuals = decay, .user = data, .jacobian = decay_slope};
    fh_fit_result result;
    double x[3] = {1, 1, 0};
    assert_int_equal(fh_fit_nonlinear(&problem, x, &result, with), FH_OK);
    check(result.converged);
    check_all_close(x, truth, 3, 1e-8);
    check_close(result.sum_of_squares, 0.0, 1e-16);

    problem.jacobian = NULL;
    double y[3] = {1, 1, 0};
    assert_int_equal(fh_fit_nonlinear(&problem, y, NULL, without), FH_OK);
    check_all_close(y, truth, 3, 1e-7);
    check_all_close(without, with, 9, 1e-4);
}

/* With a bound that cuts the solution off, the others are at their best for that value. */
static void nonlinear_stays_inside_bounds(void **state)
{
    (void)state;
    const double truth[3] = {2.0, 0.4, 0.5};
    double nothing[10] = {0}, data[10];
    decay(nothing, truth, data);
    const double lower[3] = {0.0, 0.5, -HUGE_VAL}, upper[3] = {5.0, HUGE_VAL, 1.0};
    fh_fit_problem problem = {
        .rows = 10, .columns = 3, .residuals = decay, .user = data, .lower = lower, .upper = upper};
    double x[3] = {1.0, 0.8, 3.0}; /* the last one outside */
    assert_int_equal(fh_fit_nonlinear(&problem, x, NULL, NULL), FH_OK);
    check_close(x[1], 0.5, 1e-6);

    double design[20], best[2];
    for (size_t i = 0; i < 10; ++i) {
        design[2 * i] = exp(-0.5 * (double)i);
        design[2 * i + 1] = 1.0;
    }
    assert_int_equal(fh_fit_linear(design, data, NULL, 10, 2, best, NULL), FH_OK);
    check_close(x[0], best[0], 1e-5);
    check_close(x[2], best[1], 1e-5);
}

static void not_a_number(void *user, const double *x, double *residuals)
{
    (void)user;
    (void)x;
    for (size_t i = 0; i < 10; ++i) residuals[i] = NAN;
}

/* The same problem with exact bounds; the solution on a bound lies on it to the last bit. */
static void active_comes_to_rest_on_bounds(void **state)
{
    (void)state;
    const double truth[3] = {2.0, 0.4, 0.5};
    double nothing[10] = {0}, data[10];
    decay(nothing, truth, data);
    const double lower[3] = {0.0, 0.5, -HUGE_VAL}, upper[3] = {5.0, HUGE_VAL, 1.0};
    fh_fit_problem problem = {
        .rows = 10, .columns = 3, .residuals = decay, .user = data, .lower = lower, .upper = upper};
    double x[3] = {1.0, 0.8, 3.0}, y[3] = {1.0, 0.8, 3.0}, free_x[3] = {1, 1, 0};
    fh_fit_result result;
    assert_int_equal(fh_fit_active(&problem, x, &result), FH_OK);
    check(result.converged);
    check_close(x[1], 0.5, 0.0);
    assert_int_equal(fh_fit_nonlinear(&problem, y, NULL, NULL), FH_OK);
    check_close(x[0], y[0], 1e-5);
    check_close(x[2], y[2], 1e-5);

    problem.lower = problem.upper = NULL;
    problem.jacobian = decay_slope;
    assert_int_equal(fh_fit_active(&problem, free_x, &result), FH_OK);
    check_all_close(free_x, truth, 3, 1e-6);
    problem.residuals = not_a_number;
    assert_int_equal(fh_fit_active(&problem, free_x, NULL), FH_E_DATA);
}

static bool stop_at_once(void *user, double done)
{
    (void)user;
    check_between(done, 0.0, 1.0);
    return false;
}

static void nonlinear_refuses(void **state)
{
    (void)state;
    double data[10] = {0}, x[3] = {1, 1, 0};
    fh_fit_problem problem = {
        .rows = 10, .columns = 3, .residuals = decay, .user = data, .progress = stop_at_once};
    assert_int_equal(fh_fit_nonlinear(&problem, x, NULL, NULL), FH_E_STOPPED);
    problem.progress = NULL;
    problem.residuals = not_a_number;
    assert_int_equal(fh_fit_nonlinear(&problem, x, NULL, NULL), FH_E_DATA);
    problem.rows = 2;
    assert_int_equal(fh_fit_nonlinear(&problem, x, NULL, NULL), FH_E_ARGUMENT);
    const double expected[3] = {1, 1, 0};
    check_all_close(x, expected, 3, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(line_through_four_points),
        cmocka_unit_test(weight_repeats_a_row),
        cmocka_unit_test(linear_refuses),
        cmocka_unit_test(bounded_is_optimal_on_random_problems),
        cmocka_unit_test(bounded_with_dependent_columns),
        cmocka_unit_test(nonlinear_finds_the_decay),
        cmocka_unit_test(nonlinear_stays_inside_bounds),
        cmocka_unit_test(active_comes_to_rest_on_bounds),
        cmocka_unit_test(nonlinear_refuses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
