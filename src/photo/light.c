/* How even the light is. The chart's colours predict, through a 3 × 3 fitted the other way round,
 * what the camera would have seen in even light; the logarithm of seen over predicted, regressed on
 * the place of the patch, is the change of the light, channel by channel. */
#include "farhue/light.h"

#include <math.h>

#include "base/fit.h"
#include "base/memory.h"

typedef struct work {
    double *xyz;    /* n × 3 */
    double *seen;   /* 3 columns of n */
    double *weight; /* n */
    double *place;  /* n × 3: 1, x, y */
    double *ratio;  /* n */
    double *even;   /* n: seen, in even light */
    size_t n;
} work;

static void take(work *w, const fh_calibration *c)
{
    for (size_t i = 0; i < c->count; i++) {
        const fh_known *k = &c->known[i];
        if (!(k->weight > 0.0) || !(k->rgb.r > 0.0 && k->rgb.g > 0.0 && k->rgb.b > 0.0)) continue;
        const fh_xyz xyz = fh_xyz_of_lab(k->lab, c->correction.white);
        const double tone = c->correction.tone;
        w->xyz[3 * w->n] = xyz.X, w->xyz[3 * w->n + 1] = xyz.Y, w->xyz[3 * w->n + 2] = xyz.Z;
        w->seen[w->n] = pow(k->rgb.r, tone);
        w->seen[c->count + w->n] = pow(k->rgb.g, tone);
        w->seen[2 * c->count + w->n] = pow(k->rgb.b, tone);
        /* Relative errors count alike in light and dark patches. */
        w->weight[w->n] = 1.0 / (xyz.Y * xyz.Y + 1.0);
        w->place[3 * w->n] = 1.0;
        w->place[3 * w->n + 1] = k->at.x, w->place[3 * w->n + 2] = k->at.y;
        w->n++;
    }
}

static double on_plane(const double slope[3], const double *p)
{
    return slope[0] * p[0] + slope[1] * p[1] + slope[2] * p[2];
}

/* One round: a 3 × 3 on what is seen in the light found so far, then the light from what is left.
 * keep: who takes part in the second step. */
static fh_status refine_slopes(work *w, const double *seen, double slope[3], double *keep,
                               double covariance[9])
{
    double m[3];
    for (size_t i = 0; i < w->n; i++) w->even[i] = seen[i] / exp(on_plane(slope, w->place + 3 * i));
    fh_status status = fh_fit_linear(w->xyz, w->even, w->weight, w->n, 3, m, NULL);
    if (status != FH_OK) return status;
    for (size_t i = 0; i < w->n; i++) {
        const double *x = w->xyz + 3 * i;
        const double predicted = m[0] * x[0] + m[1] * x[1] + m[2] * x[2];
        /* A saturated colour may be predicted below 0. */
        w->ratio[i] = log(seen[i] / fmax(predicted, 0.1 * seen[i]));
    }
    return fh_fit_linear(w->place, w->ratio, keep, w->n, 3, slope, covariance);
}

/* Slopes of ln(seen / predicted) of one channel, and their standard error. */
static fh_status channel_slopes(work *w, const double *seen, double slope[3], double *error)
{
    double keep[FH_CHART_PATCHES], covariance[9], rest = 0.0, kept = 0.0;
    const double far = 0.25; /* a quarter off: not the light of the others */
    for (size_t i = 0; i < w->n; i++) keep[i] = 1.0;
    for (int round = 0; round < 8; round++) {
        const fh_status status = refine_slopes(w, seen, slope, keep, covariance);
        if (status != FH_OK) return status;
        for (size_t i = 0; round > 1 && i < w->n; i++)
            keep[i] = fabs(w->ratio[i] - on_plane(slope, w->place + 3 * i)) < far ? 1.0 : 0.0;
    }
    for (size_t i = 0; i < w->n; i++) {
        const double d = w->ratio[i] - on_plane(slope, w->place + 3 * i);
        rest += keep[i] * d * d;
        kept += keep[i];
    }
    *error = sqrt(rest / fmax(1.0, kept - 3.0) * fmax(covariance[4], covariance[8]));
    return FH_OK;
}

fh_status fh_light_of(const fh_calibration *calibration, fh_light *out)
{
    const fh_calibration *c = calibration;
    work w = {0};
    w.xyz = fh_allocate(c->count, 3 * sizeof *w.xyz);
    w.seen = fh_allocate(c->count, 3 * sizeof *w.seen);
    w.weight = fh_allocate(c->count, sizeof *w.weight);
    w.place = fh_allocate(c->count, 3 * sizeof *w.place);
    w.ratio = fh_allocate(c->count, sizeof *w.ratio);
    w.even = fh_allocate(c->count, sizeof *w.even);
    const bool all = w.xyz && w.seen && w.weight && w.place && w.ratio && w.even;
    fh_status status = all ? FH_OK : FH_E_MEMORY;
    double slope[3][3] = {{0}}, error[3] = {0};
    if (status == FH_OK) take(&w, c);
    if (status == FH_OK && w.n < 8) status = FH_E_DATA;
    for (size_t k = 0; status == FH_OK && k < 3; k++)
        status = channel_slopes(&w, w.seen + k * c->count, slope[k], &error[k]);
    fh_free(w.xyz);
    fh_free(w.seen);
    fh_free(w.weight);
    fh_free(w.place);
    fh_free(w.ratio);
    fh_free(w.even);
    if (status != FH_OK) return status;
    double lowest = HUGE_VAL, highest = -HUGE_VAL;
    for (size_t i = 0; i < c->count; i++) {
        lowest = fmin(lowest, c->known[i].at.y);
        highest = fmax(highest, c->known[i].at.y);
    }
    const double tall = highest - lowest;
    out->across = 2.0 * (slope[0][1] + slope[1][1] + slope[2][1]) / 3.0;
    out->down = tall * (slope[0][2] + slope[1][2] + slope[2][2]) / 3.0;
    out->colour_across = 2.0 * (slope[0][1] - slope[2][1]);
    out->colour_down = tall * (slope[0][2] - slope[2][2]);
    out->error = 2.0 * fmax(error[0], fmax(error[1], error[2]));
    out->colour_error = 2.0 * hypot(error[0], error[2]);
    return FH_OK;
}
