/* K and S of paints from samples of known make, all samples at once, band by band.
 *
 * Unknowns are ln K and ln S of every paint, 2 n a band. Residuals are differences of cube roots
 * of reflectance over the noise: equal steps of lightness count alike, dark coats are not drowned
 * by light ones. Each unknown has a weak normal prior about a first guess:
 *
 *   ln S about what mix_prior.c says
 *   ln K about that plus ln(K/S), K/S of the paint's strongest sample taken as opaque, or where the
 *   paint has films of its own what suits those best
 *
 * so what the samples leave open stays where it started, and no paint runs away to 0 or infinity.
 * After a first fit of all bands the prior of S follows what the other bands tell, twice.
 *
 * The interface may be fitted too: golden section over its inner reflectance, each trial a whole
 * fit.
 *
 * Trap: a reading below the light that the outer face alone throws back can't be met by any K; it
 * pulls K up, against the prior only. Such samples show in their ΔE00. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/body.h"
#include "optics/mix_work.h"

fh_mix_options fh_mix_options_default(void)
{
    fh_mix_options options = {.noise = FH_MIX_NOISE, .prior_K = 2.0, .prior_S = 1.0};
    fh_surface_of(FH_INDEX_USUAL, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &options.surface);
    return options;
}

/* Everything a fit of all bands needs. */
typedef struct work {
    const fh_mix_sample *samples;
    size_t sample_count;
    const fh_mix_options *options;
    fh_paint *paints; /* a copy */
    size_t paint_count;
    fh_mix_scattering *S; /* paint_count */
    double *guess, *width, *x, *backing, *wanted;
    size_t *lone, *lone_end;
    bool again; /* not the first fit of the bands: start from the last one */
    fh_progress progress;
    void *user;
    double done, share; /* of the whole job: so far, and what one band is */
} work;

/* The prior, and where to start. */
static void set_prior(const work *w, const fh_mix_band *p)
{
    for (size_t paint = 0; paint < p->paint_count; ++paint) {
        const fh_mix_sample *s = &p->samples[fh_mix_strongest(p->samples, p->sample_count, paint)];
        const double r = fh_mix_inside(&p->surface, s->reflectance.v[p->band] - s->veil);
        const double ratio = fmax(1e-4, fh_body_ratio(fmin(0.999, fmax(0.002, r))));
        double *guess = &w->guess[2 * paint], *width = &w->width[2 * paint], *x = &w->x[2 * paint];
        guess[1] = x[1] = w->S[paint].mean[p->band];
        guess[0] = x[0] = guess[1] + log(ratio);
        width[0] = p->options->prior_K;
        width[1] = w->S[paint].sd[p->band];
        if (fh_mix_lone_film(p, paint)) {
            fh_mix_search_films(p, paint, guess[1], width[1], x);
            guess[0] = guess[1] + x[0] - x[1];
        }
        if (!w->again) continue;
        x[0] = log(w->paints[paint].K.v[p->band]);
        x[1] = log(w->paints[paint].S.v[p->band]);
    }
}

static fh_status fit_band(work *w, const fh_surface *surface, size_t band, double *cost)
{
    fh_mix_band p = {.samples = w->samples,
                     .sample_count = w->sample_count,
                     .paint_count = w->paint_count,
                     .band = band,
                     .surface = *surface,
                     .options = w->options,
                     .guess = w->guess,
                     .width = w->width,
                     .backing = w->backing,
                     .wanted = w->wanted,
                     .lone = w->lone,
                     .lone_end = w->lone_end};
    for (size_t i = 0; i < w->sample_count; ++i) {
        const fh_mix_sample *s = &w->samples[i];
        w->wanted[i] = cbrt(s->reflectance.v[band]) / w->options->noise;
        if (s->film) w->backing[i] = fh_mix_inside(surface, s->backing.v[band] - s->backing_veil);
    }
    set_prior(w, &p);
    fh_status status = fh_mix_band_fit(&p, w->x, cost);
    if (status) return status;
    for (size_t k = 0; k < w->paint_count; ++k) {
        w->paints[k].K.v[band] = exp(w->x[2 * k]);
        w->paints[k].S.v[band] = exp(w->x[2 * k + 1]);
    }
    fh_mix_told(&p, w->x, w->S);
    w->done += w->share;
    if (w->progress && !w->progress(w->user, fmin(1.0, w->done))) return FH_E_STOPPED;
    return FH_OK;
}

static fh_status fit_bands(work *w, const fh_surface *surface, double *cost)
{
    *cost = 0.0;
    fh_status status = FH_OK;
    for (size_t band = 0; band < FH_BANDS && !status; ++band)
        status = fit_band(w, surface, band, cost);
    return status;
}

/* An interface with another inner reflectance: what leaves goes with what isn't thrown back. Into a
 * sphere that is all of it, towards a 45°:0° instrument 1.047 to 1.060 times as much for an index
 * of 1.3 to 1.7, (1 − r(0°)) over 1 − r_diffuse outside: the ratio of the start is kept. */
static fh_surface with_inner(const fh_surface *start, double inner)
{
    fh_surface s = *start;
    s.inner = inner;
    s.leave = start->leave * (1.0 - inner) / (1.0 - start->inner);
    return s;
}

enum { GOLDEN_STEPS = 8, SMOOTHINGS = 2 };

/* Golden section for the inner reflectance between 0.2 and 0.7. */
static fh_status fit_surface(work *w, fh_surface *surface)
{
    const double golden = 0.6180339887498949;
    double low = 0.2, high = 0.7;
    double left = high - golden * (high - low), right = low + golden * (high - low);
    double cost_left, cost_right;
    fh_surface trial = with_inner(surface, left);
    fh_status status = fit_bands(w, &trial, &cost_left);
    if (status) return status;
    trial = with_inner(surface, right);
    status = fit_bands(w, &trial, &cost_right);
    for (int i = 0; i < GOLDEN_STEPS && !status; ++i) {
        const bool go_left = cost_left < cost_right;
        if (go_left) {
            high = right;
            right = left;
            cost_right = cost_left;
            left = high - golden * (high - low);
        } else {
            low = left;
            left = right;
            cost_left = cost_right;
            right = low + golden * (high - low);
        }
        trial = with_inner(surface, go_left ? left : right);
        status = fit_bands(w, &trial, go_left ? &cost_left : &cost_right);
    }
    if (!status) *surface = with_inner(surface, 0.5 * (low + high));
    return status;
}

static fh_status run(work *w, fh_surface *surface)
{
    double cost;
    w->share =
        1.0 / (FH_BANDS * (SMOOTHINGS + (w->options->fit_surface ? GOLDEN_STEPS + 3.0 : 1.0)));
    fh_mix_scattering_start(w->samples, w->sample_count, w->options->prior_S, w->S, w->paint_count);
    fh_status status = w->options->fit_surface ? fit_surface(w, surface) : FH_OK;
    if (!status) status = fit_bands(w, surface, &cost);
    for (int round = 0; round < SMOOTHINGS && !status; ++round) {
        for (size_t k = 0; k < w->paint_count; ++k)
            fh_mix_scattering_smooth(w->options->prior_S, &w->S[k]);
        w->again = true;
        status = fit_bands(w, surface, &cost);
    }
    return status;
}

fh_status fh_mix_fit(const fh_mix_sample *samples, size_t sample_count,
                     const fh_mix_options *options, fh_paint *paints, size_t paint_count,
                     double *dE, fh_surface *used, fh_progress progress, void *user,
                     fh_error *error)
{
    fh_status status = fh_mix_check(samples, sample_count, options, paints, paint_count, error);
    if (status) return status;
    const size_t n = 2 * paint_count;
    double *room = fh_allocate(3 * n + 2 * sample_count, sizeof *room);
    size_t *lone = fh_allocate(sample_count + paint_count, sizeof *lone);
    fh_paint *copy = fh_allocate(paint_count, sizeof *copy);
    fh_mix_scattering *S = fh_allocate(paint_count, sizeof *S);
    status = FH_E_MEMORY;
    if (room && lone && copy && S) {
        memcpy(copy, paints, paint_count * sizeof *copy);
        work w = {.samples = samples,
                  .sample_count = sample_count,
                  .options = options,
                  .paints = copy,
                  .paint_count = paint_count,
                  .S = S,
                  .guess = room,
                  .width = room + n,
                  .x = room + 2 * n,
                  .backing = room + 3 * n,
                  .wanted = room + 3 * n + sample_count,
                  .lone = lone,
                  .lone_end = lone + sample_count,
                  .progress = progress,
                  .user = user};
        fh_surface surface = options->surface;
        fh_mix_lone(samples, sample_count, paint_count, lone, lone + sample_count);
        status = run(&w, &surface);
        if (!status) {
            fh_mix_strength(S, copy, paint_count);
            fh_mix_judge(samples, sample_count, &surface, copy, paint_count, dE);
            memcpy(paints, copy, paint_count * sizeof *copy);
            if (used) *used = surface;
        }
    }
    fh_free(room);
    fh_free(lone);
    fh_free(copy);
    fh_free(S);
    return status ? fh_fail(error, status, "%s", fh_status_text(status)) : FH_OK;
}
