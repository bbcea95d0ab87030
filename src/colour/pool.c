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

static bool same_sources(const fh_reading *a, const fh_reading *b)
{
    if (a->shared_count != b->shared_count) return false;
    for (size_t i = 0; i < a->shared_count; ++i) {
        bool found = false;
        for (size_t k = 0; k < b->shared_count; ++k)
            found = found || strcmp(a->shared[i].source, b->shared[k].source) == 0;
        if (!found) return false;
    }
    return true;
}

static fh_status check_alike(const fh_reading *readings, size_t count, fh_error *error)
{
    if (count == 0) return fh_fail(error, FH_E_ARGUMENT, "no reading to pool; expected at least 1");
    for (size_t i = 1; i < count; ++i) {
        const fh_reading *a = &readings[0], *b = &readings[i];
        const char *what = !fh_condition_equal(a->condition, b->condition) ? "conditions"
                           : a->origin != b->origin   ? "kinds (spectrum, Lab or estimated)"
                           : a->method.specular != b->method.specular ? "specular modes"
                           : a->method.geometry != b->method.geometry ? "geometries"
                           : !same_sources(a, b)                      ? "shared sources of error"
                                                                      : NULL;
        if (what)
            return fh_fail(error, FH_E_DATA, "readings %s and %s have different %s; pool readings of "
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
        mean.L += r->lab.L * share;
        mean.a += r->lab.a * share;
        mean.b += r->lab.b * share;
        if (r->origin != FH_ORIGIN_LAB)
            pooled.reflectance = fh_spectrum_add(pooled.reflectance, r->reflectance, share);
        stated = fh_mat3_add(stated, fh_mat3_scale(r->random, share * share));
        pooled.repeats += r->repeats;
    }
    pooled.lab = mean;
    if (pooled.origin == FH_ORIGIN_SPECTRUM && pooled.condition.illuminant != FH_ILLUMINANT_FILE) {
        fh_weights weights = fh_weights_of(pooled.condition);
        pooled.lab = fh_lab_of_spectrum(&pooled.reflectance, &weights);
    }
    pooled.random = stated;
    if (count > 1) {
        fh_mat3 seen = fh_mat3_scale(spread(readings, count, mean),
                                     student_factor(count - 1) * share);
        if (trace(seen) > trace(stated)) pooled.random = seen;
    }
    /* A source shared by all does not average out: keep its mean factor, here its mean size. */
    for (size_t i = 0; i < pooled.shared_count; ++i) {
        fh_mat3 sum = {{{0}}};
        for (size_t n = 0; n < count; ++n)
            for (size_t k = 0; k < readings[n].shared_count; ++k)
                if (strcmp(readings[n].shared[k].source, pooled.shared[i].source) == 0)
                    sum = fh_mat3_add(sum, fh_mat3_scale(readings[n].shared[k].covariance, share));
        pooled.shared[i].covariance = sum;
    }
    *out = pooled;
    return FH_OK;
}
