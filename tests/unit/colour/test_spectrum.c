#include "check.h"
#include "reference.h"

#include <math.h>
#include <string.h>

#include "farhue/difference.h"

/* Source: chart24_expected.csv, an independent computation that sums reflectance at 5 nm; its
 * comment allows 0.1 for another interpolation. The 10 nm set is one interpolation apart from it;
 * of the 5 nm set every second sample is not on our grid, and F11's narrow lines weigh single
 * samples, so that there 0.15 is what the grid costs (0.12 at most, on b*). */
static void measured_chart(const char *file, const char *set, double tolerance, double with_lines)
{
    reference spectra = reference_load(file);
    reference expected = reference_load("chart24_expected.csv");
    double nm[81], values[81];
    size_t checked = 0;
    for (size_t i = 0; i < expected.rows; ++i) {
        if (strcmp(reference_text(&expected, i, "set"), set) != 0) continue;
        size_t patch = (size_t)reference_number(&expected, i, "patch");
        for (size_t k = 0; k < spectra.rows; ++k) {
            nm[k] = reference_number_at(&spectra, k, 0);
            values[k] = reference_number_at(&spectra, k, patch);
        }
        fh_spectrum r;
        size_t held = 99;
        assert_int_equal(fh_spectrum_resample(nm, values, spectra.rows, &r, &held), FH_OK);
        assert_int_equal(held, 0);
        char name[FH_CONDITION_TEXT];
        strcpy(name, reference_text(&expected, i, "illuminant"));
        strcat(name, "/");
        strcat(name, reference_text(&expected, i, "observer_deg"));
        fh_condition condition;
        assert_int_equal(fh_condition_parse(name, &condition), FH_OK);
        fh_weights w = fh_weights_of(condition);
        fh_lab lab = fh_lab_of_spectrum(&r, &w);
        double allowed = condition.illuminant == FH_ILLUMINANT_F11 ? with_lines : tolerance;
        check_close(lab.L, reference_number(&expected, i, "L"), allowed);
        check_close(lab.a, reference_number(&expected, i, "a"), allowed);
        check_close(lab.b, reference_number(&expected, i, "b"), allowed);
        ++checked;
    }
    assert_int_equal(checked, 24 * 5);
    reference_free(&spectra);
    reference_free(&expected);
}

static void chart_at_10_nm(void **state)
{
    (void)state;
    measured_chart("chart24_spectra_average30_10nm.csv", "avg30", 0.02, 0.05);
}

static void chart_at_5_nm(void **state)
{
    (void)state;
    measured_chart("chart24_spectra_ohta1997_5nm.csv", "ohta", 0.1, 0.15);
}

static void resampling(void **state)
{
    (void)state;
    double nm[80], values[80];
    fh_spectrum s;
    size_t held;
    /* the grid itself passes through to the bit */
    for (size_t i = 0; i < FH_BANDS; ++i) nm[i] = fh_band_nm(i), values[i] = sin((double)i) / 3 + 0.5;
    assert_int_equal(fh_spectrum_resample(nm, values, FH_BANDS, &s, &held), FH_OK);
    assert_memory_equal(s.v, values, sizeof s.v);
    /* 400–700 by 10: two ends and three are held */
    assert_int_equal(fh_spectrum_resample(nm + 2, values + 2, 31, &s, &held), FH_OK);
    assert_int_equal(held, 5);
    check(s.v[0] == values[2] && s.v[1] == values[2] && s.v[35] == values[32]);
    /* 20 nm steps of a smooth curve: within 1e-4 of it away from the ends, where the points set
     * beyond them are cruder. Independent computation: the curve. */
    for (size_t i = 0; i < 18; ++i) nm[i] = 380 + 20 * (double)i, values[i] = 0.5 + 0.3 * sin(nm[i] / 60);
    assert_int_equal(fh_spectrum_resample(nm, values, 18, &s, NULL), FH_OK);
    for (size_t i = 4; i < 31; ++i)
        check_close(s.v[i], 0.5 + 0.3 * sin(fh_band_nm(i) / 60), 1e-4);
    /* uneven steps take the monotone cubic: no overshoot */
    const double uneven[] = {380, 390, 450, 455, 600, 730}, steps[] = {0.1, 0.1, 0.1, 0.9, 0.9, 0.9};
    assert_int_equal(fh_spectrum_resample(uneven, steps, 6, &s, NULL), FH_OK);
    for (size_t i = 0; i < FH_BANDS; ++i) check_between(s.v[i], 0.1 - 1e-15, 0.9 + 1e-15);
}

static void refuses(void **state)
{
    (void)state;
    fh_spectrum s = fh_spectrum_flat(0.25), before = s;
    const double nm[] = {400, 500, 600}, back[] = {500, 400, 600}, twice[] = {400, 400, 600};
    const double far[] = {800, 900, 1000}, r[] = {0.1, 0.2, 0.3}, hole[] = {0.1, NAN, 0.3};
    assert_int_equal(fh_spectrum_resample(nm, r, 1, &s, NULL), FH_E_ARGUMENT);
    assert_int_equal(fh_spectrum_resample(nm, r, 0, &s, NULL), FH_E_ARGUMENT);
    assert_int_equal(fh_spectrum_resample(back, r, 3, &s, NULL), FH_E_ARGUMENT);
    assert_int_equal(fh_spectrum_resample(twice, r, 3, &s, NULL), FH_E_ARGUMENT);
    assert_int_equal(fh_spectrum_resample(far, r, 3, &s, NULL), FH_E_ARGUMENT);
    assert_int_equal(fh_spectrum_resample(nm, hole, 3, &s, NULL), FH_E_ARGUMENT);
    assert_memory_equal(&s, &before, sizeof s);
    fh_spectrum gap = before;
    gap.v[7] = NAN;
    check(isnan(fh_spectrum_distance(gap, before)));
    check(fh_spectrum_distance(fh_spectrum_add(s, s, 2.0), fh_spectrum_flat(0.75)) == 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chart_at_10_nm),
        cmocka_unit_test(chart_at_5_nm),
        cmocka_unit_test(resampling),
        cmocka_unit_test(refuses),
    };
    return cmocka_run_group_tests_name("spectrum", tests, NULL, NULL);
}
