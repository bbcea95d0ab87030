/* The surface correction of [Saunderson1942], eq. (2), in its two geometries.
 *
 *   8°:d   enter = 1 − r(8°),  leave = 1 − r_diffuse,inside
 *   45°:0° enter = 1 − r(45°), leave = (1 − r(0°))/n²: a perfect diffuser inside spreads its
 *          radiance over n² times the solid angle when it leaves, relative to a white in air.
 *
 * A matt face spreads the mirror reflection r(θ) over the hemisphere. The share that still goes the
 * mirror's way is taken as the gloss over that of a smooth face, gloss being r(60°) relative to
 * that of black glass of index 1.567 [ISO2813]; the rest, seen as a Lambertian veil, is the same in
 * every band and falls linearly with gloss, as prints measured from matt to glossy show
 * [Dalal1999]. What roughness does to light that goes in and out is left out: second order beside
 * the veil.
 *
 * Trap: the two differ by 1.057 for acrylic, and in practice r_diffuse,inside is often fitted
 * (0.4 to 0.65), which hides the difference. */
#include "farhue/surface.h"

#include "farhue/fresnel.h"

#include <assert.h>
#include <math.h>

static const double glass = 1.567; /* of the glossmeter's black standard */

static double cosine_of(double degrees)
{
    return cos(degrees * (3.14159265358979323846 / 180.0));
}

double fh_gloss_of_smooth(double index)
{
    const double at = cosine_of(60.0);
    return 100.0 * fh_fresnel_outside(index, at) / fh_fresnel_outside(glass, at);
}

double fh_finish_exceeds(double index, fh_finish wish)
{
    static const double slack = 0.5; /* gloss units, as the figure is written */
    const double of = wish.index > 0.0 ? wish.index : index;
    const double most = of > 1.0 ? fh_gloss_of_smooth(of) : HUGE_VAL;
    return wish.gloss > most + slack ? most : 0.0;
}

/* The share of the mirror reflection that goes the mirror's way. */
static double mirrored(fh_finish finish)
{
    const double smooth = finish.index > 1.0 ? fh_gloss_of_smooth(finish.index) : 0.0;
    return finish.gloss < 0.0 || finish.gloss >= smooth ? 1.0 : finish.gloss / smooth;
}

fh_status fh_surface_of_finish(fh_finish finish, fh_geometry geometry, fh_specular specular,
                               fh_surface *out)
{
    const double index = finish.index;
    if (!(index >= 1.0 && index <= 4.0) || !isfinite(finish.gloss)) return FH_E_ARGUMENT;
    fh_surface surface = {.inner = fh_fresnel_diffuse_inside(index)};
    double mirror;
    switch (geometry) {
    case FH_GEOMETRY_8_D: {
        if (specular == FH_SPECULAR_UNKNOWN) return FH_E_ARGUMENT;
        mirror = fh_fresnel_outside(index, cosine_of(8.0));
        surface.leave = 1.0 - surface.inner;
        break;
    }
    case FH_GEOMETRY_45_0:
    case FH_GEOMETRY_PHOTO:
        if (specular == FH_SPECULAR_INCLUDED) return FH_E_ARGUMENT;
        mirror = fh_fresnel_outside(index, cosine_of(45.0));
        surface.leave = (1.0 - fh_fresnel_outside(index, 1.0)) / (index * index);
        break;
    case FH_GEOMETRY_UNKNOWN:
    default:
        return FH_E_ARGUMENT;
    }
    surface.enter = 1.0 - mirror;
    surface.outer = specular == FH_SPECULAR_INCLUDED ? mirror : mirror * (1.0 - mirrored(finish));
    *out = surface;
    return FH_OK;
}

fh_status fh_surface_of(double index, fh_geometry geometry, fh_specular specular, fh_surface *out)
{
    return fh_surface_of_finish((fh_finish){index, -1.0}, geometry, specular, out);
}

fh_status fh_surface_finished(double index, const fh_surface *smooth, fh_finish wish,
                              fh_geometry geometry, fh_specular specular, fh_surface *out)
{
    const bool clear = wish.index > 0.0;
    fh_surface finished;
    if (!clear && index <= 1.0) return FH_E_IMPOSSIBLE;
    /* Not said: as bodies are fitted. */
    if (geometry == FH_GEOMETRY_UNKNOWN) geometry = FH_GEOMETRY_45_0;
    if (specular == FH_SPECULAR_UNKNOWN) specular = FH_SPECULAR_EXCLUDED;
    fh_status status = fh_surface_of_finish((fh_finish){clear ? wish.index : index, wish.gloss},
                                            geometry, specular, &finished);
    if (status) return status;
    if (!clear) {
        const double outer = finished.outer;
        finished = *smooth; /* its inner reflectance may have been fitted */
        finished.outer = outer;
    }
    *out = finished;
    return FH_OK;
}

double fh_surface_veil(double index, const fh_method *method)
{
    const bool sphere = method->geometry == FH_GEOMETRY_8_D;
    fh_surface surface;
    assert(index >= 1.0 && index <= 4.0);
    if (!(method->gloss >= 0.0) || method->specular == FH_SPECULAR_INCLUDED) return 0.0;
    if (fh_surface_of_finish((fh_finish){index, method->gloss},
                             sphere ? FH_GEOMETRY_8_D : FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED,
                             &surface))
        return 0.0;
    return surface.outer;
}

double fh_lightness_without(double L, double veil)
{
    static const fh_xyz white = {1.0, 1.0, 1.0};
    const double Y = fh_xyz_of_lab((fh_lab){L, 0.0, 0.0}, white).Y - veil;
    return fh_lab_of_xyz((fh_xyz){Y, Y, Y}, white).L;
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
