/* The surface correction of [Saunderson1942], eq. (2), in its two geometries.
 *
 *   8°:d   enter = 1 − r(8°),  leave = 1 − r_diffuse,inside
 *   45°:0° enter = 1 − r(45°), leave = (1 − r(0°))/n²: a perfect diffuser inside spreads its
 *          radiance over n² times the solid angle when it leaves, relative to a white in air.
 *
 * Trap: the two differ by 1.057 for acrylic, and in practice r_diffuse,inside is often fitted
 * (0.4 to 0.65), which hides the difference. */
#include "farhue/surface.h"

#include "farhue/fresnel.h"

#include <math.h>

static double cosine_of(double degrees)
{
    return cos(degrees * (3.14159265358979323846 / 180.0));
}

fh_status fh_surface_of(double index, fh_geometry geometry, fh_specular specular, fh_surface *out)
{
    fh_surface surface = {.outer = 0.0, .inner = fh_fresnel_diffuse_inside(index)};
    switch (geometry) {
    case FH_GEOMETRY_8_D: {
        if (specular == FH_SPECULAR_UNKNOWN) return FH_E_ARGUMENT;
        double mirror = fh_fresnel_outside(index, cosine_of(8.0));
        if (specular == FH_SPECULAR_INCLUDED) surface.outer = mirror;
        surface.enter = 1.0 - mirror;
        surface.leave = 1.0 - surface.inner;
        break;
    }
    case FH_GEOMETRY_45_0:
    case FH_GEOMETRY_PHOTO:
        if (specular == FH_SPECULAR_INCLUDED) return FH_E_ARGUMENT;
        surface.enter = 1.0 - fh_fresnel_outside(index, cosine_of(45.0));
        surface.leave = (1.0 - fh_fresnel_outside(index, 1.0)) / (index * index);
        break;
    case FH_GEOMETRY_UNKNOWN:
    default:
        return FH_E_ARGUMENT;
    }
    *out = surface;
    return FH_OK;
}

fh_spectrum fh_surface_seen(const fh_surface *surface, const fh_spectrum *inside)
{
    fh_spectrum seen;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double R = inside->v[i];
        seen.v[i] =
            surface->outer + surface->enter * surface->leave * R / (1.0 - surface->inner * R);
    }
    return seen;
}

fh_spectrum fh_surface_inside(const fh_surface *surface, const fh_spectrum *seen)
{
    fh_spectrum inside;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double R = seen->v[i] - surface->outer;
        inside.v[i] = R / (surface->enter * surface->leave + surface->inner * R);
    }
    return inside;
}
