#include "check.h"
#include "reference.h"

#include "exact.h"
#include "farhue/aim.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static exact_shell shells[EXACT_SHELLS];
static fh_shell shell;

static void fit(const exact_shell *exact)
{
    const double grey[3] = {0.04, 0.35, 0.88};
    fh_reading look[3], backing[3];
    fh_shell_sample sample[3];
    for (int b = 0; b < 3; ++b) {
        fh_spectrum part = fh_spectrum_flat(grey[b]);
        look[b] = exact_reading("look", exact_look(exact, &part));
        backing[b] = exact_reading("backing", part);
        look[b].random = fh_mat3_diagonal(0.01, 0.01, 0.01);
        sample[b] = (fh_shell_sample){&look[b], &backing[b]};
    }
    fh_shell_options options = fh_shell_options_default();
    check(fh_shell_fit(sample, 3, &options, &shell, NULL, NULL) == FH_OK);
}

/* Round trip on exact shells, with a measured look and with Lab alone: what `aim` finds looks as
 * wanted to 0.01. With a measured look the part itself comes back where it shows. */
static void round_trips(void **state)
{
    (void)state;
    exact_load(shells);
    for (int s = 0; s < EXACT_SHELLS; s += 2) {
        fit(&shells[s]);
        for (int p = 0; p < EXACT_PARTS; ++p) {
            fh_spectrum part = exact_part(p), seen = fh_shell_look(&shell.curves, &part);
            fh_reading look = exact_reading("wanted", seen);
            fh_aim aim;
            check(fh_aim_at(&shell, &look, &aim, NULL) == FH_OK);
            check(aim.possible);
            fh_spectrum again = fh_shell_look(&shell.curves, &aim.inner.reflectance);
            check_between(exact_difference(&again, &seen), 0.0, 0.01);
            check(fh_spectrum_distance(again, seen) < 0.01);
            check_between(exact_difference(&aim.inner.reflectance, &part), 0.0, 4.0);
            look.origin = FH_ORIGIN_LAB;
            check(fh_aim_at(&shell, &look, &aim, NULL) == FH_OK);
            check(aim.possible);
            again = fh_shell_look(&shell.curves, &aim.inner.reflectance);
            check_between(exact_difference(&again, &seen), 0.0, 0.01);
            check(aim.open > 0.0);
        }
    }
}

/* A look that no part can give: brighter than over white, and a blue through amber. The nearest is
 * given; for the too bright one it must be close to the look over white. */
static void looks_no_part_can_give(void **state)
{
    (void)state;
    exact_load(shells);
    fit(&shells[0]);
    const fh_weights weights = fh_weights_of(fh_condition_default());
    fh_spectrum white = fh_spectrum_flat(1.0), seen = fh_shell_look(&shell.curves, &white);
    fh_reading look = exact_reading("wanted", seen);
    look.origin = FH_ORIGIN_LAB;
    fh_lab brightest = fh_lab_of_spectrum(&seen, &weights);
    look.lab = brightest;
    look.lab.L += 5.0;
    fh_aim aim;
    check(fh_aim_at(&shell, &look, &aim, NULL) == FH_OK);
    check(!aim.possible);
    check_between(aim.dE, 0.5, fh_de2000(look.lab, brightest) + 0.01);
    check_close(aim.dE, fh_de2000(look.lab, aim.reached), 1e-12);
    look.lab = (fh_lab){50, 0, -60};
    check(fh_aim_at(&shell, &look, &aim, NULL) == FH_OK);
    check(!aim.possible && aim.dE > 5.0);
    for (size_t i = 0; i < FH_BANDS; ++i) check_between(aim.inner.reflectance.v[i], 0.0, 1.0);
}

/* Independent computation: moving the look by its covariance moves the inner Lab as the gain in
 * aim.inner says. */
static void covariance_against_moved_looks(void **state)
{
    (void)state;
    exact_load(shells);
    fit(&shells[2]);
    shell.mode_count = 0;
    fh_spectrum part = exact_part(5), seen = fh_shell_look(&shell.curves, &part);
    fh_reading look = exact_reading("wanted", seen);
    look.origin = FH_ORIGIN_LAB;
    fh_aim none, moved, with;
    check(fh_aim_at(&shell, &look, &none, NULL) == FH_OK);
    check(fh_reading_add_shared(&look, "instrument: x", fh_mat3_diagonal(0.01, 0, 0)) == FH_OK);
    check(fh_aim_at(&shell, &look, &with, NULL) == FH_OK);
    check(with.inner.shared_count == 2);
    check(strcmp(with.inner.shared[0].source, "aim: wanted") == 0);
    check(strcmp(with.inner.shared[1].source, "instrument: x") == 0);
    look.lab.L += 0.1;
    check(fh_aim_at(&shell, &look, &moved, NULL) == FH_OK);
    double dL = moved.inner.lab.L - none.inner.lab.L;
    check_close(sqrt(with.inner.shared[1].covariance.m[0][0]), fabs(dL), 0.05 * fabs(dL));
}

/* A measured look fixes the curve where it shows, so it isn't open as the estimate from a Lab is;
 * what doesn't show is no error that falls with repeats either. */
static void what_stays_open(void **state)
{
    (void)state;
    exact_load(shells);
    fit(&shells[0]);
    fh_spectrum part = exact_part(5), seen = fh_shell_look(&shell.curves, &part);
    fh_reading look = exact_reading("face", seen);
    fh_estimate estimate;
    fh_aim aim;
    for (int alone = 0; alone < 2; ++alone) {
        look.origin = alone ? FH_ORIGIN_LAB : FH_ORIGIN_SPECTRUM;
        check(fh_aim_at(&shell, &look, &aim, NULL) == FH_OK);
        check(aim.inner.shared_count == 1);
        check(strcmp(aim.inner.shared[0].source, alone ? "aim: face" : "look: face") == 0);
        const fh_mat3 *open = &aim.inner.shared[0].covariance;
        check_close(open->m[0][0] + open->m[1][1] + open->m[2][2], aim.open * aim.open, 1e-9);
        check(fh_estimate_of_reading(&aim.inner, &estimate, NULL) == FH_OK);
        check((estimate.mode_count > 0) == (alone == 1));
    }
}

static void bad_input(void **state)
{
    (void)state;
    fh_aim aim = {.dE = -1};
    fh_reading look = exact_reading("wanted", fh_spectrum_flat(0.3));
    memset(&shell, 0, sizeof shell);
    check(fh_aim_at(&shell, &look, &aim, NULL) == FH_E_IMPOSSIBLE);
    shell.curves.B = fh_spectrum_flat(0.5);
    look.lab.a = (double)NAN;
    check(fh_aim_at(&shell, &look, &aim, NULL) == FH_E_DATA);
    look.lab.a = 0;
    look.condition.illuminant = FH_ILLUMINANT_FILE;
    check(fh_aim_at(&shell, &look, &aim, NULL) == FH_E_DATA);
    check_close(aim.dE, -1, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(round_trips),     cmocka_unit_test(looks_no_part_can_give),
        cmocka_unit_test(what_stays_open), cmocka_unit_test(covariance_against_moved_looks),
        cmocka_unit_test(bad_input),
    };
    return cmocka_run_group_tests_name("optics/aim", tests, NULL, NULL);
}
