/* Where a table holds the properties of its readings. */
#ifndef FARHUE_FILES_LAYOUT_H
#define FARHUE_FILES_LAYOUT_H

#include "base/text.h"
#include "farhue/library.h"

typedef enum fh_property {
    FH_P_ID,
    FH_P_NAME,
    FH_P_LAB_L,
    FH_P_LAB_A,
    FH_P_LAB_B,
    FH_P_LAB_C,
    FH_P_LAB_H,
    FH_P_XYZ_X,
    FH_P_XYZ_Y,
    FH_P_XYZ_Z,
    FH_P_SRGB,
    FH_P_CONDITION,
    FH_P_ORIGIN,
    FH_P_BASIS,
    FH_P_STDEV_L, /* six in this order, as in FH_SHARED_STDEV_L */
    FH_P_STDEV_A,
    FH_P_STDEV_B,
    FH_P_COV_LA,
    FH_P_COV_LB,
    FH_P_COV_AB,
    FH_P_REPEATS,
    FH_P_GEOMETRY,
    FH_P_SPECULAR,
    FH_P_PORT,
    FH_P_GAP,
    FH_P_GLOSS,
    FH_P_THICKNESS,
    FH_P_BACKING,
    FH_P_NOTE,
    FH_P_COUNT
} fh_property;

/* The name under which a property is written. */
const char *fh_property_name(fh_property property);

/* A property's column, FH_NONE without one, and its keyword, NULL without one. */
typedef struct fh_place {
    size_t column;
    const char *keyword;
    char name[32]; /* of the keyword */
} fh_place;

enum { FH_SHARED_FILE = 32 }; /* shared sources in a table */

/* SHARED_n_SOURCE, SHARED_n_STDEV_L … SHARED_n_COV_AB */
typedef struct fh_shared_place {
    bool present;
    fh_place source;
    fh_place part[6];
} fh_shared_place;

enum { FH_SHORTEST_NM = 200, FH_LONGEST_NM = 2500 }; /* what counts as a wavelength */

/* Wavelength columns: value i is in value_column[i], for nm[i]; with nm_column, the wavelength
 * stands in a column of its own. */
typedef struct fh_spectral_place {
    size_t count;
    double *nm;
    size_t *value_column, *nm_column;
    bool pairs;
    double scale; /* 1, or 0.01 for percent */
    char family[FH_ID];
} fh_spectral_place;

typedef struct fh_layout {
    const fh_table *table;
    fh_place place[FH_P_COUNT];
    fh_shared_place shared[FH_SHARED_FILE];
    fh_spectral_place spectral;
    bool has_condition; /* of the whole table, from WEIGHTING_FUNCTION or the defaults */
    fh_condition condition;
    char ignored[FH_NOTE]; /* some columns that nothing is read from, for a note */
} fh_layout;

/* Find everything; fh_layout_end frees what a layout holds, also after a failure. */
fh_status fh_layout_of(const fh_table *table, const fh_library_defaults *defaults, fh_layout *out,
                       fh_error *error);
void fh_layout_end(fh_layout *layout);

/* The wavelength columns of a table; without any, count is 0 (layout_spectra.c). */
fh_status fh_spectral_place_of(const fh_table *table, const fh_library_defaults *defaults,
                               fh_spectral_place *out, fh_error *error);

/* The number in which a column's name ends, as a wavelength; *prefix is what stands before. */
bool fh_wavelength_name(const char *name, fh_slice *prefix, double *nm);

/* The geometry that a text states, with the specular mode where it says that as well; an empty
 * text: unknown. false, and nothing written: no geometry that is known (geometry.c). */
bool fh_geometry_of(const char *text, fh_geometry *geometry, fh_specular *specular);

/* A property of a row: its cell, or where that is empty the keyword; "" when neither is there. */
const char *fh_layout_text(const fh_layout *layout, const fh_place *place, size_t row);

/* The same as a number; *given tells whether it is there. */
fh_status fh_layout_number(const fh_layout *layout, const fh_place *place, size_t row, double *out,
                           bool *given, fh_error *error);

/* An error about a property of a row, at its cell or its keyword. */
fh_status fh_layout_fail(const fh_layout *layout, const fh_place *place, size_t row,
                         fh_error *error, const char *format, ...) FH_PRINTF(5, 6);

/* What a row shows beside its reading, for the notes. */
typedef struct fh_row_findings {
    size_t held; /* bands beyond the measured range */
    double first_nm, last_nm; /* that range; 0: no spectrum */
    double
        apart; /* ΔE00 between a Lab that stands beside a spectrum and the one computed from it */
    const char *strange; /* a geometry that isn't known, of the table; NULL: none */
    bool screen; /* known as sRGB only, with the deviation that is taken for that */
} fh_row_findings;

/* One row as a reading (layout_row.c). scratch has room for twice the spectral columns. */
fh_status fh_layout_row(const fh_layout *layout, size_t row, double *scratch, fh_reading *out,
                        fh_row_findings *found, fh_error *error);

#endif
