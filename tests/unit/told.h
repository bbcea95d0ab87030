/* Errors in files, for tests. */
#ifndef FARHUE_TESTS_TOLD_H
#define FARHUE_TESTS_TOLD_H

#include <stddef.h>

#include "farhue/status.h"

/* Fails unless the error, as "LINE:COLUMN: message", begins as expected; `row` is that of a table
   of cases. */
void check_told(const fh_error *error, const char *expected, size_t row);

#endif
