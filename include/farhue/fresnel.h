/* Reflection at a smooth face between air and plastic, unpolarised light.
 *
 * index is the refractive index of the plastic, finite and at least 1 (asserted). Cosines are of
 * the angle to the normal, on the side that the name says, 0–1. [Judd1942, Walsh1926] */
#ifndef FARHUE_FRESNEL_H
#define FARHUE_FRESNEL_H

#include "farhue/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define FH_INDEX_ACRYLIC 1.49
#define FH_INDEX_POLYCARBONATE 1.586
#define FH_INDEX_PLASTIC 1.5 /* for a plastic that isn't known */

/* Share of a beam in air that the face throws back. */
FH_API double fh_fresnel_outside(double index, double cosine_outside);

/* Share of a beam inside the plastic that the face throws back; 1 beyond the critical angle. */
FH_API double fh_fresnel_inside(double index, double cosine_inside);

/* The cosine inside of a beam that comes from air. */
FH_API double fh_fresnel_refract(double index, double cosine_outside);

/* The same for perfectly diffuse light on the air side: 0.0918 for an index of 1.5. */
FH_API double fh_fresnel_diffuse_outside(double index);

/* For perfectly diffuse light inside: 1 − (1 − r_outside)/n², 0.5963 for an index of 1.5. */
FH_API double fh_fresnel_diffuse_inside(double index);

#ifdef __cplusplus
}
#endif
#endif
