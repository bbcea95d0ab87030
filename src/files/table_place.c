/* Numbers from cells, and errors that name a cell's place. */
#include <string.h>

#include "base/error.h"
#include "files/table.h"

fh_status fh_table_fail(const fh_table *table, size_t row, size_t column, fh_error *error,
                        fh_status status, const char *message)
{
    fh_cell place = {.line = table->line};
    bool has_column = column != FH_NONE && column < table->column_count;
    if (row != FH_NONE && row < table->row_count && table->column_count)
        place = table->cells[row * table->column_count + (has_column ? column : 0)];
    else if (has_column)
        place = table->columns[column];
    return fh_fail_at(error, status, place.line, has_column ? place.column : 0, "%s", message);
}

size_t fh_table_line(const fh_table *table, size_t row)
{
    return table->column_count ? table->cells[row * table->column_count].line : table->line;
}

static const fh_keyword *keyword(const fh_table *table, const char *name)
{
    for (size_t i = 0; i < table->keyword_count; ++i) {
        const fh_keyword *found = &table->keywords[i];
        if (fh_slice_is_fold(fh_slice_of(fh_tables_text(table->list, found->name)), name))
            return found;
    }
    return NULL;
}

fh_status fh_table_fail_keyword(const fh_table *table, const char *name, fh_error *error,
                                fh_status status, const char *message)
{
    const fh_keyword *found = keyword(table, name);
    if (!found) return fh_table_fail(table, FH_NONE, FH_NONE, error, status, message);
    return fh_fail_at(error, status, found->value.line, found->value.column, "%s", message);
}

/* Digits with a comma where a decimal point would be. */
static bool is_decimal_comma(const char *text)
{
    char copy[64];
    double value;
    if (!fh_copy_text(copy, sizeof copy, text)) return false;
    char *comma = strchr(copy, ',');
    if (!comma) return false;
    *comma = '.';
    return fh_parse_number(fh_slice_of(copy), &value);
}

static void say_no_number(char *message, size_t size, const char *what, const char *text)
{
    if (*text == '\0')
        fh_format(message, size, "%s is empty; expected a number", what);
    else if (is_decimal_comma(text))
        fh_format(message, size, "%s is %s with a decimal comma; write a decimal point", what,
                  text);
    else
        fh_format(message, size, "%s is \"%.60s\"; expected a number", what, text);
}

fh_status fh_table_number(const fh_table *table, size_t row, size_t column, double *out,
                          fh_error *error)
{
    char message[FH_ERROR_MESSAGE];
    const char *text = fh_table_text(table, row, column);
    if (fh_parse_number(fh_slice_of(text), out)) return FH_OK;
    say_no_number(message, sizeof message, fh_table_column_name(table, column), text);
    return fh_table_fail(table, row, column, error, FH_E_DATA, message);
}

fh_status fh_table_keyword_number(const fh_table *table, const char *name, double *out,
                                  fh_error *error)
{
    char message[FH_ERROR_MESSAGE];
    const char *text = fh_table_keyword(table, name);
    if (!text || fh_parse_number(fh_slice_of(text), out)) return FH_OK;
    say_no_number(message, sizeof message, name, text);
    return fh_table_fail_keyword(table, name, error, FH_E_DATA, message);
}
