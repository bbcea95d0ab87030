/* A file of paints: measured coats of known make, and what else is known about each pot.
 *
 * docs/formats.md, "Paints". Reading it fits K and S of all paints to all coats. A plain library of
 * readings is taken as one masstone a paint: single-constant mixing. */
#ifndef FARHUE_PAINTS_H
#define FARHUE_PAINTS_H

#include "farhue/batch.h"
#include "farhue/library.h"
#include "farhue/mix.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Start it as {0}; free it with fh_paints_free. */
typedef struct fh_paints {
    fh_paint *paints;
    size_t count;
    double index;       /* refractive index of the dry paint */
    fh_surface surface; /* smooth face of the coats: by geometry and index, or fitted */
    fh_surface face; /* the same with the coats' mean gloss, where that is stated: as they read */
    double gloss;    /* that mean, 60°; negative: no coat states it */
    bool surface_fitted;
    fh_geometry geometry; /* of the readings, 45°:0° where they don't say */
    fh_specular specular; /* known, too */
    size_t coats;        /* that were fitted */
    double dE, dE_worst; /* ΔE00 of all coats: mean and worst, D65/10 */
    char worst[FH_ID];   /* id of the worst one */
    fh_text notes;       /* one sentence a line */
} fh_paints;

/* Free what it holds and clear it. */
FH_API void fh_paints_free(fh_paints *paints);

/* The index of the paint of that id, FH_NONE when there is none. */
FH_API size_t fh_paints_find(const fh_paints *paints, const char *id);

/* Read table text or CSV and fit. defaults may be NULL, progress too.
 * Errors name the place: a coat without paints that nothing is painted on, parts that are negative
 * or percents that don't sum to 100, a paint listed twice, a film over a backing that isn't there,
 * geometries mixed (a photo counts as 45°:0°), a reflectance beyond 0–1, a gloss above 170, a
 * mixture lighter than all its paints. *out is written on success. */
FH_API fh_status fh_paints_read(const char *text, size_t length,
                                const fh_library_defaults *defaults, fh_paints *out,
                                fh_progress progress, void *user, fh_error *error);

/* How a coat of these paints will be read in some way. */
typedef struct fh_paints_look {
    fh_surface surface; /* light in and out of it */
    bool carried;       /* into another geometry or specular mode than the file's readings */
    double gloss;       /* 60°, of that face; negative: not known, taken as smooth */
} fh_paints_look;

/* The face of a coat as `as` reads (a target, a paint-out; what it doesn't say is as the file's
 * readings are): with the wished finish (fh_surface_finished), or with wish NULL as the file's coats
 * are. A photo counts as 45°:0°. error may be NULL.
 * FH_E_DATA: another specular mode where the gloss isn't known, a sphere's reading without its mode
 * where the file's are 45°:0°, another way of reading where the surface was fitted, a mode that the
 * geometry can't have; FH_E_IMPOSSIBLE as fh_surface_finished.
 * `id` names the reading in the sentence. */
FH_API fh_status fh_paints_look_of(const fh_paints *paints, const fh_finish *wish,
                                   const fh_method *as, const char *id, fh_paints_look *out,
                                   fh_error *error);

/* The coat of a blend of these paints as a film of unit amount (fh_blend_coat), `top` being how it
 * is looked at. */
FH_API fh_film fh_paints_coat(const fh_paints *paints, const fh_blend *blend,
                              const fh_surface *top);

/* The two looks of a batch (step_count 1 to FH_BATCH_STEPS): that of its paint-outs, and that of
 * the finished part read as `part`, the target's, was. wish as in fh_paints_look_of, not NULL;
 * coated: the paint-outs have that finish already. The paint-outs' own gloss, where they state it,
 * goes before the file's; what isn't wished for, the part shares with them. Errors alike; FH_E_DATA
 * as well: two paint-outs were read in different ways (what one doesn't say being as the file's
 * readings are), or differ by more than 10 units of gloss. Outputs are untouched on failure. */
FH_API fh_status fh_paints_batch_looks(const fh_paints *paints, const fh_finish *wish, bool coated,
                                       const fh_reading *part, const fh_batch *batch,
                                       fh_paints_look *paint_outs, fh_paints_look *finished,
                                       fh_error *error);

/* The same as faces, into options->surface and ->finish. */
FH_API fh_status fh_paints_batch_faces(const fh_paints *paints, const fh_finish *wish, bool coated,
                                       const fh_reading *part, const fh_batch *batch,
                                       fh_batch_options *options, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
