/* Tristimulus weights against the printed white points and a measured chart. */
#include "check.h"
#include "reference.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "farhue/difference.h"

/* Source: ASTM E308 whites (X, Y, Z) and the plain 5 nm sums (Xsum …, three printed decimals). Ours
 * are those sums. The printed whites lie within 0.012 of them, 0.03 for D75/2 and for Z of D65/10,
 * where the printed figure comes from the 1 nm sum; 0.0005 is half of the last printed digit. */
static void printed_whites(void **state)
{
    (void)state;
    reference table = reference_load("astm_e308_white_points.csv");
    for (size_t i = 0; i < table.rows; ++i) {
        char name[32];
        snprintf(name, sizeof name, "%s/%s", reference_text(&table, i, "illuminant"),
                 reference_text(&table, i, "observer_deg"));
        fh_condition condition;
        assert_int_equal(fh_condition_parse(name, &condition), FH_OK);
        fh_xyz white = fh_weights_of(condition).white;
        bool loose = strcmp(name, "D75/2") == 0;
        check_close(white.X, reference_number(&table, i, "Xsum"), 0.0005);
        check_close(white.Z, reference_number(&table, i, "Zsum"), 0.0005);
        check_close(white.X, reference_number(&table, i, "X"), (loose ? 0.03 : 0.012) + 0.0005);
        check_close(white.Y, 100.0, 1e-9);
        check_close(white.Z, reference_number(&table, i, "Z"),
                    (loose || strcmp(name, "D65/10") == 0 ? 0.03 : 0.012) + 0.0005);
    }
    reference_free(&table);
}

static void perfect_diffuser_is_neutral(void **state)
{
    (void)state;
    for (unsigned light = 0; light < FH_ILLUMINANT_COUNT; ++light)
        for (unsigned observer = 0; observer < FH_OBSERVER_COUNT; ++observer) {
            fh_weights w =
                fh_weights_of((fh_condition){(fh_illuminant)light, (fh_observer)observer});
            fh_spectrum one = fh_spectrum_flat(1.0);
            fh_lab lab = fh_lab_of_spectrum(&one, &w);
            check(lab.L == 100.0 && lab.a == 0.0 && lab.b == 0.0); /* to the last bit */
            for (int k = 1; k < 10; ++k) {
                fh_spectrum grey = fh_spectrum_flat(k / 10.0);
                lab = fh_lab_of_spectrum(&grey, &w);
                check_close(hypot(lab.a, lab.b), 0.0, 1e-10);
            }
        }
}

/* Source: xyY published with the average-of-30 spectra (D50, 2 degrees), four decimals. */
static void chart_spectra_give_their_xyY(void **state)
{
    (void)state;
    reference spectra = reference_load("chart24_spectra_average30_10nm.csv");
    reference published = reference_load("chart24_published.csv");
    assert_int_equal(spectra.rows, FH_BANDS);
    fh_weights w = fh_weights_of((fh_condition){FH_ILLUMINANT_D50, FH_OBSERVER_2});
    for (size_t patch = 0; patch < 24; ++patch) {
        fh_spectrum r;
        for (size_t band = 0; band < FH_BANDS; ++band)
            r.v[band] = reference_number_at(&spectra, band, patch + 1);
        double x = reference_number(&published, patch, "xavg");
        double y = reference_number(&published, patch, "yavg");
        double Y = 100.0 * reference_number(&published, patch, "Yavg");
        fh_lab expected = fh_lab_of_xyz((fh_xyz){x * Y / y, Y, (1 - x - y) * Y / y}, w.white);
        fh_lab found = fh_lab_of_spectrum(&r, &w);
        check_close(fh_de2000(expected, found), 0.0, 0.05);
    }
    reference_free(&spectra);
    reference_free(&published);
}

/* A lamp from a file that equals a standard illuminant gives that illuminant's weights. */
static void lamp_from_file(void **state)
{
    (void)state;
    fh_weights standard = fh_weights_of((fh_condition){FH_ILLUMINANT_F11, FH_OBSERVER_10});
    double power[FH_POWER_COUNT];
    for (size_t i = 0; i < FH_POWER_COUNT; ++i)
        power[i] = 7.0 * fh_illuminant_power(FH_ILLUMINANT_F11)[i];
    fh_weights w;
    assert_int_equal(fh_weights_from_power(power, FH_OBSERVER_10, &w), FH_OK);
    check_all_close(w.x.v, standard.x.v, FH_BANDS, 1e-12);
    check_all_close(w.z.v, standard.z.v, FH_BANDS, 1e-12);
    assert_int_equal(w.condition.illuminant, FH_ILLUMINANT_FILE);

    fh_weights untouched = w;
    power[3] = -1.0;
    assert_int_equal(fh_weights_from_power(power, FH_OBSERVER_2, &w), FH_E_DATA);
    memset(power, 0, sizeof power);
    assert_int_equal(fh_weights_from_power(power, FH_OBSERVER_2, &w), FH_E_DATA);
    power[3] = NAN;
    assert_int_equal(fh_weights_from_power(power, FH_OBSERVER_2, &w), FH_E_DATA);
    assert_memory_equal(&w, &untouched, sizeof w);
}

static void names(void **state)
{
    (void)state;
    fh_condition c = {0};
    char text[FH_CONDITION_TEXT];
    for (unsigned light = 0; light < FH_ILLUMINANT_COUNT; ++light)
        for (unsigned observer = 0; observer < FH_OBSERVER_COUNT; ++observer) {
            fh_condition in = {(fh_illuminant)light, (fh_observer)observer};
            fh_condition_text(in, text);
            assert_int_equal(fh_condition_parse(text, &c), FH_OK);
            check(fh_condition_equal(in, c));
        }
    assert_int_equal(fh_condition_parse("led-b1/2", &c), FH_OK);
    check(c.illuminant == FH_ILLUMINANT_LED_B1 && c.observer == FH_OBSERVER_2);
    const char *wrong[] = {"", "/", "D65", "D65/", "D65/5", "D65/10 ", "D66/10", "/10", "file/10",
                           "D65/2/10"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; ++i) {
        assert_int_equal(fh_condition_parse(wrong[i], &c), FH_E_DATA);
        check(c.illuminant == FH_ILLUMINANT_LED_B1);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(printed_whites),
        cmocka_unit_test(perfect_diffuser_is_neutral),
        cmocka_unit_test(chart_spectra_give_their_xyY),
        cmocka_unit_test(lamp_from_file),
        cmocka_unit_test(names),
    };
    return cmocka_run_group_tests_name("weights", tests, NULL, NULL);
}
