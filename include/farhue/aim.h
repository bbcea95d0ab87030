/* Working back: the inner part that gives a wanted look behind a shell. */
#ifndef FARHUE_AIM_H
#define FARHUE_AIM_H

#include "farhue/shell.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The inner part that a look asks for. */
typedef struct fh_aim {
    fh_reading inner; /* its reflectance is the likeliest smooth one; marked estimated */
    fh_spectrum seen; /* its look through the shell */
    fh_lab reached;   /* the Lab of that, in the condition of the look */
    double dE;        /* ΔE00 of the wanted look and the reached one */
    bool possible;    /* dE below 0.01; else inner is the part that comes nearest */
    double open;      /* standard uncertainty of inner's Lab (root of the trace) that is left
                         open because the shell hides part of the spectrum */
} fh_aim;

/* Work back from a look to the inner part. A look with a measured spectrum is met band by band as
 * well as in Lab; of a Lab alone the likeliest inner reflectance is found. inner carries what the
 * look's and the shell's errors, and the bands that can't be seen, leave uncertain: shared
 * sources of the look as shared; what the bands that can't be seen leave open as "look: ID" for
 * a measured spectrum, whose curve is known by it, as "aim: ID" for a Lab alone, whose estimated
 * spectrum stays open besides; all else as random.
 * FH_E_DATA: the look's Lab under a lamp from a file, or not finite; FH_E_IMPOSSIBLE: the shell is
 * opaque; FH_E_MEMORY. out is untouched on failure; error may be NULL. Some milliseconds. */
FH_API fh_status fh_aim_at(const fh_shell *shell, const fh_reading *look, fh_aim *out,
                           fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
