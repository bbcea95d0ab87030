/* The Monte Carlo core [JCGM101]: every stated source of error is drawn once a trial, for the
 * target and all candidates alike, and every object is looked at through the same drawn shell.
 *
 * What two objects share (an instrument, a chart photo, the shell) moves both and cancels as far
 * as it does in truth; what one has alone (its random error, the unknown part of an estimated
 * spectrum) does not. */
#ifndef FARHUE_MATCH_TRIALS_H
#define FARHUE_MATCH_TRIALS_H

#include "farhue/draw.h"
#include "farhue/estimate.h"
#include "farhue/target.h"

/* The views of a candidate: each light of the target, then the bare colour. */
enum { FH_VIEWS_MAX = FH_LIGHTS_MAX + 1 };

/* A target or candidate, ready to be drawn. */
typedef struct fh_entrant {
    fh_estimate estimate;
    bool estimated; /* its spectrum is, now or when it was carried to its condition */
    fh_drawer drawer;
    uint64_t mode_stream;
    size_t trials; /* how many trials it takes part in */
    float *seen;   /* trials values of ΔE00 for each view, view after view; owned */
} fh_entrant;

/* What candidates are compared with: the target's part, and its look where that was measured. */
typedef struct fh_reference {
    fh_entrant part;
    bool by_look;
    fh_entrant look; /* only with by_look */
} fh_reference;

/* The Labs of one reflectance in all views, in the order of fh_views_count. */
typedef struct fh_look {
    fh_lab lab[FH_VIEWS_MAX];
} fh_look;

/* The name under which the target's private errors are drawn. */
#define FH_TARGET_STREAM "target"

/* Lights and the bare view: light_count + 1. */
size_t fh_views_count(const fh_target *target);

/* How a bare reflectance looks behind curves (NULL: nothing in front), in every view. */
fh_look fh_look_of(const fh_target *target, const fh_shell_curves *curves, const fh_spectrum *bare,
                   const fh_weights *bare_weights);

/* Make a reading ready. own_name tells its private errors apart from those of all others.
 * FH_E_DATA, FH_E_IMPOSSIBLE as fh_estimate_of_reading and fh_drawer_of. seen is not allocated. */
fh_status fh_entrant_of(const fh_reading *reading, const char *own_name, fh_entrant *out,
                        fh_error *error);

/* Make the target ready. Errors as fh_entrant_of. About 11 KiB: on the heap. */
fh_status fh_reference_of(const fh_target *target, fh_reference *out, fh_error *error);

/* The target's looks, by the readings as they stand; *spectrum (may be NULL) gets the look's. */
fh_look fh_reference_look(const fh_target *target, const fh_reference *reference,
                          fh_spectrum *spectrum);

/* Whether a spectrum behind the target's looks is estimated. */
bool fh_reference_estimated(const fh_reference *reference);

/* Room for trials results of an entrant. FH_E_MEMORY, FH_E_LIMIT. */
fh_status fh_entrant_reserve(const fh_target *target, fh_entrant *entrant, size_t trials);

/* The reflectance of an entrant in one trial; open: the share (as a standard deviation) of what an
 * estimate leaves open that is drawn, 1 for all. */
fh_spectrum fh_entrant_draw(const fh_entrant *entrant, double open, uint64_t seed, uint64_t trial);

/* Draw: fills seen of count entrants. progress may be NULL. FH_E_STOPPED;
 * FH_E_DATA when a drawn look is not finite. */
fh_status fh_trials_run(const fh_target *target, const fh_reference *reference,
                        fh_entrant *entrants, size_t count, uint64_t seed, fh_progress progress,
                        void *user, fh_error *error);

/* The trial's ΔE00 in a view. */
float fh_entrant_seen(const fh_entrant *entrant, size_t view, size_t trial);

/* The largest ΔE00 of a trial over the lights (the bare view left out). */
float fh_entrant_worst(const fh_target *target, const fh_entrant *entrant, size_t trial);

#endif
