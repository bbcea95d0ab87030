/* farhue swatches convert, add, join: new files from old ones, never over them. */
#include <string.h>

#include "base/memory.h"
#include "cli/swatches.h"
#include "farhue/convert.h"
#include "farhue/job.h"

static int no_memory(cli_context *cli)
{
    return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
}

static int need_output(cli_context *cli)
{
    if (cli_value(cli, "output")) return CLI_DONE;
    return cli_usage(cli, "no output given; expected -o NEW ('-': standard output)");
}

static int save(cli_context *cli, fh_text *text, const char *what)
{
    int code = cli_product(cli, text->bytes, text->length);
    fh_text_free(text);
    if (code) return code;
    cli_print(cli, "%s: %s\n", cli_value(cli, "output"), what);
    cli_json_text(cli->root, "file", cli_value(cli, "output"));
    return CLI_DONE;
}

/* --- convert -------------------------------------------------------------------------------- */

static bool ends_in(const char *text, const char *end)
{
    size_t n = strlen(text), m = strlen(end);
    return n >= m && fh_slice_is_fold(fh_slice_of(text + n - m), end);
}

static int wants_csv(cli_context *cli, bool *csv)
{
    const char *to = cli_value(cli, "to"), *output = cli_value(cli, "output");
    *csv = ends_in(output, ".csv");
    if (!to) return CLI_DONE;
    *csv = strcmp(to, "csv") == 0;
    if (*csv || strcmp(to, "table") == 0) return CLI_DONE;
    return cli_usage(cli, "--to %s; expected csv or table", to);
}

static int read_sampling(cli_context *cli, fh_sampling *out, bool *given)
{
    const char *text = cli_value(cli, "sampling");
    double *const to[3] = {&out->first, &out->last, &out->step};
    *given = text != NULL;
    for (size_t i = 0; text && i < 3; ++i) {
        size_t length = strcspn(text, ",");
        if (!fh_parse_number((fh_slice){text, length}, to[i]) || (text[length] == ',') != (i < 2))
            return cli_usage(cli,
                             "--sampling %s; expected FIRST,LAST,STEP in nm, such as 400,700,10",
                             cli_value(cli, "sampling"));
        text += length + 1;
    }
    return CLI_DONE;
}

/* One table converted, as another list; owned by the caller. */
static int convert_table(cli_context *cli, const cli_input *input, const fh_table *table, bool csv,
                         fh_tables **out)
{
    fh_library_defaults defaults;
    fh_sampling sampling;
    fh_error error = {0};
    fh_tables *sampled = NULL;
    bool resample;
    size_t lost = 0;
    int code = cli_defaults(cli, &defaults);
    if (!code) code = read_sampling(cli, &sampling, &resample);
    if (code) return code;
    fh_status status = FH_OK;
    if (resample) {
        status = fh_convert_sampling(table, &defaults, sampling, &sampled, &error);
        if (!status) table = fh_tables_at(sampled, 0);
    }
    if (!status)
        status = csv ? fh_convert_to_columns(table, &defaults, out, &lost, &error)
                     : fh_convert_complete(table, &defaults, out, &error);
    fh_tables_free(sampled);
    if (status) return cli_fail_input(cli, input, &error);
    if (lost)
        cli_note(cli,
                 "%zu keywords of the table (its description and the like) have no place in CSV "
                 "and are left out",
                 lost);
    return CLI_DONE;
}

/* Reading what was written must give what reading the original gives, or nothing is saved. */
static int verify(cli_context *cli, const cli_input *input, const fh_text *text)
{
    fh_library before, after = {0};
    fh_error error = {0};
    int code = cli_library(cli, input, &before);
    if (code) return code;
    if (fh_library_read(text->bytes, text->length, NULL, &after, &error))
        return cli_fail_text(cli, FH_E_DATA, "%s: converted, it would not read again: %s",
                             input->name, error.message);
    bool same = before.count == after.count;
    fh_library_free(&after);
    if (same) return CLI_DONE;
    return cli_fail_text(cli, FH_E_DATA, "%s: converted, it would have another number of readings",
                         input->name);
}

static int convert_all(cli_context *cli, const cli_input *input, const fh_tables *tables, bool csv,
                       fh_text *out)
{
    fh_sink sink = fh_sink_to_text(out);
    size_t count = fh_tables_count(tables);
    if (csv && count > 1)
        return cli_fail_text(cli, FH_E_DATA,
                             "%s: %zu tables, and CSV holds one; expected --to table", input->name,
                             count);
    for (size_t i = 0; i < count; ++i) {
        fh_tables *one = NULL;
        fh_text text = {0};
        int code = convert_table(cli, input, fh_tables_at(tables, i), csv, &one);
        if (code) return code;
        fh_status status =
            csv ? fh_csv_write(fh_tables_at(one, 0), &text) : fh_tables_write(one, &text);
        if (!status && i) status = sink.write(sink.user, "\n", 1);
        if (!status) status = sink.write(sink.user, text.bytes, text.length);
        fh_text_free(&text);
        fh_tables_free(one);
        if (status) return no_memory(cli);
    }
    return CLI_DONE;
}

int swatches_convert(cli_context *cli, const char **files, size_t count)
{
    cli_input input;
    fh_tables *tables;
    fh_text text = {0};
    bool csv = false;
    (void)count;
    int code = need_output(cli);
    if (!code) code = wants_csv(cli, &csv);
    if (!code) code = cli_text_input(cli, files[0], NULL, &input);
    if (!code) code = cli_tables(cli, &input, &tables);
    if (!code) code = convert_all(cli, &input, tables, csv, &text);
    if (!code) code = verify(cli, &input, &text);
    if (code) {
        fh_text_free(&text);
        return code;
    }
    return save(cli, &text, csv ? "written as CSV" : "written as table text");
}

/* --- add ------------------------------------------------------------------------------------ */

static int read_stdev(cli_context *cli, fh_reading *out)
{
    const char *text = cli_value(cli, "stdev");
    double v[3];
    for (size_t i = 0; text && i < 3; ++i) {
        size_t length = strcspn(text, ",");
        if (!fh_parse_number((fh_slice){text, length}, &v[i]) || v[i] < 0 ||
            (text[length] == ',') != (i < 2))
            return cli_usage(cli, "--stdev %s; expected three numbers, for L*, a* and b*",
                             cli_value(cli, "stdev"));
        text += length + 1;
    }
    if (text) out->random = fh_mat3_diagonal(v[0] * v[0], v[1] * v[1], v[2] * v[2]);
    return CLI_DONE;
}

static int new_reading(cli_context *cli, const char *colour, fh_reading *out)
{
    const char *id = cli_value(cli, "id"), *name = cli_value(cli, "name");
    int code = cli_colour(cli, colour, out);
    if (!code) code = read_stdev(cli, out);
    if (code) return code;
    if (!id) return cli_usage(cli, "no id for the new reading; expected --id ID");
    if (!*id || !fh_copy_text(out->id, sizeof out->id, id))
        return cli_usage(cli, "--id: expected 1 to %d bytes", (int)FH_ID - 1);
    if (name && !fh_copy_text(out->name, sizeof out->name, name))
        return cli_usage(cli, "--name: expected at most %d bytes", (int)FH_NAME - 1);
    return CLI_DONE;
}

int swatches_add(cli_context *cli, const char **files, size_t count)
{
    cli_input input;
    fh_reading reading;
    fh_library library, before;
    fh_tables *tables;
    fh_text text = {0};
    fh_error error = {0};
    (void)count;
    int code = need_output(cli);
    if (!code) code = new_reading(cli, files[1], &reading);
    if (!code) code = cli_text_input(cli, files[0], NULL, &input);
    if (!code) code = cli_library(cli, &input, &before);
    if (!code) code = cli_tables(cli, &input, &tables);
    if (!code) code = convert_all(cli, &input, tables, false, &text);
    if (code) {
        fh_text_free(&text);
        return code;
    }
    /* The new reading is a table of its own after the others, so that nothing of them is touched.
     */
    fh_text more = {0};
    fh_sink sink = fh_sink_to_text(&text);
    fh_status status = fh_library_write(&reading, 1, NULL, NULL, &more);
    if (!status) status = sink.write(sink.user, "\n", 1);
    if (!status) status = sink.write(sink.user, more.bytes, more.length);
    fh_text_free(&more);
    if (!status) status = fh_library_read(text.bytes, text.length, NULL, &library, &error);
    if (status) {
        fh_text_free(&text);
        return error.message[0] ? cli_fail_text(cli, status, "%s: with %s added: %s", input.name,
                                                reading.id, error.message)
                                : no_memory(cli);
    }
    fh_library_free(&library);
    return save(cli, &text, "the library with the new reading");
}

/* --- join ----------------------------------------------------------------------------------- */

/* The name of a file without folder and suffix. */
static char *short_name(cli_context *cli, const char *path)
{
    const char *slash = strrchr(path, '/'), *start = slash ? slash + 1 : path;
    const char *dot = strrchr(start, '.');
    size_t length = dot && dot > start ? (size_t)(dot - start) : strlen(start);
    char *name = cli_keep(cli, fh_allocate(length + 1, 1));
    if (name) memcpy(name, start, length);
    return name;
}

int swatches_join(cli_context *cli, const char **files, size_t count)
{
    fh_job_item *items = cli_keep(cli, fh_allocate(count, sizeof *items));
    fh_text text = {0}, notes = {0};
    fh_error error = {0};
    int code = items ? need_output(cli) : no_memory(cli);
    for (size_t i = 0; i < count && !code; ++i) {
        cli_input input;
        code = cli_text_input(cli, files[i], NULL, &input);
        if (code) break;
        items[i] = (fh_job_item){short_name(cli, files[i]), input.bytes, input.length};
        if (!items[i].name) return no_memory(cli);
    }
    if (code) return code;
    fh_status status = fh_job_merge(items, count, &text, &notes, &error);
    cli_notes(cli, NULL, &notes);
    fh_text_free(&notes);
    if (status) return cli_fail(cli, &error);
    return save(cli, &text, "a job of these files");
}
