/* The correction of a photo: from linear camera light to XYZ under a condition, fitted on patches
 * of known colour in the same photo. */
#ifndef FARHUE_CORRECTION_H
#define FARHUE_CORRECTION_H

#include "farhue/pixels.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What turns r, g, b into X, Y, Z. */
typedef enum fh_form {
    FH_FORM_GAINS,  /* one gain a channel, the primaries of sRGB: for one or two neutrals */
    FH_FORM_MATRIX, /* 3 × 3 */
    FH_FORM_ROOTS, /* r, g, b, √(rg), √(gb), √(rb): follows exposure exactly [Finlayson2015] */
    FH_FORM_COUNT
} fh_form;

/* A form and what is fitted along with it. */
typedef struct fh_model {
    fh_form form;
    bool offset; /* flare: a constant added to X, Y, Z */
    bool tone;   /* an exponent on the light of all three channels */
    bool slope;  /* light that falls off linearly across the chart */
} fh_model;

/* "3 x 3, offset, tone"; out holds FH_MODEL_TEXT bytes. */
enum { FH_MODEL_TEXT = 48 };
FH_API void fh_model_text(fh_model model, char out[FH_MODEL_TEXT]);

/* Free numbers of a model. */
FH_API size_t fh_model_size(fh_model model);

/* A patch of known colour in the photo. */
typedef struct fh_known {
    fh_rgb rgb;    /* its linear light */
    fh_point at;   /* where: −1 … 1 across the chart */
    fh_lab lab;    /* its colour in the condition of the correction */
    double weight; /* ≥ 0; 0 leaves it out */
} fh_known;

enum { FH_TERMS = 7 };

/* XYZ = m t(u),  u = ((1 + sx x + sy y) rgb)^tone,  t(u) = (r, g, b, √rg, √gb, √rb, 1) */
typedef struct fh_correction {
    fh_condition condition;
    fh_xyz white;
    fh_model model;
    double tone;
    double sx, sy;
    double m[3][FH_TERMS];
} fh_correction;

/* The colour of a light at a place. Total: negative light is mirrored in roots and powers. */
FH_API fh_xyz fh_correction_xyz(const fh_correction *correction, fh_rgb rgb, fh_point at);
FH_API fh_lab fh_correction_lab(const fh_correction *correction, fh_rgb rgb, fh_point at);

/* The yardstick: 3 × 3, least squares on XYZ, every patch with a weight above 0 counting the
 * same. FH_E_DATA: fewer than 3 such patches, or patches whose light is in a plane. */
FH_API fh_status fh_correction_plain(const fh_known *known, size_t count, fh_condition condition,
                                     fh_correction *out);

/* Fit a model by minimising the linearised ΔE00, robustly: patches that do not fit lose their
 * weight step by step (Cauchy's weight function, scale from the median) [Huber1981].
 * error[i] (count numbers, may be NULL) is the ΔE00 of patch i in the fit; left_out[i] (may be
 * NULL) estimates the ΔE00 that it would have had if left out of the fit, by the leverage.
 * FH_E_DATA: fewer patches than the model needs, or patches too much alike; FH_E_MEMORY. */
FH_API fh_status fh_correction_fit(fh_model model, const fh_known *known, size_t count,
                                   fh_condition condition, fh_correction *out, double *error,
                                   double *left_out);

#ifdef __cplusplus
}
#endif
#endif
