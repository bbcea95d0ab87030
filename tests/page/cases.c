/* Random cases of the engine's functions, the same in the native build and as WebAssembly, so that
 * their figures can be compared (tests/page/test_same.mjs).
 *
 *   cases            native: prints all lines
 *   cases() export   WebAssembly: the same text in memory
 *
 * A line is  KIND function case values…  with KIND c (closed formula, 1e-9), f (iterative fit,
 * 1e-6), or n (count or choice, equal). Inputs come from the engine's own generator, whose bits are
 * integers. Closed formulas run 1,000 cases, fits 1,000, what takes tenths of a second a few. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "base/text.h"
#include "farhue/aim.h"
#include "farhue/appearance.h"
#include "farhue/body.h"
#include "farhue/difference.h"
#include "farhue/draw.h"
#include "farhue/estimate.h"
#include "farhue/fresnel.h"
#include "farhue/layer.h"
#include "farhue/mix.h"
#include "farhue/names.h"
#include "farhue/rank.h"
#include "farhue/sheet.h"
#include "farhue/spoken.h"
#include "farhue/tolerance.h"
#include "farhue/words.h"

enum { MANY = 1000, FEW = 40, HEAVY = 6 };

static fh_buffer out;
static char kind;
static uint64_t trial, counter;

static double u(double low, double high)
{
    return low + (high - low) * fh_random_uniform(7, 1, trial, counter++);
}

static void begin(char kind_of, const char *name, size_t index)
{
    kind = kind_of;
    trial = fh_stream_of(name) + index;
    counter = 0;
    fh_buffer_format(&out, "%c %s %zu", kind, name, index);
}

static void put(double value)
{
    char text[32];
    fh_shortest_number(text, sizeof text, value);
    fh_buffer_format(&out, " %s", isfinite(value) ? text : "none");
}

static void put_lab(fh_lab lab)
{
    put(lab.L), put(lab.a), put(lab.b);
}

static void put_spectrum(const fh_spectrum *s)
{
    for (size_t i = 0; i < FH_BANDS; i++) put(s->v[i]);
}

static void end(void)
{
    fh_buffer_text(&out, "\n");
}

static fh_lab random_lab(void)
{
    double L = u(5, 95), a = u(-60, 60), b = u(-60, 60); /* one after the other: order matters */
    return (fh_lab){L, a, b};
}

/* A colour that a reflectance can have. */
static fh_lab easy_lab(void)
{
    double L = u(25, 80), a = u(-18, 18), b = u(-18, 25);
    return (fh_lab){L, a, b};
}

/* A smooth curve between 0 and 1. */
static fh_spectrum smooth(void)
{
    fh_spectrum s;
    double base = u(0.05, 0.4), height = u(0.05, 0.5), centre = u(420, 700), width = u(30, 120);
    for (size_t i = 0; i < FH_BANDS; i++) {
        double x = (fh_band_nm(i) - centre) / width;
        s.v[i] = base + height * exp(-x * x / 2);
    }
    return s;
}

static fh_condition random_condition(void)
{
    fh_illuminant illuminant = (fh_illuminant)(int)u(0, FH_ILLUMINANT_COUNT);
    return (fh_condition){illuminant, u(0, 1) < 0.5 ? FH_OBSERVER_2 : FH_OBSERVER_10};
}

static fh_reading reading_of(const char *id, const fh_spectrum *spectrum)
{
    fh_reading r = fh_reading_blank();
    fh_weights weights = fh_weights_of(r.condition);
    fh_copy_text(r.id, sizeof r.id, id);
    r.reflectance = *spectrum;
    r.origin = FH_ORIGIN_SPECTRUM;
    r.lab = fh_lab_of_spectrum(spectrum, &weights);
    r.random = fh_mat3_diagonal(0.04, 0.02, 0.03);
    return r;
}

static void differences(size_t i)
{
    begin('c', "difference", i);
    fh_lab a = random_lab(), b = random_lab();
    fh_difference d = fh_de2000_parts(a, b, (fh_factors){1, 1, 1});
    put(d.dE), put(d.dL), put(d.dC), put(d.dH), put(d.rotation);
    put(fh_de1976(a, b)), put(fh_de1994_graphic(a, b)), put(fh_de1994_textile(a, b));
    put(fh_decmc(a, b, 2, 1));
    end();
}

static void colours(size_t i)
{
    begin('c', "colour", i);
    fh_condition condition = random_condition();
    fh_weights weights = fh_weights_of(condition);
    fh_spectrum s = smooth();
    fh_lab lab = fh_lab_of_spectrum(&s, &weights);
    put_lab(lab);
    fh_xyz xyz = fh_xyz_of_lab(random_lab(), weights.white);
    put(xyz.X), put(xyz.Y), put(xyz.Z);
    fh_lch lch = fh_lch_of_lab(lab);
    put(lch.L), put(lch.C);
    fh_rgb rgb = fh_screen_of_lab(lab, NULL);
    put(rgb.r), put(rgb.g), put(rgb.b);
    fh_mat3 m = fh_bradford(weights.white, fh_srgb_white());
    put(m.m[0][0]), put(m.m[1][2]), put(m.m[2][2]);
    double nm[31], values[31];
    for (size_t k = 0; k < 31; k++) nm[k] = 400 + 10 * (double)k, values[k] = u(0.1, 0.9);
    fh_spectrum grid;
    if (!fh_spectrum_resample(nm, values, 31, &grid, NULL)) put_spectrum(&grid);
    fh_metamerism index = fh_metamerism_of(&s, &grid, &weights, &weights);
    put(index.dE00);
    end();
}

static void layers(size_t i)
{
    begin('c', "layer", i);
    double n = u(1.3, 1.7);
    put(fh_fresnel_diffuse_outside(n)), put(fh_fresnel_diffuse_inside(n));
    put(fh_fresnel_outside(n, u(0.05, 1)));
    double KX = u(0, 3), SX = u(0, 3);
    fh_body body = fh_body_of((fh_body_pair){KX, SX});
    put(body.R0), put(body.T), put(fh_body_over(body, u(0, 1)));
    fh_spectrum K = smooth(), S = smooth(), backing = smooth();
    fh_layer layer = fh_layer_add(fh_layer_face(n), fh_body_layer(&K, &S, u(0.1, 4)));
    fh_spectrum over = fh_layer_over(&layer, &backing);
    put_spectrum(&over);
    fh_sheet sheet;
    if (!fh_sheet_of(n, i % 2 ? FH_GEOMETRY_45_0 : FH_GEOMETRY_8_D, FH_SPECULAR_EXCLUDED, &sheet)) {
        double absorption = u(0, 2), scattering = u(0, 2);
        fh_sheet_band band = fh_sheet_band_of(&sheet, absorption, scattering);
        put(band.A), put(band.B), put(band.C), put(band.T);
    }
    end();
}

static void words(size_t i)
{
    char code[FH_SPOKEN_TEXT], text[FH_WORDS];
    begin('n', "words", i);
    fh_lab a = easy_lab(), b = easy_lab();
    fh_words_of_difference(a, b, text);
    fh_spoken target = {random_condition(), a, 0};
    target.tolerance = u(0, 6);
    if (!fh_spoken_write(&target, code, NULL)) fh_buffer_format(&out, " %s", code);
    fh_colour_name names[1];
    if (fh_names_near(a, names, 1)) put(names[0].number);
    for (char *at = text; *at; at++)
        if (*at == ' ') *at = '_';
    fh_buffer_format(&out, " %s", text);
    end();
}

static void draws(size_t i)
{
    begin('c', "draw", i);
    put(fh_draw_normal(3, fh_draw_stream("instrument"), i, 2));
    put(fh_random_uniform(5, 6, i, 1));
    fh_mat3 lower;
    if (!fh_mat3_cholesky(fh_mat3_diagonal(0.3, u(0, 1), 0.2), &lower)) put(lower.m[1][1]);
    end();
}

static void estimates(size_t i)
{
    begin('f', "estimate", i);
    fh_weights weights = fh_weights_of(fh_condition_default()), lamp;
    lamp = fh_weights_of((fh_condition){FH_ILLUMINANT_LED_B1, FH_OBSERVER_10});
    fh_estimate estimate;
    if (!fh_estimate_spectrum(easy_lab(), &weights, &estimate, NULL, NULL)) {
        put_spectrum(&estimate.reflectance);
        put_lab(fh_estimate_lab(&estimate, &lamp, NULL, NULL));
    }
    end();
}

/* A shell of a random plastic, read over three or two backings, with rounding for noise. */
static fh_status random_shell(fh_shell *shell, fh_shell_report *report, size_t backings)
{
    fh_spectrum absorption = smooth(), scattering = smooth();
    for (size_t b = 0; b < FH_BANDS; b++) absorption.v[b] *= 2, scattering.v[b] *= 0.5;
    fh_sheet sheet;
    fh_status status = fh_sheet_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &sheet);
    if (status) return status;
    fh_shell_curves curves = fh_sheet_curves(&sheet, &absorption, &scattering, NULL);
    fh_reading looks[3], behind[3];
    fh_shell_sample samples[3];
    const double levels[3] = {0.04, 0.88, 0.3};
    for (size_t k = 0; k < backings; k++) {
        fh_spectrum back = fh_spectrum_flat(levels[k]), look = fh_shell_look(&curves, &back);
        for (size_t b = 0; b < FH_BANDS; b++) look.v[b] = floor(look.v[b] * 1e4 + 0.5) / 1e4;
        behind[k] = reading_of("backing", &back);
        looks[k] = reading_of("look", &look);
        looks[k].method.geometry = behind[k].method.geometry = FH_GEOMETRY_45_0;
        samples[k] = (fh_shell_sample){&looks[k], &behind[k]};
    }
    fh_shell_options options = fh_shell_options_default();
    return fh_shell_fit(samples, backings, &options, shell, report, NULL);
}

static void shells(size_t i)
{
    static fh_shell shell;
    static fh_shell_report report;
    begin('f', "shell", i);
    if (!random_shell(&shell, &report, i % 2 ? 3 : 2)) {
        fh_spectrum part = smooth(), inner, look = fh_shell_look(&shell.curves, &part);
        put_spectrum(&look);
        put(report.share);
        size_t cut = 0;
        if (!fh_shell_inner(&shell.curves, &look, &inner, &cut)) put(inner.v[20]), put((double)cut);
    }
    end();
}

static void mixtures(size_t i)
{
    begin('c', "mix", i);
    static fh_paint shelf[3];
    for (size_t k = 0; k < 3; k++) {
        shelf[k] = fh_paint_blank();
        shelf[k].K = smooth();
        shelf[k].S = smooth();
    }
    fh_surface surface;
    fh_blend blend = {.count = 3};
    for (size_t k = 0; k < 3; k++) blend.paint[k] = k, blend.part[k] = u(0.1, 1);
    if (!fh_surface_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &surface)) {
        fh_spectrum opaque = fh_blend_opaque(shelf, &blend, &surface);
        put_spectrum(&opaque);
    }
    end();
}

/* Verdicts, ranking and tolerance take tenths of a second: a few of each. Probabilities are counts
 * over draws and may differ by one draw, so they go as fits of 1e-3 (kind p). */
static void judgements(size_t i)
{
    static fh_shell shell;
    static fh_target target;
    static fh_verdict verdict;
    static fh_ranked places[5];
    begin('p', "judge", i);
    if (random_shell(&shell, NULL, 3)) {
        end();
        return;
    }
    fh_spectrum curve = smooth();
    fh_reading part = reading_of("part", &curve), candidates[5];
    fh_target_init(&target, &part, &shell);
    for (size_t k = 0; k < 5; k++) {
        fh_spectrum other = curve;
        double gain = u(0.9, 1.1);
        for (size_t b = 0; b < FH_BANDS; b++) other.v[b] *= gain;
        candidates[k] = reading_of("candidate", &other);
    }
    fh_verdict_options options = fh_verdict_defaults();
    options.trials = 2000;
    if (!fh_judge(&target, &candidates[0], &options, &verdict, NULL, NULL, NULL))
        put(verdict.p_within), put(verdict.seen[0].dE00), put(verdict.seen[0].interval.high);
    fh_rank_options ranking = fh_rank_defaults();
    if (!fh_rank(&target, candidates, 5, &ranking, places, NULL, NULL, NULL))
        for (size_t k = 0; k < 5; k++) put((double)places[k].index);
    end();
}

static void tolerances(size_t i)
{
    static fh_shell shell;
    static fh_target target;
    begin('f', "tolerance", i);
    if (random_shell(&shell, NULL, 3)) {
        end();
        return;
    }
    fh_spectrum curve = smooth();
    fh_reading part = reading_of("part", &curve);
    fh_target_init(&target, &part, &shell);
    fh_tolerance tolerance;
    if (!fh_tolerance_find(&target, &tolerance, NULL))
        put(tolerance.safe), put(tolerance.low[0]), put(tolerance.high[0]);
    end();
}

static void run_all(void)
{
    for (size_t i = 0; i < MANY; i++) {
        differences(i);
        colours(i);
        layers(i);
        words(i);
        draws(i);
        estimates(i);
        shells(i);
        mixtures(i);
    }
    for (size_t i = 0; i < FEW; i++) judgements(i);
    for (size_t i = 0; i < HEAVY; i++) tolerances(i);
}

#ifdef __wasm__
__attribute__((import_module("page"), import_name("progress"))) int page_host_progress(double done);
__attribute__((export_name("cases"))) const char *cases(void);
const char *cases(void)
{
    run_all();
    return out.text;
}
__attribute__((export_name("length"))) size_t length(void);
size_t length(void)
{
    return out.length;
}
#else
int main(void)
{
    run_all();
    return fwrite(out.text, 1, out.length, stdout) == out.length ? 0 : 1;
}
#endif
