/* Ties as files: table text. docs/formats.md has the names. */
#ifndef FARHUE_TIE_FILE_H
#define FARHUE_TIE_FILE_H

#include "farhue/table.h"
#include "farhue/tie.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A tie as table text, to be freed with fh_text_free. created (ISO 8601) may be NULL.
 * FH_E_MEMORY. */
FH_API fh_status fh_tie_write(const fh_tie *tie, const char *created, fh_text *out);

/* Read a tie. Errors name the place: another kind of file, a changed one (check code), a
 * covariance that is not positive semi-definite, a kind that is not known. */
FH_API fh_status fh_tie_read(const char *text, size_t length, fh_tie *out, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
