/* farhue name: a plain name for a colour. */
#include "cli/cli.h"
#include "cli/table.h"
#include "farhue/names.h"

enum { NAMES = 20 };

static void report_text(cli_context *cli, const fh_reading *colour, fh_lab lab,
                        const fh_colour_name *names, size_t count)
{
    static const char *const heads[] = {"", "name", "ΔE00", "L*", "a*", "b*", "block"};
    cli_table table = cli_table_begin("plrrrrr", heads);
    for (size_t i = 0; i < count; ++i) {
        const fh_colour_name *n = &names[i];
        cli_cell_patch(&table, n->centre);
        cli_cell(&table, "%s", n->name);
        cli_cell(&table, "%.1f", n->dE00);
        cli_cell(&table, "%.1f", n->centre.L);
        cli_cell(&table, "%.1f", n->centre.a);
        cli_cell(&table, "%.1f", n->centre.b);
        cli_cell(&table, "%d", n->number);
    }
    cli_print(cli, "%s is %s.\n\n", colour->id, names[0].name);
    cli_table_print(cli, &table);
    cli_print(
        cli,
        "\nL* %.1f, a* %.1f, b* %.1f under C/2, against the centres of the nearest blocks of "
        "the ISCC-NBS system.\nA name covers hundreds of shades: good for talking, no target.\n",
        lab.L, lab.a, lab.b);
}

static void report_json(cli_context *cli, const fh_reading *colour, fh_lab lab,
                        const fh_colour_name *names, size_t count)
{
    cli_json_text(cli->root, "id", colour->id);
    cli_json_text(cli->root, "name", names[0].name);
    cli_json_lab(cli, cli->root, "lab", lab);
    cli_json_condition(cli->root, "condition", fh_names_condition());
    json_t *list = cli_json_array(cli->root, "names");
    for (size_t i = 0; i < count; ++i) {
        json_t *one = cli_json_append(list);
        cli_json_text(one, "name", names[i].name);
        json_object_set_new(one, "block", json_integer(names[i].number));
        cli_json_lab(cli, one, "centre", names[i].centre);
        cli_json_number(cli, one, "dE00", names[i].dE00);
    }
}

static int run(cli_context *cli)
{
    fh_reading colour;
    fh_colour_name names[NAMES];
    fh_lab lab;
    long count = 3;
    int code = cli_whole(cli, "count", 1, NAMES, &count);
    if (!code) code = cli_colour(cli, cli->operands[0], &colour);
    if (code) return code;
    fh_error error = {0};
    if (fh_names_of_reading(&colour, names, (size_t)count, &lab, &error))
        return cli_fail(cli, &error);
    if (colour.origin != FH_ORIGIN_SPECTRUM &&
        !fh_condition_equal(colour.condition, fh_names_condition())) {
        char from[FH_CONDITION_TEXT];
        fh_condition_text(colour.condition, from);
        cli_note(cli, "the colour under C/2 is estimated from its Lab for %s", from);
    }
    if (lab.L < FH_NAMES_DARKEST)
        cli_note(cli,
                 "darker than the centre of black (L* %.1f): the names are in the order for that "
                 "lightness, the differences are the colour's own",
                 FH_NAMES_DARKEST);
    if (cli->json)
        report_json(cli, &colour, lab, names, (size_t)count);
    else
        report_text(cli, &colour, lab, names, (size_t)count);
    return CLI_DONE;
}

static const cli_option options[] = {
    {"count", 'n', "N", "how many names, the nearest first (3)", false},
    {0},
};

const cli_command cli_name = {
    .name = "name",
    .summary = "a plain name for a colour",
    .usage = "COLOUR",
    .details =
        "Names the colour by the nearest centres of the 267 blocks of the ISCC-NBS system, which\n"
        "is defined for C/2. A colour known for another condition is carried there: computed from\n"
        "its spectrum, or estimated from its Lab. A colour darker than the centre of black (L* "
        "12.9) finds\n"
        "its names as if it were as light as that.\n\n"
        "  farhue name lab:62.1,18.4,40.2\n"
        "  farhue name part.txt#dial --count 5\n",
    .options = options,
    .least = 1,
    .most = 1,
    .run = run,
};
