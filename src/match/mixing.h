/* How a blend looks against the target: shared by recipes and batches. */
#ifndef FARHUE_MATCH_MIXING_H
#define FARHUE_MATCH_MIXING_H

#include "farhue/recipe.h"

/* The target made ready: its looks, and in each the metric of ΔE00 as three rows, so that
 * rows × (Lab − target's Lab) has about the length ΔE00 for small differences. */
typedef struct fh_mixing {
    const fh_target *target;
    fh_surface surface;
    fh_spectrum bare; /* the target's reflectance */
    fh_spectrum look; /* behind the shell, measured or computed; bare without one */
    fh_lab bare_lab[FH_LIGHTS_MAX], look_lab[FH_LIGHTS_MAX];
    fh_mat3 metric[FH_LIGHTS_MAX];
} fh_mixing;

/* A target by its look is compared with the look itself, as verdicts do. Errors as fh_target_check
 * and fh_estimate_of_reading; FH_E_MEMORY. */
fh_status fh_mixing_of(const fh_target *target, const fh_surface *surface, fh_mixing *out,
                       fh_error *error);

/* The same with another reflectance as the target's, and another look; NULL: what the shell makes
 * of that reflectance. */
void fh_mixing_retarget(fh_mixing *mixing, const fh_spectrum *bare, const fh_spectrum *look);

/* A bare reflectance as it is seen. */
fh_spectrum fh_mixing_look(const fh_mixing *mixing, const fh_spectrum *bare);

/* The three metric differences under each light, one after the other, of a bare reflectance. */
void fh_mixing_differences(const fh_mixing *mixing, const fh_spectrum *bare, double *out);

/* Largest length of those: near the worst seen ΔE00, and quick. */
double fh_mixing_rough(const fh_mixing *mixing, const fh_spectrum *bare);

/* Largest ΔE00 over the lights, as seen. */
double fh_mixing_worst(const fh_mixing *mixing, const fh_spectrum *bare);

/* Everything about a blend; its shares are scaled to sum 1 and put in order. */
void fh_mixing_recipe(const fh_mixing *mixing, const fh_paint *shelf, const fh_blend *blend,
                      fh_recipe *out);

#endif
