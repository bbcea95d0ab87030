#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "farhue/appearance.h"
#include "reference.h"

/* Both curves of a pair; rows are in order. */
static void load_pair(const reference *t, const char *pair, fh_spectrum *one, fh_spectrum *two)
{
    double nm[128], r1[128], r2[128];
    size_t count = 0;
    for (size_t i = 0; i < t->rows; ++i) {
        if (strcmp(reference_text(t, i, "pair"), pair) != 0) continue;
        nm[count] = reference_number(t, i, "nm");
        r1[count] = reference_number(t, i, "R1");
        r2[count++] = reference_number(t, i, "R2");
    }
    assert_int_equal(fh_spectrum_resample(nm, r1, count, one, NULL), FH_OK);
    assert_int_equal(fh_spectrum_resample(nm, r2, count, two, NULL), FH_OK);
}

/* The figures are sums at 5 nm over curves given by 5 nm. On the 10 nm grid every other value of
 * the curves goes, which the lines of F2 and F11 feel: at 545 nm the second curve of pair 2 is
 * 0.268, between its neighbours of the grid 0.2665. The lights without lines agree to 0.08. */
static void indices_of_known_metamers(void **state)
{
    (void)state;
    reference spectra = reference_load("metamers_spectra.csv");
    reference table = reference_load("metamers_index.csv");
    const fh_weights day = fh_weights_of(fh_condition_default());
    for (size_t i = 0; i < table.rows; ++i) {
        fh_spectrum one, two;
        char text[32];
        fh_condition condition;
        load_pair(&spectra, reference_text(&table, i, "pair"), &one, &two);
        strcpy(text, reference_text(&table, i, "illuminant"));
        strcat(text, "/");
        strcat(text, reference_text(&table, i, "observer_deg"));
        assert_int_equal(fh_condition_parse(text, &condition), FH_OK);
        const fh_weights test = fh_weights_of(condition);
        const fh_metamerism m = fh_metamerism_of(&one, &two, &day, &test);
        const double tolerance = text[0] == 'F' ? 0.3 : 0.08;
        check_close(m.dEab, reference_number(&table, i, "dE76"), tolerance);
        check_close(m.dE00, reference_number(&table, i, "dE00"), tolerance);
    }
    reference_free(&spectra);
    reference_free(&table);
}

/* A sample that is the standard made darker is no metamer: the correction takes it all out. */
static void correction_takes_out_what_is_not_metamerism(void **state)
{
    (void)state;
    fh_spectrum standard, darker;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        standard.v[i] = 0.1 + 0.02 * (double)i;
        darker.v[i] = 0.9 * standard.v[i];
    }
    const fh_weights day = fh_weights_of(fh_condition_default());
    const fh_weights lamp = fh_weights_of((fh_condition){FH_ILLUMINANT_LED_B1, FH_OBSERVER_10});
    const fh_metamerism m = fh_metamerism_of(&standard, &darker, &day, &lamp);
    check_close(m.dEab, 0.0, 1e-9);
    check_close(m.dE00, 0.0, 1e-9);
}

static void black_stays_finite(void **state)
{
    (void)state;
    const fh_spectrum black = fh_spectrum_flat(0.0), grey = fh_spectrum_flat(0.2);
    const fh_weights day = fh_weights_of(fh_condition_default());
    check_between(fh_metamerism_of(&grey, &black, &day, &day).dEab, 40.0, 60.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(indices_of_known_metamers),
        cmocka_unit_test(correction_takes_out_what_is_not_metamerism),
        cmocka_unit_test(black_stays_finite),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
