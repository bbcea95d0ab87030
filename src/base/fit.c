/* Non-linear least squares over cminpack's lmder and lmdif [More1978].
 *
 * Bounds: x = g(u) with u free, so that the routine never sees a bound.
 *   between a and b   x = a + (b − a)/2 (1 + sin u)
 *   above a           x = a + s (√(1 + u²) − 1), s the distance of the start from a; below alike
 *
 * Traps: at a bound dx/du is 0, so a start there would never leave; it is moved inside. The
 * covariance is of x, from a Jacobian taken at the solution, not the routine's last one in u. */
#include "base/fit.h"

#include <cminpack.h>
#include <limits.h>
#include <math.h>
#include <string.h>

#include "base/memory.h"

typedef struct engine {
    const fh_fit_problem *problem;
    double *x;      /* columns: where the model is asked */
    double *scale;  /* columns: s above */
    double *by_row; /* rows × columns, when the model has a Jacobian */
    size_t evaluations, limit;
    bool stopped;
} engine;

enum { STOP = -1 };
static const double outside =
    1e100; /* a residual where the model has none: any step there is bad */

static double lower_of(const fh_fit_problem *p, size_t j)
{
    return p->lower ? p->lower[j] : -HUGE_VAL;
}

static double upper_of(const fh_fit_problem *p, size_t j)
{
    return p->upper ? p->upper[j] : HUGE_VAL;
}

/* x of u and, if slope isn't NULL, dx/du. */
static double outer_of(const engine *e, size_t j, double u, double *slope)
{
    const double a = lower_of(e->problem, j), b = upper_of(e->problem, j), s = e->scale[j];
    if (isfinite(a) && isfinite(b)) {
        if (slope) *slope = 0.5 * (b - a) * cos(u);
        return fmin(b, fmax(a, a + 0.5 * (b - a) * (1.0 + sin(u))));
    }
    if (!isfinite(a) && !isfinite(b)) {
        if (slope) *slope = 1.0;
        return u;
    }
    const double root = hypot(1.0, u), sign = isfinite(a) ? 1.0 : -1.0;
    if (slope) *slope = sign * s * u / root;
    return (isfinite(a) ? a : b) + sign * s * (root - 1.0);
}

/* u of the start, which is moved inside the bounds first. */
static double inner_of(engine *e, size_t j, double x)
{
    const double a = lower_of(e->problem, j), b = upper_of(e->problem, j);
    if (isfinite(a) && isfinite(b)) {
        const double share = b > a ? (x - a) / (b - a) : 0.5;
        return asin(2.0 * fmin(1.0 - 1e-3, fmax(1e-3, share)) - 1.0);
    }
    if (!isfinite(a) && !isfinite(b)) return x;
    const double edge = isfinite(a) ? a : b, least = 1e-3 * fmax(1.0, fabs(edge));
    e->scale[j] = fmax(isfinite(a) ? x - a : b - x, least);
    return sqrt(3.0); /* x = edge ± s */
}

static void set_x(engine *e, const double *u)
{
    for (size_t j = 0; j < e->problem->columns; ++j) e->x[j] = outer_of(e, j, u[j], NULL);
}

static void ask(engine *e, double *residuals)
{
    ++e->evaluations;
    e->problem->residuals(e->problem->user, e->x, residuals);
    for (size_t i = 0; i < e->problem->rows; ++i)
        if (!(fabs(residuals[i]) < outside)) residuals[i] = outside;
}

static int report(engine *e)
{
    const fh_fit_problem *p = e->problem;
    const double done = fmin(1.0, (double)e->evaluations / (double)e->limit);
    if (p->progress && !p->progress(p->progress_user, done)) e->stopped = true;
    return e->stopped ? STOP : 0;
}

/* iflag 0: a step was made; 1: residuals; 2: derivatives by columns (lmder only). */
static int call_with_jacobian(void *user, int m, int n, const double *u, double *residuals,
                              double *jacobian, int ldjac, int iflag)
{
    engine *e = user;
    if (iflag == 0) return report(e);
    set_x(e, u);
    if (iflag == 1) {
        ask(e, residuals);
        return 0;
    }
    e->problem->jacobian(e->problem->user, e->x, e->by_row);
    for (size_t j = 0; j < (size_t)n; ++j) {
        double slope;
        outer_of(e, j, u[j], &slope);
        for (size_t i = 0; i < (size_t)m; ++i) {
            const double value = slope * e->by_row[i * (size_t)n + j];
            jacobian[j * (size_t)ldjac + i] = isfinite(value) ? value : 0.0;
        }
    }
    return 0;
}

static int call_plain(void *user, int m, int n, const double *u, double *residuals, int iflag)
{
    engine *e = user;
    (void)m;
    (void)n;
    if (iflag == 0) return report(e);
    set_x(e, u);
    ask(e, residuals);
    return 0;
}

/* Jacobian at x by row; forward differences, away from a bound that is near. */
static void final_jacobian(engine *e, double *x, double *at, double *moved)
{
    const fh_fit_problem *p = e->problem;
    if (p->jacobian) {
        p->jacobian(p->user, x, e->by_row);
        return;
    }
    p->residuals(p->user, x, at);
    for (size_t j = 0; j < p->columns; ++j) {
        const double here = x[j];
        double step = 1e-7 * fmax(fabs(here), 1e-3);
        if (here + step > upper_of(p, j)) step = -step;
        x[j] = here + step;
        p->residuals(p->user, x, moved);
        x[j] = here;
        for (size_t i = 0; i < p->rows; ++i)
            e->by_row[i * p->columns + j] = (moved[i] - at[i]) / step;
    }
}

/* Room for one fit, in one block. */
typedef struct workspace {
    double *u, *residuals, *jacobian, *scale, *qtf, *wa1, *wa2, *wa3, *wa4;
    int *pivots;
} workspace;

static int run(engine *e, const workspace *w)
{
    const fh_fit_problem *p = e->problem;
    const double tolerance = p->tolerance > 0.0 ? p->tolerance : 1e-10;
    const int m = (int)p->rows, n = (int)p->columns, print = p->progress ? 1 : 0;
    const int limit = e->limit > INT_MAX ? INT_MAX : (int)e->limit;
    int evaluations, derivatives;
    if (p->jacobian)
        return lmder(call_with_jacobian, e, m, n, w->u, w->residuals, w->jacobian, m, tolerance,
                     tolerance, 0.0, limit, w->scale, 1, 100.0, print, &evaluations, &derivatives,
                     w->pivots, w->qtf, w->wa1, w->wa2, w->wa3, w->wa4);
    return lmdif(call_plain, e, m, n, w->u, w->residuals, tolerance, tolerance, 0.0, limit, 0.0,
                 w->scale, 1, 100.0, print, &evaluations, w->jacobian, m, w->pivots, w->qtf, w->wa1,
                 w->wa2, w->wa3, w->wa4);
}

static bool starts_finite(engine *e, const workspace *w)
{
    const fh_fit_problem *p = e->problem;
    for (size_t j = 0; j < p->columns; ++j)
        if (!isfinite(w->u[j])) return false;
    set_x(e, w->u);
    p->residuals(p->user, e->x, w->residuals);
    for (size_t i = 0; i < p->rows; ++i)
        if (!(fabs(w->residuals[i]) < outside)) return false;
    return true;
}

static fh_status solve(engine *e, const workspace *w, double *x, fh_fit_result *result,
                       double *covariance)
{
    const fh_fit_problem *p = e->problem;
    for (size_t j = 0; j < p->columns; ++j) w->u[j] = inner_of(e, j, x[j]);
    if (!starts_finite(e, w)) return FH_E_DATA;
    const int info = run(e, w);
    if (e->stopped) return FH_E_STOPPED;
    if (info < 0 || info == 0) return FH_E_ARGUMENT;

    set_x(e, w->u);
    memcpy(x, e->x, p->columns * sizeof *x);
    if (result) {
        double sum = 0.0;
        for (size_t i = 0; i < p->rows; ++i) sum += w->residuals[i] * w->residuals[i];
        *result = (fh_fit_result){sum, e->evaluations, info != 5};
    }
    if (!covariance) return FH_OK;
    final_jacobian(e, e->x, w->residuals, w->wa4);
    memset(w->wa4, 0, p->rows * sizeof *w->wa4);
    return fh_fit_linear(e->by_row, w->wa4, NULL, p->rows, p->columns, w->u, covariance);
}

fh_status fh_fit_nonlinear(const fh_fit_problem *problem, double *x, fh_fit_result *result,
                           double *covariance)
{
    const size_t m = problem->rows, n = problem->columns;
    if (n == 0 || m < n || m > INT_MAX) return FH_E_ARGUMENT;
    for (size_t j = 0; j < n; ++j)
        if (!(lower_of(problem, j) <= upper_of(problem, j))) return FH_E_ARGUMENT;
    size_t cells;
    if (fh_multiply_sizes(m, 2 * n + 2, &cells)) return FH_E_LIMIT;
    double *room = fh_allocate(cells + 8 * n, sizeof *room);
    int *pivots = fh_allocate(n, sizeof *pivots);
    fh_status status = FH_E_MEMORY;
    if (room && pivots) {
        double *small = room + cells;
        engine e = {.problem = problem,
                    .x = small,
                    .scale = small + n,
                    .by_row = room,
                    .limit = problem->evaluations ? problem->evaluations : 200 * (n + 1)};
        const workspace w = {.jacobian = room + m * n,
                             .residuals = room + 2 * m * n,
                             .wa4 = room + 2 * m * n + m,
                             .u = small + 2 * n,
                             .scale = small + 3 * n,
                             .qtf = small + 4 * n,
                             .wa1 = small + 5 * n,
                             .wa2 = small + 6 * n,
                             .wa3 = small + 7 * n,
                             .pivots = pivots};
        status = solve(&e, &w, x, result, covariance);
    }
    fh_free(room);
    fh_free(pivots);
    return status;
}
