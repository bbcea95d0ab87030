/* Sprague's quintic for equidistant data as the CIE recommends it (CIE 167:2005, with the
 * boundary points of CIE 15 [CIE15]); the piecewise monotone cubic of Fritsch and Carlson with
 * Butland's harmonic slopes [Fritsch1980] for the rest. */
#include "base/interpolate.h"

#include <assert.h>
#include <math.h>

const double fh_sprague_end[2][6] = {
    {884.0 / 209, -1960.0 / 209, 3033.0 / 209, -2648.0 / 209, 1080.0 / 209, -180.0 / 209},
    {508.0 / 209, -540.0 / 209, 488.0 / 209, -367.0 / 209, 144.0 / 209, -24.0 / 209}};

void fh_sprague_basis(double t, double weight[6])
{
    /* Rows: the coefficients a0 … a5 of the quintic, times 24, in terms of the points. */
    static const double a[6][6] = {{0, 0, 24, 0, 0, 0},        {2, -16, 0, 16, -2, 0},
                                   {-1, 16, -30, 16, -1, 0},   {-9, 39, -70, 66, -33, 7},
                                   {13, -64, 126, -124, 61, -12}, {-5, 25, -50, 50, -25, 5}};
    for (int k = 0; k < 6; ++k) {
        double sum = a[5][k];
        for (int i = 4; i >= 0; --i) sum = sum * t + a[i][k];
        weight[k] = sum / 24.0;
    }
}

/* Point i of the data, or one of the two set before and behind it. */
static double padded(const double *p, ptrdiff_t count, ptrdiff_t i)
{
    if (i >= 0 && i < count) return p[i];
    const double *w = fh_sprague_end[i == -2 || i == count + 1 ? 0 : 1];
    double sum = 0.0;
    for (ptrdiff_t k = 0; k < 6; ++k) sum += w[k] * (i < 0 ? p[k] : p[count - 1 - k]);
    return sum;
}

double fh_sprague(const double *points, size_t count, double position)
{
    assert(count >= FH_SPRAGUE_MIN && position >= 0.0 && position <= (double)(count - 1));
    ptrdiff_t n = (ptrdiff_t)count, first = (ptrdiff_t)position;
    if (first > n - 2) first = n - 2;
    double weight[6], sum = 0.0;
    fh_sprague_basis(position - (double)first, weight);
    for (ptrdiff_t k = 0; k < 6; ++k) sum += weight[k] * padded(points, n, first + k - 2);
    return sum;
}

/* Slope at point i: 0 at an extremum, else a weighted harmonic mean of the two secants. */
static double monotone_slope(const double *xs, const double *ys, size_t count, size_t i)
{
    if (i == 0) return (ys[1] - ys[0]) / (xs[1] - xs[0]);
    if (i == count - 1) return (ys[i] - ys[i - 1]) / (xs[i] - xs[i - 1]);
    double h0 = xs[i] - xs[i - 1], h1 = xs[i + 1] - xs[i];
    double d0 = (ys[i] - ys[i - 1]) / h0, d1 = (ys[i + 1] - ys[i]) / h1;
    if (d0 * d1 <= 0.0) return 0.0;
    double w0 = 2 * h1 + h0, w1 = h1 + 2 * h0;
    return (w0 + w1) / (w0 / d0 + w1 / d1);
}

double fh_monotone_cubic(const double *xs, const double *ys, size_t count, double x)
{
    assert(count >= 2 && x >= xs[0] && x <= xs[count - 1]);
    size_t i = 0;
    while (i + 2 < count && x >= xs[i + 1]) ++i;
    double h = xs[i + 1] - xs[i], t = (x - xs[i]) / h, u = 1.0 - t;
    double m0 = monotone_slope(xs, ys, count, i), m1 = monotone_slope(xs, ys, count, i + 1);
    return u * u * ((1 + 2 * t) * ys[i] + t * h * m0) +
           t * t * ((3 - 2 * t) * ys[i + 1] - u * h * m1);
}
