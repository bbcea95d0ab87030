/* What the parts of the fit of paints share. */
#ifndef FARHUE_OPTICS_MIX_WORK_H
#define FARHUE_OPTICS_MIX_WORK_H

#include "farhue/mix.h"

/* One band at work. */
typedef struct fh_mix_band {
    const fh_mix_sample *samples;
    size_t sample_count, paint_count, band;
    fh_surface surface;
    const fh_mix_options *options;
    const double *guess, *width; /* of the prior; 2 × paint_count: ln K, ln S of each */
    double *backing;             /* sample_count: inside, of films */
    double *wanted;              /* sample_count: cube roots of the reflectances, over the noise */
    const size_t *lone, *lone_end; /* samples that hold one paint alone, paint after paint; where
                                      those of each paint end: fh_mix_lone */
} fh_mix_band;

/* ln S of a paint in every band: what is known beforehand, and what the samples say. */
typedef struct fh_mix_scattering {
    double mean[FH_BANDS], sd[FH_BANDS];    /* of the prior */
    double value[FH_BANDS], told[FH_BANDS]; /* of the samples alone; told: 1 / variance */
    double start;                           /* before any band was fitted */
} fh_mix_scattering;

/* A reading of a body as it is inside the face, brought to 0–1. */
double fh_mix_inside(const fh_surface *face, double read);

/* The sample with the largest share of a paint, and of those the one with most of it. */
size_t fh_mix_strongest(const fh_mix_sample *samples, size_t count, size_t paint);

/* The samples that hold one paint alone into lone (room for count), paint after paint, each in the
 * order of the samples; lone_end: paint_count numbers. */
void fh_mix_lone(const fh_mix_sample *samples, size_t count, size_t paint_count, size_t *lone,
                 size_t *lone_end);

/* Whether a film holds the paint alone; and the ln K, ln S that suit such films best, about the
 * ln S that is likely (sd). */
bool fh_mix_lone_film(const fh_mix_band *band, size_t paint);
void fh_mix_search_films(const fh_mix_band *band, size_t paint, double ln_S, double sd,
                         double x[2]);

/* Least squares from the start in x (2 × paint_count, in and out); the sum of squares is added to
 * *cost. */
fh_status fh_mix_band_fit(const fh_mix_band *band, double *x, double *cost);

/* What the samples tell of each paint's S, by the fit x, into its scattering. */
void fh_mix_told(const fh_mix_band *band, const double *x, fh_mix_scattering *S);

/* The prior of each paint's S before any band was fitted; the one by its other bands afterwards;
 * and what doubt remains, into each paint's loose and strength. */
void fh_mix_scattering_start(const fh_mix_sample *samples, size_t count, double prior_S,
                             fh_mix_scattering *S, size_t paint_count);
void fh_mix_scattering_smooth(double prior_S, fh_mix_scattering *s);
void fh_mix_strength(const fh_mix_scattering *S, fh_paint *paints, size_t paint_count);

/* Errors as fh_mix_fit. */
fh_status fh_mix_check(const fh_mix_sample *samples, size_t sample_count,
                       const fh_mix_options *options, const fh_paint *paints, size_t paint_count,
                       fh_error *error);

/* Fill in what of each paint is told by the fit's result: samples, dE, dE_worst, scaled, and single
 * (only ever alone and opaque). dE: ΔE00 of every sample, D65/10, or NULL. */
void fh_mix_judge(const fh_mix_sample *samples, size_t count, const fh_surface *surface,
                  fh_paint *paints, size_t paint_count, double *dE);

#endif
