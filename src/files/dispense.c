/* A recipe rounded to quantities that were said in ml, grams or drops. */
#include "farhue/dispense.h"

/* The first of some larger sizes at which the rounded recipe keeps the tolerance; 0: none. */
static double larger_size(const fh_target *target, const fh_paint *shelf, const fh_recipe *recipe,
                          const fh_surface *surface, double size, const double *step)
{
    static const double times[] = {1.5, 2.0, 3.0, 5.0, 8.0};
    for (size_t i = 0; i < sizeof times / sizeof *times; ++i) {
        double ml[FH_MIX_PAINTS];
        fh_recipe rounded;
        if (!fh_recipe_round(target, shelf, recipe, surface, times[i] * size, step, ml, &rounded,
                             NULL) &&
            rounded.worst <= target->tolerance)
            return times[i] * size;
    }
    return 0.0;
}

fh_status fh_recipe_dispense(const fh_target *target, const fh_paint *shelf,
                             const fh_recipe *recipe, const fh_surface *surface, fh_quantity wanted,
                             fh_quantity least, fh_dispensed *out, fh_error *error)
{
    double step[FH_MIX_PAINTS], ml = 0.0;
    fh_dispensed found = {.size = 0.0};
    fh_status status = FH_OK;
    for (size_t i = 0; i < recipe->blend.count && !status; ++i)
        status = fh_quantity_ml(least, &shelf[recipe->blend.paint[i]], &step[i], error);
    if (!status) status = fh_quantity_ml_of_blend(wanted, shelf, &recipe->blend, &ml, error);
    if (!status)
        status = fh_recipe_round(target, shelf, recipe, surface, ml, step, found.ml, &found.rounded,
                                 error);
    if (status) return status;
    found.wanted = ml;
    for (size_t i = 0; i < recipe->blend.count; ++i) found.size += found.ml[i];
    found.coarse = found.rounded.worst > target->tolerance && recipe->worst <= target->tolerance;
    if (found.coarse) found.larger = larger_size(target, shelf, recipe, surface, found.size, step);
    *out = found;
    return FH_OK;
}
