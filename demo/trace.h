/* The hood by tracing rays, one at a time: an answer that shares nothing with the engine's layers.
 *
 * Seen from straight above, lit at 45° (0/45 equals 45/0: paths may be walked backwards). A path
 * starts at the eye and goes straight down into the hood. Wherever it scatters, and wherever it
 * meets the part, the light that could reach it from 45° is added up; what remains wanders on.
 * The result is kept by how often light met the part: look = Σ w_k ρ^k, for any part ρ at once.
 * The hood is endless sideways, its faces smooth (unpolarised Fresnel), it scatters evenly in all
 * directions; the part is a perfect diffuser behind an air gap, or in contact as paint is on what
 * it covers. The mirror reflection of the outer face is not in it. */
#ifndef DEMO_TRACE_H
#define DEMO_TRACE_H

#include "scenario.h"

#include <stdbool.h>
#include <string.h>

enum { MEETINGS = 13 };

typedef struct {
    double w[MEETINGS][BANDS];
} hood_look;

typedef struct {
    double mm, index, scatter;
    curve absorb;
    bool contact; /* no air between it and the part */
} hood;

/* Reflectance for unpolarised light that comes at cosine mu from index n1 onto n2; *mu2 is the
 * cosine behind the face. 1 beyond the critical angle. */
static inline double face_reflects(double mu, double n1, double n2, double *mu2)
{
    double sine = n1 / n2 * sqrt(1.0 - mu * mu);
    if (sine >= 1.0) return 1.0;
    *mu2 = sqrt(1.0 - sine * sine);
    double s = (n1 * mu - n2 * *mu2) / (n1 * mu + n2 * *mu2);
    double p = (n1 * *mu2 - n2 * mu) / (n1 * *mu2 + n2 * mu);
    return 0.5 * (s * s + p * p);
}

typedef struct {
    const hood *h;
    double lamp_mu, lamp_face; /* the light at 45°: cosine inside the hood, reflectance of a face */
    hood_look *sum;
} tracing;

/* Light at 45° reaches a scattering event at depth z: from above, or from below after the mirror
 * reflection of the lower face, each with its echoes between the faces. */
static inline void light_inside(const tracing *t, double z, double walked, size_t met)
{
    const hood *h = t->h;
    double F = t->lamp_face, mu = t->lamp_mu;
    for (size_t b = 0; b < BANDS; b++) {
        double through = h->absorb.v[b] + h->scatter, once = exp(-through * h->mm / mu);
        double below = h->contact ? 0.0 : F, beam = exp(-through * z / mu), echo = 1.0;
        beam += below * once * exp(-through * (h->mm - z) / mu);
        echo /= 1.0 - F * below * once * once;
        /* reflectance factor: π × radiance per irradiance; the phase function is 1/4π */
        t->sum->w[met][b] += 0.25 / mu * exp(-h->absorb.v[b] * walked) * beam * echo * (1.0 - F) /
                             (h->index * h->index);
    }
}

/* Light at 45° goes straight through the hood to the part below. In contact it arrives refracted:
 * the part's radiance falls by the square of the index on its way out. */
static inline void light_below(const tracing *t, double walked, size_t met)
{
    const hood *h = t->h;
    double F = t->lamp_face;
    for (size_t b = 0; b < BANDS; b++) {
        double once = exp(-(h->absorb.v[b] + h->scatter) * h->mm / t->lamp_mu);
        double arrives = h->contact ? (1.0 - F) * once / (h->index * h->index)
                                    : (1.0 - F) * (1.0 - F) * once / (1.0 - F * F * once * once);
        t->sum->w[met][b] += exp(-h->absorb.v[b] * walked) * arrives;
    }
}

/* Under the hood: the path meets the part, which sends it back up in a random direction, until it
 * is in the hood again. False when it has met the part often enough. */
static inline bool meet_part(const tracing *t, dice *d, double walked, size_t *met, double *mu)
{
    for (;;) {
        if (++*met >= MEETINGS) return false;
        light_below(t, walked, *met);
        double up = sqrt(throw_dice(d)), inside = up;
        if (t->h->contact || throw_dice(d) >= face_reflects(up, 1.0, t->h->index, &inside)) {
            *mu = -inside;
            return true;
        }
    }
}

static inline void walk(const tracing *t, dice *d)
{
    const hood *h = t->h;
    double z = 0.0, mu = 1.0, walked = 0.0; /* mu > 0: downwards */
    for (size_t met = 0;;) {
        double step = h->scatter > 0.0 ? -log(throw_dice(d)) / h->scatter : HUGE_VAL;
        double wall = (mu > 0.0 ? h->mm - z : z) / fabs(mu);
        if (step < wall) {
            z += step * mu;
            walked += step;
            light_inside(t, z, walked, met);
            mu = 2.0 * throw_dice(d) - 1.0;
            continue;
        }
        walked += wall;
        z = mu > 0.0 ? h->mm : 0.0;
        double outside = 0.0;
        bool face = mu < 0.0 || !h->contact;
        if (face && throw_dice(d) < face_reflects(fabs(mu), h->index, 1.0, &outside))
            mu = -mu;
        else if (mu < 0.0 || !meet_part(t, d, walked, &met, &mu))
            return;
    }
}

/* Trace so many paths; the same seed gives the same result. */
static inline hood_look trace_hood(const hood *h, size_t paths, uint64_t seed)
{
    hood_look sum;
    memset(&sum, 0, sizeof sum);
    double into = 1.0, inside = 1.0;
    tracing t = {h, 0.0, 0.0, &sum};
    t.lamp_face = face_reflects(sqrt(0.5), 1.0, h->index, &t.lamp_mu);
    into = 1.0 - face_reflects(1.0, 1.0, h->index, &inside);
    dice d = {seed};
    for (size_t i = 0; i < paths; i++) walk(&t, &d);
    for (size_t k = 0; k < MEETINGS; k++)
        for (size_t b = 0; b < BANDS; b++) sum.w[k][b] *= into / (double)paths;
    return sum;
}

/* The look over a part; what is beyond the last meeting is carried on as a geometric series. */
static inline curve look_over(const hood_look *look, curve part)
{
    curve out;
    for (size_t b = 0; b < BANDS; b++) {
        double power = 1.0, sum = 0.0, rho = part.v[b];
        for (size_t k = 0; k < MEETINGS; k++, power *= rho) sum += look->w[k][b] * power;
        double last = look->w[MEETINGS - 1][b], before = look->w[MEETINGS - 2][b];
        double q = before > 0.0 ? fmin(last / before, 0.99) : 0.0;
        out.v[b] = sum + last * power * q / (1.0 - q * rho);
    }
    return out;
}

#endif
