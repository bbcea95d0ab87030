#include "check.h"

#include "exact.h"
#include "farhue/sheet.h"
#include "optics/transport.h"

#include <math.h>

static fh_sheet sheet_of(double index, fh_geometry geometry, fh_specular specular)
{
    fh_sheet sheet;
    check(fh_sheet_of(index, geometry, specular, &sheet) == FH_OK);
    return sheet;
}

/* shared/reference/shell_air_gap_monte_carlo.csv, S4 (g 0.80, n 1.586, 2 mm): μa and μs of its head
 * at 380, 530 and 730 nm; w0, w1 and w2/w1 of its rows. In 45/0 the table averages over exit angles
 * within 10 degrees (and has an error of 0.0003 itself), which may move A by 0.0025. */
static void frosted_shell_of_the_table(void **state)
{
    (void)state;
    static const double mu_a[3] = {0.65436, 0.01031, 0.04186};
    static const double mu_s[3] = {2.68840, 2.06015, 1.59464};
    static const size_t band[3] = {0, 15, 35};
    static exact_shell shells[EXACT_SHELLS];
    exact_load(shells);
    for (int s = 4; s < 6; ++s) {
        fh_sheet sheet =
            sheet_of(1.586, s == 4 ? FH_GEOMETRY_45_0 : FH_GEOMETRY_8_D, FH_SPECULAR_EXCLUDED);
        fh_transport *transport = fh_transport_new(&sheet);
        for (int k = 0; k < 3; ++k) {
            const double *w = shells[s].w[band[k]];
            fh_sheet_band found = fh_transport_band(transport, 2 * mu_a[k], 2 * 0.2 * mu_s[k]);
            check_close(found.A, w[0], s == 4 ? 0.0025 : 0.002);
            check_close(found.B, w[1], 0.001);
            check_close(found.C, w[2] / w[1], 0.003);
        }
        fh_transport_free(transport);
    }
}

/* By conservation of energy. */
static void no_light_is_lost(void **state)
{
    (void)state;
    fh_sheet sheet = sheet_of(1.5, FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED);
    fh_transport *transport = fh_transport_new(&sheet);
    for (double scattering = 0.001; scattering < 40.0; scattering *= 3) {
        fh_sheet_band band = fh_transport_band(transport, 0.0, scattering);
        check_close(band.A + band.B / (1 - band.C), 1.0, 1e-5);
    }
    fh_transport_free(transport);
}

/* Without scattering it is the sheet model's straight part, up to the few directions of the fan. */
static void clear_sheet(void **state)
{
    (void)state;
    fh_sheet sheet = sheet_of(1.49, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED);
    fh_transport *transport = fh_transport_new(&sheet);
    for (double absorption = 0.0; absorption < 4.0; absorption += 0.5) {
        fh_sheet_band a = fh_transport_band(transport, absorption, 0.0);
        fh_sheet_band b = fh_sheet_band_of(&sheet, absorption, 0.0);
        check_close(a.A, 0.0, 1e-12);
        check_close(a.B, b.B, 1e-9);
        check_close(a.C, b.C, 2e-3);
    }
    fh_transport_free(transport);
}

static void extremes_are_finite(void **state)
{
    (void)state;
    for (double index = 1.0; index <= 2.0; index += 0.5) {
        fh_sheet sheet = sheet_of(index, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED);
        fh_transport *transport = fh_transport_new(&sheet);
        const double values[3] = {0.0, 1.0, 60.0};
        for (int i = 0; i < 9; ++i) {
            fh_sheet_band band = fh_transport_band(transport, values[i % 3], values[i / 3]);
            check_between(band.A, 0.0, 1.05); /* at 45:0 a radiance factor, no share of light */
            check_between(band.B, 0.0, 1.0);
            check_between(band.C, -1e-3, 1.0);
            check_between(band.T, 0.0, 1.0);
        }
        fh_transport_free(transport);
    }
    fh_transport_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(frosted_shell_of_the_table),
        cmocka_unit_test(no_light_is_lost),
        cmocka_unit_test(clear_sheet),
        cmocka_unit_test(extremes_are_finite),
    };
    return cmocka_run_group_tests_name("optics/transport", tests, NULL, NULL);
}
