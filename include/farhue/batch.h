/* A mixed batch, measured: what to add so that it fits.
 *
 * Nothing can be taken out of a pot, so a correction only adds. What the paint-outs of this batch
 * came to, against what was predicted, teaches how its paints and quantities differ from the
 * books; the next step uses that. */
#ifndef FARHUE_BATCH_H
#define FARHUE_BATCH_H

#include "farhue/recipe.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_BATCH_STEPS = 8 };

/* What was put in, and the dry paint-out that was read afterwards. */
typedef struct fh_batch_step {
    double added[FH_MIX_PAINTS]; /* quantity of each paint of the batch, ≥ 0 */
    const fh_reading *paint_out; /* borrowed */
} fh_batch_step;

typedef struct fh_batch {
    size_t paint_count; /* 1 to FH_MIX_PAINTS */
    size_t
        paint[FH_MIX_PAINTS]; /* on the shelf; pots that may be used but were not yet count too */
    size_t step_count;        /* 1 to FH_BATCH_STEPS: the mixture, then each correction */
    fh_batch_step step[FH_BATCH_STEPS];
} fh_batch;

typedef struct fh_batch_options {
    fh_surface surface; /* of the paint-outs as they were read */
    fh_surface finish;  /* of the finished part: the same, another gloss, or a clear coat on top */
    double dispensing;  /* relative standard deviation of each quantity, 0.03 */
    double most_growth; /* of the batch by this step, as a share of its size, 1.0 */
    double noise;       /* of a paint-out that states no uncertainty, per axis of Lab, 0.2 */
    double step[FH_MIX_PAINTS]; /* what can be dispensed of each paint; 0: any quantity */
} fh_batch_options;

/* The figures above, any quantity, both surfaces that of fh_recipe_options_for. */
FH_API fh_batch_options fh_batch_options_for(const fh_target *target);

/* How surprising what was learned may be, in standard deviations (common practice, no source):
 * above the first something else is wrong, such as a quantity; above the second an addition would
 * be a guess, and nothing is advised. */
#define FH_BATCH_STRANGE 3.0
#define FH_BATCH_BEYOND 6.0

typedef struct fh_batch_advice {
    double now; /* worst seen ΔE00 of the last paint-out with the finish on it; for Lab alone the
                   learned paints tell its spectrum */
    bool within;      /* that is no more than the target's tolerance */
    bool significant; /* its look differs from the target's by more than both uncertainties allow,
                         under one of the lights (χ², 95 % for all of them together) */
    bool helps;       /* something can be added that takes off a tenth of it or more: */
    double size;      /* of the batch */
    double add[FH_MIX_PAINTS]; /* quantity of each paint of the batch; all 0 when not significant
                                  or nothing helps */
    double new_size;
    double predicted; /* worst seen ΔE00 afterwards */
    double surprise;  /* the largest of what was learned, in standard deviations of what was to be
                         expected */
    double learned_K[FH_MIX_PAINTS], learned_S[FH_MIX_PAINTS]; /* factors on the books' K and S */
} fh_batch_advice;

/* Work out the correction after the last step.
 * FH_E_ARGUMENT: counts, options; FH_E_DATA: a quantity negative or not finite, an empty batch, a
 * paint twice, an unsound reading; else as fh_recipe_of. error may be NULL. */
FH_API fh_status fh_batch_correct(const fh_target *target, const fh_paint *shelf,
                                  const fh_batch *batch, const fh_batch_options *options,
                                  fh_batch_advice *out, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
