#include "base/random.h"

#include <math.h>

uint64_t fh_stream_of(const char *name)
{
    uint64_t hash = UINT64_C(0xcbf29ce484222325);
    for (; *name; ++name) {
        hash ^= (unsigned char)*name;
        hash *= UINT64_C(0x100000001b3);
    }
    return hash;
}

static uint64_t finish(uint64_t z)
{
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

uint64_t fh_random_bits(uint64_t seed, uint64_t stream, uint64_t trial, uint64_t index)
{
    const uint64_t golden = UINT64_C(0x9e3779b97f4a7c15);
    uint64_t z = finish(seed + golden);
    z = finish((z ^ stream) + golden);
    z = finish((z ^ trial) + golden);
    return finish((z ^ index) + golden);
}

double fh_random_uniform(uint64_t seed, uint64_t stream, uint64_t trial, uint64_t index)
{
    uint64_t bits = fh_random_bits(seed, stream, trial, index) >> 12; /* 52 bits */
    return ((double)bits + 0.5) * 0x1p-52;
}

double fh_random_normal(uint64_t seed, uint64_t stream, uint64_t trial, uint64_t index)
{
    return fh_normal_quantile(fh_random_uniform(seed, stream, trial, index));
}

/* A ratio of two polynomials of degree 7; the constant of the lower one is 1. */
static double ratio(double r, const double upper[8], const double lower[7])
{
    double a = upper[7], b = lower[6];
    for (int i = 6; i >= 0; --i) a = a * r + upper[i];
    for (int i = 5; i >= 0; --i) b = b * r + lower[i];
    return a / (b * r + 1.0);
}

double fh_normal_quantile(double p)
{
    static const double a[8] = {3.3871328727963666080e0,  1.3314166789178437745e2,
                                1.9715909503065514427e3,  1.3731693765509461125e4,
                                4.5921953931549871457e4,  6.7265770927008700853e4,
                                3.3430575583588128105e4,  2.5090809287301226727e3};
    static const double b[7] = {4.2313330701600911252e1, 6.8718700749205790830e2,
                                5.3941960214247511077e3, 2.1213794301586595867e4,
                                3.9307895800092710610e4, 2.8729085735721942674e4,
                                5.2264952788528545610e3};
    static const double c[8] = {1.42343711074968357734e0,  4.63033784615654529590e0,
                                5.76949722146069140550e0,  3.64784832476320460504e0,
                                1.27045825245236838258e0,  2.41780725177450611770e-1,
                                2.27238449892691845833e-2, 7.74545014278341407640e-4};
    static const double d[7] = {2.05319162663775882187e0,  1.67638483018380384940e0,
                                6.89767334985100004550e-1, 1.48103976427480074590e-1,
                                1.51986665636164571966e-2, 5.47593808499534494600e-4,
                                1.05075007164441684324e-9};
    static const double e[8] = {6.65790464350110377720e0,  5.46378491116411436990e0,
                                1.78482653991729133580e0,  2.96560571828504891230e-1,
                                2.65321895265761230930e-2, 1.24266094738807843860e-3,
                                2.71155556874348757815e-5, 2.01033439929228813265e-7};
    static const double f[7] = {5.99832206555887937690e-1, 1.36929880922735805310e-1,
                                1.48753612908506148525e-2, 7.86869131145613259100e-4,
                                1.84631831751005468180e-5, 1.42151175831644588870e-7,
                                2.04426310338993978564e-15};
    double q = p - 0.5;
    if (fabs(q) <= 0.425) return q * ratio(0.180625 - q * q, a, b);
    double r = sqrt(-log(q < 0.0 ? p : 1.0 - p));
    double tail = r <= 5.0 ? ratio(r - 1.6, c, d) : ratio(r - 5.0, e, f);
    return q < 0.0 ? -tail : tail;
}
