/* Shells in files: the readings that they were fitted from, and the curves.
 *
 * A shell file is table text with tables that say by the keyword SHELL_TABLE what they hold:
 * "looks" and "backings" (readings, joined by SAMPLE_BACKING), "transmittance" (one reading) and
 * "curves" (NM, CURVE_A, CURVE_B, CURVE_C). The fit is done again from the readings; the curves are
 * there for other programs, and stand alone where no readings came with them. */
#ifndef FARHUE_SHELL_FILE_H
#define FARHUE_SHELL_FILE_H

#include "farhue/library.h"
#include "farhue/shell.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What a shell was made from, and the shell. Owned: fh_shell_record_new, fh_shell_record_free. */
typedef struct fh_shell_record {
    fh_shell shell;
    size_t count;
    fh_reading look[FH_SHELL_SAMPLES], backing[FH_SHELL_SAMPLES];
    bool has_transmittance;
    fh_reading transmittance;
    fh_shell_options options; /* transmittance in it is not used */
    double wall_ratio;        /* the shell's wall is so many times that of the readings */
    fh_shell_report report;   /* of the fit; count 0 where the curves were given */
    fh_text notes;            /* one sentence a line */
} fh_shell_record;

/* An empty record, ratio 1 and the usual options; NULL without memory. The caller frees it. */
FH_API fh_shell_record *fh_shell_record_new(void);
/* Free a record; NULL is fine. */
FH_API void fh_shell_record_free(fh_shell_record *record);

/* Fit record->shell from its readings, options and wall_ratio, and fill in its report. id and name
 * of the shell are kept. Errors as fh_shell_fit; the record's shell is untouched then. */
FH_API fh_status fh_shell_record_fit(fh_shell_record *record, fh_error *error);

/* Whether tables hold a shell. */
FH_API bool fh_shell_in_tables(const fh_tables *tables);

/* Read a shell from tables. Tables that are no part of a shell are left alone. FH_E_DATA: a look
 * whose backing isn't there, curves outside their bounds, not 36 bands or resampled from fewer than
 * 2, and all that fh_shell_fit refuses. The caller frees *out; it is NULL on failure. */
FH_API fh_status fh_shell_read(const fh_tables *tables, fh_shell_record **out, fh_error *error);

/* Append the shell's tables. created (ISO 8601) may be NULL. FH_E_MEMORY, FH_E_LIMIT. */
FH_API fh_status fh_shell_to_tables(const fh_shell_record *record, const char *created,
                                    fh_tables *tables);

#ifdef __cplusplus
}
#endif
#endif
