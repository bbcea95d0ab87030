/* The tie: bringing the instruments of two people together.
 *
 * Owner and helper measure the same 4–8 objects that both can buy (paint-shop chips, say). The
 * helper's readings are corrected towards the owner's; what is left, with the spread between two
 * copies of one object, becomes a shared error of every corrected reading. The instruments' own
 * errors then no longer count against each other. Works for photos as for instruments: a photo is
 * tied by objects that lie in it. */
#ifndef FARHUE_TIE_H
#define FARHUE_TIE_H

#include "farhue/reading.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_TIE_LEAST = 4, FH_TIE_MOST = 64 };

typedef enum fh_tie_kind {
    FH_TIE_NONE,   /* no correction predicts better: the readings agree as they are */
    FH_TIE_OFFSET, /* one ΔL*, Δa*, Δb* for all colours */
    FH_TIE_MATRIX, /* XYZ' = M XYZ */
    FH_TIE_AFFINE, /* XYZ' = M XYZ + shift: also a zero error, or flare */
    FH_TIE_KINDS
} fh_tie_kind;

typedef struct fh_tie {
    char id[FH_ID];         /* tells this tie's error apart from that of others */
    fh_condition condition; /* of the readings it was made from and applies to */
    fh_tie_kind kind;
    fh_vec3 offset;      /* ΔL*, Δa*, Δb* for FH_TIE_OFFSET, else 0 */
    fh_mat3 matrix;      /* of XYZ; identity unless FH_TIE_MATRIX or FH_TIE_AFFINE */
    fh_vec3 shift;       /* of XYZ, for FH_TIE_AFFINE, else 0 */
    fh_mat3 covariance;  /* the error of a corrected reading against the owner's, in Lab */
    size_t objects;
    double before, after; /* mean ΔE00 between the two: as read, and corrected without the object
                             in question (leave-one-out) */
    double tried[FH_TIE_KINDS]; /* the same for every kind; −1: too few objects for it */
    size_t from_count;   /* shared errors of the helper's readings that the tie replaces … */
    char from[FH_SHARED_MAX][FH_SOURCE];
    size_t to_count;     /* … by those of the owner's readings */
    fh_shared to[FH_SHARED_MAX];
} fh_tie;

/* Find the correction from count pairs: owner[i] and helper[i] are readings of the same object.
 * Offset, matrix, or matrix with shift, all drawn towards "no correction" where the objects say
 * little, chosen by leave-one-out; the simpler one unless the other is better by a twentieth.
 * lot: standard deviation of ΔL*, Δa* and Δb* between two copies of one object, 0 or more (0 when
 * the very same objects went from one to the other).
 * id: not empty. FH_E_ARGUMENT: count outside FH_TIE_LEAST–FH_TIE_MOST, lot negative or not
 * finite; FH_E_DATA: readings that are not sound, several conditions, sources that differ between
 * one person's readings, or objects of one colour only; FH_E_MEMORY. error may be NULL. */
FH_API fh_status fh_tie_find(const char *id, const fh_reading *owner, const fh_reading *helper,
                             size_t count, double lot, fh_tie *out, fh_error *error);

/* The owner's Lab for a helper's. */
FH_API fh_lab fh_tie_lab(const fh_tie *tie, fh_lab lab);

/* Whether the tie applies to a reading: it was made by what was tied, so it carries all the sources
 * that the tie replaces, or names none when those had none. Never one that was chosen on a screen
 * (FH_BASIS_SCREEN): no instrument read it. */
FH_API bool fh_tie_covers(const fh_tie *tie, const fh_reading *reading);

/* Correct a reading of the helper's: Lab and spectrum move, the helper's shared errors give way
 * to the owner's and to "tie: ID". A measured spectrum moves along the smoothest change that
 * gives the corrected Lab.
 * FH_E_DATA: another condition, or a reading that the tie does not cover
 * (fh_tie_covers: another instrument, another photo); FH_E_IMPOSSIBLE; FH_E_LIMIT. out may be
 * reading; error may be NULL. */
FH_API fh_status fh_tie_apply(const fh_tie *tie, const fh_reading *reading, fh_reading *out,
                              fh_error *error);

/* "none", "offset", "matrix", "matrix with shift". Static. */
FH_API const char *fh_tie_kind_text(fh_tie_kind kind);

#ifdef __cplusplus
}
#endif
#endif
