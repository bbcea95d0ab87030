/* How far off the bare part may be before it shows.
 *
 * Membership is computed through the model: a bare colour is within the tolerance when, behind
 * the shell and under every stated light, it differs from the target by no more than the seen
 * ΔE00. Verdicts use nothing else. For people the region is described by a radius, a box and a
 * contour that stay inside it. A bare colour stands for the surface that differs from the
 * target's reflectance as smoothly as it can; other pigments of the same bare colour may show
 * more, and fh_tolerance says how much. */
#ifndef FARHUE_TOLERANCE_H
#define FARHUE_TOLERANCE_H

#include "farhue/target.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Bare differences are not followed beyond this ΔE00. */
#define FH_BARE_MOST 40.0

typedef struct fh_tolerance {
    double seen;            /* the ΔE00 as seen that is still right */
    fh_condition condition; /* of the bare figures */
    fh_lab bare;            /* the target, bare */
    double safe;            /* any bare ΔE00 below this shows less than seen, in all directions */
    fh_vec3 tightest;       /* the bare offset ΔL*, Δa*, Δb* where that limit is met */
    double forgiving;       /* bare ΔE00 in the most forgiving direction that shows as seen */
    fh_vec3 loosest;        /* its offset */
    bool capped;            /* forgiving is where the search ended, not where it shows */
    double pigments;        /* 95 in 100 parts of exactly the bare colour but other pigments show
                               no more than this, under the worst light */
    bool polar;             /* the box is in ΔL*, ΔC*, ΔH*; else, near grey, in ΔL*, Δa*, Δb* */
    double low[3], high[3]; /* the box: low ≤ 0 ≤ high on each axis */
} fh_tolerance;

/* Work out the description. Some tenths of a second. error may be NULL.
 * Errors as fh_target_check and fh_estimate_of_reading; FH_E_MEMORY. */
FH_API fh_status fh_tolerance_find(const fh_target *target, fh_tolerance *out, fh_error *error);

/* ΔE00 as seen between the target and a bare reflectance, by the readings as they stand, under
 * each light of the target in its order; returns the largest, or a negative number when the
 * target's own spectrum cannot be had (see fh_estimate_of_reading). seen may be NULL. */
FH_API double fh_seen_difference(const fh_target *target, const fh_spectrum *bare,
                                 double seen[FH_LIGHTS_MAX]);

/* A bare colour, in the tolerance's condition, is inside the box. */
FH_API bool fh_tolerance_box_holds(const fh_tolerance *tolerance, fh_lab bare);

/* The contour of the region in the plane through the target spanned by two directions of
 * ΔL*, Δa*, Δb* (at right angles, each of length 1): count offsets at equal angles from u towards
 * v, each where the tolerance is met or, capped, at FH_BARE_MOST or where no surface has such a
 * colour. capped may be NULL, else count flags. Errors as fh_tolerance_find, and FH_E_ARGUMENT
 * for a count below 3. */
FH_API fh_status fh_tolerance_contour(const fh_target *target, fh_vec3 u, fh_vec3 v, size_t count,
                                      fh_vec3 *offsets, bool *capped, fh_error *error);

enum { FH_SENTENCE = 320 };

/* "Any bare difference below 2.0 shows less than 1.0 through the shell; in the most forgiving
 * direction (bluer) up to 10." Figures are rounded towards the safe side. */
FH_API void fh_tolerance_sentence(const fh_tolerance *tolerance, bool shell,
                                  char out[FH_SENTENCE]);

#ifdef __cplusplus
}
#endif
#endif
