/* What is known of a paint's scattering before, beside and after the samples of a band.
 *
 * Before: ln S about ln S0 of the lightest paint, and of the others less by their lightness,
 *
 *   ln S = ln S0 + 0.030 (L* − L* of the lightest)
 *
 * from the 46 acrylic paints of [Berns2016] and [Okumura2005]: the regression of a paint's mean ln
 * S on L* of its masstone, which leaves 0.74 (standard deviation; 1.09 without it). S0 is 1 for
 * opaque samples, where only ratios of S matter and this fixes the scale; for films 3 / mean
 * quantity, a coat that half hides.
 *
 * Once fitted, every band is fitted again with the S that the paint's other bands make likely in
 * place of S0 (mix_smooth.h): a film that is opaque where the paint absorbs says nothing of S
 * there, but it does where the paint is clear. */
#include <math.h>

#include "optics/mix_smooth.h"
#include "optics/mix_work.h"

/* The sample with the largest share of a paint, and of those the one with most of it. */
size_t fh_mix_strongest(const fh_mix_sample *samples, size_t count, size_t paint)
{
    size_t best = count;
    double best_share = 0.0, best_part = 0.0;
    for (size_t i = 0; i < count; ++i) {
        const fh_blend *b = &samples[i].blend;
        double own = 0.0, all = 0.0;
        for (size_t k = 0; k < b->count; ++k) {
            all += b->part[k];
            if (b->paint[k] == paint) own = b->part[k];
        }
        const double share = own / all;
        if (share > best_share + 1e-9 || (share > best_share - 1e-9 && own > best_part)) {
            best = i;
            best_share = share;
            best_part = own;
        }
    }
    return best;
}

/* ln S0 for all paints: 1 for opaque samples, else by the mean quantity of the films. */
static double scale_of(const fh_mix_sample *samples, size_t count)
{
    double sum = 0.0;
    size_t films = 0;
    for (size_t i = 0; i < count; ++i) {
        if (!samples[i].film) continue;
        for (size_t k = 0; k < samples[i].blend.count; ++k) sum += samples[i].blend.part[k];
        ++films;
    }
    return films ? log(3.0 * (double)films / sum) : 0.0;
}

/* What is wrong with the samples (amounts, face, theory) is much alike in all bands, so to the
 * other bands no band's word is better than this in ln S (from tests/unit/optics/test_watercolours.c).
 */
static const double shared = 0.5;

/* The lowest L* among the samples with most of a paint: nearly that of its masstone. */
static double lightness(const fh_mix_sample *samples, size_t count, size_t paint)
{
    const fh_weights day = fh_weights_of(fh_condition_default());
    const fh_mix_sample *best = &samples[fh_mix_strongest(samples, count, paint)];
    double L = fh_lab_of_spectrum(&best->reflectance, &day).L;
    for (size_t i = 0; i < count; ++i) {
        const fh_blend *b = &samples[i].blend;
        if (best->blend.count == 1 && b->count == 1 && b->paint[0] == paint)
            L = fmin(L, fh_lab_of_spectrum(&samples[i].reflectance, &day).L);
    }
    return L;
}

void fh_mix_scattering_start(const fh_mix_sample *samples, size_t count, double prior_S,
                             fh_mix_scattering *S, size_t paint_count)
{
    static const double by_lightness = 0.030;
    const double scale = scale_of(samples, count);
    double lightest = 0.0;
    for (size_t k = 0; k < paint_count; ++k) {
        S[k].start = lightness(samples, count, k);
        lightest = fmax(lightest, S[k].start);
    }
    for (size_t k = 0; k < paint_count; ++k) {
        fh_mix_scattering *s = &S[k];
        s->start = scale + by_lightness * (s->start - lightest);
        for (size_t i = 0; i < FH_BANDS; ++i) {
            s->mean[i] = s->start;
            s->sd[i] = prior_S;
        }
    }
}

/* ln S in each band by what the others tell. */
void fh_mix_scattering_smooth(double prior_S, fh_mix_scattering *s)
{
    double variance[FH_BANDS];
    for (size_t i = 0; i < FH_BANDS; ++i)
        variance[i] = s->told[i] > 0.0 ? 1.0 / s->told[i] + shared * shared : HUGE_VAL;
    fh_mix_smooth(s->value, variance, s->start, prior_S, s->mean, s->sd);
}

/* ln S of each paint as samples and prior together leave it. Where a paint absorbs its strength
 * shows; where a colour is clear, S hardly changes a mixture, and is hardly told by one; of a white
 * it is the other way round. So the better known of the absorbing bands and of all counts. */
void fh_mix_strength(const fh_mix_scattering *S, fh_paint *paints, size_t paint_count)
{
    static const double little = 0.25, absorbs = 0.5; /* K/S (common practice, no source) */
    for (size_t k = 0; k < paint_count; ++k) {
        const fh_mix_scattering *s = &S[k];
        double sum = 0.0, all = 0.0;
        size_t bands = 0, loose = 0;
        for (size_t i = 0; i < FH_BANDS; ++i) {
            const double variance = 1.0 / (s->told[i] + 1.0 / (s->sd[i] * s->sd[i]));
            all += variance;
            if (paints[k].K.v[i] < absorbs * paints[k].S.v[i]) continue;
            sum += variance;
            loose += variance > little * little;
            ++bands;
        }
        paints[k].loose = loose;
        all /= FH_BANDS;
        paints[k].strength = sqrt(bands ? fmin(all, sum / (double)bands) : all);
    }
}
