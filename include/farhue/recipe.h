/* Which paints, and how much of each, make the target's colour.
 *
 * A recipe is judged as everything else is: as it looks behind the target's shell, under each of
 * its lights. The coat is opaque; fh_hide tells how many coats that takes. */
#ifndef FARHUE_RECIPE_H
#define FARHUE_RECIPE_H

#include "farhue/mix.h"
#include "farhue/target.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_RECIPE_PAINTS = 4 };

typedef struct fh_recipe {
    fh_blend blend;          /* shares of the volume, sum 1, the largest first */
    fh_spectrum reflectance; /* predicted, bare */
    fh_lab lab;              /* of it, in the target's condition */
    double bare[FH_LIGHTS_MAX], seen[FH_LIGHTS_MAX]; /* ΔE00 under each light of the target */
    double worst;                                    /* largest of seen */
    double metamerism; /* as seen: largest ΔE00 index of the other lights against the first */
} fh_recipe;

typedef struct fh_recipe_options {
    size_t most_paints;   /* 1 to FH_RECIPE_PAINTS */
    double window;        /* recipes this much ΔE00 behind the best count as equally good, ≥ 0 */
    fh_surface surface;   /* of the dry coat, read as the target was */
    fh_progress progress; /* or NULL */
    void *progress_user;
} fh_recipe_options;

/* Four paints, window 0.3, the face of paint of index 1.5 in the target's geometry and specular
 * mode (45°:0° where not known). */
FH_API fh_recipe_options fh_recipe_options_for(const fh_target *target);

/* What a given blend of the shelf comes to. Errors as fh_estimate_of_reading for the target. */
FH_API fh_status fh_recipe_of(const fh_target *target, const fh_paint *shelf, const fh_blend *blend,
                              const fh_surface *surface, fh_recipe *out, fh_error *error);

/* The best recipes from all subsets of the shelf: for each subset the shares by least squares on
 * the spectrum, for the most promising then on the looks under all lights, shares ≥ 0.
 * In order: those within the window of the best by metamerism (a further paint must gain 0.02),
 * then the rest by worst ΔE00. A recipe in which a paint comes out with nothing is listed without
 * that paint, once. out: room for most (1 to 50) recipes; *count: how many were written.
 * FH_E_ARGUMENT: shelf_count (1 to FH_MIX_SHELF), options. FH_E_DATA: a paint that isn't finite or
 * has negative K, two paints with one id; the target's errors as fh_target_check. FH_E_STOPPED. */
FH_API fh_status fh_recipe_find(const fh_target *target, const fh_paint *shelf, size_t shelf_count,
                                const fh_recipe_options *options, fh_recipe *out, size_t most,
                                size_t *count, fh_error *error);

/* Round a recipe to what can be dispensed: amounts are multiples of step[i] for the i-th paint of
 * the blend (ml as batch, above 0). Each quantity is rounded down or up, and of the batches of 1 to
 * 1.1 times the wanted size the one that looks best is taken, one nearer to the size of two alike;
 * where the steps are too coarse for such a size, one of 0.8 to 1.2 times. *out is the rounded
 * recipe, evaluated. amount may alias nothing. FH_E_ARGUMENT: a step or batch not above 0;
 * FH_E_DATA: the batch is too small for any of it. */
FH_API fh_status fh_recipe_round(const fh_target *target, const fh_paint *shelf,
                                 const fh_recipe *recipe, const fh_surface *surface, double batch,
                                 const double *step, double *amount, fh_recipe *out,
                                 fh_error *error);

/* What may go wrong between the recipe and the coat. */
typedef struct fh_recipe_doubt {
    double dispensing; /* relative standard deviation of each quantity, 0.03 */
    size_t trials;     /* 400 */
    unsigned long long seed;
} fh_recipe_doubt;

/* Dispensing 0.03 (a syringe or a small scale; common practice, no source), 400 trials, seed 1. */
FH_API fh_recipe_doubt fh_recipe_doubt_default(void);

/* 95 % interval of the worst seen ΔE00: K and S of each paint off by its spread, each quantity by
 * the dispensing, the target by its own uncertainty (Monte Carlo [JCGM101]). Errors as
 * fh_recipe_of. */
FH_API fh_status fh_recipe_interval(const fh_target *target, const fh_paint *shelf,
                                    const fh_recipe *recipe, const fh_surface *surface,
                                    const fh_recipe_doubt *doubt, double *low, double *high,
                                    fh_error *error);

/* When even the best recipe falls short: a colour (in the target's condition) of a paint that would
 * help, on the far side of the target as seen from the recipe, as far beyond it as a surface can
 * be, at most twice the gap. Errors as fh_nearest_possible. */
FH_API fh_status fh_recipe_missing(const fh_target *target, const fh_recipe *recipe, fh_lab *paint);

/* The largest of the recipe's bare ΔE00 over the target's lights. */
FH_API double fh_recipe_worst_bare(const fh_target *target, const fh_recipe *recipe);

/* Whether the best recipe falls short by its spectrum, not by its colour: within the tolerance under
 * the first light and beyond it under another, the worst, whose index goes to *light. Then no paint in
 * some direction helps but one with another curve: *nm is where the two differ most, *more whether
 * the target reflects more there; *nm is 0 where the target's spectrum isn't measured. */
FH_API bool fh_recipe_metameric(const fh_target *target, const fh_recipe *recipe, size_t *light,
                                double *nm, bool *more);

#ifdef __cplusplus
}
#endif
#endif
