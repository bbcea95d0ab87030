/* Lamps as files. */
#include "check.h"
#include "starve.h"
#include "told.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "farhue/lamp_file.h"

enum { TEXT = 40000 };

static fh_status read_text(const char *text, double *power, size_t *held, fh_error *error)
{
    fh_tables *tables = NULL;
    *error = (fh_error){0};
    assert_int_equal(fh_csv_read(text, strlen(text), &tables, error), FH_OK);
    const fh_status status = fh_lamp_read(fh_tables_at(tables, 0), power, held, error);
    fh_tables_free(tables);
    return status;
}

/* Illuminant A by its definition [CIE15]: a full radiator of 2848 K with c2 = 1.435e7 nm K. */
static double illuminant_A(double nm)
{
    const double c = 1.435e7 / 2848.0;
    return 100.0 * pow(560.0 / nm, 5.0) * (exp(c / 560.0) - 1.0) / (exp(c / nm) - 1.0);
}

/* White of A for 10 degrees: X 111.14, Z 35.20 [CIE15, table of white points], to half the last
 * digit and the smoothing over 5 nm. In steps of 10 nm the chords of the convex curve lie above it:
 * by f'' h²/8 up to 0.12 % at the blue end, 0.04 in Z. */
static void a_filament_lamp_in_any_step(void **state)
{
    (void)state;
    static char text[TEXT];
    static const double steps[] = {1.0, 2.5, 5.0, 10.0};
    for (size_t s = 0; s < sizeof steps / sizeof *steps; ++s) {
        double power[FH_POWER_COUNT];
        size_t held, length = (size_t)snprintf(text, sizeof text, "NM,POWER\n");
        fh_weights w;
        fh_error error;
        for (double nm = 370.0; nm <= 790.0; nm += steps[s])
            length += (size_t)snprintf(text + length, sizeof text - length, "%g,%.8g\n", nm,
                                       3.0 * illuminant_A(nm));
        if (read_text(text, power, &held, &error)) fail_msg("%s", error.message);
        assert_int_equal(held, 0);
        check_close(power[36], 300.0, 0.3); /* 560 nm */
        assert_int_equal(fh_weights_from_power(power, FH_OBSERVER_10, &w), FH_OK);
        check_close(w.white.X, 111.14, steps[s] < 6.0 ? 0.01 : 0.04);
        check_close(w.white.Z, 35.20, steps[s] < 6.0 ? 0.01 : 0.04);
    }
}

/* A line of 2 nm between the values of the grid: by hand, its area is spread over 5 nm, 1/5 of
 * the height at 545 nm. And coarse steps are straight lines: halfway at 405 nm. */
static void lines_and_steps(void **state)
{
    (void)state;
    static char text[TEXT];
    double power[FH_POWER_COUNT];
    size_t held, length = (size_t)snprintf(text, sizeof text, "NM,POWER\n");
    fh_error error;
    for (int nm = 395; nm <= 705; ++nm)
        length += (size_t)snprintf(text + length, sizeof text - length, "%d,%g\n", nm,
                                   nm == 546 ? 50.0 : 0.0);
    if (read_text(text, power, &held, &error)) fail_msg("%s", error.message);
    for (size_t i = 0; i < FH_POWER_COUNT; ++i) check_close(power[i], i == 33 ? 10.0 : 0.0, 1e-9);
    assert_int_equal(held, 3 + 15); /* 380, 385, 390; 710 to 780 */

    if (read_text("NM,POWER\n400,1\n410,3\n600,4\n700,0\n", power, &held, &error))
        fail_msg("%s", error.message);
    check_close(power[5], 2.0, 1e-12);
    check_close(power[0], 1.0, 0.0); /* the ends are held */
    check_close(power[80], 0.0, 0.0);
}

static void what_is_no_lamp(void **state)
{
    (void)state;
    static const struct {
        const char *text, *expected; /* LINE:COLUMN: message */
    } cases[] = {
        {"NM,LIGHT\n400,1\n700,1\n", "1:0: no lamp"},
        {"NM,POWER\n400,1\n400,1\n700,1\n", "3:1: no ascending wavelength"},
        {"NM,POWER\n0.4,1\n0.7,1\n", "2:1: no ascending wavelength"},
        {"NM,POWER\n400,1\n700,-1\n", "3:5: no power of a lamp"},
        {"NM,POWER\n400,1\n700,nan\n", "3:5: POWER is"},
        {"NM,POWER\n420,1\n700,1\n", "1:1: too little of a lamp"},
        {"NM,POWER\n400,1\n680,1\n", "1:1: too little of a lamp"},
        {"NM,POWER\n", "1:1: too little of a lamp"},
        {"NM,POWER\n400,0\n700,0\n", "1:0: a lamp without any power"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; ++i) {
        double power[FH_POWER_COUNT] = {7.0};
        fh_error error;
        assert_int_equal(read_text(cases[i].text, power, NULL, &error), FH_E_DATA);
        check_told(&error, cases[i].expected, i);
        check_close(power[0], 7.0, 0.0);
    }
}

static void memory_may_run_out(void **state)
{
    (void)state;
    static const char text[] = "NM,POWER\n400,1\n700,1\n";
    fh_tables *tables = NULL;
    double power[FH_POWER_COUNT];
    assert_int_equal(fh_csv_read(text, sizeof text - 1, &tables, NULL), FH_OK);
    starve_after(0);
    const fh_status status = fh_lamp_read(fh_tables_at(tables, 0), power, NULL, NULL);
    check(starve_end());
    assert_int_equal(status, FH_E_MEMORY);
    fh_tables_free(tables);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_filament_lamp_in_any_step),
        cmocka_unit_test(lines_and_steps),
        cmocka_unit_test(what_is_no_lamp),
        cmocka_unit_test(memory_may_run_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
