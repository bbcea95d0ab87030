#include "check.h"
#include "reference.h"

#include "exact.h"
#include "farhue/body.h"
#include "farhue/fresnel.h"
#include "farhue/sheet.h"
#include "farhue/surface.h"
#include "optics/quadrature.h"

#include <math.h>
#include <string.h>

static exact_shell shells[EXACT_SHELLS];
static fh_shell shell, thicker;

static fh_sheet sheet_of(double index, fh_geometry geometry, fh_specular specular)
{
    fh_sheet sheet;
    check(fh_sheet_of(index, geometry, specular, &sheet) == FH_OK);
    return sheet;
}

/* Readings of an exact shell over greys. */
typedef struct readings {
    fh_reading look[3], backing[3];
    fh_shell_sample sample[3];
} readings;

static void read_exact(const exact_shell *exact, bool included, const double *grey, size_t count,
                       readings *out)
{
    bool sphere = strcmp(exact->geometry, "8/d") == 0;
    for (size_t b = 0; b < count; ++b) {
        fh_spectrum backing = fh_spectrum_flat(grey[b]), look = exact_look(exact, &backing);
        for (size_t i = 0; included && i < FH_BANDS; ++i) look.v[i] += exact->mirror[i];
        out->look[b] = exact_reading("look", look);
        out->backing[b] = exact_reading("backing", backing);
        out->look[b].method.geometry = sphere ? FH_GEOMETRY_8_D : FH_GEOMETRY_45_0;
        out->look[b].method.specular = included ? FH_SPECULAR_INCLUDED : FH_SPECULAR_EXCLUDED;
        out->backing[b].method = out->look[b].method;
        out->sample[b] = (fh_shell_sample){&out->look[b], &out->backing[b]};
    }
}

static double index_of(int s)
{
    return s < 2 ? FH_INDEX_ACRYLIC : FH_INDEX_POLYCARBONATE;
}

static void check_predictions(const exact_shell *exact, bool included, double dE, double R)
{
    for (int p = 0; p < EXACT_PARTS; ++p) {
        fh_spectrum part = exact_part(p), truth = exact_look(exact, &part);
        for (size_t i = 0; included && i < FH_BANDS; ++i) truth.v[i] += exact->mirror[i];
        fh_spectrum found = fh_shell_look(&shell.curves, &part);
        check_close(fh_spectrum_distance(truth, found), 0.0, R);
        check_close(exact_difference(&truth, &found), 0.0, dE);
    }
}

/* shared/reference/shell_air_gap_monte_carlo.csv: from 0.04 and 0.88 alone; S1 is clear. */
static void exact_shells_two_backings(void **state)
{
    (void)state;
    const double grey[2] = {0.04, 0.88};
    readings r;
    exact_load(shells);
    for (int s = 0; s < EXACT_SHELLS; ++s)
        for (int included = 0; included < 1 + s % 2; ++included) {
            read_exact(&shells[s], included == 1, grey, 2, &r);
            fh_shell_options options = fh_shell_options_default();
            options.index = index_of(s);
            check(fh_shell_fit(r.sample, 2, &options, &shell, NULL, NULL) == FH_OK);
            check(shell.kind == FH_SHELL_SHEET);
            check_predictions(&shells[s], included == 1, s < 2 ? 0.02 : 0.3, 0.006);
        }
}

/* The same table: a clear shell from one reading, over white. */
static void exact_clear_shell_one_backing(void **state)
{
    (void)state;
    const double grey[1] = {0.88};
    readings r;
    exact_load(shells);
    for (int s = 0; s < 2; ++s) {
        read_exact(&shells[s], false, grey, 1, &r);
        fh_shell_options options = fh_shell_options_default();
        options.index = FH_INDEX_ACRYLIC;
        check(fh_shell_fit(r.sample, 1, &options, &shell, NULL, NULL) == FH_OK);
        check(shell.kind == FH_SHELL_CLEAR);
        check_predictions(&shells[s], false, 0.02, 0.0005);
    }
}

/* One look and a total transmittance. The transmittance is the model's own (the table has none),
 * so this tells that the two readings are used together, not how true the model is. */
static void one_look_and_a_transmittance(void **state)
{
    (void)state;
    fh_sheet sheet = sheet_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED);
    fh_spectrum absorption = exact_part(5), scattering = exact_part(6), T;
    fh_shell_curves truth = fh_sheet_curves(&sheet, &absorption, &scattering, &T);
    fh_spectrum white = fh_spectrum_flat(0.9);
    fh_reading look = exact_reading("look", fh_shell_look(&truth, &white));
    fh_reading backing = exact_reading("white", white), through = exact_reading("through", T);
    through.random = fh_mat3_diagonal(0.01, 0.01, 0.01);
    fh_shell_sample sample = {&look, &backing};
    fh_shell_options options = fh_shell_options_default();
    options.transmittance = &through;
    check(fh_shell_fit(&sample, 1, &options, &shell, NULL, NULL) == FH_OK);
    check(shell.kind == FH_SHELL_SHEET);
    check(shell.mode_count > 0);
    check_all_close(shell.absorption.v, absorption.v, FH_BANDS, 1e-5);
    check_all_close(shell.scattering.v, scattering.v, FH_BANDS, 1e-5);
    fh_spectrum black = fh_spectrum_flat(0.0), a = fh_shell_look(&truth, &black);
    fh_spectrum b = fh_shell_look(&shell.curves, &black);
    check_close(fh_spectrum_distance(a, b), 0.0, 1e-5);
    /* a clear sheet from its transmittance alone */
    scattering = fh_spectrum_flat(0.0);
    truth = fh_sheet_curves(&sheet, &absorption, &scattering, &through.reflectance);
    check(fh_shell_fit(NULL, 0, &options, &shell, NULL, NULL) == FH_OK);
    check(shell.kind == FH_SHELL_CLEAR);
    check_all_close(shell.curves.B.v, truth.B.v, FH_BANDS, 1e-5);
}

/* Independent computation: a clear sheet by summing the bounces of each angle, with a quadrature
 * of another substitution; over black in 45°:0° nothing comes back. */
static void clear_sheet_by_angles(void **state)
{
    (void)state;
    const double n = 1.49, tau = 0.4, degree = acos(-1.0) / 180.0;
    fh_sheet sheet = sheet_of(n, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED);
    fh_sheet_band band = fh_sheet_band_of(&sheet, tau, 0.0);
    check_close(band.A, 0.0, 0.0005);
    double C = 0.0, T[2], angle[2] = {0.0, 45.0};
    for (int k = 0; k < 2; ++k) {
        double c = cos(angle[k] * degree), inside = sqrt(1 - (1 - c * c) / (n * n));
        double F = fh_fresnel_outside(n, c), a = exp(-tau / inside), sum = 0.0, light = 1 - F;
        for (int i = 0; i < 40; ++i, light *= F * F * a * a) sum += light * a * (1 - F);
        T[k] = sum;
    }
    for (int i = 0; i < FH_GAUSS; ++i) {
        double x = fh_gauss_node[i], c = x * x * x, inside = sqrt(1 - (1 - c * c) / (n * n));
        double F = fh_fresnel_outside(n, c), a = exp(-tau / inside), light = 1 - F, R = F;
        for (int k = 0; k < 400; ++k, light *= F * F * a * a) R += light * a * a * F * (1 - F);
        C += fh_gauss_weight[i] * 3 * x * x * 2 * c * R;
    }
    check_close(band.B, T[0] * T[1], 1e-12);
    check_close(band.T, T[0], 1e-12);
    check_close(band.C, C, 1e-5);
    /* eye and lamp swapped would be the same: 8°:d of a sheet that isn't there passes all */
    sheet = sheet_of(1.0, FH_GEOMETRY_8_D, FH_SPECULAR_EXCLUDED);
    band = fh_sheet_band_of(&sheet, 0.0, 0.0);
    check_close(band.A, 0.0, 0.0);
    check_close(band.B, 1.0, 1e-14);
    check_close(band.C, 0.0, 1e-14);
}

/* By conservation of energy: without absorption a white part makes the sphere read 1. */
static void no_light_is_lost(void **state)
{
    (void)state;
    fh_sheet sheet = sheet_of(1.586, FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED);
    for (double scattering = 0.0; scattering < 300.0; scattering = 2 * scattering + 0.03) {
        fh_sheet_band band = fh_sheet_band_of(&sheet, 0.0, scattering);
        check_close(band.A + band.B / (1 - band.C), 1.0, 2e-7);
    }
}

/* By theory: where scattering is strong all light inside is diffuse, and Kubelka–Munk between
 * diffuse faces gives what comes from below. */
static void strong_scattering_is_kubelka_munk(void **state)
{
    (void)state;
    fh_sheet sheet = sheet_of(1.5, FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED);
    for (double s = 30.0; s <= 480.0; s *= 4) {
        double absorption = 0.02 * s;
        fh_sheet_band band = fh_sheet_band_of(&sheet, absorption, s);
        fh_spectrum K = fh_spectrum_flat(2 * absorption), S = fh_spectrum_flat(0.75 * s);
        fh_layer face = fh_layer_face(1.5), body = fh_body_layer(&K, &S, 1.0);
        fh_layer wall = fh_layer_add(face, fh_layer_add(body, fh_layer_flip(face)));
        check_close(band.C, wall.R_bottom.v[0], 0.03);
        fh_surface surface;
        check(fh_surface_of(1.5, FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED, &surface) == FH_OK);
        fh_spectrum thick = fh_spectrum_flat(fh_body_thick(K.v[0], S.v[0]));
        check_close(band.A, fh_surface_seen(&surface, &thick).v[0], 0.03);
    }
}

/* Where k meets the decay rate of the fluxes the solution is bridged: no step. */
static void no_step_at_the_resonance(void **state)
{
    (void)state;
    fh_sheet sheet = sheet_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED);
    double last = 0.0, slope = 0.0;
    for (int i = 0; i <= 40000; ++i) {
        double A = fh_sheet_band_of(&sheet, 0.1 + 1e-5 * i, 0.3).A, rise = A - last;
        if (i > 1) check_close(rise, slope, 2e-8);
        last = A;
        slope = rise;
    }
}

/* A clear sheet goes by its formulas exactly; any sheet made thicker and thinner again comes back.
 * How true the thickness is stands in test_shell_thickness.c. */
static void thickness(void **state)
{
    (void)state;
    fh_sheet sheet = sheet_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED);
    fh_spectrum absorption = exact_part(5), scattering = fh_spectrum_flat(0.0);
    fh_spectrum twice_a = fh_spectrum_add(absorption, absorption, 1);
    const double grey[3] = {0.04, 0.35, 0.9};
    for (int milky = 0; milky < 2; ++milky) {
        if (milky) scattering = exact_part(6);
        fh_shell_curves once = fh_sheet_curves(&sheet, &absorption, &scattering, NULL);
        readings r;
        for (int b = 0; b < 3; ++b) {
            fh_spectrum backing = fh_spectrum_flat(grey[b]);
            r.look[b] = exact_reading("look", fh_shell_look(&once, &backing));
            r.backing[b] = exact_reading("backing", backing);
            r.sample[b] = (fh_shell_sample){&r.look[b], &r.backing[b]};
        }
        fh_shell_options options = fh_shell_options_default();
        check(fh_shell_fit(r.sample, 2, &options, &shell, NULL, NULL) == FH_OK);
        check(fh_shell_thickness(&shell, 2.0, &thicker) == FH_OK);
        if (milky) {
            check(fh_shell_thickness(&thicker, 0.5, &thicker) == FH_OK);
            for (int p = 0; p < EXACT_PARTS; ++p) {
                fh_spectrum part = exact_part(p), a = fh_shell_look(&shell.curves, &part);
                fh_spectrum b = fh_shell_look(&thicker.curves, &part);
                check_between(exact_difference(&a, &b), 0.0, 0.3);
            }
        } else {
            fh_shell_curves twice = fh_sheet_curves(&sheet, &twice_a, &scattering, NULL);
            check_close(fh_spectrum_distance(thicker.curves.A, twice.A), 0.0, 1e-4);
            check_close(fh_spectrum_distance(thicker.curves.B, twice.B), 0.0, 1e-4);
            check_close(fh_spectrum_distance(thicker.curves.C, twice.C), 0.0, 1e-4);
        }
    }
    check(fh_shell_thickness(&shell, 0.0, &thicker) == FH_E_ARGUMENT);
    check(fh_shell_thickness(&shell, (double)NAN, &thicker) == FH_E_ARGUMENT);
    shell.modelled = false;
    check(fh_shell_thickness(&shell, 2.0, &thicker) == FH_E_DATA);
}

static void bad_input(void **state)
{
    (void)state;
    fh_sheet sheet = {.index = -1};
    check(fh_sheet_of(0.99, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &sheet) == FH_E_ARGUMENT);
    check(fh_sheet_of((double)NAN, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &sheet) ==
          FH_E_ARGUMENT);
    check(fh_sheet_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_INCLUDED, &sheet) == FH_E_ARGUMENT);
    check_close(sheet.index, -1, 0);
    fh_reading through = exact_reading("through", fh_spectrum_flat(1.05));
    fh_shell_options options = fh_shell_options_default();
    options.transmittance = &through;
    fh_error error = {0};
    check(fh_shell_fit(NULL, 0, &options, &shell, NULL, &error) == FH_E_DATA);
    check(strstr(error.message, "at most 1") != NULL);
    /* very dark and very milky sheets stay finite */
    sheet = sheet_of(1.5, FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED);
    fh_sheet_band band = fh_sheet_band_of(&sheet, 1e6, 1e6);
    check(isfinite(band.A) && isfinite(band.B) && isfinite(band.C) && isfinite(band.T));
    band = fh_sheet_band_of(&sheet, 0.0, 1e9);
    check(isfinite(band.A) && isfinite(band.B) && isfinite(band.C) && isfinite(band.T));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exact_shells_two_backings),
        cmocka_unit_test(exact_clear_shell_one_backing),
        cmocka_unit_test(one_look_and_a_transmittance),
        cmocka_unit_test(clear_sheet_by_angles),
        cmocka_unit_test(no_light_is_lost),
        cmocka_unit_test(strong_scattering_is_kubelka_munk),
        cmocka_unit_test(no_step_at_the_resonance),
        cmocka_unit_test(thickness),
        cmocka_unit_test(bad_input),
    };
    return cmocka_run_group_tests_name("optics/sheet", tests, NULL, NULL);
}
