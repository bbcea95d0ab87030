/* The reflectance behind a Lab colour: the likeliest one, and what the Lab leaves open.
 *
 * Three numbers don't fix a curve. The estimate is the likeliest smooth curve between 0 and 1 that
 * has exactly the given Lab, together with the ways in which the real one may differ from it, so
 * that whatever is computed from it (another light, a look through a shell) carries that
 * uncertainty. The curve is modelled as logit = ln(R / (1 − R)), a Gaussian process over
 * wavelength [Rasmussen2006]. */
#ifndef FARHUE_ESTIMATE_H
#define FARHUE_ESTIMATE_H

#include "farhue/reading.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_ESTIMATE_MODES = 8 };

/* A reflectance with its open directions. All curves but reflectance are logits. */
typedef struct fh_estimate {
    fh_lab lab;         /* the colour it was made for */
    fh_weights weights; /* and its condition */
    fh_spectrum reflectance;
    fh_spectrum logit;   /* of reflectance, held within ±20 */
    fh_spectrum gain[3]; /* d logit / d(L*, a*, b*): the likeliest change that moves the Lab */
    size_t mode_count;   /* 0 when the spectrum was measured */
    fh_spectrum mode[FH_ESTIMATE_MODES]; /* independent open directions, one standard deviation */
} fh_estimate;

/* Estimate the reflectance of a Lab colour seen with weights.
 * out: its XYZ are those of lab to 1e-6 (of 100); untouched on failure.
 * nearest: NULL, or set on FH_E_IMPOSSIBLE to the nearest Lab (ΔE*ab) that a reflectance can have.
 * FH_E_IMPOSSIBLE: no reflectance between 0 and 1 has this colour; FH_E_ARGUMENT: lab is not
 * finite; FH_E_MEMORY. error may be NULL. Some tenths of a millisecond. */
FH_API fh_status fh_estimate_spectrum(fh_lab lab, const fh_weights *weights, fh_estimate *out,
                                      fh_lab *nearest, fh_error *error);

/* The nearest Lab (ΔE*ab) that a reflectance between 0 and 1 can have: lab itself when it can.
 * Beyond the limit of [MacAdam1935] it lies on it, up to 0.01. FH_E_ARGUMENT: not finite;
 * FH_E_MEMORY. */
FH_API fh_status fh_nearest_possible(fh_lab lab, const fh_weights *weights, fh_lab *nearest);

/* The same value for a reading: a measured spectrum stands as it is, with the gain at it and no
 * modes; Lab alone is estimated. A spectrum that was itself estimated keeps its modes, unless the
 * reading already carries them as a shared covariance "estimate: …", or was worked back from a look
 * with a spectrum ("look: …", fh_aim_at).
 * FH_E_DATA: Lab alone under a lamp that was given as a file, so that its weights aren't known
 * here. Else as fh_estimate_spectrum. */
FH_API fh_status fh_estimate_of_reading(const fh_reading *reading, fh_estimate *out,
                                        fh_error *error);

/* Whether a reading carries what its estimated spectrum left open when it was brought to another
 * condition, as the shared covariance "estimate: …". */
FH_API bool fh_reading_carries_estimate(const fh_reading *reading);

/* One reflectance out of the distribution: the Lab moved by dlab, the open directions by z
 * (mode_count standard normals; NULL for none). Where it can be had, the result's Lab is lab + dlab
 * to 1e-4, whatever z. With both 0 it is the reflectance itself. */
FH_API fh_spectrum fh_estimate_draw(const fh_estimate *estimate, fh_vec3 dlab, const double *z);

/* How the shared sources begin that hold what estimates leave open: of a spectrum, of the colour
 * worked back from a look whose spectrum was measured, and from one without. */
#define FH_SOURCE_ESTIMATE "estimate: "
#define FH_SOURCE_LOOK "look: "
#define FH_SOURCE_AIM "aim: "

/* How the Lab in another condition (or of anything computed band by band) varies: the Lab in the
 * condition `to`, its Jacobian by the Lab of the estimate, and the covariance that the open
 * directions add; jacobian and covariance may be NULL. To first order. */
FH_API fh_lab fh_estimate_lab(const fh_estimate *estimate, const fh_weights *to, fh_mat3 *jacobian,
                              fh_mat3 *covariance);

/* A reading as it would be in another condition. With a measured spectrum its Lab is computed
 * anew; Lab alone goes through the estimate, marked so, and what that leaves open is added as the
 * shared covariance "estimate: ID". Its other covariances are carried along. In the same
 * condition it is a copy. Errors as fh_estimate_of_reading, and FH_E_LIMIT from
 * fh_reading_add_shared. error may be NULL; out may be reading. */
FH_API fh_status fh_reading_in_condition(const fh_reading *reading, const fh_weights *to,
                                         fh_reading *out, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
