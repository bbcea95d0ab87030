/* From the coats of a paint file to K and S: checks that need all coats, the fit, and what it says.
 */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"
#include "farhue/estimate.h"
#include "files/notes.h"
#include "files/paints.h"

/* Above these a paint "doesn't fit" (common practice, no source). */
static const double mean_limit = 2.0, worst_limit = 4.0;

/* More 60° gloss than any paint has (common practice, no source): a smooth face of index 2
 * has 161. */
static const double most_gloss = 170.0;

/* A mixture outside its paints by more than this, in L*, is a mistake of the file. */
static const double lightness_slack = 1.5;

/* What the mirror light of a matt face adds to a reading, by its own gloss and the way in which all
 * coats were read. */
static double veil_of(const fh_paints_work *work, const fh_reading *reading)
{
    fh_method method = fh_method_unknown();
    method.geometry = work->paints->geometry;
    method.specular = work->paints->specular;
    method.gloss = reading->method.gloss;
    return fh_surface_veil(work->index, &method);
}

/* What the coats leave open of it. */
static fh_status settle_method(fh_paints_work *work, fh_error *error)
{
    fh_paints *p = work->paints;
    const bool sphere = p->geometry == FH_GEOMETRY_8_D;
    if (sphere && p->specular == FH_SPECULAR_UNKNOWN)
        return fh_fail(
            error, FH_E_DATA,
            "a sphere's reading without its specular mode; expected SPECULAR included or "
            "excluded");
    if (!sphere && p->specular == FH_SPECULAR_INCLUDED)
        return fh_fail(error, FH_E_DATA,
                       p->geometry == FH_GEOMETRY_UNKNOWN
                           ? "specular included without a geometry; expected GEOMETRY 8/d with it"
                           : "specular included with 45/0, which can't see it");
    if (p->geometry == FH_GEOMETRY_UNKNOWN) {
        fh_note(&p->notes, "how the coats were read is not said: taken as 45/0");
        p->geometry = FH_GEOMETRY_45_0;
    }
    if (!sphere) p->specular = FH_SPECULAR_EXCLUDED;
    const fh_status status = fh_surface_of(work->index, p->geometry, p->specular, &p->surface);
    return status ? fh_fail(error, status, "%s", fh_status_text(status)) : FH_OK;
}

/* A photo counts as 45°:0°. */
static bool same_geometry(fh_geometry a, fh_geometry b)
{
    return fh_paints_geometry(a) == fh_paints_geometry(b);
}

/* One geometry and specular mode for all coats. */
static fh_status find_method(fh_paints_work *work, fh_error *error)
{
    fh_paints *p = work->paints;
    p->geometry = FH_GEOMETRY_UNKNOWN;
    p->specular = FH_SPECULAR_UNKNOWN;
    for (size_t i = 0; i < work->library.count; ++i) {
        const fh_reading *r = &work->library.readings[i];
        if (r->method.geometry != FH_GEOMETRY_UNKNOWN) {
            if (p->geometry != FH_GEOMETRY_UNKNOWN &&
                !same_geometry(p->geometry, r->method.geometry))
                return fh_fail_at(error, FH_E_DATA, work->coats[i].line, 0,
                                  "%s was read in another geometry than the coats "
                                  "before it; expected one for all",
                                  r->id);
            if (p->geometry == FH_GEOMETRY_UNKNOWN || p->geometry == FH_GEOMETRY_PHOTO)
                p->geometry = r->method.geometry;
        }
        if (r->method.specular != FH_SPECULAR_UNKNOWN) {
            if (p->specular != FH_SPECULAR_UNKNOWN && p->specular != r->method.specular)
                return fh_fail_at(error, FH_E_DATA, work->coats[i].line, 0,
                                  "%s was read in another specular mode than the "
                                  "coats before it; expected one for all",
                                  r->id);
            p->specular = r->method.specular;
        }
    }
    return settle_method(work, error);
}

/* The reflectance of a coat or of what a film lies on, and its veil. No body reflects more than it
 * gets; a reading may be above 1 elsewhere. */
static fh_status read_face(const fh_paints_work *work, size_t index, fh_spectrum *out, double *veil,
                           fh_error *error)
{
    const fh_reading *r = &work->library.readings[index];
    const size_t line = work->coats[index].line;
    fh_estimate estimate;
    if (r->method.gloss > most_gloss)
        return fh_fail_at(error, FH_E_DATA, line, 0,
                          "%s has a 60° gloss of %g; expected at most %g", r->id, r->method.gloss,
                          most_gloss);
    fh_status status = fh_estimate_of_reading(r, &estimate, error);
    if (status) {
        if (error) error->line = line;
        return status;
    }
    for (size_t i = 0; i < FH_BANDS; ++i)
        if (!(estimate.reflectance.v[i] >= 0.0 && estimate.reflectance.v[i] <= 1.0))
            return fh_fail_at(error, FH_E_DATA, line, 0,
                              "%s reflects %.3f at %.0f nm; expected 0 to 1 of a coat of paint and "
                              "of what it lies on",
                              r->id, estimate.reflectance.v[i], fh_band_nm(i));
    *out = estimate.reflectance;
    *veil = veil_of(work, r);
    return FH_OK;
}

/* The reading that a film's BACKING names. */
static fh_status read_backing(const fh_paints_work *work, size_t film, fh_mix_sample *sample,
                              fh_error *error)
{
    const fh_reading *r = &work->library.readings[film];
    const fh_reading *backing = fh_library_find(&work->library, r->method.backing);
    const size_t line = work->coats[film].line;
    if (!backing)
        return fh_fail_at(error, FH_E_DATA, line, 0,
                          "the film %s lies on \"%s\", which is not in the file; expected "
                          "SAMPLE_BACKING to be the id of a reading",
                          r->id, r->method.backing);
    if (backing == r)
        return fh_fail_at(error, FH_E_DATA, line, 0,
                          "the film %s lies on itself; expected SAMPLE_BACKING to be the id of "
                          "what was read before the film was on it",
                          r->id);
    return read_face(work, (size_t)(backing - work->library.readings), &sample->backing,
                     &sample->backing_veil, error);
}

/* Samples for the fit, in the order of the coats; backings are left out. */
static fh_status make_samples(fh_paints_work *work, fh_mix_sample *samples, size_t *of_coat,
                              size_t *count, fh_error *error)
{
    *count = 0;
    for (size_t i = 0; i < work->library.count; ++i) {
        const fh_coat *coat = &work->coats[i];
        if (coat->blend.count == 0) continue;
        fh_mix_sample *s = &samples[*count];
        *s = (fh_mix_sample){.blend = coat->blend, .film = coat->amount > 0.0};
        fh_status status = read_face(work, i, &s->reflectance, &s->veil, error);
        if (!status && s->film) status = read_backing(work, i, s, error);
        if (status) return status;
        for (size_t k = 0; k < coat->blend.count; ++k)
            if (work->library.readings[i].origin != FH_ORIGIN_SPECTRUM)
                work->paints->paints[coat->blend.paint[k]].estimated = true;
        of_coat[(*count)++] = i;
    }
    return FH_OK;
}

/* L* of a coat as if its face was smooth. */
static double lightness(const fh_paints_work *work, size_t coat)
{
    const fh_reading *r = &work->library.readings[coat];
    return fh_lightness_without(r->lab.L, veil_of(work, r));
}

/* The same of a paint's opaque masstone, -HUGE_VAL when there is none. */
static double masstone(const fh_paints_work *work, size_t paint)
{
    for (size_t i = 0; i < work->library.count; ++i) {
        const fh_coat *c = &work->coats[i];
        if (c->amount < 0.0 && c->blend.count == 1 && c->blend.paint[0] == paint)
            return lightness(work, i);
    }
    return -HUGE_VAL;
}

/* A light paint hardly gets lighter by a little of another, so where that other has no masstone to
 * compare with, it is worth a word. */
static void doubt_mixture(fh_paints_work *work, size_t coat)
{
    static const double light = 70.0, mostly = 0.5; /* L*, share (common practice, no source) */
    const fh_blend *b = &work->coats[coat].blend;
    const fh_reading *r = &work->library.readings[coat];
    const double own = lightness(work, coat);
    for (size_t k = 0; k < b->count; ++k) {
        const double L = masstone(work, b->paint[k]);
        if (L < light || b->part[k] < mostly || own <= L + lightness_slack) continue;
        fh_note(
            &work->paints->notes,
            "%s (L* %.1f) is lighter than %s (%.1f), which it mostly consists of: a white darker "
            "than its tints, or rows mixed up?",
            r->id, own, work->paints->paints[b->paint[k]].id, L);
    }
}

/* In every band an opaque mixture lies between its paints, so it is never lighter than all of them.
 * (Darker it can be: yellow and blue.) Where it is, rows have been mixed up, or a white is darker
 * than its tints. */
static fh_status check_mixtures(fh_paints_work *work, fh_error *error)
{
    for (size_t i = 0; i < work->library.count; ++i) {
        const fh_coat *c = &work->coats[i];
        const fh_reading *r = &work->library.readings[i];
        double high = -HUGE_VAL;
        bool known = c->amount < 0.0 && c->blend.count > 1;
        for (size_t k = 0; k < c->blend.count && known; ++k) {
            const double L = masstone(work, c->blend.paint[k]);
            known = L > -HUGE_VAL;
            high = fmax(high, L);
        }
        if (!known && c->amount < 0.0 && c->blend.count > 1) doubt_mixture(work, i);
        if (!known) continue;
        const double L = lightness(work, i);
        if (L > high + lightness_slack)
            return fh_fail_at(error, FH_E_DATA, c->line, 0,
                              "%s (L* %.1f%s) is lighter than each of its paints (at "
                              "most %.1f): a white darker than its tints, or rows mixed up",
                              r->id, L, L < r->lab.L ? " without the mirror light of its face" : "",
                              high);
    }
    return FH_OK;
}

/* The ids of the paints that `which` holds for, cut to fit; how many they are. */
static size_t list_paints(const fh_paints *p, bool (*which)(const fh_paint *), char *out,
                          size_t size)
{
    size_t count = 0, length = 0;
    out[0] = '\0';
    for (size_t k = 0; k < p->count; ++k) {
        if (!which(&p->paints[k])) continue;
        const char *between = count ? ", " : "";
        if (length + strlen(p->paints[k].id) + 8 < size)
            length += fh_format(out + length, size - length, "%s%s", between, p->paints[k].id);
        else if (length + 8 < size && out[length - 1] != '.')
            length += fh_format(out + length, size - length, " ...");
        ++count;
    }
    return count;
}

static bool is_single(const fh_paint *paint)
{
    return paint->single;
}

static bool is_loose(const fh_paint *paint)
{
    return paint->loose >= FH_MIX_LOOSE && !paint->single;
}

static bool is_estimated(const fh_paint *paint)
{
    return paint->estimated;
}

static void say_paints(fh_paints *p)
{
    char ids[256];
    if (list_paints(p, is_single, ids, sizeof ids))
        fh_note(
            &p->notes,
            "known by a masstone alone, so that only K/S is known, their strength is guessed from "
            "their lightness and mixtures are rough: %s",
            ids);
    if (list_paints(p, is_loose, ids, sizeof ids))
        fh_note(&p->notes,
                "in part of the spectrum their coats don't tell how strong they are; that is "
                "inferred from the rest, and recipes are less sure (a tint with more white, or a "
                "thinner film, would tell): %s",
                ids);
    if (list_paints(p, is_estimated, ids, sizeof ids))
        fh_note(&p->notes, "spectra were estimated from Lab: %s", ids);
    for (size_t k = 0; k < p->count; ++k) {
        fh_paint *paint = &p->paints[k];
        if (paint->dE > mean_limit || paint->dE_worst > worst_limit)
            fh_note(&p->notes,
                    "%s doesn't fit: its coats are met to ΔE00 %.1f on average, %.1f at "
                    "worst",
                    paint->id, paint->dE, paint->dE_worst);
        /* Set by hand: an estimated curve says half as much. */
        if (paint->estimated) paint->spread = fmax(paint->spread, 0.2);
    }
}

static void say(fh_paints_work *work, const double *dE, const size_t *of_coat, size_t count)
{
    fh_paints *p = work->paints;
    p->coats = count;
    for (size_t i = 0; i < count; ++i) {
        p->dE += dE[i] / (double)count;
        if (dE[i] < p->dE_worst) continue;
        p->dE_worst = dE[i];
        fh_copy_text(p->worst, sizeof p->worst, work->library.readings[of_coat[i]].id);
    }
    say_paints(p);
    if (work->fit_surface)
        fh_note(&p->notes, "the surface was fitted: %.2f of the light is thrown back inside",
                p->surface.inner);
}

/* The face as the coats read: with their mean veil. */
static void set_face(fh_paints_work *work, const fh_mix_sample *samples, const size_t *of_coat,
                     size_t count)
{
    fh_paints *p = work->paints;
    double gloss = 0.0;
    size_t stated = 0;
    p->face = p->surface;
    for (size_t i = 0; i < count; ++i) {
        const double own = work->library.readings[of_coat[i]].method.gloss;
        p->face.outer += samples[i].veil / (double)count;
        if (!(own >= 0.0)) continue;
        gloss += own;
        ++stated;
    }
    p->gloss = stated ? gloss / (double)stated : -1.0;
    if (stated == 0) return;
    fh_note(&p->notes,
            "coats of 60° gloss %.0f on average: what a matt face adds is taken off "
            "before the fit",
            p->gloss);
    if (stated < count)
        fh_note(&p->notes, "%zu of %zu coats don't state their gloss and are taken as glossy",
                count - stated, count);
}

fh_status fh_paints_fit(fh_paints_work *work, fh_progress progress, void *user, fh_error *error)
{
    fh_paints *p = work->paints;
    fh_status status = find_method(work, error);
    if (!status) status = check_mixtures(work, error);
    if (status) return status;
    const size_t most = work->library.count;
    fh_mix_sample *samples = fh_allocate(most, sizeof *samples);
    size_t *of_coat = fh_allocate(most, sizeof *of_coat);
    double *dE = fh_allocate(most, sizeof *dE);
    size_t count = 0;
    fh_mix_options options = fh_mix_options_default();
    options.surface = p->surface;
    options.fit_surface = p->surface_fitted = work->fit_surface;
    options.noise = work->noise;
    if (!samples || !of_coat || !dE) status = fh_fail(error, FH_E_MEMORY, "out of memory");
    if (!status) status = make_samples(work, samples, of_coat, &count, error);
    p->index = work->index;
    if (!status && count == 0)
        status = fh_fail(error, FH_E_DATA, "no coat holds a paint; expected PAINT_1 PARTS_1 …");
    if (!status)
        status = fh_mix_fit(samples, count, &options, p->paints, p->count, dE, &p->surface,
                            progress, user, error);
    if (!status) {
        set_face(work, samples, of_coat, count);
        say(work, dE, of_coat, count);
    }
    fh_free(samples);
    fh_free(of_coat);
    fh_free(dE);
    return status;
}
