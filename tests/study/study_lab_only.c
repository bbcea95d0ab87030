/* The whole chain from Lab alone: docs/accuracy.md, "Shells".
 *
 * Exact shells (the Monte Carlo table) are read as a phone or a cheap colorimeter would: Lab for
 * D65/10 of the look and of the backing over black, grey and white (or black and white), each with
 * noise of 0.3 per axis. Parts (measured spectra) are known as Lab only, too. Predicted look
 * against the true one, under D65/10 and A/10; how often the 95 % interval of the draws holds
 * the true L*, a*, b*. For comparison the same with spectra of everything. */
#include <math.h>

#include "exact.h"
#include "farhue/difference.h"
#include "farhue/draw.h"
#include "farhue/estimate.h"
#include "farhue/shell.h"
#include "sets.h"

enum { DRAWS = 100, LIGHTS = 2, MOST = 40000, STEP = 12 };

static const double noise = 0.3;
static exact_shell shells[EXACT_SHELLS];
static fh_shell shell;
static double found[MOST];

typedef struct tally {
    size_t count, held, asked;
} tally;

static fh_reading read_as(const char *id, fh_spectrum R, bool lab_only, uint64_t trial)
{
    fh_reading reading = exact_reading(id, R);
    if (!lab_only) return reading;
    uint64_t stream = fh_draw_stream(id);
    reading.origin = FH_ORIGIN_LAB;
    reading.lab.L += noise * fh_draw_normal(7, stream, trial, 0);
    reading.lab.a += noise * fh_draw_normal(7, stream, trial, 1);
    reading.lab.b += noise * fh_draw_normal(7, stream, trial, 2);
    reading.random = fh_mat3_diagonal(noise * noise, noise * noise, noise * noise);
    return reading;
}

static bool fit(const exact_shell *exact, size_t backings, bool lab_only, uint64_t trial)
{
    static const double grey[3] = {0.04, 0.88, 0.35};
    static const char *const names[6] = {"black", "white", "grey", "look b", "look w", "look g"};
    fh_reading look[3], backing[3];
    fh_shell_sample sample[3];
    for (size_t b = 0; b < backings; ++b) {
        fh_spectrum part = fh_spectrum_flat(grey[b]);
        backing[b] = read_as(names[b], part, lab_only, trial);
        look[b] = read_as(names[3 + b], exact_look(exact, &part), lab_only, trial);
        look[b].method.geometry = backing[b].method.geometry =
            exact->geometry[0] == '8' ? FH_GEOMETRY_8_D : FH_GEOMETRY_45_0;
        sample[b] = (fh_shell_sample){&look[b], &backing[b]};
    }
    fh_shell_options options = fh_shell_options_default();
    options.index = exact->shell[1] == '1' ? 1.49 : 1.586;
    return fh_shell_fit(sample, backings, &options, &shell, NULL, NULL) == FH_OK;
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* How many of L*, a*, b* of the truth lie in the draws' 95 % interval. */
static size_t holds(const fh_estimate *part, const fh_drawer *drawer, const fh_weights *weights,
                    fh_lab truth)
{
    double drawn[3][DRAWS];
    for (uint64_t t = 0; t < DRAWS; ++t) {
        double z[FH_ESTIMATE_MODES];
        for (size_t k = 0; k < FH_ESTIMATE_MODES; ++k) z[k] = fh_draw_normal(3, 99, t, k);
        fh_shell_curves curves = fh_shell_draw(&shell, 3, t);
        fh_spectrum R = fh_estimate_draw(part, fh_draw_error(drawer, 3, t), z);
        fh_spectrum look = fh_shell_look(&curves, &R);
        fh_lab lab = fh_lab_of_spectrum(&look, weights);
        drawn[0][t] = lab.L;
        drawn[1][t] = lab.a;
        drawn[2][t] = lab.b;
    }
    const double v[3] = {truth.L, truth.a, truth.b};
    size_t held = 0;
    for (int c = 0; c < 3; ++c) {
        qsort(drawn[c], DRAWS, sizeof drawn[c][0], ascending);
        held += v[c] >= drawn[c][2] && v[c] <= drawn[c][DRAWS - 3];
    }
    return held;
}

static void study_part(const exact_shell *exact, const fh_spectrum *R, bool lab_only,
                       const fh_weights *weights, uint64_t trial, tally *t)
{
    fh_reading part = read_as("part", *R, lab_only, trial);
    fh_estimate estimate;
    fh_drawer drawer;
    if (fh_estimate_of_reading(&part, &estimate, NULL) || fh_drawer_of(&part, "part", &drawer))
        return;
    fh_spectrum true_look = exact_look(exact, R);
    fh_spectrum look = fh_shell_look(&shell.curves, &estimate.reflectance);
    for (int l = 0; l < LIGHTS; ++l) {
        fh_lab truth = fh_lab_of_spectrum(&true_look, &weights[l]);
        if (t->count < MOST)
            found[t->count++] = fh_de2000(truth, fh_lab_of_spectrum(&look, &weights[l]));
        if (!lab_only) continue;
        t->held += holds(&estimate, &drawer, &weights[l], truth);
        t->asked += 3;
    }
}

static void study(size_t backings, bool lab_only, const set *sets)
{
    const fh_weights weights[LIGHTS] = {
        fh_weights_of((fh_condition){FH_ILLUMINANT_D65, FH_OBSERVER_10}),
        fh_weights_of((fh_condition){FH_ILLUMINANT_A, FH_OBSERVER_10})};
    for (int s = 0; s < EXACT_SHELLS; ++s) {
        tally t = {0, 0, 0};
        for (uint64_t trial = 0; trial < 4; ++trial) {
            if (!fit(&shells[s], backings, lab_only, trial)) continue;
            for (int k = 0; k < SET_COUNT; ++k)
                for (size_t i = trial; i < sets[k].count; i += STEP)
                    study_part(&shells[s], &sets[k].spectra[i], lab_only, weights, 100 + i, &t);
        }
        double sum = 0.0;
        for (size_t i = 0; i < t.count; ++i) sum += found[i];
        qsort(found, t.count, sizeof *found, ascending);
        printf("%zu backings, %s, %s %-4s: mean %.2f, 95 %% below %.2f (%zu looks)", backings,
               lab_only ? "Lab only" : "spectra ", shells[s].shell, shells[s].geometry,
               sum / (double)t.count, found[t.count * 95 / 100], t.count);
        if (t.asked) printf(", cover %.1f %%", 100.0 * (double)t.held / (double)t.asked);
        printf("\n");
    }
}

static void run(void **state)
{
    (void)state;
    static set sets[SET_COUNT];
    exact_load(shells);
    load_sets(sets);
    for (size_t backings = 2; backings <= 3; ++backings)
        for (int lab_only = 0; lab_only < 2; ++lab_only) study(backings, lab_only == 1, sets);
    free_sets(sets);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(run)};
    return cmocka_run_group_tests_name("study of shells from Lab alone", tests, NULL, NULL);
}
