#include "farhue/spectrum.h"

#include <assert.h>
#include <math.h>

#include "base/interpolate.h"

fh_spectrum fh_spectrum_flat(double value)
{
    fh_spectrum s;
    for (size_t i = 0; i < FH_BANDS; ++i) s.v[i] = value;
    return s;
}

double fh_band_nm(size_t band)
{
    assert(band < FH_BANDS);
    return FH_FIRST_NM + FH_STEP_NM * (double)band;
}

fh_spectrum fh_spectrum_add(fh_spectrum a, fh_spectrum b, double factor)
{
    for (size_t i = 0; i < FH_BANDS; ++i) a.v[i] += factor * b.v[i];
    return a;
}

double fh_spectrum_distance(fh_spectrum a, fh_spectrum b)
{
    double largest = 0.0;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double d = fabs(a.v[i] - b.v[i]);
        if (isnan(d)) return d;
        if (d > largest) largest = d;
    }
    return largest;
}

static bool equidistant(const double *nm, size_t count)
{
    double step = (nm[count - 1] - nm[0]) / (double)(count - 1);
    for (size_t i = 0; i < count; ++i)
        if (fabs(nm[0] + step * (double)i - nm[i]) > 1e-6 * step) return false;
    return true;
}

static bool usable(const double *nm, const double *values, size_t count)
{
    if (count < 2) return false;
    for (size_t i = 0; i < count; ++i) {
        if (!isfinite(nm[i]) || !isfinite(values[i])) return false;
        if (i > 0 && !(nm[i] > nm[i - 1])) return false;
    }
    return nm[0] <= FH_LAST_NM && nm[count - 1] >= FH_FIRST_NM;
}

fh_status fh_spectrum_resample(const double *nm, const double *values, size_t count,
                               fh_spectrum *out, size_t *held)
{
    if (!usable(nm, values, count)) return FH_E_ARGUMENT;
    bool sprague = count >= FH_SPRAGUE_MIN && equidistant(nm, count);
    double first = nm[0], last = nm[count - 1], step = (last - first) / (double)(count - 1);
    fh_spectrum result;
    size_t holding = 0;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double x = fh_band_nm(i);
        if (x < first || x > last) ++holding;
        if (x <= first) result.v[i] = values[0];
        else if (x >= last) result.v[i] = values[count - 1];
        else if (!sprague) result.v[i] = fh_monotone_cubic(nm, values, count, x);
        else {
            /* Sampled points pass through to the last bit. */
            double position = (x - first) / step, whole = nearbyint(position);
            result.v[i] = fabs(position - whole) < 1e-9 ? values[(size_t)whole]
                                                        : fh_sprague(values, count, position);
        }
    }
    *out = result;
    if (held) *held = holding;
    return FH_OK;
}
