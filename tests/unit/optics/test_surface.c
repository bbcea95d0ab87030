#include "check.h"

#include "farhue/fresnel.h"
#include "farhue/surface.h"

#include <math.h>

/* By theory: an opaque body that throws everything back sends all light out again, so a sphere
 * with the specular component reads 1. */
static void white_body_is_white_in_the_sphere(void **state)
{
    (void)state;
    fh_surface s;
    fh_spectrum white = fh_spectrum_flat(1.0);
    check(fh_surface_of(1.49, FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED, &s) == FH_OK);
    check_close(fh_surface_seen(&s, &white).v[0], 1.0, 1e-14);
}

/* Independent computation: (1 − r(0))/n² over 1 − r_diffuse,inside at n = 1.49, with
 * shared/reference/fresnel_diffuse.csv: 0.961275/2.2201/0.409754 = 1.0567. */
static void ratio_of_the_geometries(void **state)
{
    (void)state;
    fh_surface sphere, beam;
    check(fh_surface_of(1.49, FH_GEOMETRY_8_D, FH_SPECULAR_EXCLUDED, &sphere) == FH_OK);
    check(fh_surface_of(1.49, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &beam) == FH_OK);
    check_close(beam.leave / sphere.leave, 1.0567, 0.00005);
    check_close(beam.outer, 0.0, 0.0);
    check_close(sphere.outer, 0.0, 0.0);
}

static void round_trip(void **state)
{
    (void)state;
    fh_surface s;
    fh_spectrum inside;
    for (size_t i = 0; i < FH_BANDS; ++i) inside.v[i] = (double)i / (FH_BANDS - 1);
    check(fh_surface_of(1.586, FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED, &s) == FH_OK);
    fh_spectrum seen = fh_surface_seen(&s, &inside), back = fh_surface_inside(&s, &seen);
    check_all_close(back.v, inside.v, FH_BANDS, 1e-14);
    check_close(seen.v[0], fh_fresnel_outside(1.586, cos(8 * acos(-1.0) / 180)), 1e-15);
    check(seen.v[10] < inside.v[10]); /* a face darkens */
}

/* The glossmeter's scale [ISO2813]: 100 is black glass of index 1.567, which reflects 0.10006 at
 * 60°; 89.13 for index 1.5 by Fresnel's formulas by hand: cos t = √(1 − 0.75/2.25) = 0.816497,
 * r_s = ((0.5 − 1.224745)/1.724745)² = 0.176573, r_p = ((0.75 − 0.816497)/1.566497)² = 0.001802,
 * mean 0.089187. */
static void gloss_scale(void **state)
{
    (void)state;
    check_close(fh_fresnel_outside(1.567, 0.5), 0.10006, 0.000005);
    check_close(fh_gloss_of_smooth(1.567), 100.0, 1e-12);
    check_close(fh_gloss_of_smooth(1.5), 100.0 * 0.089187 / 0.10006, 0.01);
    check_close(fh_finish_exceeds(1.5, (fh_finish){0.0, 95.0}), 89.135, 0.01);
    check_close(fh_finish_exceeds(1.5, (fh_finish){1.567, 95.0}), 0.0, 0.0);
    check_close(fh_finish_exceeds(1.567, (fh_finish){1.5, 95.0}), 89.135, 0.01);
    check_close(fh_finish_exceeds(1.5, (fh_finish){0.0, 89.5}), 0.0, 0.0);
    check_close(fh_finish_exceeds(1.5, (fh_finish){0.0, -1.0}), 0.0, 0.0);
}

/* By theory: what a mirror doesn't take goes everywhere. A sphere with the mirror reflection sees
 * no difference, a fully matt face of 45°:0° shows all of r(45°) = 0.050240 (Fresnel, by hand). */
static void matt_and_glossy(void **state)
{
    (void)state;
    fh_surface smooth, matt, half, open;
    check(fh_surface_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &smooth) == FH_OK);
    check(fh_surface_of_finish((fh_finish){1.5, 0.0}, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED,
                               &matt) == FH_OK);
    check_close(matt.outer, 0.050240, 5e-7);
    check_close(matt.enter, smooth.enter, 0.0);
    check_close(matt.inner, smooth.inner, 0.0);
    const double middle = 0.5 * fh_gloss_of_smooth(1.5);
    check(fh_surface_of_finish((fh_finish){1.5, middle}, FH_GEOMETRY_8_D, FH_SPECULAR_EXCLUDED,
                               &half) == FH_OK);
    check(fh_surface_of(1.5, FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED, &open) == FH_OK);
    check_close(half.outer, 0.5 * open.outer, 1e-15);
    check(fh_surface_of_finish((fh_finish){1.5, 0.0}, FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED,
                               &half) == FH_OK);
    check_close(half.outer, open.outer, 0.0);
    /* More than a smooth face of that index can have: smooth. */
    check(fh_surface_of_finish((fh_finish){1.5, 95.0}, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED,
                               &half) == FH_OK);
    check_close(half.outer, 0.0, 0.0);
}

static void veil_of_a_reading(void **state)
{
    (void)state;
    fh_method m = fh_method_unknown();
    check_close(fh_surface_veil(1.5, &m), 0.0, 0.0); /* gloss not known */
    m.gloss = 0.0;
    check_close(fh_surface_veil(1.5, &m), 0.050240, 5e-7);
    check_close(fh_surface_veil(1.0, &m), 0.0, 0.0);
    m.geometry = FH_GEOMETRY_8_D;
    check_close(fh_surface_veil(1.5, &m), 0.040006, 5e-7); /* r(8°): Fresnel, by hand */
    m.specular = FH_SPECULAR_INCLUDED;
    check_close(fh_surface_veil(1.5, &m), 0.0, 0.0);
}

/* By hand from ISO/CIE 11664-4: L* 50 is Y 0.184187, less 0.044603 is 0.139584, L* 44.1731; on the
 * line near black L* is 903.296 Y. */
static void lightness_without_the_veil(void **state)
{
    (void)state;
    check_close(fh_lightness_without(50.0, 0.0), 50.0, 1e-9);
    check_close(fh_lightness_without(50.0, 0.044603), 44.1731, 1e-4);
    check_close(fh_lightness_without(5.0, 0.01), -4.03296, 1e-4);
}

static void unknown_ways_of_reading(void **state)
{
    (void)state;
    fh_surface s = {.outer = -1};
    check(fh_surface_of(1.5, FH_GEOMETRY_UNKNOWN, FH_SPECULAR_EXCLUDED, &s) == FH_E_ARGUMENT);
    check(fh_surface_of(1.5, FH_GEOMETRY_8_D, FH_SPECULAR_UNKNOWN, &s) == FH_E_ARGUMENT);
    check(fh_surface_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_INCLUDED, &s) == FH_E_ARGUMENT);
    check(fh_surface_of_finish((fh_finish){0.9, -1.0}, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED,
                               &s) == FH_E_ARGUMENT);
    check(fh_surface_of_finish((fh_finish){1.5, (double)NAN}, FH_GEOMETRY_45_0,
                               FH_SPECULAR_EXCLUDED, &s) == FH_E_ARGUMENT);
    check_close(s.outer, -1, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(white_body_is_white_in_the_sphere),
        cmocka_unit_test(ratio_of_the_geometries),
        cmocka_unit_test(round_trip),
        cmocka_unit_test(gloss_scale),
        cmocka_unit_test(matt_and_glossy),
        cmocka_unit_test(veil_of_a_reading),
        cmocka_unit_test(lightness_without_the_veil),
        cmocka_unit_test(unknown_ways_of_reading),
    };
    return cmocka_run_group_tests_name("optics/surface", tests, NULL, NULL);
}
