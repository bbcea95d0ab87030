/* ln S as a random walk along the spectrum, smoothed forwards and backwards [Fraser1969], in
 * precisions: a band's prediction from below (which carries the start) and the one from above
 * (which does not) are independent, so their precisions add.
 *
 * The walk's step: among the 44 coloured acrylic paints of [Berns2016] and [Okumura2005] ln S
 * changes by 0.157 from one band of 10 nm to the next (root mean square; most by less, strong blues
 * and greens at the edges of their absorption by more). */
#include "optics/mix_smooth.h"

#include <math.h>

static const double step = 0.16;

/* A normal belief; precision 0: none. */
typedef struct belief {
    double mean, precision;
} belief;

static belief both(belief a, belief b)
{
    const double precision = a.precision + b.precision;
    if (!(precision > 0.0)) return a;
    return (belief){(a.mean * a.precision + b.mean * b.precision) / precision, precision};
}

/* The same one band further. */
static belief walk(belief b)
{
    if (b.precision > 0.0) b.precision = 1.0 / (1.0 / b.precision + step * step);
    return b;
}

void fh_mix_smooth(const double value[FH_BANDS], const double variance[FH_BANDS], double start,
                   double start_sd, double mean[FH_BANDS], double sd[FH_BANDS])
{
    belief from_below[FH_BANDS], b = {start, 1.0 / (start_sd * start_sd)};
    for (size_t i = 0; i < FH_BANDS; ++i) {
        from_below[i] = b;
        b = walk(both(b, (belief){value[i], 1.0 / variance[i]}));
    }
    b = (belief){0.0, 0.0};
    for (size_t i = FH_BANDS; i-- > 0;) {
        const belief all = both(from_below[i], b);
        mean[i] = all.mean;
        sd[i] = 1.0 / sqrt(all.precision);
        b = walk(both(b, (belief){value[i], 1.0 / variance[i]}));
    }
}
