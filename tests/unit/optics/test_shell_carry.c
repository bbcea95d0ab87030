/* The uncertainty of a shell's fit, carried as modes: src/optics/shell_carry.c. */
#include "check.h"

#include "exact.h"
#include "farhue/difference.h"
#include "farhue/draw.h"
#include "farhue/shell.h"
#include "optics/gain.h"
#include "base/random.h"

#include <math.h>
#include <string.h>

static fh_shell shell, other;
static exact_shell shells[EXACT_SHELLS];

static fh_mat3 random_covariance(void)
{
    return (fh_mat3){{{0.04, 0.01, 0.0}, {0.01, 0.02, -0.005}, {0.0, -0.005, 0.05}}};
}

/* Independent computation: readings moved by draws of their own covariance and fitted again give
 * the spread of a look that the modes give. */
static void modes_agree_with_refits(void **state)
{
    (void)state;
    const double grey[3] = {0.05, 0.35, 0.85};
    fh_reading looks[3], backings[3];
    fh_shell_sample samples[3];
    exact_over_flats(grey, 3, looks, backings, samples);
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
    fh_shell_curves truth = exact_ramps();
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
    double grey[FH_SHELL_SAMPLES];
    fh_reading looks[FH_SHELL_SAMPLES], backings[FH_SHELL_SAMPLES];
    fh_shell_sample samples[FH_SHELL_SAMPLES];
    for (int b = 0; b < FH_SHELL_SAMPLES; ++b) grey[b] = 0.03 + 0.11 * b;
    exact_over_flats(grey, FH_SHELL_SAMPLES, looks, backings, samples);
    for (int b = 0; b < FH_SHELL_SAMPLES; ++b) {
        looks[b].random = backings[b].random = random_covariance();
        check(fh_reading_add_shared(&looks[b], "instrument: one", random_covariance()) == FH_OK);
        check(fh_reading_add_shared(&backings[b], "instrument: one", random_covariance()) == FH_OK);
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(modes_agree_with_refits),
        cmocka_unit_test(modes_agree_with_simulated_readings),
        cmocka_unit_test(shared_sources_keep_their_stream),
        cmocka_unit_test(the_index_is_uncertain),
    };
    return cmocka_run_group_tests_name("shell_carry", tests, NULL, NULL);
}
