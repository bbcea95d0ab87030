/* K and S of paints from samples of known make, all samples at once, band by band.
 *
 * Unknowns are ln K and ln S of every paint, 2 n a band. Residuals are differences of cube roots
 * of reflectance over the noise: equal steps of lightness count alike, dark coats are not drowned
 * by light ones. Each unknown has a weak normal prior about a first guess:
 *
 *   ln S about ln S0: for opaque samples S0 = 1 (only ratios of S matter; the prior fixes the
 *   scale), for films S0 = 3 / mean quantity, a coat that half hides
 *   ln K about ln(S0 K/S), K/S of the paint's strongest sample taken as opaque
 *
 * so what the samples leave open stays where it started, and no paint runs away to 0 or infinity.
 * The interface may be fitted too: golden section over its inner reflectance, each trial a whole
 * fit.
 *
 * Trap: a reading below the light that the outer face alone throws back can't be met by any K; it
 * pulls K up, against the prior only. Such samples show in their ΔE00. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/fit.h"
#include "base/memory.h"
#include "farhue/body.h"
#include "farhue/difference.h"
#include "farhue/mix.h"

fh_mix_options fh_mix_options_default(void)
{
    fh_mix_options options = {.noise = 0.005, .prior_K = 2.0, .prior_S = 1.5};
    fh_surface_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &options.surface);
    return options;
}

/* One band at work. */
typedef struct band_problem {
    const fh_mix_sample *samples;
    size_t sample_count, paint_count, band;
    fh_surface surface;
    const fh_mix_options *options;
    const double *guess; /* 2 × paint_count: ln K, ln S of each */
    double *backing;     /* sample_count: inside, of films */
} band_problem;

static double seen(const fh_surface *s, double inside)
{
    return s->outer + s->enter * s->leave * inside / (1.0 - s->inner * inside);
}

static double inside_of(const fh_surface *s, double read)
{
    const double r = read - s->outer;
    return fmin(1.0, fmax(0.0, r / (s->enter * s->leave + s->inner * r)));
}

static double coat(const band_problem *p, size_t sample, double K, double S)
{
    const double inside = p->samples[sample].film
                              ? fh_body_over(fh_body_of((fh_body_pair){K, S}), p->backing[sample])
                              : fh_body_thick(K, S);
    return cbrt(seen(&p->surface, inside)) / p->options->noise;
}

static void sums(const band_problem *p, size_t sample, const double *x, double *K, double *S)
{
    const fh_blend *b = &p->samples[sample].blend;
    *K = *S = 0.0;
    for (size_t k = 0; k < b->count; ++k) {
        *K += b->part[k] * exp(x[2 * b->paint[k]]);
        *S += b->part[k] * exp(x[2 * b->paint[k] + 1]);
    }
}

static double prior_width(const band_problem *p, size_t unknown)
{
    return unknown % 2 == 0 ? p->options->prior_K : p->options->prior_S;
}

static void residuals(void *user, const double *x, double *out)
{
    const band_problem *p = user;
    for (size_t i = 0; i < p->sample_count; ++i) {
        double K, S;
        sums(p, i, x, &K, &S);
        out[i] = coat(p, i, K, S) - cbrt(p->samples[i].reflectance.v[p->band]) / p->options->noise;
    }
    for (size_t k = 0; k < 2 * p->paint_count; ++k)
        out[p->sample_count + k] = (x[k] - p->guess[k]) / prior_width(p, k);
}

static void jacobian(void *user, const double *x, double *out)
{
    const band_problem *p = user;
    const size_t n = 2 * p->paint_count;
    memset(out, 0, (p->sample_count + n) * n * sizeof *out);
    for (size_t i = 0; i < p->sample_count; ++i) {
        const fh_blend *b = &p->samples[i].blend;
        double K, S;
        sums(p, i, x, &K, &S);
        const double step = 1e-5;
        const double by_K =
            (coat(p, i, K * (1.0 + step), S) - coat(p, i, K * (1.0 - step), S)) / (2.0 * step * K);
        const double by_S =
            (coat(p, i, K, S * (1.0 + step)) - coat(p, i, K, S * (1.0 - step))) / (2.0 * step * S);
        for (size_t k = 0; k < b->count; ++k) {
            out[i * n + 2 * b->paint[k]] = by_K * b->part[k] * exp(x[2 * b->paint[k]]);
            out[i * n + 2 * b->paint[k] + 1] = by_S * b->part[k] * exp(x[2 * b->paint[k] + 1]);
        }
    }
    for (size_t k = 0; k < n; ++k) out[(p->sample_count + k) * n + k] = 1.0 / prior_width(p, k);
}

/* The sample with the largest share of a paint, and of those the one with most of it. */
static size_t strongest(const fh_mix_sample *samples, size_t count, size_t paint)
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

static void set_guess(const band_problem *p, double scale, double *guess)
{
    for (size_t paint = 0; paint < p->paint_count; ++paint) {
        const size_t i = strongest(p->samples, p->sample_count, paint);
        const double r = inside_of(&p->surface, p->samples[i].reflectance.v[p->band]);
        guess[2 * paint] = scale + log(fmax(1e-4, fh_body_ratio(fmin(0.999, fmax(0.002, r)))));
        guess[2 * paint + 1] = scale;
    }
}

/* Everything a fit of all bands needs. */
typedef struct work {
    const fh_mix_sample *samples;
    size_t sample_count;
    const fh_mix_options *options;
    fh_paint *paints; /* a copy */
    size_t paint_count;
    double *guess, *x, *backing;
    double scale;
    fh_progress progress;
    void *user;
    double done, share; /* of the whole job: so far, and what one band is */
} work;

static fh_status fit_band(work *w, const fh_surface *surface, size_t band, double *cost)
{
    band_problem p = {w->samples, w->sample_count, w->paint_count, band,
                      *surface,   w->options,      w->guess,       w->backing};
    for (size_t i = 0; i < w->sample_count; ++i)
        if (w->samples[i].film) w->backing[i] = inside_of(surface, w->samples[i].backing.v[band]);
    set_guess(&p, w->scale, w->guess);
    memcpy(w->x, w->guess, 2 * w->paint_count * sizeof *w->x);
    const fh_fit_problem problem = {.rows = w->sample_count + 2 * w->paint_count,
                                    .columns = 2 * w->paint_count,
                                    .residuals = residuals,
                                    .jacobian = jacobian,
                                    .user = &p,
                                    .tolerance = 1e-8,
                                    .evaluations = 100};
    fh_fit_result result;
    fh_status status = fh_fit_nonlinear(&problem, w->x, &result, NULL);
    if (status) return status;
    *cost += result.sum_of_squares;
    for (size_t k = 0; k < w->paint_count; ++k) {
        w->paints[k].K.v[band] = exp(w->x[2 * k]);
        w->paints[k].S.v[band] = exp(w->x[2 * k + 1]);
    }
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

/* An interface with another inner reflectance: what leaves is what isn't thrown back. */
static fh_surface with_inner(const fh_surface *start, double inner)
{
    fh_surface s = *start;
    s.inner = inner;
    s.leave = 1.0 - inner;
    return s;
}

enum { GOLDEN_STEPS = 8 };

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
            return fh_fail(error, FH_E_DATA, "sample %zu has a negative part", index + 1);
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

static fh_status check(const fh_mix_sample *samples, size_t sample_count,
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

/* ΔE00 of every sample, and of the samples of every paint. single: only ever alone and opaque. */
static void judge(work *w, const fh_surface *surface, double *dE)
{
    const fh_weights day = fh_weights_of(fh_condition_default());
    for (size_t k = 0; k < w->paint_count; ++k) {
        w->paints[k].samples = 0;
        w->paints[k].dE = w->paints[k].dE_worst = 0.0;
        w->paints[k].single = true;
    }
    for (size_t i = 0; i < w->sample_count; ++i) {
        const fh_mix_sample *s = &w->samples[i];
        const fh_spectrum fitted = s->film
                                       ? fh_blend_film(w->paints, &s->blend, surface, &s->backing)
                                       : fh_blend_opaque(w->paints, &s->blend, surface);
        const double off =
            fh_de2000(fh_lab_of_spectrum(&s->reflectance, &day), fh_lab_of_spectrum(&fitted, &day));
        if (dE) dE[i] = off;
        size_t present = 0;
        for (size_t k = 0; k < s->blend.count; ++k) present += s->blend.part[k] > 0.0;
        for (size_t k = 0; k < s->blend.count; ++k) {
            fh_paint *paint = &w->paints[s->blend.paint[k]];
            if (!(s->blend.part[k] > 0.0)) continue;
            paint->dE += off;
            paint->dE_worst = fmax(paint->dE_worst, off);
            ++paint->samples;
            if (s->film || present > 1) paint->single = false;
        }
    }
    for (size_t k = 0; k < w->paint_count; ++k) w->paints[k].dE /= (double)w->paints[k].samples;
}

static fh_status run(work *w, fh_surface *surface)
{
    double cost;
    w->share = 1.0 / (FH_BANDS * (w->options->fit_surface ? GOLDEN_STEPS + 3.0 : 1.0));
    w->scale = scale_of(w->samples, w->sample_count);
    fh_status status = w->options->fit_surface ? fit_surface(w, surface) : FH_OK;
    return status ? status : fit_bands(w, surface, &cost);
}

fh_status fh_mix_fit(const fh_mix_sample *samples, size_t sample_count,
                     const fh_mix_options *options, fh_paint *paints, size_t paint_count,
                     double *dE, fh_surface *used, fh_progress progress, void *user,
                     fh_error *error)
{
    fh_status status = check(samples, sample_count, options, paints, paint_count, error);
    if (status) return status;
    double *room = fh_allocate(4 * paint_count + sample_count, sizeof *room);
    fh_paint *copy = fh_allocate(paint_count, sizeof *copy);
    status = FH_E_MEMORY;
    if (room && copy) {
        memcpy(copy, paints, paint_count * sizeof *copy);
        work w = {.samples = samples,
                  .sample_count = sample_count,
                  .options = options,
                  .paints = copy,
                  .paint_count = paint_count,
                  .guess = room,
                  .x = room + 2 * paint_count,
                  .backing = room + 4 * paint_count,
                  .progress = progress,
                  .user = user};
        fh_surface surface = options->surface;
        status = run(&w, &surface);
        if (!status) {
            judge(&w, &surface, dE);
            memcpy(paints, copy, paint_count * sizeof *copy);
            if (used) *used = surface;
        }
    }
    fh_free(room);
    fh_free(copy);
    return status ? fh_fail(error, status, "%s", fh_status_text(status)) : FH_OK;
}
