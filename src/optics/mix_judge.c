/* Samples of paints before and after the fit: are they sound, how well are they met, and which
 * paints have a scale. */
#include <math.h>

#include "base/error.h"
#include "farhue/difference.h"
#include "optics/mix_work.h"

static fh_status check_sample(const fh_mix_sample *s, size_t index, size_t paint_count, bool *used,
                              fh_error *error)
{
    const fh_blend *b = &s->blend;
    double total = 0.0;
    if (b->count < 1 || b->count > FH_MIX_PAINTS)
        return fh_fail(error, FH_E_ARGUMENT, "sample %zu has %zu paints", index + 1, b->count);
    for (size_t k = 0; k < b->count; ++k) {
        if (b->paint[k] >= paint_count)
            return fh_fail(error, FH_E_ARGUMENT, "sample %zu names a paint that isn't there",
                           index + 1);
        if (!(b->part[k] >= 0.0) || !isfinite(b->part[k]))
            return fh_fail(error, FH_E_DATA, "sample %zu has a part of %g; expected 0 or more",
                           index + 1, b->part[k]);
        for (size_t j = 0; j < k; ++j)
            if (b->paint[j] == b->paint[k])
                return fh_fail(error, FH_E_DATA, "sample %zu holds the same paint twice",
                               index + 1);
        if (b->part[k] > 0.0) used[b->paint[k]] = true;
        total += b->part[k];
    }
    if (!(total > 0.0)) return fh_fail(error, FH_E_DATA, "sample %zu holds no paint", index + 1);
    for (size_t i = 0; i < FH_BANDS; ++i) {
        const double r = s->reflectance.v[i], g = s->film ? s->backing.v[i] : 0.5;
        if (!(r >= 0.0 && r <= 1.0) || !(g >= 0.0 && g <= 1.0))
            return fh_fail(error, FH_E_DATA, "sample %zu reflects %.3f at %.0f nm; expected 0 to 1",
                           index + 1, r >= 0.0 && r <= 1.0 ? g : r, fh_band_nm(i));
    }
    return FH_OK;
}

fh_status fh_mix_check(const fh_mix_sample *samples, size_t sample_count,
                       const fh_mix_options *options, const fh_paint *paints, size_t paint_count,
                       fh_error *error)
{
    bool used[FH_MIX_SHELF] = {false};
    if (sample_count == 0 || paint_count == 0 || paint_count > FH_MIX_SHELF)
        return fh_fail(error, FH_E_ARGUMENT, "%zu samples of %zu paints; expected 1 to %d paints",
                       sample_count, paint_count, FH_MIX_SHELF);
    if (!(options->noise > 0.0) || !(options->prior_K > 0.0) || !(options->prior_S > 0.0))
        return fh_fail(error, FH_E_ARGUMENT, "noise and priors of the fit must be above 0");
    for (size_t i = 0; i < sample_count; ++i) {
        fh_status status = check_sample(&samples[i], i, paint_count, used, error);
        if (status) return status;
    }
    for (size_t k = 0; k < paint_count; ++k)
        if (!used[k])
            return fh_fail(error, FH_E_DATA, "no sample holds the paint %s", paints[k].id);
    return FH_OK;
}

/* A sample as the fitted paints have it, each part times `more`. */
static fh_spectrum fitted(const fh_paint *paints, const fh_surface *surface, const fh_mix_sample *s,
                          double more)
{
    const fh_spectrum one = fh_spectrum_flat(1.0);
    const fh_spectrum backing = fh_spectrum_add(s->backing, one, -s->backing_veil);
    fh_blend blend = s->blend;
    for (size_t k = 0; k < blend.count; ++k) blend.part[k] *= more;
    const fh_spectrum coat = s->film ? fh_blend_film(paints, &blend, surface, &backing)
                                     : fh_blend_opaque(paints, &blend, surface);
    return fh_spectrum_add(coat, one, s->veil);
}

/* Which paints' K and S are per quantity: those with a film that isn't opaque yet (a fifth more of
 * it shows) besides another coat, and those in an opaque mixture with one of them. */
static void find_scaled(const fh_mix_sample *samples, size_t count, const fh_surface *surface,
                        fh_paint *paints, size_t paint_count)
{
    static const double shows = 0.3; /* ΔE00 (common practice, no source) */
    const fh_weights day = fh_weights_of(fh_condition_default());
    for (size_t k = 0; k < paint_count; ++k) paints[k].scaled = false;
    for (size_t i = 0; i < count; ++i) {
        const fh_mix_sample *s = &samples[i];
        if (!s->film) continue;
        const fh_spectrum as_is = fitted(paints, surface, s, 1.0),
                          more = fitted(paints, surface, s, 1.2);
        if (fh_de2000(fh_lab_of_spectrum(&as_is, &day), fh_lab_of_spectrum(&more, &day)) < shows)
            continue;
        for (size_t k = 0; k < s->blend.count; ++k) {
            fh_paint *paint = &paints[s->blend.paint[k]];
            paint->scaled = paint->scaled || (s->blend.part[k] > 0.0 && paint->samples > 1);
        }
    }
    for (bool found = true; found;) {
        found = false;
        for (size_t i = 0; i < count; ++i) {
            const fh_blend *b = &samples[i].blend;
            size_t scaled = 0;
            for (size_t k = 0; k < b->count; ++k)
                scaled += b->part[k] > 0.0 && paints[b->paint[k]].scaled;
            for (size_t k = 0; k < b->count && scaled > 0; ++k) {
                fh_paint *paint = &paints[b->paint[k]];
                if (!(b->part[k] > 0.0) || paint->scaled) continue;
                paint->scaled = found = true;
            }
        }
    }
}

void fh_mix_judge(const fh_mix_sample *samples, size_t count, const fh_surface *surface,
                  fh_paint *paints, size_t paint_count, double *dE)
{
    const fh_weights day = fh_weights_of(fh_condition_default());
    for (size_t k = 0; k < paint_count; ++k) {
        paints[k].samples = 0;
        paints[k].dE = paints[k].dE_worst = 0.0;
        paints[k].single = true;
    }
    for (size_t i = 0; i < count; ++i) {
        const fh_mix_sample *s = &samples[i];
        const fh_spectrum coat = fitted(paints, surface, s, 1.0);
        const double off =
            fh_de2000(fh_lab_of_spectrum(&s->reflectance, &day), fh_lab_of_spectrum(&coat, &day));
        if (dE) dE[i] = off;
        size_t present = 0;
        for (size_t k = 0; k < s->blend.count; ++k) present += s->blend.part[k] > 0.0;
        for (size_t k = 0; k < s->blend.count; ++k) {
            fh_paint *paint = &paints[s->blend.paint[k]];
            if (!(s->blend.part[k] > 0.0)) continue;
            paint->dE += off;
            paint->dE_worst = fmax(paint->dE_worst, off);
            ++paint->samples;
            if (s->film || present > 1) paint->single = false;
        }
    }
    for (size_t k = 0; k < paint_count; ++k) paints[k].dE /= (double)paints[k].samples;
    find_scaled(samples, count, surface, paints, paint_count);
}
