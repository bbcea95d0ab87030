/* Readings in files: libraries, parts, coupons, charts; all are tables of readings.
 *
 * Any property of a reading may stand in a column, for each row, or in a keyword of the same name,
 * for all rows. docs/formats.md has the names. */
#ifndef FARHUE_LIBRARY_H
#define FARHUE_LIBRARY_H

#include "farhue/reading.h"
#include "farhue/table.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_LIBRARY_MAX = 50000 }; /* readings in a library */

/* Unit of spectral values where neither the columns nor a keyword say it. */
typedef enum fh_unit {
    FH_UNIT_UNSAID,
    FH_UNIT_FACTOR, /* 0–1 */
    FH_UNIT_PERCENT /* 0–100 */
} fh_unit;

/* What a file may leave unsaid, said by its user. All zero: nothing. */
typedef struct fh_library_defaults {
    bool has_condition;
    fh_condition condition; /* of Lab and XYZ without one, if has_condition */
    fh_unit unit;
    const char *family; /* which wavelength columns, by the text before the number; NULL: the
                           only ones */
} fh_library_defaults;

/* Readings and what was done to get them: notes has one sentence a line, empty when nothing has
 * to be said. Start it as {0}; free it with fh_library_free. */
typedef struct fh_library {
    fh_reading *readings;
    size_t count;
    fh_text notes;
} fh_library;

/* Free what the library holds and clear it. */
FH_API void fh_library_free(fh_library *library);

/* The reading with that id, NULL when there is none. */
FH_API const fh_reading *fh_library_find(const fh_library *library, const char *id);

/* Read table text or CSV. Of a file with several tables all that hold colours are read. Errors
 * name the place: no colour columns, a condition or a unit that is not said, a value that cannot
 * be, an id twice. defaults may be NULL. *out is written on success only. */
FH_API fh_status fh_library_read(const char *text, size_t length,
                                 const fh_library_defaults *defaults, fh_library *out,
                                 fh_error *error);

/* Whether a table has columns with colours. */
FH_API bool fh_library_in_table(const fh_table *table);

/* Append the readings of one table to the library, whose ids must differ from those there.
 * Errors as fh_library_read; the library keeps what it had. */
FH_API fh_status fh_library_add_table(fh_library *library, const fh_table *table,
                                      const fh_library_defaults *defaults, fh_error *error);

/* Put readings into a table: its columns, rows and the keywords that hold for all rows. The table
 * must have no columns yet. FH_E_LIMIT when there are more than 32 shared sources. */
FH_API fh_status fh_library_to_table(const fh_reading *readings, size_t count, fh_table *table);

/* Readings as table text with a DESCRIPTOR (may be NULL) and CREATED (ISO 8601, may be NULL).
 * The caller frees *out with fh_text_free. */
FH_API fh_status fh_library_write(const fh_reading *readings, size_t count, const char *descriptor,
                                  const char *created, fh_text *out);

/* "45/0", "8/d", "photo", "unknown"; "included", "excluded", "unknown". Never NULL. */
FH_API const char *fh_geometry_name(fh_geometry geometry);
FH_API const char *fh_specular_name(fh_specular specular);

/* "measured", "screen", "look". Never NULL. */
FH_API const char *fh_basis_name(fh_basis basis);

#ifdef __cplusplus
}
#endif
#endif
