/* One band of the fit of paints: what its samples come to for given K and S, the search for a
 * start, the fit, and how much of S the samples tell by themselves. */
#include <math.h>
#include <string.h>

#include "base/fit.h"
#include "farhue/body.h"
#include "optics/mix_work.h"

static double seen(const fh_surface *s, double inside)
{
    return s->outer + s->enter * s->leave * inside / (1.0 - s->inner * inside);
}

double fh_mix_inside(const fh_surface *s, double read)
{
    const double r = read - s->outer;
    return fmin(1.0, fmax(0.0, r / (s->enter * s->leave + s->inner * r)));
}

static double coat(const fh_mix_band *p, size_t sample, double K, double S)
{
    const double inside = p->samples[sample].film
                              ? fh_body_over(fh_body_of((fh_body_pair){K, S}), p->backing[sample])
                              : fh_body_thick(K, S);
    return cbrt(seen(&p->surface, inside) + p->samples[sample].veil) / p->options->noise;
}

static void sums(const fh_mix_band *p, size_t sample, const double *x, double *K, double *S)
{
    const fh_blend *b = &p->samples[sample].blend;
    *K = *S = 0.0;
    for (size_t k = 0; k < b->count; ++k) {
        *K += b->part[k] * exp(x[2 * b->paint[k]]);
        *S += b->part[k] * exp(x[2 * b->paint[k] + 1]);
    }
}

static void residuals(void *user, const double *x, double *out)
{
    const fh_mix_band *p = user;
    for (size_t i = 0; i < p->sample_count; ++i) {
        double K, S;
        sums(p, i, x, &K, &S);
        out[i] = coat(p, i, K, S) - p->wanted[i];
    }
    for (size_t k = 0; k < 2 * p->paint_count; ++k)
        out[p->sample_count + k] = (x[k] - p->guess[k]) / p->width[k];
}

/* d coat / d ln K and d ln S of the mixture. */
static void slopes(const fh_mix_band *p, size_t sample, double K, double S, double *by_K,
                   double *by_S)
{
    const double step = 1e-5;
    *by_K = (coat(p, sample, K * (1.0 + step), S) - coat(p, sample, K * (1.0 - step), S)) /
            (2.0 * step);
    *by_S = (coat(p, sample, K, S * (1.0 + step)) - coat(p, sample, K, S * (1.0 - step))) /
            (2.0 * step);
}

static void jacobian(void *user, const double *x, double *out)
{
    const fh_mix_band *p = user;
    const size_t n = 2 * p->paint_count;
    memset(out, 0, (p->sample_count + n) * n * sizeof *out);
    for (size_t i = 0; i < p->sample_count; ++i) {
        const fh_blend *b = &p->samples[i].blend;
        double K, S, by_K, by_S;
        sums(p, i, x, &K, &S);
        slopes(p, i, K, S, &by_K, &by_S);
        for (size_t k = 0; k < b->count; ++k) {
            out[i * n + 2 * b->paint[k]] = by_K / K * b->part[k] * exp(x[2 * b->paint[k]]);
            out[i * n + 2 * b->paint[k] + 1] = by_S / S * b->part[k] * exp(x[2 * b->paint[k] + 1]);
        }
    }
    for (size_t k = 0; k < n; ++k) out[(p->sample_count + k) * n + k] = 1.0 / p->width[k];
}

/* How badly K and S of a paint miss the samples that hold it alone. */
static double lone_cost(const fh_mix_band *p, size_t paint, double K, double S)
{
    double cost = 0.0;
    for (size_t k = paint ? p->lone_end[paint - 1] : 0; k < p->lone_end[paint]; ++k) {
        const size_t i = p->lone[k];
        const double part = p->samples[i].blend.part[0];
        const double off = coat(p, i, part * K, part * S) - p->wanted[i];
        cost += off * off;
    }
    return cost;
}

void fh_mix_lone(const fh_mix_sample *samples, size_t count, size_t paint_count, size_t *lone,
                 size_t *lone_end)
{
    size_t at = 0;
    for (size_t paint = 0; paint < paint_count; ++paint) {
        for (size_t i = 0; i < count; ++i)
            if (samples[i].blend.count == 1 && samples[i].blend.paint[0] == paint) lone[at++] = i;
        lone_end[paint] = at;
    }
}

bool fh_mix_lone_film(const fh_mix_band *p, size_t paint)
{
    for (size_t k = paint ? p->lone_end[paint - 1] : 0; k < p->lone_end[paint]; ++k)
        if (p->samples[p->lone[k]].film) return true;
    return false;
}

/* ln K and ln S of a paint with films of its own: the best of a grid about the ln S that is likely
 * (sd), then of ever finer steps. From a film taken for opaque the way to a thin one may lead over
 * a hill. */
void fh_mix_search_films(const fh_mix_band *p, size_t paint, double ln_S, double sd, double x[2])
{
    enum { S_STEPS = 19, K_STEPS = 37, STEPS = S_STEPS * K_STEPS, FINER = 4 };
    double least = HUGE_VAL, middle[2] = {ln_S, ln_S};
    for (int i = 0; i < STEPS + FINER * 9; ++i) {
        const int finer = i < STEPS ? 0 : 1 + (i - STEPS) / 9, at = (i - STEPS) % 9;
        const double step = 0.5 / (double)(1 << finer);
        if (finer > 0 && at == 0) memcpy(middle, x, sizeof middle);
        const double K = middle[0] + step * (finer ? at / 3 - 1 : i / S_STEPS - 26);
        const double S = middle[1] + step * (finer ? at % 3 - 1 : i % S_STEPS - 14);
        const double off = (S - ln_S) / sd;
        const double cost = lone_cost(p, paint, exp(K), exp(S)) + off * off;
        if (cost >= least) continue;
        least = cost;
        x[0] = K;
        x[1] = S;
    }
}

/* A band whose samples say less than this share of what is known beforehand says nothing. */
static const double least_told = 1e-3;

/* What the samples alone say of ln S of each paint, its K free and the other paints as they are:
 * the fit's result with the prior taken out. (Were the others free too, opaque samples would say
 * nothing of any S, since only ratios count.) */
void fh_mix_told(const fh_mix_band *p, const double *fitted, fh_mix_scattering *out)
{
    for (size_t paint = 0; paint < p->paint_count; ++paint) {
        double KK = 0.0, KS = 0.0, SS = 0.0;
        for (size_t i = 0; i < p->sample_count; ++i) {
            const fh_blend *b = &p->samples[i].blend;
            size_t k = 0;
            while (k < b->count && b->paint[k] != paint) ++k;
            if (k == b->count) continue;
            double K, S, by_K, by_S;
            sums(p, i, fitted, &K, &S);
            slopes(p, i, K, S, &by_K, &by_S);
            by_K *= b->part[k] * exp(fitted[2 * paint]) / K;
            by_S *= b->part[k] * exp(fitted[2 * paint + 1]) / S;
            KK += by_K * by_K;
            KS += by_K * by_S;
            SS += by_S * by_S;
        }
        /* At the fit the pull of the samples is that of the prior, the other way round. */
        const double *x = &fitted[2 * paint], *guess = &p->guess[2 * paint],
                     *width = &p->width[2 * paint];
        const double by_K = KK > 0.0 ? KS / KK : 0.0, told = SS - by_K * KS;
        const double pull_K = (x[0] - guess[0]) / (width[0] * width[0]);
        const double pull_S = (x[1] - guess[1]) / (width[1] * width[1]);
        const bool any = told * width[1] * width[1] > least_told;
        fh_mix_scattering *s = &out[paint];
        s->told[p->band] = any ? told : 0.0;
        s->value[p->band] = any ? x[1] + (pull_S - by_K * pull_K) / told : 0.0;
    }
}

fh_status fh_mix_band_fit(const fh_mix_band *band, double *x, double *cost)
{
    fh_mix_band p = *band;
    const fh_fit_problem problem = {.rows = p.sample_count + 2 * p.paint_count,
                                    .columns = 2 * p.paint_count,
                                    .residuals = residuals,
                                    .jacobian = jacobian,
                                    .user = &p,
                                    .tolerance = 1e-8,
                                    .evaluations = 100};
    fh_fit_result result;
    fh_status status = fh_fit_nonlinear(&problem, x, &result, NULL);
    if (!status) *cost += result.sum_of_squares;
    return status;
}
