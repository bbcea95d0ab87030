/* Recipes from a shelf of 24 invented paints by up to four, under three lights, beside the time
 * that the looks of as many blends take. */
#include "bench.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/recipe.h"

enum { SHELF = 24 };

typedef struct {
    fh_paint shelf[SHELF];
    fh_target target;
    fh_recipe_options options;
    fh_recipe found[50];
} job;

static double looks(void *data, size_t count)
{
    job *j = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; ++i) {
        const fh_blend blend = {4, {i % 6, 6 + i % 7, 13 + i % 5, 18 + i % 6}, {4, 3, 2, 1}};
        const fh_spectrum coat = fh_blend_opaque(j->shelf, &blend, &j->options.surface);
        for (size_t l = 0; l < 3; ++l) sum += fh_lab_of_spectrum(&coat, &j->target.light[l]).L;
    }
    return sum;
}

static double recipes(void *data, size_t count)
{
    job *j = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; ++i) {
        size_t n = 0;
        if (fh_recipe_find(&j->target, j->shelf, SHELF, &j->options, j->found, 50, &n, NULL))
            abort();
        sum += j->found[0].worst;
    }
    return sum;
}

int main(void)
{
    static job j;
    for (size_t p = 0; p < SHELF; ++p) {
        j.shelf[p] = fh_paint_blank();
        j.shelf[p].id[0] = (char)('a' + p);
        for (size_t i = 0; i < FH_BANDS; ++i) {
            const double d =
                (fh_band_nm(i) - 350.0 - 18.0 * (double)p) / (40.0 + 5.0 * (double)(p % 7));
            j.shelf[p].K.v[i] = 0.02 + (double)(p % 5 + 1) * exp(-d * d);
            j.shelf[p].S.v[i] = 0.1 + 0.2 * (double)(p % 4);
        }
    }
    const fh_weights day = fh_weights_of(fh_condition_default());
    fh_reading part = fh_reading_blank();
    strcpy(part.id, "part");
    part.origin = FH_ORIGIN_SPECTRUM;
    for (size_t i = 0; i < FH_BANDS; ++i)
        part.reflectance.v[i] = 0.12 + 0.4 / (1.0 + exp(18.0 - (double)i));
    part.lab = fh_lab_of_spectrum(&part.reflectance, &day);
    fh_target_init(&j.target, &part, NULL);
    j.options = fh_recipe_options_for(&j.target);
    bench_title("recipes: 24 paints by up to four (12950 subsets), three lights");
    const double yard = 12950.0 * bench_time(looks, &j, 20000);
    bench_line("looks of 12950 blends", yard, 0.0);
    bench_line("recipes", bench_time(recipes, &j, 1), yard);
    return 0;
}
