/* The Ondrel tide clock, an invented machine: an amber translucent hood over an opaque dial ring.
 *
 * Every curve here is made up from a few humps and edges, so that the truth behind the demo's
 * photos and readings is known to the last digit. Nothing was measured on anything. */
#ifndef DEMO_SCENARIO_H
#define DEMO_SCENARIO_H

#include <math.h>
#include <stddef.h>
#include <stdint.h>

enum { BANDS = 36 }; /* 380–730 nm by 10 */

typedef struct {
    double v[BANDS];
} curve;

static inline double band_nm(size_t band)
{
    return 380.0 + 10.0 * (double)band;
}

/* An edge that rises from 0 to 1 around `at`. */
static inline double edge(double nm, double at, double width)
{
    return 1.0 / (1.0 + exp((at - nm) / width));
}

/* A hump of height 1. */
static inline double hump(double nm, double at, double width)
{
    double x = (nm - at) / width;
    return exp(-0.5 * x * x);
}

/* The dial ring where a label kept the light off: a pale sea green. */
static inline double sheltered_at(double nm)
{
    return 0.07 + 0.30 * edge(nm, 408.0, 9.0) + 0.17 * hump(nm, 515.0, 52.0) +
           0.06 * edge(nm, 690.0, 22.0);
}

/* The same ring's face, yellowed by the years: what the owner wants to match. */
static inline double face_at(double nm)
{
    return sheltered_at(nm) * (0.58 + 0.42 * edge(nm, 470.0, 45.0));
}

/* The card that the photos are taken on: a warm mid grey. */
static inline double card_at(double nm)
{
    return 0.19 + 0.02 * edge(nm, 560.0, 60.0);
}

/* The three backings for the hood: matt black card, grey card, matt white. */
static inline double black_at(double nm)
{
    return 0.038 + 0.004 * edge(nm, 640.0, 40.0);
}

static inline double grey_at(double nm)
{
    return 0.10 + 0.25 * edge(nm, 395.0, 8.0) - 0.012 * edge(nm, 620.0, 50.0);
}

static inline double white_at(double nm)
{
    return 0.25 + 0.65 * edge(nm, 392.0, 7.0);
}

/* The hood: a wall of clear plastic, tinted amber, a little hazy with age. */
static const double HOOD_MM = 2.0, HOOD_INDEX = 1.49, HOOD_SCATTER = 0.015; /* 1/mm */

/* Absorption of the hood, 1/mm. */
static inline double hood_at(double nm)
{
    return 0.006 + 0.60 * (1.0 - edge(nm, 508.0, 24.0)) + 0.05 * hump(nm, 590.0, 40.0);
}

/* Sage paint: one coat, how it scatters, its absorption (1/mm). */
static const double COAT_MM = 0.03, PAINT_INDEX = 1.5, PAINT_SCATTER = 60.0;

static inline double paint_at(double nm)
{
    return 1.6 - 0.5 * edge(nm, 500.0, 25.0) + 6.0 * (1.0 - edge(nm, 412.0, 10.0)) +
           2.6 * (1.0 - edge(nm, 478.0, 22.0)) + 1.5 * edge(nm, 592.0, 22.0);
}

static inline curve curve_of(double (*at)(double))
{
    curve c;
    for (size_t b = 0; b < BANDS; b++) c.v[b] = at(band_nm(b));
    return c;
}

/* SplitMix64: the same numbers everywhere. G. L. Steele Jr. et al. 2014. */
typedef struct {
    uint64_t state;
} dice;

static inline double throw_dice(dice *d) /* in (0, 1) */
{
    uint64_t z = d->state += 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    z ^= z >> 31;
    return ((double)(z >> 11) + 0.5) * 0x1p-53;
}

/* A normal variate, by Box and Muller. */
static inline double normal(dice *d)
{
    double r = sqrt(-2.0 * log(throw_dice(d)));
    return r * cos(6.283185307179586 * throw_dice(d));
}

#endif
