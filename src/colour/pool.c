/* Pooling repeat readings into their mean.
 *
 * The spread of n readings estimates the covariance of one; that of the mean is S/n, widened by
 * (t / 1.96)², t the 97.5 % quantile of Student's distribution with n − 1 degrees of freedom, so
 * that a 95 % interval drawn from a normal distribution has the right width [JCGM100, G.3]. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "farhue/reading.h"

/* Student's t, 97.5 %, degrees of freedom 1 … 30 [JCGM100, table G.2]; beyond, the normal. */
static double student_factor(size_t freedom)
{
    static const double t[30] = {12.71, 4.30, 3.18, 2.78, 2.57, 2.45, 2.36, 2.31, 2.26, 2.23,
                                 2.20,  2.18, 2.16, 2.14, 2.13, 2.12, 2.11, 2.10, 2.09, 2.09,
                                 2.08,  2.07, 2.07, 2.06, 2.06, 2.06, 2.05, 2.05, 2.05, 2.04};
    double quantile = freedom <= 30 ? t[freedom - 1] : 1.96;
    return (quantile / 1.96) * (quantile / 1.96);
}

static fh_status check_alike(const fh_reading *readings, size_t count, fh_error *error)
{
    if (count == 0) return fh_fail(error, FH_E_ARGUMENT, "no reading to pool; expected at least 1");
    for (size_t i = 1; i < count; ++i) {
        const fh_reading *a = &readings[0], *b = &readings[i];
        const char *what = !fh_condition_equal(a->condition, b->condition) ? "conditions"
                           : a->origin != b->origin ? "kinds (spectrum, Lab or estimated)"
                           : a->method.specular != b->method.specular ? "specular modes"
                           : a->method.geometry != b->method.geometry ? "geometries"
                           : a->basis != b->basis ? "bases (measured, screen or look)"
                                                  : NULL;
        if (what)
            return fh_fail(error, FH_E_DATA,
                           "readings %s and %s have different %s; pool readings of "
                           "one object taken in one way",
                           a->id, b->id, what);
    }
    return FH_OK;
}

static fh_mat3 spread(const fh_reading *readings, size_t count, fh_lab mean)
{
    fh_mat3 sum = {{{0}}};
    for (size_t n = 0; n < count; ++n) {
        const double d[3] = {readings[n].lab.L - mean.L, readings[n].lab.a - mean.a,
                             readings[n].lab.b - mean.b};
        for (int i = 0; i < 3; ++i)
            for (int j = 0; j < 3; ++j) sum.m[i][j] += d[i] * d[j];
    }
    return fh_mat3_scale(sum, 1.0 / (double)(count - 1));
}

static double trace(fh_mat3 a)
{
    return a.m[0][0] + a.m[1][1] + a.m[2][2];
}

static fh_mat3 factor_of(const fh_reading *reading, const char *source, fh_status *status)
{
    fh_mat3 factor = {{{0}}};
    for (size_t k = 0; k < reading->shared_count; ++k)
        if (strcmp(reading->shared[k].source, source) == 0 &&
            fh_mat3_cholesky(reading->shared[k].covariance, &factor))
            *status = FH_E_DATA;
    return factor;
}

/* The error of a source is drawn once for all readings that carry it, so the mean carries the mean
 * of its factors: a source of all stays, one that only m of n readings have shrinks to m/n. */
static fh_status pool_shared(const fh_reading *readings, size_t count, fh_reading *pooled)
{
    fh_status status = FH_OK;
    pooled->shared_count = 0;
    for (size_t i = 0; i < count; ++i)
        for (size_t k = 0; k < readings[i].shared_count; ++k) {
            const char *source = readings[i].shared[k].source;
            bool there = false;
            for (size_t n = 0; n < pooled->shared_count; ++n)
                there = there || strcmp(pooled->shared[n].source, source) == 0;
            if (there) continue;
            fh_mat3 sum = {{{0}}};
            for (size_t n = 0; n < count; ++n)
                sum = fh_mat3_add(sum, factor_of(&readings[n], source, &status));
            sum = fh_mat3_scale(sum, 1.0 / (double)count);
            fh_mat3 covariance = fh_mat3_multiply(sum, fh_mat3_transpose(sum));
            if (!status) status = fh_reading_add_shared(pooled, source, covariance);
            if (status) return status;
        }
    return FH_OK;
}

static fh_status explain(fh_status status, fh_error *error)
{
    if (status == FH_E_LIMIT)
        return fh_fail(error, status, "more than %d shared sources of error in what is pooled",
                       (int)FH_SHARED_MAX);
    return fh_fail(error, status, "a shared uncertainty is not a covariance");
}

fh_status fh_reading_pool(const fh_reading *readings, size_t count, fh_reading *out,
                          fh_error *error)
{
    fh_status status = check_alike(readings, count, error);
    if (status) return status;
    fh_reading pooled = readings[0];
    const double share = 1.0 / (double)count;
    fh_lab mean = {0, 0, 0};
    fh_mat3 stated = {{{0}}};
    pooled.reflectance = fh_spectrum_flat(0.0);
    pooled.repeats = 0;
    for (size_t n = 0; n < count; ++n) {
        const fh_reading *r = &readings[n];
        mean.L += r->lab.L;
        mean.a += r->lab.a;
        mean.b += r->lab.b;
        if (r->origin != FH_ORIGIN_LAB)
            pooled.reflectance = fh_spectrum_add(pooled.reflectance, r->reflectance, share);
        /* What sellers' values leave open is how screens show things, not scatter. */
        stated = fh_mat3_add(
            stated, fh_mat3_scale(r->random, r->basis == FH_BASIS_SCREEN ? share : share * share));
        pooled.repeats += r->repeats;
    }
    mean = (fh_lab){mean.L / (double)count, mean.a / (double)count, mean.b / (double)count};
    pooled.lab = mean;
    if (pooled.origin == FH_ORIGIN_SPECTRUM && pooled.condition.illuminant != FH_ILLUMINANT_FILE) {
        fh_weights weights = fh_weights_of(pooled.condition);
        pooled.lab = fh_lab_of_spectrum(&pooled.reflectance, &weights);
    }
    pooled.random = stated;
    if (count > 1) {
        fh_mat3 seen =
            fh_mat3_scale(spread(readings, count, mean), student_factor(count - 1) * share);
        if (trace(seen) > trace(stated)) pooled.random = seen;
    }
    if ((status = pool_shared(readings, count, &pooled))) return explain(status, error);
    *out = pooled;
    return FH_OK;
}
