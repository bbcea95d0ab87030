/* Levenberg–Marquardt with exact bounds: the step d minimises
 *
 *   |r + J d|² + μ |d|²      with lower ≤ x + d ≤ upper
 *
 * by the active set of fh_fit_bounded; μ follows how well the linear model keeps its promises
 * [Nielsen1999]. */
#include <math.h>
#include <string.h>

#include "base/fit.h"
#include "base/memory.h"

typedef struct active {
    const fh_fit_problem *problem;
    double *x, *trial, *step, *low, *high; /* columns each */
    double *residual, *next;               /* rows each */
    double *design, *data;                 /* (rows + columns) × columns, rows + columns */
    size_t evaluations;
} active;

static double sum_of_squares(const double *r, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; ++i) sum += r[i] * r[i];
    return sum;
}

/* Residuals at x; their sum of squares, not finite where the model has none. */
static double ask(active *a, const double *x, double *residual)
{
    ++a->evaluations;
    a->problem->residuals(a->problem->user, x, residual);
    return sum_of_squares(residual, a->problem->rows);
}

/* The Jacobian into the upper rows of design. */
static void set_jacobian(active *a)
{
    const fh_fit_problem *p = a->problem;
    if (p->jacobian) {
        p->jacobian(p->user, a->x, a->design);
        return;
    }
    memcpy(a->trial, a->x, p->columns * sizeof *a->x);
    for (size_t j = 0; j < p->columns; ++j) {
        double step = 1e-6 * fmax(fabs(a->x[j]), 1e-2);
        if (p->upper && a->x[j] + step > p->upper[j]) step = -step;
        a->trial[j] = a->x[j] + step;
        ask(a, a->trial, a->next);
        a->trial[j] = a->x[j];
        for (size_t i = 0; i < p->rows; ++i)
            a->design[i * p->columns + j] = (a->next[i] - a->residual[i]) / step;
    }
}

/* Into step; *promised: the sum of squares that the linear model sees. */
static fh_status find_step(active *a, double damping, double *promised)
{
    const size_t m = a->problem->rows, n = a->problem->columns;
    for (size_t i = 0; i < m; ++i) a->data[i] = -a->residual[i];
    for (size_t j = 0; j < n; ++j) {
        a->data[m + j] = 0.0;
        for (size_t k = 0; k < n; ++k) a->design[(m + j) * n + k] = j == k ? sqrt(damping) : 0.0;
        a->low[j] = a->problem->lower ? a->problem->lower[j] - a->x[j] : -HUGE_VAL;
        a->high[j] = a->problem->upper ? a->problem->upper[j] - a->x[j] : HUGE_VAL;
    }
    fh_status status =
        fh_fit_bounded(a->design, a->data, NULL, m + n, n, a->low, a->high, a->step, promised);
    if (status) return status;
    *promised -= damping * sum_of_squares(a->step, n);
    for (size_t j = 0; j < n; ++j) {
        double x = a->x[j] + a->step[j];
        if (a->problem->lower) x = fmax(x, a->problem->lower[j]);
        if (a->problem->upper) x = fmin(x, a->problem->upper[j]);
        a->trial[j] = x;
    }
    return FH_OK;
}

static double start_damping(const active *a)
{
    const size_t n = a->problem->columns;
    double largest = 0.0;
    for (size_t j = 0; j < n; ++j) {
        double length = 0.0;
        for (size_t i = 0; i < a->problem->rows; ++i)
            length += a->design[i * n + j] * a->design[i * n + j];
        largest = fmax(largest, length);
    }
    return 1e-4 * largest + 1e-300;
}

static fh_status run(active *a, fh_fit_result *result)
{
    const fh_fit_problem *p = a->problem;
    const double tolerance = p->tolerance > 0.0 ? p->tolerance : 1e-10;
    const size_t limit = p->evaluations ? p->evaluations : 200 * (p->columns + 1);
    double cost = ask(a, a->x, a->residual), raise = 2.0, damping = -1.0;
    bool done = false, fresh = false;
    if (!isfinite(cost)) return FH_E_DATA;
    while (!done && a->evaluations < limit) {
        if (!fresh) set_jacobian(a);
        fresh = true;
        if (damping < 0.0) damping = start_damping(a);
        double promised;
        fh_status status = find_step(a, damping, &promised);
        if (status) return status;
        const double next = ask(a, a->trial, a->next);
        const double kept = (cost - next) / (cost - promised);
        done = !(cost - promised > tolerance * (cost + 1e-300));
        if (next < cost) {
            memcpy(a->x, a->trial, p->columns * sizeof *a->x);
            memcpy(a->residual, a->next, p->rows * sizeof *a->residual);
            cost = next;
            fresh = false;
            const double swing = 2.0 * kept - 1.0;
            damping *= fmin(2.0, fmax(1.0 / 3.0, 1.0 - swing * swing * swing));
            raise = 2.0;
        } else {
            damping *= raise;
            raise *= 2.0;
            if (!isfinite(damping)) break;
        }
        const double share = fmin(1.0, (double)a->evaluations / (double)limit);
        if (p->progress && !p->progress(p->progress_user, share)) return FH_E_STOPPED;
    }
    if (result) *result = (fh_fit_result){cost, a->evaluations, done};
    return FH_OK;
}

fh_status fh_fit_active(const fh_fit_problem *problem, double *x, fh_fit_result *result)
{
    const size_t m = problem->rows, n = problem->columns;
    size_t cells;
    if (n == 0 || m == 0) return FH_E_ARGUMENT;
    for (size_t j = 0; problem->lower && problem->upper && j < n; ++j)
        if (!(problem->lower[j] <= problem->upper[j])) return FH_E_ARGUMENT;
    if (fh_multiply_sizes(m + n, n + 3, &cells)) return FH_E_LIMIT;
    double *room = fh_allocate(cells + 5 * n, sizeof *room);
    if (!room) return FH_E_MEMORY;
    double *small = room + cells;
    active a = {.problem = problem,
                .design = room,
                .data = room + (m + n) * n,
                .residual = room + (m + n) * (n + 1),
                .next = room + (m + n) * (n + 2),
                .x = small,
                .trial = small + n,
                .step = small + 2 * n,
                .low = small + 3 * n,
                .high = small + 4 * n};
    for (size_t j = 0; j < n; ++j) {
        a.x[j] = x[j];
        if (problem->lower) a.x[j] = fmax(a.x[j], problem->lower[j]);
        if (problem->upper) a.x[j] = fmin(a.x[j], problem->upper[j]);
    }
    const fh_status status = run(&a, result);
    if (!status) memcpy(x, a.x, n * sizeof *x);
    fh_free(room);
    return status;
}
