/* The inside of reading a file of paints. */
#ifndef FARHUE_FILES_PAINTS_H
#define FARHUE_FILES_PAINTS_H

#include "base/text.h"
#include "farhue/paints.h"

enum { FH_PAINTS_COATS = 4096 };

/* A row of a table of coats. */
typedef struct fh_coat {
    size_t reading; /* index in the library */
    size_t line;    /* in the file */
    fh_blend blend; /* count 0: nothing painted, a backing */
    double amount;  /* of a film; negative: opaque */
} fh_coat;

typedef struct fh_paints_work {
    fh_paints *paints;
    size_t capacity; /* of paints->paints */
    fh_library library;
    fh_coat *coats; /* one for each reading of the library */
    size_t coat_capacity;
    double index; /* refractive index of the dry coat */
    bool fit_surface;
    double noise;
} fh_paints_work;

/* The paint of that id, added to the list when it is new. FH_E_LIMIT, FH_E_MEMORY. */
fh_status fh_paints_add(fh_paints_work *work, const char *id, size_t *index);

/* Whether a column's name is one of a coat's make: PAINT_1, PARTS_1, PERCENT_1, FILM_AMOUNT, or so
 * near that it must be meant as one. */
bool fh_paints_is_column(fh_slice name);

/* A table of coats, a table of pots (paints_table.c). */
fh_status fh_paints_coats(fh_paints_work *work, const fh_table *table,
                          const fh_library_defaults *defaults, fh_error *error);
fh_status fh_paints_pots(fh_paints_work *work, const fh_table *table, fh_error *error);

/* A geometry as the face of a coat knows it: a photo counts as 45°:0°. */
fh_geometry fh_paints_geometry(fh_geometry stated);

/* Fit all of it (paints_fit.c). */
fh_status fh_paints_fit(fh_paints_work *work, fh_progress progress, void *user, fh_error *error);

#endif
