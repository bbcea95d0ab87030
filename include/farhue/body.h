/* The body of a layer that scatters: Kubelka–Munk, without its faces.
 *
 * KX and SX are absorption K and scattering S times the thickness, both finite and ≥ 0
 * (asserted); a backing is a reflectance, 0–1. All functions are finite for K → 0, S → 0 and any
 * finite thickness. [Kubelka1931, Kubelka1948] */
#ifndef FARHUE_BODY_H
#define FARHUE_BODY_H

#include "farhue/layer.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Over an ideal black, and what passes. */
typedef struct fh_body {
    double R0, T;
} fh_body;

/* The pair that describes a layer, absorption and scattering times its thickness. */
typedef struct fh_body_pair {
    double KX, SX;
} fh_body_pair;

/* The layer of that pair. */
FH_API fh_body fh_body_of(fh_body_pair pair);

/* Reflectance over a backing. */
FH_API double fh_body_over(fh_body body, double backing);

/* Reflectance of a layer too thick for any backing to show; 0 for K = S = 0. */
FH_API double fh_body_thick(double K, double S);

/* K/S of a thick layer's reflectance, 0 < R_inf ≤ 1. */
FH_API double fh_body_ratio(double R_inf);

/* The body as a layer, K and S per mm and band, thickness in mm. */
FH_API fh_layer fh_body_layer(const fh_spectrum *K, const fh_spectrum *S, double thickness_mm);

/* R over two different backings → R0 and T. FH_E_ARGUMENT: backings alike or outside 0–1;
 * FH_E_IMPOSSIBLE: no layer without faces has these reflectances. */
FH_API fh_status fh_body_between(double R_a, double backing_a, double R_b, double backing_b,
                                 fh_body *out);

/* R0 and T → KX and SX. FH_E_IMPOSSIBLE: R0 + T > 1, negative, or T = 0 (an opaque layer fixes
 * K/S only). */
FH_API fh_status fh_body_invert(fh_body body, fh_body_pair *out);

/* R over one backing and R_inf of the same material → KX and SX. FH_E_IMPOSSIBLE: R isn't
 * strictly between the backing and R_inf. FH_E_ARGUMENT: values outside 0–1, R_inf not below 1. */
FH_API fh_status fh_body_from_thick(double R, double backing, double R_inf, fh_body_pair *out);

#ifdef __cplusplus
}
#endif
#endif
