/* Principal components of the errors of a shell.
 *
 * Errors E (one a column) have the covariance E Eᵀ. With the eigenvectors V of EᵀE, E V has the
 * same covariance and columns sorted by size, so the last ones can go; the rest is scaled to the
 * total variance so that nothing is understated. */
#include "optics/mode_pool.h"

#include "base/linear.h"
#include "base/memory.h"

#include <math.h>

static double product(const fh_shell_curves *a, const fh_shell_curves *b)
{
    double sum = 0.0;
    for (size_t i = 0; i < FH_BANDS; ++i)
        sum += a->A.v[i] * b->A.v[i] + a->B.v[i] * b->B.v[i] + a->C.v[i] * b->C.v[i];
    return sum;
}

static void add(fh_shell_curves *sum, const fh_shell_curves *step, double factor)
{
    sum->A = fh_spectrum_add(sum->A, step->A, factor);
    sum->B = fh_spectrum_add(sum->B, step->B, factor);
    sum->C = fh_spectrum_add(sum->C, step->C, factor);
}

typedef struct scratch {
    double gram[FH_POOL * FH_POOL], vector[FH_POOL * FH_POOL], value[FH_POOL];
    fh_shell_curves step[FH_POOL];
} scratch;

fh_status fh_mode_pool_reduce(fh_mode_pool *pool, size_t wanted)
{
    const size_t n = pool->count;
    if (n <= wanted) return FH_OK;
    scratch *s = fh_allocate(1, sizeof *s);
    if (!s) return FH_E_MEMORY;
    double total = 0.0, kept = 0.0;
    for (size_t i = 0; i < n; ++i)
        for (size_t j = 0; j < n; ++j) s->gram[i * n + j] = product(&pool->step[i], &pool->step[j]);
    for (size_t i = 0; i < n; ++i) total += s->gram[i * n + i];
    fh_eigen_symmetric(s->gram, n, s->value, s->vector);
    for (size_t k = 0; k < wanted; ++k) {
        for (size_t i = 0; i < n; ++i) add(&s->step[k], &pool->step[i], s->vector[k * n + i]);
        kept += product(&s->step[k], &s->step[k]);
    }
    double factor = kept > 0.0 ? sqrt(total / kept) - 1.0 : 0.0;
    for (size_t k = 0; k < wanted; ++k) {
        pool->step[k] = s->step[k];
        add(&pool->step[k], &s->step[k], factor);
    }
    pool->count = wanted;
    fh_free(s);
    return FH_OK;
}

fh_status fh_mode_pool_add(fh_mode_pool *pool, const fh_shell_curves *step)
{
    if (product(step, step) <= 0.0) return FH_OK;
    if (pool->count == FH_POOL) {
        fh_status status = fh_mode_pool_reduce(pool, FH_POOL / 2);
        if (status) return status;
    }
    pool->step[pool->count++] = *step;
    return FH_OK;
}
