/* A recipe as a batch on the bench: in quantities as people have them, rounded to what can be
 * dispensed. */
#ifndef FARHUE_DISPENSE_H
#define FARHUE_DISPENSE_H

#include "farhue/quantity.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct fh_dispensed {
    double ml[FH_MIX_PAINTS]; /* of each paint of the recipe's blend, in its order */
    double size, wanted;      /* of the batch, and what was asked for, ml */
    fh_recipe rounded;        /* what that comes to */
    bool coarse; /* beyond the tolerance, which the recipe itself keeps: the steps are too large */
    double larger; /* then: about this size, ml, would keep it; 0: none up to eight times */
} fh_dispensed;

/* Round a recipe to a batch of the wanted size or a little more, `least` being the smallest
 * quantity of any paint that can be dispensed (fh_recipe_round). FH_E_DATA: grams or drops of a
 * paint whose density or drop isn't known, a batch too small for any of it; else as fh_recipe_of.
 * error may be NULL. */
FH_API fh_status fh_recipe_dispense(const fh_target *target, const fh_paint *shelf,
                                    const fh_recipe *recipe, const fh_surface *surface,
                                    fh_quantity wanted, fh_quantity least, fh_dispensed *out,
                                    fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
