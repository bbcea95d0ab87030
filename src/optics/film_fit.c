/* K and S of a coat or a wall from its looks.
 *
 * Every band by itself: the square roots of K and S by Levenberg–Marquardt over all samples, from
 * the best point of a grid, with a weak pull of S towards a middling value.
 *
 * Trap: a ladder over one backing that soon grows opaque fixes K/S only. The pull then decides S,
 * and the band is counted as loose. */
#include "base/error.h"
#include "base/fit.h"
#include "base/memory.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "optics/film_work.h"

#include <math.h>
#include <string.h>

/* Standard error that a look is taken to have, and the pull on ln S: so weak that a reading
 * that says anything of S outweighs it. */
static const double sigma_R = 0.002, sigma_ln_S = 3.0;
static const double largest = 1e4;     /* K or S times the largest amount */

typedef struct work {
    fh_film film;
    size_t count;
    fh_spectrum look[FH_FILM_SAMPLES], backing[FH_FILM_SAMPLES];
    double amount[FH_FILM_SAMPLES], scale; /* scale: largest amount */
    double veil[FH_FILM_SAMPLES];          /* of the looks, taken off them */
    bool glossy;                           /* all looks state their gloss */
    fh_method way;                         /* geometry and specular mode of all readings */
    size_t band;
} work;

static void residuals(void *user, const double *x, double *error)
{
    const work *w = user;
    double K = x[0] * x[0] / w->scale, S = x[1] * x[1] / w->scale;
    for (size_t s = 0; s < w->count; ++s) {
        double look = fh_film_band(&w->film, K, S, w->amount[s], w->backing[s].v[w->band]);
        error[s] = (look - w->look[s].v[w->band]) / sigma_R;
    }
    error[w->count] = 2.0 * log(fmax(x[1], 1e-6)) / sigma_ln_S;
}

/* The best of a grid of KX and SX, from 0.003 to 300. */
static void start(work *w, double x[2])
{
    enum { GRID = 16 };
    double least = HUGE_VAL, error[FH_FILM_SAMPLES + 1];
    for (int i = 0; i < GRID; ++i)
        for (int j = 0; j < GRID; ++j) {
            double at[2] = {sqrt(0.003 * pow(1e5, (double)i / (GRID - 1))),
                            sqrt(0.003 * pow(1e5, (double)j / (GRID - 1)))};
            double sum = 0.0;
            residuals(w, at, error);
            for (size_t s = 0; s <= w->count; ++s) sum += error[s] * error[s];
            if (sum >= least) continue;
            least = sum;
            memcpy(x, at, sizeof at);
        }
}

static fh_status fit_band(work *w, bool *loose)
{
    double x[2] = {1, 1}, covariance[4];
    const double lower[2] = {0, 1e-5}, upper[2] = {sqrt(largest), sqrt(largest)};
    fh_fit_problem problem = {.rows = w->count + 1,
                              .columns = 2,
                              .residuals = residuals,
                              .user = w,
                              .lower = lower,
                              .upper = upper};
    start(w, x);
    fh_status status = fh_fit_nonlinear(&problem, x, NULL, covariance);
    /* FH_E_DATA: the readings leave a combination of K and S open; the pull has decided it. */
    *loose = status == FH_E_DATA || 2.0 * sqrt(covariance[3]) / x[1] > 1.0;
    if (status && status != FH_E_DATA) return status;
    w->film.K.v[w->band] = x[0] * x[0] / w->scale;
    w->film.S.v[w->band] = x[1] * x[1] / w->scale;
    return FH_OK;
}

static void judge(const work *w, fh_film_report *report)
{
    const fh_weights weights = fh_weights_of(fh_condition_default());
    const fh_spectrum one = fh_spectrum_flat(1.0);
    report->worst = report->mean = 0.0;
    for (size_t s = 0; s < w->count; ++s) {
        fh_spectrum fitted = fh_film_look(&w->film, w->amount[s], &w->backing[s]);
        const fh_spectrum read = fh_spectrum_add(w->look[s], one, w->veil[s]);
        fitted = fh_spectrum_add(fitted, one, w->veil[s]);
        report->dE[s] =
            fh_de2000(fh_lab_of_spectrum(&read, &weights), fh_lab_of_spectrum(&fitted, &weights));
        report->worst = fmax(report->worst, report->dE[s]);
        report->mean += report->dE[s] / (double)w->count;
    }
}

static fh_status fit_all(work *w, fh_film_report *report)
{
    report->loose = 0;
    for (w->band = 0; w->band < FH_BANDS; ++w->band) {
        bool loose;
        fh_status status = fit_band(w, &loose);
        if (status) return status;
        report->loose += loose ? 1 : 0;
    }
    judge(w, report);
    return FH_OK;
}

static fh_status spectrum_of(const fh_reading *reading, fh_spectrum *out, fh_error *error)
{
    fh_status status = fh_reading_check(reading, NULL, error);
    if (status) return status;
    if (reading->origin != FH_ORIGIN_LAB) {
        *out = reading->reflectance;
        return FH_OK;
    }
    fh_estimate *estimate = fh_allocate(1, sizeof *estimate);
    if (!estimate) return fh_fail(error, FH_E_MEMORY, "%s", fh_status_text(FH_E_MEMORY));
    status = fh_estimate_of_reading(reading, estimate, error);
    if (!status) *out = estimate->reflectance;
    fh_free(estimate);
    return status;
}

/* What a reading says of its way goes into the way of all. */
static fh_status settle(fh_method *all, const fh_method *one, fh_error *error)
{
    if (one->geometry != FH_GEOMETRY_UNKNOWN) {
        if (all->geometry != FH_GEOMETRY_UNKNOWN && one->geometry != all->geometry)
            return fh_fail(error, FH_E_DATA,
                           "readings in different geometries; expected one for all");
        all->geometry = one->geometry;
    }
    if (one->specular != FH_SPECULAR_UNKNOWN) {
        if (all->specular != FH_SPECULAR_UNKNOWN && one->specular != all->specular)
            return fh_fail(error, FH_E_DATA,
                           "readings in different specular modes; expected one for all");
        all->specular = one->specular;
    }
    return FH_OK;
}

static double veil_of(const work *w, double index, const fh_reading *reading)
{
    fh_method m = w->way;
    m.gloss = reading->method.gloss;
    return fh_surface_veil(index, &m);
}

/* Looks as if their face was smooth, and a coat's backings alike. */
static void polish(work *w, fh_film_kind kind, const fh_film_sample *samples, double index)
{
    const fh_spectrum one = fh_spectrum_flat(1.0);
    for (size_t s = 0; s < w->count; ++s) {
        w->veil[s] = veil_of(w, index, samples[s].look);
        w->look[s] = fh_spectrum_add(w->look[s], one, -w->veil[s]);
        if (kind == FH_FILM_WALL) continue;
        const double below = veil_of(w, index, samples[s].backing);
        w->backing[s] = fh_spectrum_add(w->backing[s], one, -below);
    }
}

/* A reading that was given twice is one, and would pass for two that agree. */
static fh_status check_alike(const work *w, const fh_film_sample *samples, fh_error *error)
{
    for (size_t s = 1; s < w->count; ++s)
        if (w->amount[s] != w->amount[0] ||
            memcmp(&w->look[s], &w->look[0], sizeof w->look[0]) != 0 ||
            memcmp(&w->backing[s], &w->backing[0], sizeof w->backing[0]) != 0)
            return FH_OK;
    if (w->count < 2) return FH_OK;
    return fh_fail(error, FH_E_DATA,
                   "the readings of the film are one and the same, %s; expected it over another "
                   "backing, or in another amount",
                   samples[0].look->id);
}

static fh_status gather(work *w, const fh_film_sample *samples, size_t count, fh_error *error)
{
    w->count = count;
    w->way = fh_method_unknown();
    w->glossy = true;
    for (size_t s = 0; s < count; ++s) {
        const fh_film_sample *sample = &samples[s];
        if (!(sample->amount > 0.0) || !isfinite(sample->amount))
            return fh_fail(error, FH_E_ARGUMENT,
                           "an amount of %g for '%s'; expected a number "
                           "above 0",
                           sample->amount, sample->look->id);
        fh_status status = spectrum_of(sample->look, &w->look[s], error);
        if (!status) status = spectrum_of(sample->backing, &w->backing[s], error);
        if (!status) status = settle(&w->way, &sample->look->method, error);
        if (!status) status = settle(&w->way, &sample->backing->method, error);
        if (status) return status;
        w->glossy = w->glossy && sample->look->method.gloss >= 0.0;
        w->amount[s] = sample->amount;
        w->scale = fmax(w->scale, sample->amount);
    }
    return check_alike(w, samples, error);
}

static fh_status fit_with(work *w, fh_film_kind kind, double index, fh_film_report *report,
                          fh_error *error)
{
    if (fh_film_of(kind, index, &w->way, &w->film))
        return fh_fail(error, FH_E_DATA,
                       "45:0 readings with the specular component included; "
                       "such an instrument can't see it");
    fh_status status = fit_all(w, report);
    return status ? fh_fail(error, status, "K and S can't be fitted (%s)", fh_status_text(status))
                  : FH_OK;
}

/* When no index is given: the usual one, unless there are looks enough to tell and another fits
 * clearly better. Two looks fit any index; that of the least residual then is chance, and a low one
 * promises too few coats. */
static fh_status choose(work *w, fh_film_kind kind, double index, fh_film_report *report,
                        fh_error *error)
{
    static const double others[] = {1.0, 1.2, 1.35};
    static const double clearly = 0.2; /* ΔE00 (common practice, no source) */
    enum { ENOUGH = 4 };
    fh_status status = fit_with(w, kind, index > 0.0 ? index : FH_INDEX_USUAL, report, error);
    if (status || index > 0.0 || w->count < ENOUGH) return status;
    const double bound = report->mean - clearly;
    fh_film best = w->film;
    for (size_t k = 0; k < sizeof others / sizeof *others; ++k) {
        fh_film_report one;
        status = fit_with(w, kind, others[k], &one, error);
        if (status) return status;
        if (one.mean >= bound || one.mean >= report->mean) continue;
        best = w->film;
        *report = one;
    }
    w->film = best;
    return FH_OK;
}

fh_status fh_film_fit(fh_film_kind kind, const fh_film_sample *samples, size_t count, double index,
                      fh_film *out, fh_film_report *report, fh_error *error)
{
    if (count < 1 || count > FH_FILM_SAMPLES)
        return fh_fail(error, FH_E_ARGUMENT, "%zu readings of the film; expected 1 to %d", count,
                       (int)FH_FILM_SAMPLES);
    if (!(index == 0.0 && kind == FH_FILM_COAT) && !(index >= 1.0 && index <= 4.0))
        return fh_fail(error, FH_E_ARGUMENT, "a refractive index of %g; expected 1 to 4", index);
    work *w = fh_allocate(1, sizeof *w);
    if (!w) return fh_fail(error, FH_E_MEMORY, "%s", fh_status_text(FH_E_MEMORY));
    fh_film_report summary = {.worst = 0.0};
    fh_status status = gather(w, samples, count, error);
    if (!status) {
        if (index == 0.0 && w->glossy) index = FH_INDEX_USUAL;
        polish(w, kind, samples, index > 0.0 ? index : FH_INDEX_USUAL);
        status = choose(w, kind, index, &summary, error);
    }
    if (!status) {
        double *face = kind == FH_FILM_COAT ? &w->film.top.outer : &w->film.veil;
        for (size_t s = 0; s < count; ++s) *face += w->veil[s] / (double)count;
        *out = w->film;
        if (report) *report = summary;
    }
    fh_free(w);
    return status;
}
