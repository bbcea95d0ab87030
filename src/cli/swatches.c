/* farhue swatches: list, validate, convert and add to libraries; join files into a job. */
#include "cli/swatches.h"

#include <math.h>
#include <string.h>

#include "cli/table.h"
#include "farhue/difference.h"

typedef struct action {
    const char *name;
    size_t least, most;
    const char *usage;
    int (*run)(cli_context *cli, const char **files, size_t count);
} action;

static const action actions[] = {
    {"list", 0, CLI_ANY, "list [FILE...]", swatches_list},
    {"validate", 1, CLI_ANY, "validate FILE...", swatches_validate},
    {"convert", 1, 1, "convert FILE -o NEW", swatches_convert},
    {"add", 2, 2, "add FILE COLOUR --id ID -o NEW", swatches_add},
    {"join", 1, CLI_ANY, "join FILE... -o JOB", swatches_join},
};
enum { ACTIONS = sizeof actions / sizeof *actions };

/* --- list ----------------------------------------------------------------------------------- */

static const char *kind_of(const fh_reading *r)
{
    return r->origin == FH_ORIGIN_SPECTRUM ? "spectrum"
           : r->origin == FH_ORIGIN_LAB    ? "Lab"
                                           : "estimated";
}

static double half_interval(const fh_reading *r)
{
    fh_mat3 c = fh_reading_covariance(r);
    return 1.96 * sqrt((c.m[0][0] + c.m[1][1] + c.m[2][2]) / 3);
}

static void list_text(cli_context *cli, const fh_library *library)
{
    static const char *const headings[] = {"",   "id",  "name",     "L*", "a*",
                                           "b*", "for", "known by", "±"};
    cli_table table = cli_table_begin("pllrrrllr", headings);
    for (size_t i = 0; i < library->count; ++i) {
        const fh_reading *r = &library->readings[i];
        char condition[FH_CONDITION_TEXT];
        fh_condition_text(r->condition, condition);
        cli_cell_patch(&table, r->lab);
        cli_cell(&table, "%s", r->id);
        cli_cell(&table, "%s", r->name);
        cli_cells_lab(&table, r->lab);
        cli_cell(&table, "%s", condition);
        cli_cell(&table, "%s", kind_of(r));
        if (fh_reading_is_exact(r))
            cli_cell(&table, "not stated");
        else
            cli_cell(&table, "%.1f", half_interval(r));
    }
    cli_table_print(cli, &table);
    cli_print(cli, "%zu reading%s\n", library->count, library->count == 1 ? "" : "s");
}

static void list_json(cli_context *cli, const fh_library *library, json_t *list)
{
    for (size_t i = 0; i < library->count; ++i) {
        const fh_reading *r = &library->readings[i];
        json_t *one = cli_json_append(list);
        cli_json_text(one, "id", r->id);
        cli_json_text(one, "name", r->name);
        cli_json_lab(cli, one, "lab", r->lab);
        cli_json_condition(one, "condition", r->condition);
        cli_json_text(one, "known_by", kind_of(r));
        if (fh_reading_is_exact(r))
            json_object_set_new(one, "lab_95", json_null());
        else
            cli_json_number(cli, one, "lab_95", half_interval(r));
        if (r->origin != FH_ORIGIN_LAB)
            cli_json_numbers(cli, one, "spectrum", r->reflectance.v, FH_BANDS);
    }
}

int swatches_list(cli_context *cli, const char **files, size_t count)
{
    json_t *list = cli_json_array(cli->root, "readings");
    for (size_t i = 0; i < (count ? count : 1); ++i) {
        fh_library library;
        int code = cli_read_library(cli, count ? files[i] : NULL, "shelf", &library);
        if (code) return code;
        if (count > 1) cli_print(cli, "%s%s\n", i ? "\n" : "", files[i]);
        if (cli->json)
            list_json(cli, &library, list);
        else
            list_text(cli, &library);
    }
    return CLI_DONE;
}

/* --- validate ------------------------------------------------------------------------------- */

/* All files are looked at; the worst exit code counts. */
int swatches_validate(cli_context *cli, const char **files, size_t count)
{
    int worst = CLI_DONE;
    cli->report_anyway = true;
    json_t *list = cli_json_array(cli->root, "files");
    for (size_t i = 0; i < count; ++i) {
        fh_library library;
        size_t spectra = 0;
        int code = cli_read_library(cli, files[i], NULL, &library);
        if (code > worst) worst = code;
        if (code) continue;
        for (size_t k = 0; k < library.count; ++k)
            spectra += library.readings[k].origin == FH_ORIGIN_SPECTRUM;
        cli_print(cli, "%s: %zu reading%s, %zu with spectra; nothing wrong found\n", files[i],
                  library.count, library.count == 1 ? "" : "s", spectra);
        json_t *one = cli_json_append(list);
        cli_json_text(one, "file", files[i]);
        json_object_set_new(one, "readings", json_integer((json_int_t)library.count));
        json_object_set_new(one, "spectra", json_integer((json_int_t)spectra));
    }
    return worst;
}

/* --- The command ---------------------------------------------------------------------------- */

static const char *action_name(const void *user, size_t i)
{
    (void)user;
    return i < ACTIONS ? actions[i].name : NULL;
}

static int run(cli_context *cli)
{
    const char *word = cli->operands[0];
    size_t count = cli->operand_count - 1;
    for (size_t i = 0; i < ACTIONS; ++i) {
        if (strcmp(actions[i].name, word) != 0) continue;
        if (count < actions[i].least || count > actions[i].most)
            return cli_usage(cli, "%zu arguments after %s; expected farhue swatches %s", count,
                             word, actions[i].usage);
        return actions[i].run(cli, cli->operands + 1, count);
    }
    const char *nearest = cli_nearest(word, action_name, NULL);
    return nearest
               ? cli_usage(cli, "unknown action %s; did you mean %s?", word, nearest)
               : cli_usage(cli, "unknown action %s; expected list, validate, convert, add or join",
                           word);
}

static const cli_option options[] = {
    {"to", 0, "FORMAT", "convert: csv or table (without it by the suffix of the new file)", false},
    {"sampling", 0, "FIRST,LAST,STEP", "convert: spectra at these wavelengths (nm)", false},
    {"id", 0, "ID", "add: id of the new reading", false},
    {"name", 0, "NAME", "add: its name for people", false},
    {"stdev", 0, "L,a,b", "add: its standard deviations in L*, a*, b*", false},
    {0},
};

const cli_command cli_swatches = {
    .name = "swatches",
    .summary = "libraries of readings: list, validate, convert, add; join files into a job",
    .usage = "ACTION FILE...",
    .details =
        "  list [FILE...]            the readings (shelf.txt, or those of the job, without FILE)\n"
        "  validate FILE...          says what is wrong, and where\n"
        "  convert FILE -o NEW       CSV to table text or back, or to another sampling; figures\n"
        "                            stay as they were measured, columns of other use too\n"
        "  add FILE COLOUR -o NEW    the library and one reading more\n"
        "  join FILE... -o JOB       a job of these files, each under its name without suffix; a "
        "job\n"
        "                            among them keeps its names, and of one name the last "
        "counts\n\n"
        "  farhue swatches convert shelf.csv --condition D50/2 -o shelf.txt\n"
        "  farhue swatches add shelf.txt lab:61,4,22 --id S07 --name sand -o shelf-2.txt\n",
    .options = options,
    .least = 1,
    .most = CLI_ANY,
    .run = run,
};
