/* Converting tables of readings without making readings of them: every column and every figure
 * stays as it was measured.
 *
 * All three calls take the table as it was read and leave it alone; defaults may be NULL. *out is
 * one new table in a list of its own, which the caller frees with fh_tables_free; like *lost it is
 * written last and untouched on failure. error may be NULL; it has line and column where a place in
 * the table is to blame.
 * All three fail with FH_E_DATA for a table that is no table of readings (as fh_library_read has
 * it: a condition or a unit that is not known, a wavelength twice), FH_E_LIMIT when the new table
 * would have more than FH_TABLE_COLUMNS columns, FH_TABLE_KEYWORDS keywords or FH_TABLE_CELLS
 * values, and FH_E_MEMORY. */
#ifndef FARHUE_CONVERT_H
#define FARHUE_CONVERT_H

#include "farhue/library.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What a table says by keywords, into columns, so that it can be CSV: the condition, the unit of
 * spectra (in the column names), and every property of its readings. *lost (may be NULL) counts
 * the other keywords, which CSV has no place for. FH_E_DATA, too, for spectra in pairs of
 * wavelength and value whose wavelengths are no numbers or differ from row to row. */
FH_API fh_status fh_convert_to_columns(const fh_table *table, const fh_library_defaults *defaults,
                                       fh_tables **out, size_t *lost, fh_error *error);

/* A copy of the table in which what the defaults say stands in keywords where the table does not
 * say it itself, so that it needs no options any more. */
FH_API fh_status fh_convert_complete(const fh_table *table, const fh_library_defaults *defaults,
                                     fh_tables **out, fh_error *error);

/* Wavelengths first, first + step … last, in nm: 200 to 2500, ascending, at most 1000 of them. */
typedef struct fh_sampling {
    double first, last, step;
} fh_sampling;

/* A copy of the table with its spectra interpolated (Sprague where equidistant, monotone cubic
 * else) to another sampling; values stay in the table's unit (factor or percent), and a row without
 * a spectrum stays without. FH_E_DATA, too, for a sampling that is none, or that reaches beyond
 * what was measured, when the table has no wavelength columns (pairs do not count), and for a value
 * of a spectrum that is no number. */
FH_API fh_status fh_convert_sampling(const fh_table *table, const fh_library_defaults *defaults,
                                     fh_sampling sampling, fh_tables **out, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
