/* Colour differences between two Lab colours of the same condition. */
#ifndef FARHUE_DIFFERENCE_H
#define FARHUE_DIFFERENCE_H

#include "farhue/colour.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Parametric factors; 1:1:1 is the reference condition of [CIE142]. All positive. */
typedef struct fh_factors {
    double kL, kC, kH;
} fh_factors;

/* CIEDE2000 with its signed components, sample − reference:
 *   dE² = dL² + dC² + dH² + rotation
 * dL, dC, dH are already divided by k·S; rotation is the term with R_T. */
typedef struct fh_difference {
    double dE;
    double dL, dC, dH;
    double rotation;
} fh_difference;

/* CIEDE2000 [Sharma2005, ISO11664-6], factors 1:1:1. Symmetric in its arguments. */
FH_API double fh_de2000(fh_lab reference, fh_lab sample);

/* The same with factors and components. */
FH_API fh_difference fh_de2000_parts(fh_lab reference, fh_lab sample, fh_factors factors);

/* ΔE*ab, 1976. */
FH_API double fh_de1976(fh_lab reference, fh_lab sample);

/* CIE94 [CIE116]: weights from the reference's chroma, not symmetric. */
FH_API double fh_de1994_graphic(fh_lab reference, fh_lab sample);
FH_API double fh_de1994_textile(fh_lab reference, fh_lab sample);

/* CMC(l:c) [BS6923]: from the reference, not symmetric. l, c > 0. */
FH_API double fh_decmc(fh_lab reference, fh_lab sample, double l, double c);

/* count CIEDE2000 differences of float colours laid out as arrays of L, a and b, against one
 * reference. Held to fh_de2000 within 2e-3 + 1e-4 dE by a test. out may not alias the inputs. */
FH_API void fh_de2000_batch(fh_lab reference, const float *L, const float *a, const float *b,
                            size_t count, float *out);

#ifdef __cplusplus
}
#endif
#endif
