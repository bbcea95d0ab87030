/* Two figures about a reflectance that no single Lab shows: metamerism and yellowness. */
#ifndef FARHUE_APPEARANCE_H
#define FARHUE_APPEARANCE_H

#include "farhue/colour.h"

#ifdef __cplusplus
extern "C" {
#endif

/* How far two colours that fit under one light part under another. */
typedef struct fh_metamerism {
    double dEab; /* ΔE*ab, the index of [CIE15] */
    double dE00;
} fh_metamerism;

/* Special metamerism index, change of illuminant [CIE15]: the difference under `test` once what
 * is left under `reference` has been taken out of the sample's XYZ by multiplication. */
FH_API fh_metamerism fh_metamerism_of(const fh_spectrum *standard, const fh_spectrum *sample,
                                      const fh_weights *reference, const fh_weights *test);

/* Yellowness index YI of [ASTME313]: 100 (C_X X − C_Z Z)/Y. Only for C and D65, either observer
 * (FH_E_ARGUMENT for others); FH_E_DATA when Y is not above 0 or a value is not finite. */
FH_API fh_status fh_yellowness(fh_xyz xyz, fh_condition condition, double *out);

#ifdef __cplusplus
}
#endif
#endif
