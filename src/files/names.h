/* A set of texts, to find one that comes twice in time that grows only with their number. */
#ifndef FARHUE_FILES_NAMES_H
#define FARHUE_FILES_NAMES_H

#include "base/text.h"

/* Texts are borrowed and must outlive the set. */
typedef struct fh_names {
    const char **slots;
    size_t size, count;
    bool fold; /* letters match in either case */
} fh_names;

fh_names fh_names_begin(bool fold);
void fh_names_end(fh_names *names);

/* Add a text; *twice tells that it was there already. FH_E_MEMORY leaves the set as it was. */
fh_status fh_names_add(fh_names *names, const char *text, bool *twice);

#endif
