/* The target: what the helper's part has to look like, and how far off it may be.
 *
 * The colour is that of the bare inner part; what counts is how it looks through the shell, under
 * every stated light, against the reference part behind the same shell. */
#ifndef FARHUE_TARGET_H
#define FARHUE_TARGET_H

#include "farhue/aim.h"
#include "farhue/reading.h"
#include "farhue/shell.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_LIGHTS_MAX = 6 };

typedef struct fh_target {
    fh_reading part;        /* the reference part, or the colour that was aimed at */
    bool converted;         /* part was carried into the shell's specular mode by its gloss */
    bool aimed;             /* worked back from a look; the part itself was not measured */
    fh_condition condition; /* of every bare figure that is told to people */
    const fh_shell *shell;  /* borrowed; NULL: nothing in front, seen is bare */
    size_t light_count;     /* 1 to FH_LIGHTS_MAX */
    fh_weights light[FH_LIGHTS_MAX]; /* the first is the one that words and pictures use */
    bool by_look;    /* the assembled look was measured: part is only what it asks for */
    fh_reading look; /* then the reading of the look, behind the shell */
    double tolerance;       /* largest ΔE00 as seen that is still right, above 0 */
} fh_target;

/* Fill in a target: lights D65/10, A/10 and LED-B1/10, tolerance 2.0 (close side by side; common
 * practice, no source), bare figures in D65/10. shell is borrowed and may be NULL. A part that was
 * read in another specular mode than the shell is converted where it can be (fh_reading_in_mode).
 */
FH_API void fh_target_init(fh_target *target, const fh_reading *part, const fh_shell *shell);

/* A target from a measured look of the assembled stack: fh_target_init with the part that the look
 * asks for (fh_aim_at), aimed and by_look set. Verdicts compare candidates behind the shell with
 * the look itself. aim may be NULL, else it tells how well a part can meet the look. Errors as
 * fh_aim_at; target is untouched then. error may be NULL. */
FH_API fh_status fh_target_init_look(fh_target *target, const fh_reading *look,
                                     const fh_shell *shell, fh_aim *aim, fh_error *error);

/* Replace the lights. FH_E_ARGUMENT: none, more than FH_LIGHTS_MAX, or one twice. */
FH_API fh_status fh_target_set_lights(fh_target *target, const fh_condition *lights, size_t count,
                                      fh_error *error);

/* Check a target before it is used: a sound reading, a tolerance above 0 and up to 50, one to six
 * lights, a shell that does not hide the part in every band, and no mixing of specular modes
 * between part and shell.
 * FH_E_ARGUMENT or FH_E_DATA with a sentence in error (may be NULL). */
FH_API fh_status fh_target_check(const fh_target *target, fh_error *error);

/* How candidates have to be read: with shell and part known in one specular mode; what the part
 * leaves unsaid is as the shell was read. Its geometry and mode may be unknown. */
FH_API fh_method fh_target_way(const fh_target *target);

/* The candidate in the specular mode of shell or part: as it was read, or converted by its gloss
 * (fh_reading_in_mode), which *converted tells. out may be the candidate. FH_E_DATA with a sentence
 * when it is no sound reading, or can't be converted; out is untouched then. */
FH_API fh_status fh_target_adapt(const fh_target *target, const fh_reading *candidate,
                                 fh_reading *out, bool *converted, fh_error *error);

/* C, D50 … D75, F7: lights that stand for daylight; every other one is a lamp. A light given by
 * a file counts as a lamp. */
FH_API bool fh_light_is_daylight(fh_condition light);

#ifdef __cplusplus
}
#endif
#endif
