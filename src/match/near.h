/* Bare colours close to a reference: the reflectance that differs from the reference's own as
 * little as the model allows and has exactly the wanted Lab. */
#ifndef FARHUE_MATCH_NEAR_H
#define FARHUE_MATCH_NEAR_H

#include "farhue/estimate.h"

/* logit R = logit R₀ + Σ gain_k x_k, with x solved so that Lab(R) = Lab(R₀) + offset under the
 * estimate's own weights, to 1e-8.
 * FH_E_IMPOSSIBLE when no such x is found: near or beyond the limit of what surfaces can have. */
fh_status fh_near_colour(const fh_estimate *estimate, fh_vec3 offset, fh_spectrum *out);

#endif
