/* Filling in an fh_error. Every function accepts error == NULL. */
#ifndef FARHUE_BASE_ERROR_H
#define FARHUE_BASE_ERROR_H

#include "farhue/status.h"

/* Set status and message (fh_format's conversions), position 0; returns status, so that
 * `return fh_fail(error, FH_E_DATA, "…")` reads well. The file name stays as it was. */
fh_status fh_fail(fh_error *error, fh_status status, const char *format, ...) FH_PRINTF(3, 4);

/* The same with a position, both counted from 1. */
fh_status fh_fail_at(fh_error *error, fh_status status, size_t line, size_t column,
                     const char *format, ...) FH_PRINTF(5, 6);

/* Name the file an error belongs to, unless one is named already; passes status through. */
fh_status fh_fail_in(fh_error *error, fh_status status, const char *file);

#endif
