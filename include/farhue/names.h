/* Plain colour names: the 267 blocks of the ISCC–NBS system [Kelly1976], such as "light yellowish
 * brown". Each block stands for hundreds of shades; a name helps people talk, it is no target. */
#ifndef FARHUE_NAMES_H
#define FARHUE_NAMES_H

#include "farhue/estimate.h"

#ifdef __cplusplus
extern "C" {
#endif

/* L* of the centre of black. Nothing lies below the blacks: a darker colour finds its names as if
 * it had this L*, else a true black would be nearest to "greenish black". */
#define FH_NAMES_DARKEST 12.9

typedef struct fh_colour_name {
    int number;       /* of the block, 1–267 */
    const char *name; /* English, static */
    fh_lab centre;    /* of the block, C/2 */
    double dE00;      /* from the colour to the centre */
} fh_colour_name;

/* The condition of the system: C/2. */
FH_API fh_condition fh_names_condition(void);

/* The count names (at most 267) whose centres are nearest to a colour in C/2 by ΔE00, the nearest
 * first; below FH_NAMES_DARKEST their dE00 need not ascend. Returns how many were written: 0 when
 * lab isn't finite. */
FH_API size_t fh_names_near(fh_lab lab, fh_colour_name *out, size_t count);

/* The same for a reading in any condition; it is carried to C/2 by fh_reading_in_condition, whose
 * errors this returns. *used (may be NULL): the Lab in C/2. error may be NULL. */
FH_API fh_status fh_names_of_reading(const fh_reading *reading, fh_colour_name *out, size_t count,
                                     fh_lab *used, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
