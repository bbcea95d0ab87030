/* The page's settings in a job file, as far as they say which target is meant. */
#include "cli/page_settings.h"

#include <string.h>

#include "farhue/spec.h"

static fh_status read_number(const fh_table *table, size_t row, size_t value, double low,
                             double high, double *out, fh_error *error)
{
    double number;
    char message[96];
    fh_status status = fh_table_number(table, row, value, &number, error);
    if (status) return status;
    if (!(number >= low && number <= high)) {
        fh_format(message, sizeof message, "out of range; expected %g to %g", low, high);
        return fh_table_fail(table, row, value, error, FH_E_DATA, message);
    }
    *out = number;
    return FH_OK;
}

static fh_status read_light(const fh_table *table, size_t row, size_t value, cli_page_settings *out,
                            fh_error *error)
{
    if (out->light_count == CLI_LIGHTS ||
        fh_condition_parse(fh_table_text(table, row, value), &out->light[out->light_count]))
        return fh_table_fail(table, row, value, error, FH_E_DATA,
                             "no light, or one too many; expected such as D65/10");
    ++out->light_count;
    return FH_OK;
}

static fh_status read_row(const fh_table *table, size_t row, size_t key, size_t value,
                          cli_page_settings *out, fh_error *error)
{
    const char *name = fh_table_text(table, row, key), *text = fh_table_text(table, row, value);
    if (strcmp(name, "match") == 0 && !fh_copy_text(out->match, sizeof out->match, text))
        return fh_table_fail(table, row, value, error, FH_E_DATA,
                             "an id of more than 63 bytes; expected that of a spot of part");
    if (strcmp(name, "aimed") == 0) out->aimed = strcmp(text, "1") == 0;
    if (strcmp(name, "light") == 0) return read_light(table, row, value, out, error);
    if (strcmp(name, "tolerance") == 0)
        return read_number(table, row, value, 0.01, 50, &out->tolerance, error);
    if (strcmp(name, "shell_mm") == 0)
        return read_number(table, row, value, 0, FH_BUILT_MM_MAX, &out->shell_mm, error);
    if (strcmp(name, "gap_mm") == 0)
        return read_number(table, row, value, 0, FH_BUILT_MM_MAX, &out->gap_mm, error);
    return FH_OK;
}

int cli_read_page_settings(cli_context *cli, cli_page_settings *out)
{
    cli_input input;
    fh_tables *tables;
    fh_error error = {0};
    cli_page_settings settings = {.tolerance = -1, .shell_mm = -1, .gap_mm = -1};
    *out = settings;
    if (!cli_value(cli, "job") || !cli_has_input(cli, "page")) return CLI_DONE;
    int code = cli_text_input(cli, NULL, "page", &input);
    if (!code) code = cli_tables(cli, &input, &tables);
    if (code) return code;
    const fh_table *table = fh_tables_at(tables, 0);
    const size_t key = fh_table_column(table, "SETTING"), value = fh_table_column(table, "VALUE");
    if (key == FH_NONE || value == FH_NONE)
        return cli_fail_text(cli, FH_E_DATA,
                             "%s: the page's table lacks SETTING or VALUE; expected both columns",
                             input.name);
    settings.there = true;
    for (size_t row = 0; row < fh_table_rows(table); ++row)
        if (read_row(table, row, key, value, &settings, &error))
            return cli_fail_input(cli, &input, &error);
    *out = settings;
    return CLI_DONE;
}
