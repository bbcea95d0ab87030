#include "files/values.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

static const char blanks[] = " \t";

/* The next word of a value; empty at its end. */
static fh_slice next_word(const char **at)
{
    *at += strspn(*at, blanks);
    fh_slice word = {*at, strcspn(*at, blanks)};
    *at += word.length;
    return word;
}

static const char *required(const fh_table *table, const char *name, fh_error *error)
{
    const char *value = fh_table_keyword(table, name);
    if (value) return value;
    char message[FH_ERROR_MESSAGE];
    fh_format(message, sizeof message, "no %s; expected this keyword in the file", name);
    fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA, message);
    return NULL;
}

static fh_status wrong(const fh_table *table, const char *name, const char *expected,
                       fh_error *error)
{
    char message[FH_ERROR_MESSAGE];
    fh_format(message, sizeof message, "%s \"%.80s\"; expected %s", name,
              fh_table_keyword(table, name), expected);
    return fh_table_fail_keyword(table, name, error, FH_E_DATA, message);
}

fh_table *fh_value_begin(const char *kind, fh_tables **tables)
{
    *tables = fh_tables_new();
    fh_table *table = *tables ? fh_tables_add(*tables) : NULL;
    if (!table) {
        fh_tables_free(*tables);
        *tables = NULL;
        return NULL;
    }
    fh_table_set_type(table, "CGATS.17");
    fh_table_set_keyword(table, "FARHUE_FILE", kind);
    return table;
}

void fh_value_put_three(fh_table *table, const char *name, const double v[3])
{
    char text[3][32], line[100];
    for (int i = 0; i < 3; ++i) fh_shortest_number(text[i], sizeof text[i], v[i]);
    fh_format(line, sizeof line, "%s %s %s", text[0], text[1], text[2]);
    fh_table_set_keyword(table, name, line);
}

fh_status fh_value_get_three(const fh_table *table, const char *name, double v[3], fh_error *error)
{
    const char *at = required(table, name, error);
    double read[3];
    if (!at) return FH_E_DATA;
    for (int i = 0; i < 3; ++i)
        if (!fh_parse_number(next_word(&at), &read[i]) || !isfinite(read[i]))
            return wrong(table, name, "three numbers with decimal points", error);
    if (next_word(&at).length) return wrong(table, name, "three numbers", error);
    memcpy(v, read, sizeof read);
    return FH_OK;
}

fh_status fh_value_get_number(const fh_table *table, const char *name, double low, double high,
                        double *out, fh_error *error)
{
    double value = (double)NAN;
    char expected[96];
    if (!required(table, name, error)) return FH_E_DATA;
    fh_status status = fh_table_keyword_number(table, name, &value, error);
    if (status) return status;
    fh_format(expected, sizeof expected, "a number from %g to %g", low, high);
    if (!(value >= low && value <= high)) return wrong(table, name, expected, error);
    *out = value;
    return FH_OK;
}

void fh_value_put_flag(fh_table *table, const char *name, bool value)
{
    fh_table_set_keyword(table, name, value ? "yes" : "no");
}

fh_status fh_value_get_flag(const fh_table *table, const char *name, bool *out, fh_error *error)
{
    const char *value = required(table, name, error);
    if (!value) return FH_E_DATA;
    if (strcmp(value, "yes") != 0 && strcmp(value, "no") != 0)
        return wrong(table, name, "yes or no", error);
    *out = value[0] == 'y';
    return FH_OK;
}

void fh_value_put_conditions(fh_table *table, const char *name, const fh_condition *conditions,
                       size_t count)
{
    char line[256];
    size_t used = 0;
    line[0] = '\0';
    for (size_t i = 0; i < count; ++i) {
        char one[FH_CONDITION_TEXT];
        fh_condition_text(conditions[i], one);
        used += fh_format(line + used, sizeof line - used, "%s%s", i ? " " : "", one);
    }
    fh_table_set_keyword(table, name, line);
}

fh_status fh_value_get_conditions(const fh_table *table, const char *name, fh_condition *out,
                            size_t most, size_t *count, fh_error *error)
{
    const char *at = required(table, name, error);
    fh_condition read[16];
    size_t found = 0;
    if (!at) return FH_E_DATA;
    for (fh_slice word = next_word(&at); word.length; word = next_word(&at)) {
        char one[FH_CONDITION_TEXT];
        if (!fh_copy_slice(one, sizeof one, word) || found == most ||
            found == sizeof read / sizeof *read || fh_condition_parse(one, &read[found]))
            return wrong(table, name, "conditions such as D65/10, each once", error);
        ++found;
    }
    if (found == 0) return wrong(table, name, "a condition such as D65/10", error);
    memcpy(out, read, found * sizeof *out);
    *count = found;
    return FH_OK;
}

fh_status fh_value_get_text(const fh_table *table, const char *name, char *out, size_t size,
                      fh_error *error)
{
    const char *value = fh_table_keyword(table, name);
    if (strlen(value ? value : "") >= size) {
        char message[FH_ERROR_MESSAGE];
        fh_format(message, sizeof message, "%s has %zu bytes; expected at most %zu", name,
                  strlen(value), size - 1);
        return fh_table_fail_keyword(table, name, error, FH_E_DATA, message);
    }
    fh_copy_text(out, size, value ? value : "");
    return FH_OK;
}

void fh_value_put_text(fh_table *table, const char *name, const char *value)
{
    if (value[0]) fh_table_set_keyword(table, name, value);
}
