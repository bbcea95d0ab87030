#include "told.h"

#include <stdio.h>
#include <string.h>

#include "check.h"

void check_told(const fh_error *error, const char *expected, size_t row)
{
    char told[FH_ERROR_MESSAGE + 48];
    snprintf(told, sizeof told, "%zu:%zu: %s", error->line, error->column, error->message);
    if (strncmp(told, expected, strlen(expected)) != 0)
        fail_msg("case %zu: \"%s\" instead of \"%s\"", row, told, expected);
}
