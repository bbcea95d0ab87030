/* Shells and pairs of readings on the command line. */
#include "cli/shell_input.h"

#include <string.h>

#include "base/memory.h"
#include "farhue/fresnel.h"

static void free_record(void *record)
{
    fh_shell_record_free(record);
}

int cli_read_shell(cli_context *cli, const char *path, fh_shell_record **out)
{
    cli_input input;
    fh_tables *tables;
    fh_error error = {0};
    fh_shell_record *record;
    int code = cli_text_input(cli, path, "shell", &input);
    if (!code) code = cli_tables(cli, &input, &tables);
    if (code) return code;
    if (fh_shell_read(tables, &record, &error)) return cli_fail_input(cli, &input, &error);
    if (!cli_keep_with(cli, record, free_record))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    cli_notes(cli, NULL, &record->notes);
    if (record->shell.kind == FH_SHELL_GIVEN)
        cli_note(cli,
                 "%s: curves without the readings they came from; their uncertainty isn't known "
                 "and none is counted",
                 input.name);
    *out = record;
    return CLI_DONE;
}

int cli_index(cli_context *cli, double *out)
{
    const char *text = cli_value(cli, "index");
    if (!text) return CLI_DONE;
    if (strcmp(text, "acrylic") == 0)
        *out = FH_INDEX_ACRYLIC;
    else if (strcmp(text, "polycarbonate") == 0)
        *out = FH_INDEX_POLYCARBONATE;
    else
        return cli_number(cli, "index", 1.0, 4.0, out);
    return CLI_DONE;
}

static int too_many(cli_context *cli, size_t most)
{
    return cli_usage(cli, "more than %zu looks; expected at most that many", most);
}

/* LOOK=BACKING: the = that splits it, NULL when the operand is a file of that whole name. */
static const char *find_split(const char *text)
{
    return fh_file_exists(text) ? NULL : strchr(text, '=');
}

static int read_pair(cli_context *cli, const char *text, const char *split, cli_pair *out)
{
    char *look = cli_keep(cli, fh_allocate((size_t)(split - text) + 1, 1));
    if (!look) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    memcpy(look, text, (size_t)(split - text));
    int code = cli_colour(cli, look, &out->look);
    return code ? code : cli_colour(cli, split + 1, &out->backing);
}

/* Does the file's name (without folder and suffix) name this reading? black.txt names black. */
static bool named_by_file(const char *path, const char *id)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    size_t length = strcspn(name, ".");
    return strlen(id) == length && strncmp(name, id, length) == 0;
}

static int pairs_of_file(cli_context *cli, const char *path, const fh_library *library,
                         cli_pair *pairs, size_t most, size_t *count)
{
    size_t before = *count;
    for (size_t i = 0; i < library->count; ++i) {
        const fh_reading *look = &library->readings[i];
        const fh_reading *backing =
            look->method.backing[0] ? fh_library_find(library, look->method.backing) : NULL;
        if (!backing || backing == look) continue;
        if (*count == most) return too_many(cli, most);
        pairs[(*count)++] = (cli_pair){*look, *backing};
    }
    if (*count > before) return CLI_DONE;
    if (library->count != 2)
        return cli_fail_text(cli, FH_E_DATA,
                             "%s: %zu reading%s, and none names another as its SAMPLE_BACKING; "
                             "expected two readings, the backing and the look over it, or "
                             "LOOK=BACKING",
                             path, library->count, library->count == 1 ? "" : "s");
    if (*count == most) return too_many(cli, most);
    size_t backing = named_by_file(path, library->readings[1].id) ? 1 : 0;
    const fh_reading *first = &library->readings[backing];
    const fh_reading *other = &library->readings[1 - backing];
    cli_note(cli, "%s: '%s' is taken as the look over '%s'", path, other->id, first->id);
    pairs[(*count)++] = (cli_pair){*other, *first};
    return CLI_DONE;
}

int cli_pairs(cli_context *cli, const char *const *operands, size_t operand_count, cli_pair *pairs,
              size_t most, size_t *count)
{
    *count = 0;
    for (size_t i = 0; i < operand_count; ++i) {
        const char *split = find_split(operands[i]);
        int code;
        if (split) {
            if (*count == most) return too_many(cli, most);
            code = read_pair(cli, operands[i], split, &pairs[*count]);
            if (!code) ++*count;
        } else {
            fh_library library;
            code = cli_read_library(cli, operands[i], NULL, &library);
            if (!code) code = pairs_of_file(cli, operands[i], &library, pairs, most, count);
        }
        if (code) return code;
    }
    return CLI_DONE;
}

/* Backings of a job when none are named. */
static const char *const usual[] = {"black", "grey", "white"};
enum { USUAL = sizeof usual / sizeof *usual };

int cli_usual_pairs(cli_context *cli, bool partial, cli_pair *pairs, size_t most, size_t *count)
{
    *count = 0;
    for (size_t i = 0; i < USUAL; ++i) {
        fh_library library;
        char file[16];
        if (!cli_has_input(cli, usual[i])) continue;
        int code = cli_read_library(cli, NULL, usual[i], &library);
        if (!code && partial && library.count < 2) continue;
        fh_format(file, sizeof file, "%s.txt", usual[i]);
        if (!code) code = pairs_of_file(cli, file, &library, pairs, most, count);
        if (code) return code;
    }
    return CLI_DONE;
}

/* A job that has no shell may have what one is fitted from. */
static int fit_backings(cli_context *cli, fh_shell_record **out)
{
    fh_error error = {0};
    fh_shell_record *record = cli_keep_with(cli, fh_shell_record_new(), free_record);
    cli_pair *pairs = cli_keep(cli, fh_allocate(FH_SHELL_SAMPLES, sizeof *pairs));
    if (!record || !pairs) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    int code = cli_usual_pairs(cli, true, pairs, FH_SHELL_SAMPLES, &record->count);
    if (code || record->count == 0) return code;
    if (record->count == 1)
        return cli_usage(cli,
                         "the job has no shell, and a look over one backing only; expected "
                         "another, or --bare, or --shell FILE from farhue shell --job %s -o FILE",
                         cli_value(cli, "job"));
    for (size_t i = 0; i < record->count; ++i) {
        record->look[i] = pairs[i].look;
        record->backing[i] = pairs[i].backing;
    }
    fh_copy_text(record->shell.id, sizeof record->shell.id, "shell");
    if (fh_shell_record_fit(record, &error)) return cli_fail(cli, &error);
    cli_note(
        cli,
        "the job has no shell: fitted from its %zu backings, as farhue shell --job does, which "
        "says how well",
        record->count);
    *out = record;
    return CLI_DONE;
}

int cli_usual_shell(cli_context *cli, fh_shell_record **out)
{
    *out = NULL;
    if (cli_has_input(cli, "shell")) return cli_read_shell(cli, NULL, out);
    return cli_value(cli, "job") ? fit_backings(cli, out) : CLI_DONE;
}

int cli_through(cli_context *cli, bool required, fh_shell_record **out)
{
    const char *path = cli_value(cli, "shell");
    *out = NULL;
    if (path) return cli_read_shell(cli, path, out);
    int code = cli_usual_shell(cli, out);
    if (!code && required && !*out)
        code = cli_read_shell(cli, NULL, out); /* says what is missing */
    return code;
}
