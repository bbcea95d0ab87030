/* How well mixtures of real paints are predicted: docs/accuracy.md, "Paint".
 *
 * 13 watercolours on white paper. K and S are fitted to the ladders of single paints and half of
 * the two-paint mixtures, drawn at random; the other half is predicted. Five fixed splits.
 *
 * Then all mixtures from the ladders alone, which fix an opaque paint's K/S but hardly its S.
 *
 *   test_watercolours [prior_K prior_S inner noise]     other settings, for trials */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "check.h"
#include "farhue/difference.h"
#include "farhue/mix.h"
#include "reference.h"

enum { PAINTS = 13, MOST = 600, SPLITS = 5 };

static fh_paint paints[PAINTS];
static size_t paint_count;
static fh_mix_sample ladders[MOST], mixtures[MOST];
static size_t ladder_count, mixture_count;
static fh_spectrum paper;
static fh_mix_options options;

static fh_spectrum spectrum_at(const reference *t, size_t row, size_t first)
{
    double nm[64], value[64];
    size_t count = 0;
    for (size_t c = first; c < t->columns; ++c) {
        nm[count] = atof(t->fields[c]);
        value[count++] = reference_number_at(t, row, c);
    }
    fh_spectrum s;
    assert_int_equal(fh_spectrum_resample(nm, value, count, &s, NULL), FH_OK);
    return s;
}

static size_t paint_named(const char *name)
{
    for (size_t i = 0; i < paint_count; ++i)
        if (strcmp(paints[i].id, name) == 0) return i;
    assert_true(paint_count < PAINTS);
    paints[paint_count] = fh_paint_blank();
    strcpy(paints[paint_count].id, name);
    return paint_count++;
}

static void load(void)
{
    reference t = reference_load("watercolour13_ladders.csv");
    paper = spectrum_at(&t, reference_row(&t, "paint", "paper"), 3);
    for (size_t i = 0; i < t.rows; ++i) {
        const char *name = reference_text(&t, i, "paint");
        if (strcmp(reference_text(&t, i, "kind"), "R") != 0 || strcmp(name, "paper") == 0) continue;
        fh_mix_sample *s = &ladders[ladder_count++];
        s->blend = (fh_blend){1, {paint_named(name)}, {reference_number(&t, i, "ml")}};
        s->reflectance = spectrum_at(&t, i, 3);
        s->film = true;
        s->backing = paper;
    }
    reference_free(&t);
    t = reference_load("watercolour13_mixtures.csv");
    for (size_t i = 0; i < t.rows; ++i) {
        fh_mix_sample *s = &mixtures[mixture_count++];
        s->blend = (fh_blend){2,
                              {paint_named(reference_text(&t, i, "paint_a")),
                               paint_named(reference_text(&t, i, "paint_b"))},
                              {reference_number(&t, i, "ml_a"), reference_number(&t, i, "ml_b")}};
        s->reflectance = spectrum_at(&t, i, 4);
        s->film = true;
        s->backing = paper;
    }
    reference_free(&t);
}

static int ascending(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Fit with those mixtures that aren't held back; mean ΔE00 of these. */
static double predict(const char *what, const bool *held)
{
    static fh_mix_sample fitted[2 * MOST];
    size_t count = 0;
    for (size_t i = 0; i < ladder_count; ++i) fitted[count++] = ladders[i];
    for (size_t i = 0; i < mixture_count; ++i)
        if (!held[i]) fitted[count++] = mixtures[i];

    fh_surface surface;
    fh_error error = {0};
    if (fh_mix_fit(fitted, count, &options, paints, paint_count, NULL, &surface, NULL, NULL,
                   &error))
        fail_msg("%s", error.message);

    const fh_weights day = fh_weights_of(fh_condition_default());
    double dE[MOST], sum = 0.0;
    size_t n = 0;
    for (size_t i = 0; i < mixture_count; ++i) {
        if (!held[i]) continue;
        const fh_spectrum r = fh_blend_film(paints, &mixtures[i].blend, &surface, &paper);
        dE[n] = fh_de2000(fh_lab_of_spectrum(&mixtures[i].reflectance, &day),
                          fh_lab_of_spectrum(&r, &day));
        sum += dE[n++];
    }
    qsort(dE, n, sizeof *dE, ascending);
    double fit = 0.0;
    for (size_t k = 0; k < paint_count; ++k) fit += paints[k].dE / PAINTS;
    print_message("# %s: inner %.3f, fitted %.2f; %zu predicted: mean %.2f, median %.2f, 90 %% below "
           "%.2f, worst %.2f\n",
           what, surface.inner, fit, n, sum / (double)n, dE[n / 2], dE[n * 9 / 10], dE[n - 1]);
    return sum / (double)n;
}

/* Half of the mixtures is held back. */
static double split(uint64_t trial)
{
    static bool held[MOST];
    char what[16];
    size_t order[MOST];
    for (size_t i = 0; i < mixture_count; ++i) order[i] = i;
    for (size_t i = mixture_count; i > 1; --i) {
        const size_t j = (size_t)(fh_random_bits(1, 5, trial, i) % i), other = order[j];
        order[j] = order[i - 1];
        order[i - 1] = other;
    }
    for (size_t i = 0; i < mixture_count; ++i) held[order[i]] = i >= mixture_count / 2;
    snprintf(what, sizeof what, "split %d", (int)trial);
    return predict(what, held);
}

static double ladders_alone(void)
{
    static bool held[MOST];
    for (size_t i = 0; i < mixture_count; ++i) held[i] = true;
    return predict("ladders alone", held);
}

static void other_half_of_the_mixtures(void **state)
{
    (void)state;
    load();
    double mean = 0.0;
    for (uint64_t trial = 1; trial <= SPLITS; ++trial) mean += split(trial) / SPLITS;
    print_message("# mean of the splits: %.2f\n", mean);
    for (size_t k = 0; k < paint_count; ++k)
        print_message("#     %-18s %zu samples, mean %.2f, worst %.2f\n", paints[k].id, paints[k].samples,
               paints[k].dE, paints[k].dE_worst);
    check_between(mean, 0.0, 2.6); /* own requirement */
    check_between(ladders_alone(), 0.0,
                  6.7); /* an independent computation's mean, per wavelength */
}

int main(void)
{
    options = fh_mix_options_default();
    options.noise = 0.02; /* brushed by hand */
    options.prior_S = 0.5;
    options.surface = (fh_surface){.outer = 0.0, .enter = 0.98, .leave = 0.6, .inner = 0.4};
    const struct CMUnitTest tests[] = {cmocka_unit_test(other_half_of_the_mixtures)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
