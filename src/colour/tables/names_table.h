/* Names and centres of the ISCC–NBS blocks; see names_table.c for their source. */
#ifndef FARHUE_COLOUR_NAMES_TABLE_H
#define FARHUE_COLOUR_NAMES_TABLE_H

#include "farhue/colour.h"

enum { FH_NAME_COUNT = 267 };

typedef struct fh_name_centre {
    int number;
    const char *name;
    fh_lab lab; /* C/2 */
} fh_name_centre;

extern const fh_name_centre fh_name_centres[FH_NAME_COUNT];

#endif
