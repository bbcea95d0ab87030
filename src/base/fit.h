/* Least squares, one door: linear, bounded linear, and non-linear with bounds.
 *
 * Matrices are row-major: design[row · columns + column]. Residuals are model − data, already
 * divided by the standard error where one is known. */
#ifndef FARHUE_BASE_FIT_H
#define FARHUE_BASE_FIT_H

#include <stddef.h>

#include "farhue/status.h"

/* Minimise Σ weight_i (design x − data)_i² by Householder's QR [Golub2013].
 *
 * weight: rows non-negative numbers, or NULL for 1.
 * x: columns numbers. covariance: columns × columns or NULL; (AᵀWA)⁻¹, to be multiplied by the
 * variance of unit weight where the weights aren't 1/σ².
 * FH_E_ARGUMENT: no columns or fewer rows than columns; FH_E_DATA: columns that depend on each
 * other, or input that isn't finite; FH_E_MEMORY. */
fh_status fh_fit_linear(const double *design, const double *data, const double *weight, size_t rows,
                        size_t columns, double *x, double *covariance);

/* The same with lower_j ≤ x_j ≤ upper_j, by the active set method of [Stark1995], which for
 * lower = 0 is [Lawson1974]'s NNLS. A bound may be ±HUGE_VAL; lower or upper NULL means 0 or none.
 * *rest (may be NULL): the weighted sum of squares that is left. Rows may be fewer than columns.
 * Columns that depend on the ones in use stay at a bound. FH_E_DATA when unbounded columns
 * depend on each other, or lower > upper; FH_E_MEMORY. */
fh_status fh_fit_bounded(const double *design, const double *data, const double *weight,
                         size_t rows, size_t columns, const double *lower, const double *upper,
                         double *x, double *rest);

/* Residuals of a model: rows numbers into residuals. A model outside its domain writes NaN, and
 * the step is taken back. */
typedef void (*fh_residuals)(void *user, const double *x, double *residuals);

/* Their derivatives: jacobian[row · columns + column] = d residual_row / d x_column. */
typedef void (*fh_jacobian)(void *user, const double *x, double *jacobian);

/* A non-linear problem. All zero but residuals, rows and columns is a valid one. */
typedef struct fh_fit_problem {
    size_t rows, columns; /* rows ≥ columns ≥ 1 */
    fh_residuals residuals;
    fh_jacobian jacobian; /* NULL: forward differences */
    void *user;
    const double *lower, *upper; /* columns bounds, or NULL for none; ±HUGE_VAL for none of one */
    double tolerance;            /* relative change of the sum of squares and of x; 0: 1e-10 */
    size_t evaluations;          /* at most so many calls of residuals; 0: 200 × (columns + 1) */
    fh_progress progress;        /* called at every step, or NULL */
    void *progress_user;
} fh_fit_problem;

/* What a fit came to. */
typedef struct fh_fit_result {
    double sum_of_squares;
    size_t evaluations;
    bool converged; /* false: the evaluations ran out; x is the best so far */
} fh_fit_result;

/* Minimise the sum of squared residuals from the start in x (in and out) by Levenberg–Marquardt
 * [More1978, Levenberg1944], the routine lmder or lmdif of cminpack. Bounds are met through a
 * change of variable: a sine between two bounds, a hyperbola above or below one; a start on
 * or outside a bound is moved a little inside.
 * result, covariance (columns × columns, (JᵀJ)⁻¹ at the solution) may be NULL; a covariance
 * that doesn't exist gives FH_E_DATA with x written all the same.
 * FH_E_ARGUMENT: sizes, crossed bounds; FH_E_DATA: residuals not finite at the start; FH_E_STOPPED
 * and FH_E_MEMORY leave x alone. */
fh_status fh_fit_nonlinear(const fh_fit_problem *problem, double *x, fh_fit_result *result,
                           double *covariance);

/* The same, but bounds are met exactly: each step is a damped linear problem with the bounds, solved
 * by fh_fit_bounded [Nielsen1999], so that a variable comes to rest on its bound and can leave it
 * again. For a handful of variables. problem->jacobian may be NULL. Rows may be fewer than columns.
 * A start outside the bounds is moved on to them. Errors as fh_fit_nonlinear. */
fh_status fh_fit_active(const fh_fit_problem *problem, double *x, fh_fit_result *result);

#endif
