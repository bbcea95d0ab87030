/* A paint file from a stranger: what can be read holds finite K and S, none below 0, and gives
 * recipes without a NaN. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "farhue/paints.h"
#include "farhue/recipe.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Large files only take time. */
enum { MOST = 1 << 14 };

static void mix(const fh_paints *p)
{
    const fh_weights day = fh_weights_of(fh_condition_default());
    fh_reading part = fh_reading_blank();
    fh_target target;
    fh_recipe recipe;
    fh_error error = {0};
    size_t count = 0;
    part.id[0] = 'p';
    part.origin = FH_ORIGIN_SPECTRUM;
    part.reflectance = fh_spectrum_flat(0.3);
    part.lab = fh_lab_of_spectrum(&part.reflectance, &day);
    fh_target_init(&target, &part, NULL);
    fh_recipe_options options = fh_recipe_options_for(&target);
    options.most_paints = 2;
    options.surface = p->surface;
    if (fh_recipe_find(&target, p->paints, p->count, &options, &recipe, 1, &count, &error)) return;
    if (count != 1 || !isfinite(recipe.worst) || !isfinite(recipe.metamerism)) abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fh_paints paints = {0};
    fh_error error = {0};
    if (size > MOST) return 0;
    if (fh_paints_read((const char *)data, size, NULL, &paints, NULL, NULL, &error)) {
        if (error.message[0] == '\0') abort();
        return 0;
    }
    for (size_t i = 0; i < paints.count; ++i)
        for (size_t b = 0; b < FH_BANDS; ++b) {
            const double K = paints.paints[i].K.v[b], S = paints.paints[i].S.v[b];
            if (!(K >= 0.0) || !isfinite(K) || !(S >= 0.0) || !isfinite(S)) abort();
        }
    mix(&paints);
    fh_paints_free(&paints);
    return 0;
}
