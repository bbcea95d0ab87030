#include "base/linear.h"

#include <math.h>

fh_status fh_cholesky(double *a, size_t n)
{
    for (size_t j = 0; j < n; ++j) {
        double pivot = a[j * n + j];
        const double rounding = 1e-15 * fabs(pivot);
        for (size_t k = 0; k < j; ++k) pivot -= a[j * n + k] * a[j * n + k];
        if (!(pivot > rounding) || !isfinite(pivot)) return FH_E_DATA;
        const double root = sqrt(pivot);
        a[j * n + j] = root;
        for (size_t i = j + 1; i < n; ++i) {
            double rest = a[i * n + j];
            for (size_t k = 0; k < j; ++k) rest -= a[i * n + k] * a[j * n + k];
            a[i * n + j] = rest / root;
        }
    }
    return FH_OK;
}

void fh_lower_solve(const double *lower, size_t n, double *b)
{
    for (size_t i = 0; i < n; ++i) {
        double rest = b[i];
        for (size_t k = 0; k < i; ++k) rest -= lower[i * n + k] * b[k];
        b[i] = rest / lower[i * n + i];
    }
}

void fh_lower_solve_transposed(const double *lower, size_t n, double *b)
{
    for (size_t i = n; i-- > 0;) {
        double rest = b[i];
        for (size_t k = i + 1; k < n; ++k) rest -= lower[k * n + i] * b[k];
        b[i] = rest / lower[i * n + i];
    }
}

void fh_cholesky_solve(const double *lower, size_t n, double *b)
{
    fh_lower_solve(lower, n, b);
    fh_lower_solve_transposed(lower, n, b);
}

/* One rotation in the plane (p, q) that makes a[p][q] zero. */
static void rotate(double *a, size_t n, double *vectors, size_t p, size_t q)
{
    const double apq = a[p * n + q];
    const double theta = (a[q * n + q] - a[p * n + p]) / (2.0 * apq);
    const double t = (theta >= 0.0 ? 1.0 : -1.0) / (fabs(theta) + hypot(theta, 1.0));
    const double c = 1.0 / hypot(t, 1.0), s = t * c;
    for (size_t k = 0; k < n; ++k) {
        const double akp = a[k * n + p], akq = a[k * n + q];
        a[k * n + p] = c * akp - s * akq;
        a[k * n + q] = s * akp + c * akq;
    }
    for (size_t k = 0; k < n; ++k) {
        const double apk = a[p * n + k], aqk = a[q * n + k];
        a[p * n + k] = c * apk - s * aqk;
        a[q * n + k] = s * apk + c * aqk;
        const double vp = vectors[p * n + k], vq = vectors[q * n + k];
        vectors[p * n + k] = c * vp - s * vq;
        vectors[q * n + k] = s * vp + c * vq;
    }
}

static void swap_pairs(double *values, double *vectors, size_t n, size_t i, size_t j)
{
    const double value = values[i];
    values[i] = values[j];
    values[j] = value;
    for (size_t k = 0; k < n; ++k) {
        const double component = vectors[i * n + k];
        vectors[i * n + k] = vectors[j * n + k];
        vectors[j * n + k] = component;
    }
}

void fh_eigen_symmetric(double *a, size_t n, double *values, double *vectors)
{
    enum { SWEEPS = 60 }; /* a handful is enough; the rest is for pathological input */
    for (size_t i = 0; i < n; ++i)
        for (size_t j = 0; j < n; ++j) vectors[i * n + j] = i == j ? 1.0 : 0.0;
    for (int sweep = 0; sweep < SWEEPS; ++sweep) {
        double off = 0.0, all = 0.0;
        for (size_t i = 0; i < n; ++i)
            for (size_t j = 0; j < n; ++j) {
                all += a[i * n + j] * a[i * n + j];
                if (i != j) off += a[i * n + j] * a[i * n + j];
            }
        if (!(off > 1e-32 * all)) break;
        for (size_t p = 0; p + 1 < n; ++p)
            for (size_t q = p + 1; q < n; ++q)
                if (a[p * n + q] != 0.0) rotate(a, n, vectors, p, q);
    }
    for (size_t i = 0; i < n; ++i) values[i] = a[i * n + i];
    for (size_t i = 0; i + 1 < n; ++i) {
        size_t largest = i;
        for (size_t j = i + 1; j < n; ++j)
            if (values[j] > values[largest]) largest = j;
        if (largest != i) swap_pairs(values, vectors, n, i, largest);
    }
}
