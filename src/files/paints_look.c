/* The face of a coat of the file's paints, read in the file's way or in another. */
#include "base/error.h"
#include "files/paints.h"

fh_geometry fh_paints_geometry(fh_geometry stated)
{
    return stated == FH_GEOMETRY_PHOTO ? FH_GEOMETRY_45_0 : stated;
}

/* The file's way of reading, with what another reading says of its own. The mode isn't carried from
 * one geometry to another: 45°:0° has none, and a sphere may have either. */
static fh_method way_of(const fh_paints *paints, const fh_method *as)
{
    fh_method m = fh_method_unknown();
    m.geometry = fh_paints_geometry(paints->geometry);
    m.specular = paints->specular;
    const fh_geometry geometry = fh_paints_geometry(as->geometry);
    if (geometry != FH_GEOMETRY_UNKNOWN && geometry != m.geometry) {
        m.geometry = geometry;
        m.specular = geometry == FH_GEOMETRY_45_0 ? FH_SPECULAR_EXCLUDED : FH_SPECULAR_UNKNOWN;
    }
    if (as->specular != FH_SPECULAR_UNKNOWN) m.specular = as->specular;
    return m;
}

static double gloss_of(const fh_paints *paints, const fh_finish *wish)
{
    if (wish && wish->gloss >= 0.0) return wish->gloss;
    return wish && wish->index > 0.0 ? fh_gloss_of_smooth(wish->index) : paints->gloss;
}

/* Why a coat can't be carried into that way of reading. */
static fh_status check_way(const fh_paints *paints, const fh_method *m, double gloss,
                           const char *id, fh_error *error)
{
    if (m->geometry == FH_GEOMETRY_8_D && m->specular == FH_SPECULAR_UNKNOWN)
        return fh_fail(error, FH_E_DATA,
                       "%s is a sphere's reading without its specular mode; expected SPECULAR "
                       "included or excluded",
                       id);
    if (m->specular != paints->specular && gloss < 0.0)
        return fh_fail(error, FH_E_DATA,
                       "%s was read with specular %s, the paints with specular %s; expected one "
                       "mode for both, or the gloss of the coat",
                       id, fh_specular_name(m->specular), fh_specular_name(paints->specular));
    if (paints->surface_fitted)
        return fh_fail(error, FH_E_DATA,
                       "%s was read in another way than the paints, whose surface is fitted; "
                       "expected one geometry and one specular mode",
                       id);
    return FH_OK;
}

fh_status fh_paints_look_of(const fh_paints *paints, const fh_finish *wish, const fh_method *as,
                            const char *id, fh_paints_look *out, fh_error *error)
{
    fh_paints_look look = {.gloss = gloss_of(paints, wish)};
    const fh_method m = way_of(paints, as);
    fh_surface smooth = paints->surface;
    fh_status status = FH_OK;
    look.surface = paints->face;
    look.carried =
        m.geometry != fh_paints_geometry(paints->geometry) || m.specular != paints->specular;
    if (look.carried) {
        status = check_way(paints, &m, look.gloss, id, error);
        if (status) return status;
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

fh_film fh_paints_coat(const fh_paints *paints, const fh_blend *blend, const fh_surface *top)
{
    fh_film film = fh_blend_coat(paints->paints, blend, paints->index, &paints->surface, top);
    film.geometry = fh_paints_geometry(paints->geometry);
    film.specular = paints->specular;
    return film;
}

/* The paint-outs' own 60° gloss, their mean; negative where none states it. */
static fh_status gloss_of_batch(const fh_batch *batch, double *gloss, fh_error *error)
{
    static const double alike = 10.0; /* units (common practice, no source) */
    const fh_reading *matt = NULL, *glossy = NULL;
    double sum = 0.0, count = 0.0;
    for (size_t k = 0; k < batch->step_count; ++k) {
        const fh_reading *one = batch->step[k].paint_out;
        if (!(one->method.gloss >= 0.0)) continue;
        if (!matt || one->method.gloss < matt->method.gloss) matt = one;
        if (!glossy || one->method.gloss > glossy->method.gloss) glossy = one;
        sum += one->method.gloss;
        ++count;
    }
    if (matt && glossy->method.gloss - matt->method.gloss > alike)
        return fh_fail(error, FH_E_DATA,
                       "the paint-outs %s and %s have a 60° gloss of %.0f and %.0f; expected one "
                       "gloss for all, to %.0f units",
                       matt->id, glossy->id, matt->method.gloss, glossy->method.gloss, alike);
    *gloss = count > 0.0 ? sum / count : -1.0;
    return FH_OK;
}

/* What a paint-out doesn't say is as the file's readings are. */
static fh_status check_one_way(const fh_paints *paints, const fh_batch *batch, fh_error *error)
{
    const fh_reading *first = batch->step[0].paint_out;
    const fh_method way = way_of(paints, &first->method);
    for (size_t k = 1; k < batch->step_count; ++k) {
        const fh_reading *one = batch->step[k].paint_out;
        const fh_method other = way_of(paints, &one->method);
        if (other.geometry != way.geometry || other.specular != way.specular)
            return fh_fail(error, FH_E_DATA,
                           "the paint-outs %s and %s were read in different ways; expected one "
                           "geometry and one specular mode for all",
                           first->id, one->id);
    }
    return FH_OK;
}

fh_status fh_paints_batch_looks(const fh_paints *paints, const fh_finish *wish, bool coated,
                                const fh_reading *part, const fh_batch *batch,
                                fh_paints_look *paint_outs, fh_paints_look *finished,
                                fh_error *error)
{
    static const fh_finish none = {0.0, -1.0};
    const fh_reading *first = batch->step[0].paint_out;
    fh_finish as_read = coated ? *wish : none, at_last = *wish;
    fh_paints_look out, part_look;
    double gloss = -1.0;
    fh_status status = check_one_way(paints, batch, error);
    if (!status) status = gloss_of_batch(batch, &gloss, error);
    if (gloss >= 0.0 && (as_read.index > 0.0 || paints->index > 1.0)) as_read.gloss = gloss;
    /* Where nothing else is wished for, the part is as the paint-outs are. */
    if (at_last.gloss < 0.0 && (coated || !(at_last.index > 0.0))) at_last.gloss = as_read.gloss;
    if (!status)
        status = fh_paints_look_of(paints, &as_read, &first->method, first->id, &out, error);
    if (!status)
        status = fh_paints_look_of(paints, &at_last, &part->method, part->id, &part_look, error);
    if (status) return status;
    *paint_outs = out;
    *finished = part_look;
    return FH_OK;
}

fh_status fh_paints_batch_faces(const fh_paints *paints, const fh_finish *wish, bool coated,
                                const fh_reading *part, const fh_batch *batch,
                                fh_batch_options *options, fh_error *error)
{
    fh_paints_look out, finished;
    const fh_status status =
        fh_paints_batch_looks(paints, wish, coated, part, batch, &out, &finished, error);
    if (status) return status;
    options->surface = out.surface;
    options->finish = finished.surface;
    return FH_OK;
}
