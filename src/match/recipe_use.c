/* From a recipe to the bench: rounding to what can be dispensed, how sure it is, what is missing.
 */
#include <math.h>
#include <stdlib.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/random.h"
#include "base/text.h"
#include "match/mixing.h"
#include "match/trials.h"

/* One way to dispense a recipe, and how it looks. */
typedef struct rounding {
    double amount[FH_MIX_PAINTS], cost;
    bool enough; /* all that is wanted, and hardly more */
} rounding;

static const double leeway = 0.10;       /* a batch may come out so much larger … */
static const double price_of_size = 0.3; /* … when that gains this much ΔE00 per unit of ln size */
enum { SIZES = 41 };

/* Each quantity of a batch rounded down or up by its own step, whichever looks best; too little or
 * far more only where the steps leave nothing else. */
static void try_size(const fh_mixing *mixing, const fh_paint *shelf, const fh_blend *b,
                     const fh_surface *surface, double batch, double size, const double *step,
                     rounding *best)
{
    for (size_t code = 0; code < (size_t)1 << b->count; ++code) {
        fh_blend trial = *b;
        double total = 0.0;
        for (size_t i = 0; i < b->count; ++i) {
            const double units = floor(b->part[i] * size / step[i]) + (double)(code >> i & 1);
            trial.part[i] = units * step[i];
            total += trial.part[i];
        }
        const double ratio = total / batch, slack = 1e-9;
        const bool enough = ratio >= 1.0 - slack && ratio <= 1.0 + leeway + slack;
        if (!(total > 0.0) || fabs(ratio - 1.0) > 2.0 * leeway) continue;
        if (best->enough && !enough) continue;
        const fh_spectrum coat = fh_blend_opaque(shelf, &trial, surface);
        const double cost = fh_mixing_worst(mixing, &coat) + price_of_size * fabs(log(ratio));
        if (enough == best->enough && !(cost < best->cost)) continue;
        best->cost = cost;
        best->enough = enough;
        for (size_t i = 0; i < b->count; ++i) best->amount[i] = trial.part[i];
    }
}

/* "2530", "0.05": never with an exponent. */
static void write_ml(double ml, char out[24])
{
    fh_format(out, 24, ml < 100.0 ? "%.3g" : "%.0f", ml);
}

fh_status fh_recipe_round(const fh_target *target, const fh_paint *shelf, const fh_recipe *recipe,
                          const fh_surface *surface, double batch, const double *step,
                          double *amount, fh_recipe *out, fh_error *error)
{
    const fh_blend *b = &recipe->blend;
    fh_mixing mixing;
    rounding best = {.cost = HUGE_VAL};
    bool valid = batch > 0.0 && isfinite(batch);
    double least = 0.0; /* of a batch in which every paint is there at all */
    for (size_t i = 0; i < b->count; ++i) {
        valid = valid && step[i] > 0.0 && isfinite(step[i]);
        least = fmax(least, step[i] / b->part[i]);
    }
    if (!valid)
        return fh_fail(error, FH_E_ARGUMENT, "the batch and the smallest amount must be above 0");
    fh_status status = fh_mixing_of(target, surface, &mixing, error);
    if (status) return status;
    for (int k = 0; k < SIZES; ++k) {
        const double size = batch * (1.0 + leeway * (2.0 * k / (SIZES - 1) - 1.0));
        try_size(&mixing, shelf, b, surface, batch, size, step, &best);
    }
    if (!(best.cost < HUGE_VAL)) {
        char wanted[24], needed[24];
        write_ml(batch, wanted);
        write_ml(least, needed);
        return fh_fail(error, FH_E_DATA,
                       "a batch of %s ml is too small for what can be dispensed; expected about %s "
                       "ml or more, or a finer step",
                       wanted, needed);
    }
    fh_blend rounded = *b;
    for (size_t i = 0; i < b->count; ++i) rounded.part[i] = amount[i] = best.amount[i];
    fh_mixing_recipe(&mixing, shelf, &rounded, out);
    return FH_OK;
}

fh_recipe_doubt fh_recipe_doubt_default(void)
{
    return (fh_recipe_doubt){.dispensing = 0.03, .trials = 400, .seed = 1};
}

static int ascending(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The coat of one trial. */
static fh_spectrum drawn_coat(const fh_paint *shelf, const fh_blend *blend,
                              const fh_surface *surface, const fh_recipe_doubt *doubt,
                              uint64_t trial)
{
    fh_paint own[FH_MIX_PAINTS];
    fh_blend moved = {.count = blend->count};
    for (size_t i = 0; i < blend->count; ++i) {
        const fh_paint *p = &shelf[blend->paint[i]];
        const uint64_t stream = fh_stream_of(p->id);
        const double strong = p->strength * fh_random_normal(doubt->seed, stream, trial, 3);
        const double k = exp(strong + p->spread * fh_random_normal(doubt->seed, stream, trial, 0));
        const double s = exp(strong + p->spread * fh_random_normal(doubt->seed, stream, trial, 1));
        own[i].K = fh_spectrum_add(fh_spectrum_flat(0.0), p->K, k);
        own[i].S = fh_spectrum_add(fh_spectrum_flat(0.0), p->S, s);
        moved.paint[i] = i;
        moved.part[i] = blend->part[i] *
                        exp(doubt->dispensing * fh_random_normal(doubt->seed, stream, trial, 2));
    }
    return fh_blend_opaque(own, &moved, surface);
}

/* The target's part or look of one trial. */
static fh_spectrum drawn_target(const fh_entrant *what, uint64_t seed, uint64_t trial)
{
    const uint64_t stream = fh_stream_of("target: open");
    double z[FH_ESTIMATE_MODES];
    for (size_t k = 0; k < what->estimate.mode_count; ++k)
        z[k] = fh_random_normal(seed, stream, trial, k);
    return fh_estimate_draw(&what->estimate, fh_draw_error(&what->drawer, seed, trial), z);
}

fh_status fh_recipe_interval(const fh_target *target, const fh_paint *shelf,
                             const fh_recipe *recipe, const fh_surface *surface,
                             const fh_recipe_doubt *doubt, double *low, double *high,
                             fh_error *error)
{
    fh_mixing mixing;
    if (doubt->trials < 40 || doubt->trials > 1000000 || !(doubt->dispensing >= 0.0))
        return fh_fail(error, FH_E_ARGUMENT, "expected 40 to 1000000 trials, dispensing 0 or more");
    fh_status status = fh_mixing_of(target, surface, &mixing, error);
    if (status) return status;
    double *worst = fh_allocate(doubt->trials, sizeof *worst);
    fh_reference *reference = fh_allocate(1, sizeof *reference);
    status = worst && reference ? fh_reference_of(target, reference, error)
                                : fh_fail(error, FH_E_MEMORY, "%s", fh_status_text(FH_E_MEMORY));
    for (size_t t = 0; !status && t < doubt->trials; ++t) {
        const fh_spectrum part = drawn_target(&reference->part, doubt->seed, t);
        if (target->by_look) {
            const fh_spectrum look = drawn_target(&reference->look, doubt->seed, t);
            fh_mixing_retarget(&mixing, &part, &look);
        } else {
            fh_mixing_retarget(&mixing, &part, NULL);
        }
        const fh_spectrum coat = drawn_coat(shelf, &recipe->blend, surface, doubt, t);
        worst[t] = fh_mixing_worst(&mixing, &coat);
    }
    if (!status) {
        qsort(worst, doubt->trials, sizeof *worst, ascending);
        *low = worst[doubt->trials / 40];
        *high = worst[doubt->trials - 1 - doubt->trials / 40];
    }
    fh_free(worst);
    fh_free(reference);
    return status;
}

fh_status fh_recipe_missing(const fh_target *target, const fh_recipe *recipe, fh_lab *paint)
{
    const fh_weights weights = fh_weights_of(target->condition);
    fh_reading part;
    fh_status status = fh_reading_in_condition(&target->part, &weights, &part, NULL);
    if (status) return status;
    const fh_lab to = part.lab, from = recipe->lab;
    const fh_lab beyond = {to.L + 2.0 * (to.L - from.L), to.a + 2.0 * (to.a - from.a),
                           to.b + 2.0 * (to.b - from.b)};
    return fh_nearest_possible(beyond, &weights, paint);
}

double fh_recipe_worst_bare(const fh_target *target, const fh_recipe *recipe)
{
    double worst = 0.0;
    for (size_t i = 0; i < target->light_count; ++i) worst = fmax(worst, recipe->bare[i]);
    return worst;
}

bool fh_recipe_metameric(const fh_target *target, const fh_recipe *recipe, size_t *light,
                         double *nm, bool *more)
{
    size_t worst = 0;
    for (size_t i = 1; i < target->light_count; ++i)
        if (recipe->seen[i] > recipe->seen[worst]) worst = i;
    if (recipe->seen[0] > target->tolerance || recipe->seen[worst] <= target->tolerance)
        return false;
    double largest = 0.0;
    *light = worst;
    *nm = 0.0;
    *more = false;
    /* Cube roots, so that dark bands count as the eye counts them; not the ends of the spectrum. */
    for (size_t i = 3; i + 4 < FH_BANDS && target->part.origin == FH_ORIGIN_SPECTRUM; ++i) {
        const double d = cbrt(target->part.reflectance.v[i]) - cbrt(recipe->reflectance.v[i]);
        if (fabs(d) <= largest) continue;
        largest = fabs(d);
        *nm = fh_band_nm(i);
        *more = d > 0.0;
    }
    return true;
}
