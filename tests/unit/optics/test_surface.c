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

static void unknown_ways_of_reading(void **state)
{
    (void)state;
    fh_surface s = {.outer = -1};
    check(fh_surface_of(1.5, FH_GEOMETRY_UNKNOWN, FH_SPECULAR_EXCLUDED, &s) == FH_E_ARGUMENT);
    check(fh_surface_of(1.5, FH_GEOMETRY_8_D, FH_SPECULAR_UNKNOWN, &s) == FH_E_ARGUMENT);
    check(fh_surface_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_INCLUDED, &s) == FH_E_ARGUMENT);
    check_close(s.outer, -1, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(white_body_is_white_in_the_sphere),
        cmocka_unit_test(ratio_of_the_geometries),
        cmocka_unit_test(round_trip),
        cmocka_unit_test(unknown_ways_of_reading),
    };
    return cmocka_run_group_tests_name("optics/surface", tests, NULL, NULL);
}
