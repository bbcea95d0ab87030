/* Texts, tables and readings as inputs: by name, from the job, or by their default names. */
#include <string.h>

#include "base/memory.h"
#include "cli/cli.h"
#include "farhue/job.h"
#include "farhue/kind.h"

int cli_fail_input(cli_context *cli, const cli_input *input, fh_error *error)
{
    if (!error->file[0]) fh_copy_text(error->file, sizeof error->file, input->name);
    return cli_fail(cli, error);
}

/* A file as text, whatever it is called. */
static int read_text(cli_context *cli, const char *path, cli_input *out)
{
    fh_file file;
    int code = cli_read(cli, path, FH_LIMIT_TEXT, &file);
    if (code) return code;
    fh_copy_text(out->name, sizeof out->name, strcmp(path, "-") ? path : "standard input");
    out->bytes = file.bytes;
    out->length = file.length;
    fh_kind kind = fh_kind_of(file.bytes, file.length);
    if (kind == FH_KIND_TEXT) return CLI_DONE;
    return cli_fail_text(cli, FH_E_DATA, "%s: %s; %s", out->name, fh_kind_name(kind),
                         fh_kind_advice(kind, false));
}

int cli_open_job(cli_context *cli)
{
    const char *path = cli_value(cli, "job");
    fh_tables *tables = NULL;
    fh_error error = {0};
    if (!path) return CLI_DONE;
    int code = read_text(cli, path, &cli->job);
    if (code) return code;
    if (fh_tables_read(cli->job.bytes, cli->job.length, &tables, &error))
        return cli_fail_input(cli, &cli->job, &error);
    fh_tables_free(tables);
    return CLI_DONE;
}

static int read_job_part(cli_context *cli, const char *name, cli_input *out)
{
    fh_text text = {0};
    fh_error error = {0};
    *out = cli->job;
    if (fh_job_part(cli->job.bytes, cli->job.length, name, &text, &error))
        return cli_fail_input(cli, &cli->job, &error);
    if (!cli_keep(cli, text.bytes)) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    out->bytes = text.bytes;
    out->length = text.length;
    return CLI_DONE;
}

/* What an operand that is no file may name in the job: part, or part.txt. */
static bool names_table(cli_context *cli, const char *path, char name[64])
{
    size_t length = strlen(path);
    if (!cli_value(cli, "job") || strcmp(path, "-") == 0 || fh_file_exists(path)) return false;
    if (length > 4 && strcmp(path + length - 4, ".txt") == 0) length -= 4;
    return fh_copy_slice(name, 64, (fh_slice){path, length});
}

int cli_text_input(cli_context *cli, const char *path, const char *name, cli_input *out)
{
    char usual[64];
    *out = (cli_input){.length = 0};
    if (path && names_table(cli, path, usual)) return read_job_part(cli, usual, out);
    if (path) return read_text(cli, path, out);
    if (cli_value(cli, "job")) return read_job_part(cli, name, out);
    fh_format(usual, sizeof usual, "%s.txt", name);
    if (fh_file_exists(usual)) return read_text(cli, usual, out);
    return cli_usage(cli, "no file for %s is given; expected its name, or %s here, or --job FILE",
                     name, usual);
}

bool cli_has_input(cli_context *cli, const char *name)
{
    char usual[64];
    if (cli_value(cli, "job")) return fh_job_has(cli->job.bytes, cli->job.length, name);
    fh_format(usual, sizeof usual, "%s.txt", name);
    return fh_file_exists(usual);
}

static void free_tables(void *tables)
{
    fh_tables_free(tables);
}

int cli_tables(cli_context *cli, const cli_input *input, fh_tables **out)
{
    fh_tables *tables = NULL;
    fh_error error = {0};
    fh_status status = fh_tables_recognise(input->bytes, input->length)
                           ? fh_tables_read(input->bytes, input->length, &tables, &error)
                           : fh_csv_read(input->bytes, input->length, &tables, &error);
    if (status) return cli_fail_input(cli, input, &error);
    *out = cli_keep_with(cli, tables, free_tables);
    return *out ? CLI_DONE : cli_fail_text(cli, FH_E_MEMORY, "out of memory");
}

/* What the options say about files that do not. */
int cli_defaults(cli_context *cli, fh_library_defaults *out)
{
    const char *condition = cli_value(cli, "condition"), *unit = cli_value(cli, "unit");
    *out = (fh_library_defaults){.family = cli_value(cli, "family")};
    if (unit && strcmp(unit, "factor") == 0)
        out->unit = FH_UNIT_FACTOR;
    else if (unit && strcmp(unit, "percent") == 0)
        out->unit = FH_UNIT_PERCENT;
    else if (unit)
        return cli_usage(cli, "--unit %s; expected factor or percent", unit);
    out->has_condition = condition != NULL;
    return condition ? cli_condition(cli, "--condition", condition, &out->condition) : CLI_DONE;
}

void cli_notes(cli_context *cli, const char *about, const fh_text *notes)
{
    const char *at = notes->bytes;
    while (at && *at) {
        size_t length = strcspn(at, "\n");
        cli_note(cli, "%s%s%.*s", about ? about : "", about ? ": " : "", (int)length, at);
        at += length + (at[length] != '\0');
    }
}

int cli_library(cli_context *cli, const cli_input *input, fh_library *out)
{
    fh_library_defaults defaults;
    fh_error error = {0};
    int code = cli_defaults(cli, &defaults);
    if (code) return code;
    fh_status status = fh_library_read(input->bytes, input->length, &defaults, out, &error);
    if (status) return cli_fail_input(cli, input, &error);
    cli_notes(cli, input->name, &out->notes);
    fh_text_free(&out->notes);
    if (!cli_keep(cli, out->readings)) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    return CLI_DONE;
}

int cli_read_library(cli_context *cli, const char *path, const char *name, fh_library *out)
{
    cli_input input;
    int code = cli_text_input(cli, path, name, &input);
    return code ? code : cli_library(cli, &input, out);
}
