/* Tristimulus weights [CIE15]:
 *
 *   X = k Σ S(λ) x̄(λ) R(λ),   k = 100 / Σ S(λ) ȳ(λ),   λ = 380, 385 … 780 nm
 *
 * R(λ) between the 36 bands is Sprague's interpolation, outside them the end value. Both are
 * linear in R, so they fold into 36 weights: each CMF × illuminant product is handed back to the
 * bands that its R(λ) was interpolated from.
 *
 * Trap: two whites of one standard differ by rounding (Z of D65/10 is 107.304 from 1 nm, 107.324
 * from 5 nm). Lab is exact only against the sum of its own weights, so that is the white. */
#include "farhue/condition.h"

#include <assert.h>
#include <math.h>

#include "base/interpolate.h"
#include "colour/tables/cie_tables.h"

enum { STEP_NM = 5, PAD = FH_SPRAGUE_PAD };

const double *fh_illuminant_power(fh_illuminant illuminant)
{
    assert(illuminant < FH_ILLUMINANT_COUNT);
    return fh_cie_power[illuminant];
}

/* Fold 81 products into 36 weights. */
static fh_spectrum fold(const double product[FH_POWER_COUNT])
{
    double padded[FH_BANDS + 2 * PAD] = {0};
    for (size_t i = 0; i < FH_POWER_COUNT; ++i) {
        double position = (double)(STEP_NM * i) / FH_STEP_NM;
        if (position >= FH_BANDS - 1) {
            padded[PAD + FH_BANDS - 1] += product[i];
            continue;
        }
        double weight[6];
        size_t first = (size_t)position;
        fh_sprague_basis(position - (double)first, weight);
        for (size_t k = 0; k < 6; ++k) padded[first + k] += weight[k] * product[i];
    }
    fh_spectrum folded;
    for (size_t i = 0; i < FH_BANDS; ++i) folded.v[i] = padded[PAD + i];
    for (size_t end = 0; end < PAD; ++end)
        for (size_t k = 0; k < 6; ++k) {
            folded.v[k] += fh_sprague_end[end][k] * padded[end];
            folded.v[FH_BANDS - 1 - k] +=
                fh_sprague_end[end][k] * padded[FH_BANDS + 2 * PAD - 1 - end];
        }
    return folded;
}

static fh_weights weights_of_power(const double *power, fh_observer observer)
{
    const double(*cmf)[FH_POWER_COUNT] = fh_cie_cmf[observer];
    double product[3][FH_POWER_COUNT], sum = 0.0;
    for (size_t i = 0; i < FH_POWER_COUNT; ++i) sum += power[i] * cmf[1][i];
    for (size_t axis = 0; axis < 3; ++axis)
        for (size_t i = 0; i < FH_POWER_COUNT; ++i)
            product[axis][i] = 100.0 * power[i] * cmf[axis][i] / sum;

    fh_weights w = {.x = fold(product[0]), .y = fold(product[1]), .z = fold(product[2])};
    const fh_spectrum perfect = fh_spectrum_flat(1.0);
    w.white = fh_xyz_of_spectrum(&perfect, &w);
    return w;
}

fh_weights fh_weights_of(fh_condition condition)
{
    assert(condition.illuminant < FH_ILLUMINANT_COUNT && condition.observer < FH_OBSERVER_COUNT);
    fh_weights w = weights_of_power(fh_cie_power[condition.illuminant], condition.observer);
    w.condition = condition;
    return w;
}

fh_status fh_weights_from_power(const double power[FH_POWER_COUNT], fh_observer observer,
                                fh_weights *out)
{
    double sum = 0.0;
    for (size_t i = 0; i < FH_POWER_COUNT; ++i) {
        if (!isfinite(power[i]) || power[i] < 0.0) return FH_E_DATA;
        sum += power[i] * fh_cie_cmf[observer][1][i];
    }
    if (!(sum > 0.0) || !isfinite(sum)) return FH_E_DATA;
    *out = weights_of_power(power, observer);
    out->condition = (fh_condition){FH_ILLUMINANT_FILE, observer};
    return FH_OK;
}

fh_xyz fh_xyz_of_spectrum(const fh_spectrum *reflectance, const fh_weights *weights)
{
    fh_xyz sum = {0, 0, 0};
    for (size_t i = 0; i < FH_BANDS; ++i) {
        sum.X += weights->x.v[i] * reflectance->v[i];
        sum.Y += weights->y.v[i] * reflectance->v[i];
        sum.Z += weights->z.v[i] * reflectance->v[i];
    }
    return sum;
}
