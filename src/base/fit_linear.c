/* Linear least squares by Householder reflections [Golub2013, algorithm 5.3.2], and the bounded
 * problem by an active set over it: variables sit at a bound until the gradient says that leaving
 * it helps; the free ones are solved for; a solution beyond a bound is walked to only as far as the
 * first bound, which then holds its variable [Stark1995].
 *
 * Trap: rounding can free a variable that goes straight back to its bound, for ever; one that did
 * is left alone until another has moved. */
#include "base/fit.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"

/* Columns one after the other, each rows long, and a right side. */
typedef struct system {
    size_t rows, columns;
    double *a, *b;
} system;

static const double dependent = 1e-11; /* of a column's length */

/* Turn the first `columns` columns upper triangular and the right side with them. False when a
 * column depends on those before it. */
static bool triangulate(system s)
{
    for (size_t j = 0; j < s.columns; ++j) {
        double *v = s.a + j * s.rows, whole = 0.0, below = 0.0;
        for (size_t i = 0; i < s.rows; ++i) whole += v[i] * v[i];
        for (size_t i = j; i < s.rows; ++i) below += v[i] * v[i];
        if (!(below > dependent * dependent * whole) || !isfinite(whole)) return false;
        const double alpha = v[j] > 0.0 ? -sqrt(below) : sqrt(below);
        const double scale = 1.0 / (below - alpha * v[j]); /* 2 / vᵀv */
        v[j] -= alpha;
        for (size_t k = j + 1; k <= s.columns; ++k) {
            double *column = k < s.columns ? s.a + k * s.rows : s.b, dot = 0.0;
            for (size_t i = j; i < s.rows; ++i) dot += v[i] * column[i];
            dot *= scale;
            for (size_t i = j; i < s.rows; ++i) column[i] -= dot * v[i];
        }
        v[j] = alpha;
    }
    return true;
}

/* Solve the triangle for x. */
static void back_substitute(system s, double *x)
{
    for (size_t j = s.columns; j-- > 0;) {
        double rest = s.b[j];
        for (size_t k = j + 1; k < s.columns; ++k) rest -= s.a[k * s.rows + j] * x[k];
        x[j] = rest / s.a[j * s.rows + j];
    }
}

/* (RᵀR)⁻¹ = R⁻¹ R⁻ᵀ: entry (i, j) is the product of two rows of R⁻¹. inverse: columns² numbers of
 * room for R⁻¹, row-major. */
static void covariance_of(system s, double *inverse, double *covariance)
{
    const size_t n = s.columns;
    for (size_t j = 0; j < n; ++j)
        for (size_t i = n; i-- > 0;) {
            if (i > j) {
                inverse[i * n + j] = 0.0;
                continue;
            }
            double rest = i == j ? 1.0 : 0.0;
            for (size_t k = i + 1; k <= j; ++k) rest -= s.a[k * s.rows + i] * inverse[k * n + j];
            inverse[i * n + j] = rest / s.a[i * s.rows + i];
        }
    for (size_t i = 0; i < n; ++i)
        for (size_t j = 0; j < n; ++j) {
            double dot = 0.0;
            for (size_t k = i > j ? i : j; k < n; ++k)
                dot += inverse[i * n + k] * inverse[j * n + k];
            covariance[i * n + j] = dot;
        }
}

/* Weighted copy of the problem, by columns. False when something isn't finite or a weight is
 * negative. */
static bool load(system s, const double *design, const double *data, const double *weight)
{
    for (size_t i = 0; i < s.rows; ++i) {
        const double root = weight ? sqrt(weight[i]) : 1.0;
        if (!isfinite(root)) return false;
        s.b[i] = root * data[i];
        if (!isfinite(s.b[i])) return false;
        for (size_t j = 0; j < s.columns; ++j) {
            const double value = root * design[i * s.columns + j];
            if (!isfinite(value)) return false;
            s.a[j * s.rows + i] = value;
        }
    }
    return true;
}

fh_status fh_fit_linear(const double *design, const double *data, const double *weight, size_t rows,
                        size_t columns, double *x, double *covariance)
{
    if (columns == 0 || rows < columns) return FH_E_ARGUMENT;
    size_t cells;
    if (fh_multiply_sizes(rows, columns + 1, &cells)) return FH_E_LIMIT;
    double *room = fh_allocate(cells + columns * columns, sizeof *room);
    if (!room) return FH_E_MEMORY;

    const system s = {rows, columns, room, room + rows * columns};
    const bool solved = load(s, design, data, weight) && triangulate(s);
    if (solved) {
        back_substitute(s, x);
        if (covariance) covariance_of(s, room + cells, covariance);
    }
    fh_free(room);
    return solved ? FH_OK : FH_E_DATA;
}

/* The active set at work. */
typedef struct bounded {
    system whole;                /* weighted, untouched */
    system part;                 /* room for the free columns */
    const double *lower, *upper; /* may be NULL */
    double *x, *z, *residual;
    size_t *free_list; /* columns that are free, the newest last */
    size_t free_count;
    bool *is_free, *blocked;
} bounded;

static double lower_of(const bounded *p, size_t j)
{
    return p->lower ? p->lower[j] : 0.0;
}

static double upper_of(const bounded *p, size_t j)
{
    return p->upper ? p->upper[j] : HUGE_VAL;
}

static void set_residual(bounded *p)
{
    const size_t m = p->whole.rows;
    memcpy(p->residual, p->whole.b, m * sizeof *p->residual);
    for (size_t j = 0; j < p->whole.columns; ++j) {
        const double *column = p->whole.a + j * m, x = p->x[j];
        if (x != 0.0)
            for (size_t i = 0; i < m; ++i) p->residual[i] -= x * column[i];
    }
}

/* Least squares in the free variables, the others held; into z. False when they depend. */
static bool solve_free(bounded *p)
{
    const size_t m = p->whole.rows, n = p->free_count;
    if (n > m) return false;
    set_residual(p);
    p->part = (system){m, n, p->part.a, p->part.b};
    memcpy(p->part.b, p->residual, m * sizeof *p->part.b);
    for (size_t k = 0; k < n; ++k)
        memcpy(p->part.a + k * m, p->whole.a + p->free_list[k] * m, m * sizeof *p->part.a);
    if (!triangulate(p->part)) return false;
    back_substitute(p->part, p->z); /* the step from x */
    for (size_t k = 0; k < n; ++k) p->z[k] += p->x[p->free_list[k]];
    return true;
}

static void hold(bounded *p, size_t place)
{
    p->is_free[p->free_list[place]] = false;
    for (size_t k = place; k + 1 < p->free_count; ++k) p->free_list[k] = p->free_list[k + 1];
    --p->free_count;
}

/* Go from x towards z until the first bound; hold what reached one. True when z itself was inside.
 */
static bool walk(bounded *p)
{
    double step = 1.0;
    size_t first = p->free_count;
    for (size_t k = 0; k < p->free_count; ++k) {
        const size_t j = p->free_list[k];
        const double bound = p->z[k] < lower_of(p, j)   ? lower_of(p, j)
                             : p->z[k] > upper_of(p, j) ? upper_of(p, j)
                                                        : p->z[k];
        if (bound == p->z[k]) continue;
        const double reach = (bound - p->x[j]) / (p->z[k] - p->x[j]);
        if (reach < step || first == p->free_count) {
            step = reach < step ? reach : step;
            first = k;
        }
    }
    for (size_t k = 0; k < p->free_count; ++k) {
        const size_t j = p->free_list[k];
        p->x[j] = step == 1.0 ? p->z[k] : p->x[j] + step * (p->z[k] - p->x[j]);
    }
    if (first == p->free_count) return true;
    const size_t j = p->free_list[first];
    p->x[j] = p->z[first] < lower_of(p, j) ? lower_of(p, j) : upper_of(p, j);
    hold(p, first);
    return false;
}

/* The held variable that gains most by leaving its bound, or the number of columns. */
static size_t best_to_free(bounded *p)
{
    const size_t m = p->whole.rows, n = p->whole.columns;
    size_t best = n;
    double most = 0.0;
    set_residual(p);
    for (size_t j = 0; j < n; ++j) {
        if (p->is_free[j] || p->blocked[j] || lower_of(p, j) == upper_of(p, j)) continue;
        const double *column = p->whole.a + j * m;
        double slope = 0.0, length = 0.0;
        for (size_t i = 0; i < m; ++i) {
            slope += column[i] * p->residual[i];
            length += column[i] * column[i];
        }
        if (p->x[j] == upper_of(p, j)) slope = -slope;
        const double gain = length > 0.0 ? slope / sqrt(length) : 0.0;
        if (gain > most) {
            most = gain;
            best = j;
        }
    }
    double scale = 0.0;
    for (size_t i = 0; i < m; ++i) scale += p->whole.b[i] * p->whole.b[i];
    return most > 1e-13 * sqrt(scale) ? best : n;
}

static fh_status run(bounded *p)
{
    const size_t n = p->whole.columns;
    for (size_t j = 0; j < n; ++j) {
        if (!(lower_of(p, j) <= upper_of(p, j))) return FH_E_DATA;
        const bool below = isfinite(lower_of(p, j)), above = isfinite(upper_of(p, j));
        p->x[j] = below ? lower_of(p, j) : above ? upper_of(p, j) : 0.0;
        p->is_free[j] = !below && !above;
        if (p->is_free[j]) p->free_list[p->free_count++] = j;
    }
    if (p->free_count) {
        if (!solve_free(p)) return FH_E_DATA;
        walk(p);
    }
    for (size_t round = 0; round < 10 * n + 10; ++round) {
        const size_t freed = best_to_free(p);
        if (freed == n) break;
        p->is_free[freed] = true;
        p->free_list[p->free_count++] = freed;
        const double before = p->x[freed];
        bool inside = false, solved = true;
        while (p->free_count && !inside && (solved = solve_free(p))) inside = walk(p);
        if (!solved) hold(p, p->free_count - 1);
        if (p->is_free[freed] || p->x[freed] != before)
            memset(p->blocked, 0, n * sizeof *p->blocked);
        else
            p->blocked[freed] = true;
    }
    return FH_OK;
}

fh_status fh_fit_bounded(const double *design, const double *data, const double *weight,
                         size_t rows, size_t columns, const double *lower, const double *upper,
                         double *x, double *rest)
{
    if (columns == 0 || rows == 0) return FH_E_ARGUMENT;
    size_t cells;
    if (fh_multiply_sizes(rows, 2 * columns + 3, &cells)) return FH_E_LIMIT;
    double *room = fh_allocate(cells + 2 * columns, sizeof *room);
    size_t *list = fh_allocate(columns, sizeof *list);
    bool *flags = fh_allocate(2 * columns, sizeof *flags);
    fh_status status = FH_E_MEMORY;
    if (room && list && flags) {
        double *end = room + 2 * rows * columns;
        bounded p = {
            .whole = {rows, columns, room, end},
            .part = {rows, columns, room + rows * columns, end + rows},
            .lower = lower,
            .upper = upper,
            .residual = end + 2 * rows,
            .x = end + 3 * rows,
            .z = end + 3 * rows + columns,
            .free_list = list,
            .is_free = flags,
            .blocked = flags + columns,
        };
        status = load(p.whole, design, data, weight) ? run(&p) : FH_E_DATA;
        if (status == FH_OK) {
            memcpy(x, p.x, columns * sizeof *x);
            if (rest) {
                set_residual(&p);
                *rest = 0.0;
                for (size_t i = 0; i < rows; ++i) *rest += p.residual[i] * p.residual[i];
            }
        }
    }
    fh_free(room);
    fh_free(list);
    fh_free(flags);
    return status;
}
