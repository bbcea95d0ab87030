/* When does a coat or a printed wall hide what is behind it?
 *
 * Two measures: the contrast ratio, Y over black divided by Y over white (0.98 is the hiding-power
 * convention [ISO6504, ASTMD2805]), and ΔE00 of the look over black against the look over white.
 * Both bare and as seen through a shell: the shell forgives, so fewer coats may do. */
#ifndef FARHUE_HIDE_H
#define FARHUE_HIDE_H

#include "farhue/film.h"

#ifdef __cplusplus
extern "C" {
#endif

#define FH_HIDE_RATIO 0.98

/* What is behind the film, and what stands before it. */
typedef struct fh_hide_scene {
    fh_spectrum dark, light;      /* the two things that must not show, as an instrument reads them;
                                     below a coat with a smooth face */
    const fh_shell_curves *shell; /* borrowed; NULL: bare */
    fh_weights weights;
} fh_hide_scene;

/* Black 0 and white 0.8 [ISO6504], no shell, D65/10. */
FH_API fh_hide_scene fh_hide_scene_standard(void);

/* An existing part (below a coat read with a smooth face) that is to be painted over, against the
 * film's own colour when no backing shows: the difference is what still shows of the part. */
FH_API fh_hide_scene fh_hide_scene_over(const fh_film *film, const fh_spectrum *part);

/* The same from a reading of that part, through its estimated spectrum where it is known as Lab
 * only. Below a coat it is seen without its face, which is one of index 1.5 and of its gloss where
 * that is stated, in its own geometry and specular mode (the film's where it doesn't say). error
 * may be NULL. Errors as fh_estimate_of_reading; FH_E_DATA: a mode that its geometry can't have, or
 * to be carried, a reading darker than what a face mirrors. *out is untouched on failure. */
FH_API fh_status fh_hide_scene_over_reading(const fh_film *film, const fh_reading *part,
                                            fh_hide_scene *out, fh_error *error);

typedef struct fh_hiding {
    double ratio;       /* Y over dark / Y over light, at most 1 */
    double dE;          /* ΔE00 between the two looks */
    fh_lab dark, light; /* the two looks */
} fh_hiding;

/* How well an amount hides. amount ≥ 0. */
FH_API fh_hiding fh_hide_at(const fh_film *film, double amount, const fh_hide_scene *scene);

/* What counts as hidden: ratio at least so (0: not asked), ΔE00 at most so (infinite: not asked).
 */
typedef struct fh_hide_goal {
    double ratio, dE;
} fh_hide_goal;

/* The amount from which on the goal is met, up to the most, to 0.1 %; at least one that hardly
 * colours, (K + S) X = 10⁻⁴. FH_E_ARGUMENT: most not
 * above 0, a ratio outside 0–1 (1 excluded), dE not above 0, or nothing asked; FH_E_IMPOSSIBLE: not
 * even the amount most does. */
FH_API fh_status fh_hide_amount(const fh_film *film, const fh_hide_scene *scene, fh_hide_goal goal,
                                double most, double *amount);

/* How many coats that takes when each lays on `coat`: whole ones, at least one; that they fall
 * short by a thousandth of one doesn't count. amount ≥ 0, coat > 0. */
FH_API double fh_hide_coats(double amount, double coat);

#ifdef __cplusplus
}
#endif
#endif
