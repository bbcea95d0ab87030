/* Converting tables of readings without making readings of them: every column and every figure
 * stays as it was measured. */
#ifndef FARHUE_CONVERT_H
#define FARHUE_CONVERT_H

#include "farhue/library.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What a table says by keywords, into columns, so that it can be CSV: the condition, the unit of
 * spectra (in the column names), and every property of its readings. *lost (may be NULL) counts
 * the other keywords, which CSV has no place for. The caller frees *out. */
FH_API fh_status fh_convert_to_columns(const fh_table *table, const fh_library_defaults *defaults,
                                       fh_tables **out, size_t *lost, fh_error *error);

/* A copy of the table in which what the defaults say stands in keywords where the table does not
 * say it itself, so that it needs no options any more. The caller frees *out. */
FH_API fh_status fh_convert_complete(const fh_table *table, const fh_library_defaults *defaults,
                                     fh_tables **out, fh_error *error);

/* Wavelengths first, first + step … last, in nm. */
typedef struct fh_sampling {
    double first, last, step;
} fh_sampling;

/* A copy of the table with its spectra interpolated (Sprague where equidistant, monotone cubic
 * else) to another sampling. FH_E_DATA when that reaches beyond what was measured, when the table
 * has no spectra, or for a sampling that is none (step > 0, at most 1000 points). The caller frees
 * *out. */
FH_API fh_status fh_convert_sampling(const fh_table *table, const fh_library_defaults *defaults,
                                     fh_sampling sampling, fh_tables **out, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
