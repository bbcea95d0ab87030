#include "check.h"
#include "reference.h"
#include "starve.h"

#include "exact.h"
#include "farhue/difference.h"
#include "farhue/draw.h"
#include "farhue/shell.h"
#include "optics/gain.h"
#include "base/random.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static exact_shell shells[EXACT_SHELLS];
static fh_shell shell, other;
static fh_shell_report report;

/* Deterministic noise for tests: a sum of twelve uniform numbers, our own generator. */
static double noise(unsigned *state)
{
    double sum = -6.0;
    for (int i = 0; i < 12; ++i) {
        *state = *state * 1664525u + 1013904223u;
        sum += (double)(*state >> 8) / 16777216.0;
    }
    return sum;
}

static void fit_three(const fh_spectrum *look, const double *grey, size_t count, double sigma)
{
    fh_reading looks[FH_SHELL_SAMPLES], backings[FH_SHELL_SAMPLES];
    fh_shell_sample samples[FH_SHELL_SAMPLES];
    fh_shell_options options = fh_shell_options_default();
    options.noise = sigma;
    for (size_t s = 0; s < count; ++s) {
        looks[s] = exact_reading("look", look[s]);
        backings[s] = exact_reading("backing", fh_spectrum_flat(grey[s]));
        samples[s] = (fh_shell_sample){&looks[s], &backings[s]};
    }
    fh_error error = {0};
    if (fh_shell_fit(samples, count, &options, &shell, &report, &error))
        fail_msg("shell: %s", error.message);
}

/* shared/reference/shell_air_gap_monte_carlo.csv, exact transport of light: fitted over 0.04, 0.35
 * and 0.88, asked for backings and coloured parts that the fit never saw. */
static void exact_shells_three_backings(void **state)
{
    (void)state;
    const double grey[3] = {0.04, 0.35, 0.88};
    exact_load(shells);
    for (int s = 0; s < EXACT_SHELLS; ++s) {
        fh_spectrum look[3];
        for (int b = 0; b < 3; ++b) {
            fh_spectrum backing = fh_spectrum_flat(grey[b]);
            look[b] = exact_look(&shells[s], &backing);
        }
        fit_three(look, grey, 3, 0.0001);
        for (int p = 0; p < EXACT_PARTS; ++p) {
            fh_spectrum part = exact_part(p), truth = exact_look(&shells[s], &part);
            fh_spectrum found = fh_shell_look(&shell.curves, &part);
            check_close(fh_spectrum_distance(truth, found), 0.0, 0.0005);
            check_close(exact_difference(&truth, &found), 0.0, 0.02);
        }
    }
}

/* The same with 0.003 of noise in every band of every look. */
static void exact_shells_with_noise(void **state)
{
    (void)state;
    const double grey[3] = {0.04, 0.35, 0.88};
    unsigned random = 7;
    exact_load(shells);
    for (int s = 0; s < EXACT_SHELLS; ++s) {
        double sum = 0.0;
        const int trials = 20;
        for (int trial = 0; trial < trials; ++trial) {
            fh_spectrum look[3];
            for (int b = 0; b < 3; ++b) {
                fh_spectrum backing = fh_spectrum_flat(grey[b]);
                look[b] = exact_look(&shells[s], &backing);
                for (size_t i = 0; i < FH_BANDS; ++i)
                    look[b].v[i] = fmax(0.0, look[b].v[i] + 0.003 * noise(&random));
            }
            fit_three(look, grey, 3, 0.003);
            for (int p = 0; p < EXACT_PARTS; ++p) {
                fh_spectrum part = exact_part(p), truth = exact_look(&shells[s], &part);
                fh_spectrum found = fh_shell_look(&shell.curves, &part);
                sum += exact_difference(&truth, &found);
            }
        }
        print_message("# %s %s: mean dE00 %.3f\n", shells[s].shell, shells[s].geometry,
                      sum / trials / EXACT_PARTS);
        check_between(sum / trials / EXACT_PARTS, 0.0, 0.6);
    }
}

/* Where little light passes, noise leaves C open, and it is drawn to the sheet model's value: the
 * exact one is 0.0904–0.0912 there (w2/w1 of S1, 380–480 nm). Unguided, C would run to its bounds.
 */
static void C_where_little_light_passes(void **state)
{
    (void)state;
    const double grey[3] = {0.04, 0.35, 0.88};
    unsigned random = 11;
    exact_load(shells);
    for (int s = 0; s < 2; ++s) {
        fh_spectrum look[3];
        for (int b = 0; b < 3; ++b) {
            fh_spectrum backing = fh_spectrum_flat(grey[b]);
            look[b] = exact_look(&shells[s], &backing);
            for (size_t i = 0; i < FH_BANDS; ++i)
                look[b].v[i] = fmax(0.0, look[b].v[i] + 0.001 * noise(&random));
        }
        fit_three(look, grey, 3, 0.001);
        for (size_t i = 0; i <= 10; ++i) check_close(shell.curves.C.v[i], 0.0908, 0.06);
    }
}

/* shared/reference/translucent_layer_monte_carlo.csv: layers in contact with their backing. R of a
 * layer stands in all bands. Its printed figures carry a statistical error of 0.0003. */
static void exact_layers_in_contact(void **state)
{
    (void)state;
    reference table = reference_load("translucent_layer_monte_carlo.csv");
    static const char *const column[] = {"R_00", "R_05", "R_20", "R_50", "R_80", "R_90", "R_95"};
    static const double value[] = {0, 0.05, 0.20, 0.50, 0.80, 0.90, 0.95};
    const double grey[3] = {0.05, 0.50, 0.90};
    for (size_t row = 0; row < table.rows; ++row) {
        fh_spectrum look[3] = {fh_spectrum_flat(reference_number(&table, row, "R_05")),
                               fh_spectrum_flat(reference_number(&table, row, "R_50")),
                               fh_spectrum_flat(reference_number(&table, row, "R_90"))};
        fit_three(look, grey, 3, 0.0001);
        for (int k = 0; k < 7; ++k) {
            fh_spectrum part = fh_spectrum_flat(value[k]);
            fh_spectrum truth = fh_spectrum_flat(reference_number(&table, row, column[k]));
            fh_spectrum found = fh_shell_look(&shell.curves, &part);
            check_close(found.v[0], truth.v[0], 0.0005);
            check_close(exact_difference(&truth, &found), 0.0, 0.02);
        }
    }
    reference_free(&table);
}

/* The same layers with 0.003 of noise in every band of every look; the backings not used. */
static void exact_layers_with_noise(void **state)
{
    (void)state;
    reference table = reference_load("translucent_layer_monte_carlo.csv");
    static const char *const read[] = {"R_05", "R_50", "R_90"};
    static const char *const asked[] = {"R_00", "R_20", "R_80", "R_95"};
    static const double value[] = {0, 0.20, 0.80, 0.95};
    const double grey[3] = {0.05, 0.50, 0.90};
    const int trials = 20;
    unsigned random = 11;
    double worst = 0.0;
    for (size_t row = 0; row < table.rows; ++row) {
        double sum = 0.0;
        for (int trial = 0; trial < trials; ++trial) {
            fh_spectrum look[3];
            for (int b = 0; b < 3; ++b)
                for (size_t i = 0; i < FH_BANDS; ++i)
                    look[b].v[i] = fmax(0.0, reference_number(&table, row, read[b]) +
                                                 0.003 * noise(&random));
            fit_three(look, grey, 3, 0.003);
            for (int k = 0; k < 4; ++k) {
                fh_spectrum part = fh_spectrum_flat(value[k]);
                fh_spectrum truth = fh_spectrum_flat(reference_number(&table, row, asked[k]));
                fh_spectrum found = fh_shell_look(&shell.curves, &part);
                sum += exact_difference(&truth, &found);
            }
        }
        worst = fmax(worst, sum / trials / 4);
        check_between(sum / trials / 4, 0.0, 0.6);
    }
    print_message("# layers in contact with noise: worst mean dE00 %.3f\n", worst);
    reference_free(&table);
}

static fh_shell_curves ramps(void)
{
    fh_shell_curves curves;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double x = (double)i / (FH_BANDS - 1);
        curves.A.v[i] = 0.02 + 0.1 * x;
        curves.B.v[i] = 0.05 + 0.6 * x;
        curves.C.v[i] = 0.1 + 0.1 * x;
    }
    return curves;
}

/* Independent computation: the readings are made from known curves, which the fit must find. */
static void finds_known_curves(void **state)
{
    (void)state;
    fh_shell_curves truth = ramps();
    const double grey[5] = {0.03, 0.2, 0.4, 0.6, 0.9};
    fh_spectrum look[5];
    for (int b = 0; b < 5; ++b) {
        fh_spectrum backing = fh_spectrum_flat(grey[b]);
        look[b] = fh_shell_look(&truth, &backing);
    }
    fit_three(look, grey, 5, 1e-6);
    check_all_close(shell.curves.A.v, truth.A.v, FH_BANDS, 1e-7);
    check_all_close(shell.curves.B.v, truth.B.v, FH_BANDS, 1e-6);
    check_all_close(shell.curves.C.v, truth.C.v, FH_BANDS, 1e-5);
    for (int s = 0; s < 5; ++s) {
        check_close(report.residual[s], 0.0, 1e-7);
        check_between(report.left_out[s], 0.0, 1e-3);
    }
    check(report.hidden_count == 0);
}

static void look_and_back(void **state)
{
    (void)state;
    fh_shell_curves curves = ramps();
    size_t impossible = 99;
    for (int p = 0; p < EXACT_PARTS; ++p) {
        fh_spectrum part = exact_part(p), look = fh_shell_look(&curves, &part), back;
        check(fh_shell_inner(&curves, &look, &back, &impossible) == FH_OK);
        check_all_close(back.v, part.v, FH_BANDS, 1e-12);
        check(impossible == 0);
    }
    fh_spectrum dark = fh_spectrum_flat(0.0), back;
    check(fh_shell_inner(&curves, &dark, &back, &impossible) == FH_OK);
    check(impossible == FH_BANDS);
    check_close(back.v[0], 0.0, 0.0);
    fh_shell_curves opaque = curves;
    opaque.B = fh_spectrum_flat(0.0);
    back = fh_spectrum_flat(-1);
    check(fh_shell_inner(&opaque, &dark, &back, NULL) == FH_E_IMPOSSIBLE);
    check_close(back.v[0], -1, 0);
    curves.B.v[3] = 0.0; /* one hidden band holds its neighbours' mean */
    fh_spectrum part = exact_part(5), look = fh_shell_look(&curves, &part);
    check(fh_shell_inner(&curves, &look, &back, NULL) == FH_OK);
    check_close(back.v[3], 0.5 * (part.v[2] + part.v[4]), 1e-9);
}

/* Independent computation: the slope against a central difference. */
static void slope_is_the_derivative(void **state)
{
    (void)state;
    fh_shell_curves curves = ramps();
    fh_spectrum part = exact_part(5), slope = fh_shell_slope(&curves, &part);
    fh_spectrum more = fh_spectrum_add(part, fh_spectrum_flat(1e-5), 1);
    fh_spectrum less = fh_spectrum_add(part, fh_spectrum_flat(1e-5), -1);
    fh_spectrum up = fh_shell_look(&curves, &more), down = fh_shell_look(&curves, &less);
    for (size_t i = 0; i < FH_BANDS; ++i)
        check_close(slope.v[i], (up.v[i] - down.v[i]) / 2e-5, 1e-8);
}

static fh_mat3 random_covariance(void)
{
    return (fh_mat3){{{0.04, 0.01, 0.0}, {0.01, 0.02, -0.005}, {0.0, -0.005, 0.05}}};
}

/* Independent computation: readings moved by draws of their own covariance and fitted again give
 * the spread of a look that the modes give. */
static void modes_agree_with_refits(void **state)
{
    (void)state;
    fh_shell_curves truth = ramps();
    const double grey[3] = {0.05, 0.35, 0.85};
    fh_reading looks[3], backings[3];
    fh_shell_sample samples[3];
    for (int b = 0; b < 3; ++b) {
        fh_spectrum backing = fh_spectrum_flat(grey[b]);
        looks[b] = exact_reading("look", fh_shell_look(&truth, &backing));
        backings[b] = exact_reading("backing", backing);
        samples[b] = (fh_shell_sample){&looks[b], &backings[b]};
    }
    fh_shell_options options = fh_shell_options_default();
    /* a level error of the first look alone: L* 0.03, too small for C's prior to matter */
    options.noise = 1e-5;
    looks[0].random = fh_mat3_diagonal(0.0009, 0, 0);
    check(fh_shell_fit(samples, 3, &options, &shell, NULL, NULL) == FH_OK);
    /* over that very backing the shell must move as its reading does: the other readings, whose
     * noise is small, hardly matter there */
    const fh_weights weights = fh_weights_of(fh_condition_default());
    fh_spectrum part = fh_spectrum_flat(0.05), seen = fh_shell_look(&shell.curves, &part);
    fh_lab before = fh_lab_of_spectrum(&seen, &weights);
    double variance[3] = {0, 0, 0};
    for (size_t j = 0; j < shell.mode_count; ++j) {
        fh_shell_curves moved = shell.curves;
        moved.A = fh_spectrum_add(moved.A, shell.mode[j].step.A, 1);
        moved.B = fh_spectrum_add(moved.B, shell.mode[j].step.B, 1);
        moved.C = fh_spectrum_add(moved.C, shell.mode[j].step.C, 1);
        seen = fh_shell_look(&moved, &part);
        fh_lab after = fh_lab_of_spectrum(&seen, &weights);
        variance[0] += (after.L - before.L) * (after.L - before.L);
        variance[1] += (after.a - before.a) * (after.a - before.a);
        variance[2] += (after.b - before.b) * (after.b - before.b);
    }
    check_close(sqrt(variance[0]), 0.03, 0.002);
    check_close(sqrt(variance[1]), 0.0, 0.003);
    check_close(sqrt(variance[2]), 0.0, 0.003);
}

/* Independent computation: all six readings moved by draws of their covariances, one part private
 * and one shared by all, and fitted again, 60 times. The spread of a look is that of the modes'. */
static void modes_agree_with_simulated_readings(void **state)
{
    (void)state;
    enum { TRIALS = 60 };
    fh_shell_curves truth = ramps();
    const double grey[3] = {0.05, 0.35, 0.85};
    const fh_mat3 own = fh_mat3_diagonal(0.04, 0.02, 0.03), common = random_covariance();
    fh_reading reading[6], moved[6];
    fh_shell_sample samples[3];
    fh_mat3 lower;
    check(fh_mat3_cholesky(common, &lower) == FH_OK);
    for (int b = 0; b < 3; ++b) {
        fh_spectrum backing = fh_spectrum_flat(grey[b]);
        reading[2 * b] = exact_reading("look", fh_shell_look(&truth, &backing));
        reading[2 * b + 1] = exact_reading("backing", backing);
        samples[b] = (fh_shell_sample){&moved[2 * b], &moved[2 * b + 1]};
    }
    const fh_weights weights = fh_weights_of(fh_condition_default());
    fh_spectrum part = exact_part(6), look;
    double sum[2][3] = {{0}}, square[2][3] = {{0}};
    fh_shell_options options = fh_shell_options_default();
    for (int k = 0; k < 6; ++k) {
        reading[k].random = own;
        check(fh_reading_add_shared(&reading[k], "instrument: one", common) == FH_OK);
        moved[k] = reading[k];
    }
    check(fh_shell_fit(samples, 3, &options, &other, NULL, NULL) == FH_OK);
    for (uint64_t trial = 0; trial < 10 * TRIALS; ++trial) {
        fh_shell_curves curves = fh_shell_draw(&other, 5, trial);
        if (trial < TRIALS) { /* readings moved and fitted again */
            fh_vec3 z = {{fh_draw_normal(9, 1, trial, 0), fh_draw_normal(9, 1, trial, 1),
                          fh_draw_normal(9, 1, trial, 2)}};
            fh_vec3 all = fh_mat3_apply(lower, z);
            for (uint64_t k = 0; k < 6; ++k) {
                fh_spectrum gain[3];
                fh_spectrum_gain(&reading[k].reflectance, reading[k].condition, gain);
                moved[k] = reading[k];
                for (int c = 0; c < 3; ++c)
                    moved[k].reflectance = fh_spectrum_add(
                        moved[k].reflectance, gain[c],
                        all.v[c] +
                            sqrt(own.m[c][c]) * fh_draw_normal(9, 2 + k, trial, (uint64_t)c));
            }
            check(fh_shell_fit(samples, 3, &options, &shell, NULL, NULL) == FH_OK);
        }
        for (int way = trial < TRIALS ? 0 : 1; way < 2; ++way) {
            look = fh_shell_look(way == 0 ? &shell.curves : &curves, &part);
            fh_lab lab = fh_lab_of_spectrum(&look, &weights);
            const double v[3] = {lab.L, lab.a, lab.b};
            for (int c = 0; c < 3; ++c) {
                sum[way][c] += v[c];
                square[way][c] += v[c] * v[c];
            }
        }
    }
    const double n[2] = {TRIALS, 10 * TRIALS};
    for (int c = 0; c < 3; ++c) {
        double sd[2];
        for (int way = 0; way < 2; ++way)
            sd[way] = sqrt(square[way][c] / n[way] - sum[way][c] * sum[way][c] / n[way] / n[way]);
        check_between(sd[1] / sd[0], 0.75, 1.35); /* 60 refits tell a spread to 9 % (1 sigma) */
    }
}

/* A source that all readings share is drawn with that source's own numbers, and many readings
 * stay within the modes there is room for. */
static void shared_sources_keep_their_stream(void **state)
{
    (void)state;
    fh_shell_curves truth = ramps();
    fh_reading looks[FH_SHELL_SAMPLES], backings[FH_SHELL_SAMPLES];
    fh_shell_sample samples[FH_SHELL_SAMPLES];
    for (int b = 0; b < FH_SHELL_SAMPLES; ++b) {
        fh_spectrum backing = fh_spectrum_flat(0.03 + 0.11 * b);
        looks[b] = exact_reading("look", fh_shell_look(&truth, &backing));
        backings[b] = exact_reading("backing", backing);
        looks[b].random = backings[b].random = random_covariance();
        check(fh_reading_add_shared(&looks[b], "instrument: one", random_covariance()) == FH_OK);
        check(fh_reading_add_shared(&backings[b], "instrument: one", random_covariance()) == FH_OK);
        samples[b] = (fh_shell_sample){&looks[b], &backings[b]};
    }
    fh_shell_options options = fh_shell_options_default();
    check(fh_shell_fit(samples, FH_SHELL_SAMPLES, &options, &shell, NULL, NULL) == FH_OK);
    check(shell.mode_count <= FH_SHELL_MODES);
    uint64_t stream = fh_draw_stream("instrument: one");
    unsigned found = 0;
    for (size_t j = 0; j < shell.mode_count; ++j)
        if (shell.mode[j].stream == stream) found |= 1u << shell.mode[j].index;
    check(found == 7);
    /* the same trial, the same draw; another trial, another */
    fh_shell_curves a = fh_shell_draw(&shell, 1, 5), b = fh_shell_draw(&shell, 1, 5);
    check_all_close(a.B.v, b.B.v, FH_BANDS, 0);
    b = fh_shell_draw(&shell, 1, 6);
    check(fh_spectrum_distance(a.B, b.B) > 0);
    for (uint64_t trial = 0; trial < 200; ++trial) {
        a = fh_shell_draw(&shell, 3, trial);
        for (size_t i = 0; i < FH_BANDS; ++i) {
            check(a.A.v[i] >= 0 && a.B.v[i] >= 0 && a.C.v[i] >= 0 && a.C.v[i] < 1);
            check(a.A.v[i] + a.B.v[i] / (1 - a.C.v[i]) <= 1 + 1e-12);
        }
    }
}

/* Lab alone: spectra of looks and backings are estimated, marked so, and what that leaves open is
 * carried. Over greys that the fit saw the Lab must come back; an unseen grey comes near. */
static void lab_alone(void **state)
{
    (void)state;
    const double grey[3] = {0.04, 0.35, 0.88};
    fh_reading looks[3], backings[3];
    fh_shell_sample samples[3];
    exact_load(shells);
    for (int s = 0; s < EXACT_SHELLS; ++s) {
        for (int b = 0; b < 3; ++b) {
            fh_spectrum backing = fh_spectrum_flat(grey[b]);
            looks[b] = exact_reading("look", exact_look(&shells[s], &backing));
            backings[b] = exact_reading("backing", backing);
            looks[b].origin = backings[b].origin = FH_ORIGIN_LAB;
            samples[b] = (fh_shell_sample){&looks[b], &backings[b]};
        }
        fh_shell_options options = fh_shell_options_default();
        check(fh_shell_fit(samples, 3, &options, &shell, &report, NULL) == FH_OK);
        check(shell.estimated);
        check(shell.mode_count > 0 && shell.mode_count <= FH_SHELL_MODES);
        fh_spectrum part = fh_spectrum_flat(0.5), truth = exact_look(&shells[s], &part);
        fh_spectrum found = fh_shell_look(&shell.curves, &part);
        print_message("# %s %s: Lab alone, grey 0.5: dE00 %.2f; fit %.2f %.2f %.2f\n",
                      shells[s].shell, shells[s].geometry, exact_difference(&truth, &found),
                      report.dE[0], report.dE[1], report.dE[2]);
        check_between(exact_difference(&truth, &found), 0.0, 2.0);
    }
}

/* Every allocation fails in turn: FH_E_MEMORY, and the shell untouched. */
static void memory_runs_out(void **state)
{
    (void)state;
    fh_shell_curves truth = ramps();
    fh_reading looks[2], backings[2];
    fh_shell_sample samples[2];
    for (int b = 0; b < 2; ++b) {
        fh_spectrum backing = fh_spectrum_flat(b ? 0.85 : 0.05);
        looks[b] = exact_reading("look", fh_shell_look(&truth, &backing));
        backings[b] = exact_reading("backing", backing);
        backings[b].origin = FH_ORIGIN_LAB;
        samples[b] = (fh_shell_sample){&looks[b], &backings[b]};
    }
    fh_shell_options options = fh_shell_options_default();
    memset(&other, 0, sizeof other);
    for (long n = 0;; n += 1 + n / 4) {
        starve_after(n);
        fh_status status = fh_shell_fit(samples, 2, &options, &other, &report, NULL);
        if (!starve_end()) {
            check(status == FH_OK);
            break;
        }
        check(status == FH_E_MEMORY);
        check(other.index == 0.0);
    }
}

/* A shell from two readings needs the index: uncertain by it, its looks are. */
static void the_index_is_uncertain(void **state)
{
    (void)state;
    exact_load(shells);
    fh_reading looks[2], backings[2];
    fh_shell_sample samples[2];
    for (int b = 0; b < 2; ++b) {
        fh_spectrum backing = fh_spectrum_flat(b ? 0.88 : 0.04);
        looks[b] = exact_reading("look", exact_look(&shells[2], &backing));
        backings[b] = exact_reading("backing", backing);
        samples[b] = (fh_shell_sample){&looks[b], &backings[b]};
    }
    fh_shell_options options = fh_shell_options_default();
    options.noise = 1e-6;
    options.index = 1.5; /* it is 1.586 */
    double size[2];
    fh_spectrum part = exact_part(6), truth = exact_look(&shells[2], &part);
    for (int known = 0; known < 2; ++known) {
        options.index_sigma = known ? 0.0 : 0.04;
        check(fh_shell_fit(samples, 2, &options, &shell, NULL, NULL) == FH_OK);
        double sum = 0.0;
        fh_spectrum mean = fh_shell_look(&shell.curves, &part);
        for (uint64_t trial = 0; trial < 200; ++trial) {
            fh_shell_curves drawn = fh_shell_draw(&shell, 1, trial);
            fh_spectrum look = fh_shell_look(&drawn, &part);
            sum += exact_difference(&mean, &look) / 200;
        }
        size[known] = sum;
    }
    fh_spectrum found = fh_shell_look(&shell.curves, &part);
    check(size[0] > 5 * size[1]);
    check_between(exact_difference(&truth, &found), 0.0, 4 * size[0]); /* within two sigma or so */
}

/* Whatever the readings say, a shell that is accepted is sound and its report finite. */
static void any_readings(void **state)
{
    (void)state;
    fh_reading looks[FH_SHELL_SAMPLES], backings[FH_SHELL_SAMPLES];
    fh_shell_sample samples[FH_SHELL_SAMPLES];
    size_t accepted = 0;
    for (uint64_t trial = 0; trial < 150; ++trial) {
        size_t count = 1 + trial % FH_SHELL_SAMPLES;
        fh_shell_options options = fh_shell_options_default();
        options.noise = pow(10.0, -6.0 + 5.0 * fh_random_uniform(1, 2, trial, 0));
        options.index = 1.0 + 2.0 * fh_random_uniform(1, 2, trial, 1);
        for (uint64_t s = 0; s < count; ++s) {
            fh_spectrum look, backing;
            for (uint64_t i = 0; i < FH_BANDS; ++i) {
                look.v[i] = 1.1 * fh_random_uniform(2 + s, 3, trial, i);
                backing.v[i] = 1.1 * fh_random_uniform(2 + s, 4, trial, i);
                if (trial % 3 == 0) look.v[i] = backing.v[i] * 0.5; /* no bend, on the bounds */
                if (trial % 5 == 0) backing.v[i] = s % 2 == 0 ? 0.0 : 1.0;
            }
            looks[s] = exact_reading("look", look);
            backings[s] = exact_reading("backing", backing);
            samples[s] = (fh_shell_sample){&looks[s], &backings[s]};
        }
        if (fh_shell_fit(samples, count, &options, &shell, &report, NULL)) continue;
        ++accepted;
        fh_shell_curves drawn = fh_shell_draw(&shell, 1, trial);
        const fh_shell_curves *both[2] = {&shell.curves, &drawn};
        for (int k = 0; k < 2; ++k)
            for (size_t i = 0; i < FH_BANDS; ++i) {
                double A = both[k]->A.v[i], B = both[k]->B.v[i], C = both[k]->C.v[i];
                check(A >= 0 && B >= 0 && C >= 0 && C < 1); /* false for NaN */
                check(A + B / (1 - C) <= 1 + 1e-6);
            }
        for (size_t i = 0; i < FH_BANDS; ++i)
            check(isfinite(report.sigma_A.v[i]) && isfinite(report.sigma_B.v[i]) &&
                  isfinite(report.sigma_C.v[i]) && isfinite(report.condition.v[i]));
        check(isfinite(report.share) && isfinite(report.sigma_look) &&
              isfinite(report.next_sigma) && isfinite(report.range));
    }
    check(accepted > 30);
}

static void bad_samples(void **state)
{
    (void)state;
    fh_shell_curves truth = ramps();
    const double grey[3] = {0.05, 0.35, 0.85};
    fh_reading looks[3], backings[3];
    fh_shell_sample samples[3];
    for (int b = 0; b < 3; ++b) {
        fh_spectrum backing = fh_spectrum_flat(grey[b]);
        looks[b] = exact_reading("look", fh_shell_look(&truth, &backing));
        backings[b] = exact_reading("backing", backing);
        samples[b] = (fh_shell_sample){&looks[b], &backings[b]};
    }
    fh_shell_options options = fh_shell_options_default();
    fh_error error = {0};
    memset(&other, 0, sizeof other);
    check(fh_shell_fit(samples, 0, &options, &other, NULL, &error) == FH_E_ARGUMENT);
    check(fh_shell_fit(samples, FH_SHELL_SAMPLES + 1, &options, &other, NULL, &error) ==
          FH_E_ARGUMENT);
    fh_reading kept = looks[2];
    looks[2] = exact_reading("look", fh_spectrum_flat(0.001)); /* white darker than black */
    check(fh_shell_fit(samples, 3, &options, &other, NULL, &error) == FH_E_DATA);
    check(strstr(error.message, "swapped") != NULL);
    looks[2] = looks[1] = looks[0]; /* nothing shows */
    check(fh_shell_fit(samples, 3, &options, &other, NULL, &error) == FH_E_DATA);
    check(strstr(error.message, "opaque") != NULL);
    looks[2] = kept;
    fh_reading white = backings[2];
    backings[2] = backings[1] = backings[0];
    check(fh_shell_fit(samples, 3, &options, &other, NULL, &error) == FH_E_DATA);
    check(strstr(error.message, "alike") != NULL);
    backings[2] = white;
    looks[0].method.specular = FH_SPECULAR_INCLUDED;
    looks[1].method.specular = FH_SPECULAR_EXCLUDED;
    check(fh_shell_fit(samples, 3, &options, &other, NULL, &error) == FH_E_DATA);
    check(strstr(error.message, "specular") != NULL);
    looks[1].method.specular = FH_SPECULAR_INCLUDED;
    looks[0].reflectance.v[4] = (double)NAN;
    check(fh_shell_fit(samples, 3, &options, &other, NULL, &error) != FH_OK);
    looks[0].reflectance.v[4] = 0.03;
    looks[1].random = fh_mat3_diagonal(-1, 0, 0);
    check(fh_shell_fit(samples, 3, &options, &other, NULL, &error) == FH_E_DATA);
    looks[1].random = fh_mat3_diagonal(0, 0, 0);
    looks[1].origin = FH_ORIGIN_LAB;
    looks[1].lab = (fh_lab){60, 120, 120}; /* no reflectance has this colour */
    check(fh_shell_fit(samples, 3, &options, &other, NULL, &error) == FH_E_IMPOSSIBLE);
    looks[1].origin = FH_ORIGIN_SPECTRUM;
    options.index = 0.9;
    check(fh_shell_fit(samples, 3, &options, &other, NULL, &error) == FH_E_ARGUMENT);
    check(other.mode_count == 0 && other.index == 0.0); /* untouched on failure */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exact_shells_three_backings),
        cmocka_unit_test(exact_shells_with_noise),
        cmocka_unit_test(C_where_little_light_passes),
        cmocka_unit_test(exact_layers_in_contact),
        cmocka_unit_test(exact_layers_with_noise),
        cmocka_unit_test(finds_known_curves),
        cmocka_unit_test(look_and_back),
        cmocka_unit_test(slope_is_the_derivative),
        cmocka_unit_test(modes_agree_with_refits),
        cmocka_unit_test(modes_agree_with_simulated_readings),
        cmocka_unit_test(shared_sources_keep_their_stream),
        cmocka_unit_test(lab_alone),
        cmocka_unit_test(memory_runs_out),
        cmocka_unit_test(the_index_is_uncertain),
        cmocka_unit_test(any_readings),
        cmocka_unit_test(bad_samples),
    };
    return cmocka_run_group_tests_name("optics/shell", tests, NULL, NULL);
}
