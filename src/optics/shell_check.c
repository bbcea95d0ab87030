/* Samples that can't be fitted together are refused here, with what was found and what to do. */
#include "optics/shell_work.h"

#include "base/error.h"

#include <math.h>
#include <string.h>

/* A level that both kinds of readings have: Y/100 of the reading's Lab. */
static double level_of(const fh_reading *reading)
{
    return fh_xyz_of_lab(reading->lab, (fh_xyz){100.0, 100.0, 100.0}).Y / 100.0;
}

static fh_status check_reading(const fh_reading *reading, fh_error *error)
{
    return fh_reading_check(reading, NULL, error);
}

/* A camera above with light from the side reads as 45°:0° does. */
static fh_geometry plain_geometry(fh_geometry geometry)
{
    return geometry == FH_GEOMETRY_PHOTO ? FH_GEOMETRY_45_0 : geometry;
}

static fh_status check_methods(const fh_reading *first, const fh_reading *other, fh_error *error)
{
    const fh_method *a = &first->method, *b = &other->method;
    if (a->specular != FH_SPECULAR_UNKNOWN && b->specular != FH_SPECULAR_UNKNOWN &&
        a->specular != b->specular)
        return fh_fail(error, FH_E_DATA,
                       "'%s' and '%s' were read in different specular modes; "
                       "expected one mode for all looks and backings",
                       first->id, other->id);
    if (a->geometry != FH_GEOMETRY_UNKNOWN && b->geometry != FH_GEOMETRY_UNKNOWN &&
        plain_geometry(a->geometry) != plain_geometry(b->geometry))
        return fh_fail(error, FH_E_DATA,
                       "'%s' and '%s' were read in different geometries; "
                       "expected one for all looks and backings",
                       first->id, other->id);
    return FH_OK;
}

/* What the reading of a backing, or the look over it, calls "black" or "white" must be so: else
 * files or names were swapped, though figures that belong together still fit. */
static fh_status check_names(const fh_shell_sample *samples, size_t count, fh_error *error)
{
    const fh_reading *black = NULL, *white = NULL;
    for (size_t s = 0; s < count; ++s) {
        const char *const names[] = {samples[s].backing->id, samples[s].look->method.backing};
        for (size_t i = 0; i < 2; ++i) {
            if (strcmp(names[i], "black") == 0) black = samples[s].backing;
            if (strcmp(names[i], "white") == 0) white = samples[s].backing;
        }
    }
    if (!black || !white || level_of(white) >= level_of(black)) return FH_OK;
    return fh_fail(error, FH_E_DATA,
                   "the white backing is darker than the black one (%.3f and %.3f in luminous "
                   "reflectance); were the readings swapped?",
                   level_of(white), level_of(black));
}

/* Darkest and lightest backing must differ, and the looks over them in the same direction. */
static fh_status check_order(const fh_shell_sample *samples, size_t count, fh_error *error)
{
    size_t dark = 0, light = 0;
    for (size_t s = 1; s < count; ++s) {
        double level = level_of(samples[s].backing);
        if (level < level_of(samples[dark].backing)) dark = s;
        if (level > level_of(samples[light].backing)) light = s;
    }
    const fh_shell_sample *low = &samples[dark], *high = &samples[light];
    double apart = level_of(high->backing) - level_of(low->backing);
    if (apart < 0.1)
        return fh_fail(error, FH_E_DATA,
                       "the backings are too much alike: '%s' and '%s' differ by "
                       "%.3f in luminous reflectance; expected a black and a white, at "
                       "least 0.1 apart",
                       low->backing->id, high->backing->id, apart);
    double rise = level_of(high->look) - level_of(low->look);
    if (rise < -0.005)
        return fh_fail(error, FH_E_DATA,
                       "the shell looks darker over '%s' than over '%s' though "
                       "that backing is lighter; were the readings swapped?",
                       high->backing->id, low->backing->id);
    if (rise < 0.001)
        return fh_fail(error, FH_E_DATA,
                       "the shell looks the same over '%s' and '%s' (%.4f apart in "
                       "reflectance); it is opaque, and what is behind it can't "
                       "be seen",
                       low->backing->id, high->backing->id, rise);
    return FH_OK;
}

/* The share that passes: 0–1, with a little room for the instrument. */
static fh_status check_transmittance(const fh_reading *reading, fh_error *error)
{
    fh_status status = check_reading(reading, error);
    const bool known = reading->origin != FH_ORIGIN_LAB;
    for (size_t i = 0; known && !status && i < FH_BANDS; ++i)
        if (reading->reflectance.v[i] > 1.0)
            status = fh_fail(error, FH_E_DATA,
                             "the transmittance '%s' is %.3f at %.0f nm; expected "
                             "at most 1",
                             reading->id, reading->reflectance.v[i], fh_band_nm(i));
    return status;
}

fh_status fh_shell_check(const fh_shell_sample *samples, size_t count,
                         const fh_shell_options *options, fh_error *error)
{
    if (options->transmittance) {
        fh_status status = check_transmittance(options->transmittance, error);
        if (status) return status;
    }
    for (size_t s = 0; s < count; ++s) {
        fh_status status = check_reading(samples[s].look, error);
        if (!status) status = check_reading(samples[s].backing, error);
        if (!status) status = check_methods(samples[0].look, samples[s].look, error);
        if (!status) status = check_methods(samples[0].look, samples[s].backing, error);
        if (status) return status;
    }
    fh_status status = check_names(samples, count, error);
    return status || count < 2 ? status : check_order(samples, count, error);
}
