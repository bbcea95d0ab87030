/* The face of a coat of the file's paints, read in the file's way or in another. */
#include "base/error.h"
#include "farhue/paints.h"

/* The file's way of reading, with what another reading says of its own. */
static fh_method way_of(const fh_paints *paints, const fh_method *as, bool *carried)
{
    const fh_geometry geometry =
        as->geometry == FH_GEOMETRY_PHOTO ? FH_GEOMETRY_45_0 : as->geometry;
    fh_method m = fh_method_unknown();
    m.geometry = paints->geometry == FH_GEOMETRY_PHOTO ? FH_GEOMETRY_45_0 : paints->geometry;
    m.specular = paints->specular;
    *carried = false;
    if (geometry != FH_GEOMETRY_UNKNOWN && m.geometry != FH_GEOMETRY_UNKNOWN) {
        *carried = geometry != m.geometry;
        m.geometry = geometry;
    }
    if (as->specular != FH_SPECULAR_UNKNOWN && m.specular != FH_SPECULAR_UNKNOWN) {
        *carried = *carried || as->specular != m.specular;
        m.specular = as->specular;
    }
    return m;
}

static double gloss_of(const fh_paints *paints, const fh_finish *wish)
{
    if (wish && wish->gloss >= 0.0) return wish->gloss;
    return wish && wish->index > 0.0 ? fh_gloss_of_smooth(wish->index) : paints->gloss;
}

fh_status fh_paints_look_of(const fh_paints *paints, const fh_finish *wish, const fh_method *as,
                            const char *id, fh_paints_look *out, fh_error *error)
{
    fh_paints_look look = {.gloss = gloss_of(paints, wish)};
    const fh_method m = way_of(paints, as, &look.carried);
    fh_surface smooth = paints->surface;
    fh_status status = FH_OK;
    look.surface = paints->face;
    if (look.carried && m.specular != paints->specular && look.gloss < 0.0)
        return fh_fail(error, FH_E_DATA,
                       "%s was read with specular %s, the paints with specular %s; expected one "
                       "mode for both, or the gloss of the coat",
                       id, fh_specular_name(m.specular), fh_specular_name(paints->specular));
    if (look.carried && paints->surface_fitted)
        return fh_fail(error, FH_E_DATA,
                       "%s was read in another way than the paints, whose surface is fitted; "
                       "expected one geometry and one specular mode",
                       id);
    if (look.carried) {
        status = fh_surface_of(paints->index, m.geometry, m.specular, &smooth);
        if (!status)
            status = fh_surface_of_finish((fh_finish){paints->index, look.gloss}, m.geometry,
                                          m.specular, &look.surface);
    }
    if (!status && wish && (wish->index > 0.0 || wish->gloss >= 0.0))
        status = fh_surface_finished(paints->index, &smooth, *wish, m.geometry, m.specular,
                                     &look.surface);
    if (status == FH_E_IMPOSSIBLE)
        return fh_fail(error, status,
                       "a gloss for paints whose index is 1, without a face; expected PAINT_INDEX "
                       "1.5 or so");
    if (status)
        return fh_fail(error, FH_E_DATA,
                       "%s: specular mode and geometry don't go together; expected 45/0 with "
                       "specular excluded, or 8/d with either",
                       id);
    *out = look;
    return FH_OK;
}

fh_status fh_paints_look_of_batch(const fh_paints *paints, const fh_finish *wish,
                                  const fh_batch *batch, fh_paints_look *out, fh_error *error)
{
    const fh_reading *first = batch->step[0].paint_out;
    for (size_t k = 1; k < batch->step_count; ++k) {
        const fh_reading *one = batch->step[k].paint_out;
        if (one->method.geometry != first->method.geometry ||
            one->method.specular != first->method.specular)
            return fh_fail(error, FH_E_DATA,
                           "the paint-outs %s and %s were read in different ways; expected one "
                           "geometry and one specular mode for all",
                           first->id, one->id);
    }
    return fh_paints_look_of(paints, wish, &first->method, first->id, out, error);
}
