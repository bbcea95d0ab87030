/* farhue rank: candidates by how they look behind the shell. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "cli/table.h"
#include "cli/target.h"
#include "farhue/rank.h"
#include "farhue/tolerance.h"
#include "farhue/words.h"

/* The candidates of all operands. */
typedef struct candidates {
    fh_reading *readings;
    size_t count, capacity;
    bool *untied; /* those that the tie of --tie does not cover; NULL without one */
} candidates;

static int put_on_shelf(cli_context *cli, candidates *shelf, const fh_reading *readings,
                        size_t count)
{
    if (count > FH_LIBRARY_MAX - shelf->count)
        return cli_fail_text(cli, FH_E_LIMIT, "more than %d candidates", FH_LIBRARY_MAX);
    if (fh_reserve(&shelf->readings, &shelf->capacity, shelf->count + count,
                   sizeof *shelf->readings))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    memcpy(shelf->readings + shelf->count, readings, count * sizeof *readings);
    shelf->count += count;
    return CLI_DONE;
}

/* A colour, FILE#ID, or a file with any number of readings. */
static int read_operand(cli_context *cli, const char *text, candidates *shelf)
{
    fh_library library = {0};
    fh_reading one;
    bool colour = strchr(text, ':') || strchr(text, '#');
    if (colour && !fh_file_exists(text)) {
        int code = cli_colour(cli, text, &one);
        return code ? code : put_on_shelf(cli, shelf, &one, 1);
    }
    int code = cli_read_library(cli, text, "shelf", &library);
    return code ? code : put_on_shelf(cli, shelf, library.readings, library.count);
}

static int read_shelf(cli_context *cli, candidates *shelf)
{
    fh_library library = {0};
    int code = CLI_DONE;
    for (size_t i = 0; i < cli->operand_count && !code; ++i)
        code = read_operand(cli, cli->operands[i], shelf);
    if (cli->operand_count == 0) {
        code = cli_read_library(cli, NULL, "shelf", &library);
        if (!code) code = put_on_shelf(cli, shelf, library.readings, library.count);
    }
    if (!code && shelf->count == 0) return cli_fail_text(cli, FH_E_DATA, "no candidates");
    return code;
}

/* Names the readings that the tie does not cover, of one basis: from a screen, or the others. */
static void note_untied(cli_context *cli, const candidates *shelf, bool screen, const char *why)
{
    char names[FH_NAME * 4];
    size_t count = 0, used = 0;
    names[0] = '\0';
    for (size_t i = 0; i < shelf->count; ++i) {
        const fh_reading *r = &shelf->readings[i];
        if (!shelf->untied[i] || (r->basis == FH_BASIS_SCREEN) != screen) continue;
        if (count++ < 5)
            used += fh_format(names + used, sizeof names - used, "%s%s", used ? ", " : "", r->id);
    }
    if (count > 5) fh_format(names + used, sizeof names - used, " and %zu more", count - 5);
    if (count) cli_note(cli, "not corrected by the tie: %s (%s)", names, why);
}

/* What the tie does not cover is ranked as it was read, and marked; an error only where it covers
 * nothing that was measured at all. */
static int tie_shelf(cli_context *cli, candidates *shelf)
{
    fh_tie tie;
    bool found;
    int code = cli_find_tie(cli, &tie, &found);
    if (code || !found) return code;
    shelf->untied = cli_keep(cli, fh_allocate(shelf->count, sizeof *shelf->untied));
    if (!shelf->untied) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    fh_reading *first = NULL;
    size_t tied = 0;
    for (size_t i = 0; !code && i < shelf->count; ++i) {
        fh_reading *reading = &shelf->readings[i];
        shelf->untied[i] = !fh_tie_covers(&tie, reading);
        if (!shelf->untied[i]) {
            code = cli_apply_tie(cli, &tie, reading);
            ++tied;
        } else if (!first && reading->basis != FH_BASIS_SCREEN) {
            first = reading;
        }
    }
    if (code) return code;
    if (!tied && first) return cli_apply_tie(cli, &tie, first); /* says why not */
    note_untied(cli, shelf, true, "known as sRGB only, no instrument read it");
    note_untied(cli, shelf, false, "measured by something else than what the tie was made for");
    return CLI_DONE;
}

/* "A A/10 seen" marks, explained below the table. */
static void marks_of(const fh_verdict *v, bool untied, char out[8])
{
    size_t used = 0;
    if (v->lamp_fails) used += fh_format(out + used, 8 - used, "m");
    if (v->estimated) used += fh_format(out + used, 8 - used, "e");
    if (v->converted) used += fh_format(out + used, 8 - used, "g");
    if (untied) used += fh_format(out + used, 8 - used, "u");
    out[used] = '\0';
}

static void add_row(cli_table *table, const cli_target *t, const candidates *shelf,
                    const fh_ranked *place)
{
    const fh_reading *reading = &shelf->readings[place->index];
    const fh_verdict *v = &place->verdict;
    const fh_sight *worst = &v->seen[v->worst];
    char marks[8], chance[FH_CHANCE];
    marks_of(v, shelf->untied && shelf->untied[place->index], marks);
    fh_words_of_probability(v->p_within, 2, chance);
    cli_cell(table, "%u", place->group);
    cli_cell_patch(table, v->seen[0].target);
    cli_cell_patch(table, v->seen[0].candidate);
    cli_cell(table, "%s", reading->id);
    cli_cell(table, "%s", reading->name);
    cli_cell(table, "%.1f", v->bare.interval.median);
    for (size_t i = 0; i < t->target.light_count; ++i)
        cli_cell(table, "%.1f", v->seen[i].interval.median);
    cli_cell(table, "%.1f–%.1f", worst->interval.low, worst->interval.high);
    cli_cell(table, "%s", chance);
    cli_cell(table, "%s", fh_decision_text(v->decision));
    cli_cell(table, "%s", marks);
}

static void print_table(cli_context *cli, const cli_target *t, const candidates *shelf,
                        const fh_ranked *places, size_t shown)
{
    char align[CLI_COLUMNS + 1] = "rppllr", names[FH_LIGHTS_MAX][FH_CONDITION_TEXT];
    const char *heads[CLI_COLUMNS] = {"group", "", "", "id", "name", "bare"};
    size_t n = 6;
    for (size_t i = 0; i < t->target.light_count; ++i) {
        fh_condition_text(t->target.light[i].condition, names[i]);
        heads[n] = names[i];
        align[n++] = 'r';
    }
    static const char *const last[] = {"worst, 95 %", "P", "verdict", ""};
    for (size_t i = 0; i < 4; ++i) {
        heads[n] = last[i];
        align[n++] = "rrll"[i];
    }
    align[n] = '\0';
    cli_table table = cli_table_begin(align, heads);
    for (size_t i = 0; i < shown; ++i) add_row(&table, t, shelf, &places[i]);
    cli_table_print(cli, &table);
}

/* What the marks and columns mean, and what could not be judged. */
static void print_legend(cli_context *cli, const cli_target *t, const candidates *shelf,
                         const fh_ranked *places, size_t judged, size_t shown)
{
    bool lamp = false, estimated = false, converted = false, untied = false;
    for (size_t i = 0; i < shown; ++i) {
        lamp = lamp || places[i].verdict.lamp_fails;
        estimated = estimated || places[i].verdict.estimated;
        converted = converted || places[i].verdict.converted;
        untied = untied || (shelf->untied && shelf->untied[places[i].index]);
    }
    if (shown < judged) cli_print(cli, "… and %zu more; --top N shows more.\n", judged - shown);
    cli_print(cli,
              "\nFigures are ΔE00, medians: bare, then as seen %s under each light. Those of one "
              "group cannot be told apart from its first. P: probability of being right under "
              "every light.\n",
              t->target.shell ? "through the shell" : "(nothing in front)");
    if (lamp) cli_put(cli, "m: fits in daylight and fails under a lamp (metamerism).\n");
    if (estimated)
        cli_put(cli, "e: a spectrum is estimated from Lab; what that leaves open is in the "
                     "interval.\n");
    if (converted)
        cli_put(cli, "g: read in another specular mode than the target, converted by its gloss.\n");
    if (untied) cli_put(cli, "u: not corrected by the tie, which does not cover it.\n");
    for (size_t i = judged; i < shelf->count; ++i)
        cli_print(cli, "Not judged: %s, %s.\n", shelf->readings[places[i].index].id, places[i].why);
}

static void report_json(cli_context *cli, const cli_target *t, const candidates *shelf,
                        const fh_ranked *places, size_t judged, size_t shown)
{
    cli_json_target(cli, cli_json_object(cli->root, "target"), t);
    json_t *list = cli_json_array(cli->root, "candidates");
    for (size_t i = 0; i < shown; ++i) {
        const fh_reading *reading = &shelf->readings[places[i].index];
        json_t *one = cli_json_append(list);
        cli_json_number(cli, one, "place", (double)i + 1);
        cli_json_number(cli, one, "group", (double)places[i].group);
        cli_json_number(cli, one, "p_first_is_better", places[i].p_first);
        cli_json_text(one, "id", reading->id);
        cli_json_text(one, "name", reading->name);
        cli_json_verdict(cli, one, &places[i].verdict);
        if (shelf->untied) cli_json_bool(one, "tied", !shelf->untied[places[i].index]);
    }
    json_t *refused = cli_json_array(cli->root, "not_judged");
    for (size_t i = judged; i < shelf->count; ++i) {
        json_t *one = cli_json_append(refused);
        cli_json_text(one, "id", shelf->readings[places[i].index].id);
        cli_json_text(one, "why", places[i].why);
    }
    cli_json_number(cli, cli->root, "count", (double)shelf->count);
}

/* A reading without a stated uncertainty counts as exact; who reads the figures must know. */
static void note_exact(cli_context *cli, const candidates *shelf)
{
    size_t exact = 0;
    for (size_t i = 0; i < shelf->count; ++i) exact += fh_reading_is_exact(&shelf->readings[i]);
    if (exact == 1 && shelf->count == 1)
        cli_note(cli, "the candidate states no uncertainty and counts as exact");
    else if (exact > 0)
        cli_note(cli,
                 "%zu of %zu candidates state no uncertainty (STDEV_L, STDEV_A, STDEV_B) and "
                 "count as exact",
                 exact, shelf->count);
}

static int rank_shelf(cli_context *cli, const cli_target *t, const candidates *shelf, long top)
{
    fh_error error = {0};
    fh_rank_options options = fh_rank_defaults();
    fh_ranked *places = cli_keep(cli, fh_allocate(shelf->count, sizeof *places));
    if (!places) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    if (fh_rank(&t->target, shelf->readings, shelf->count, &options, places, cli_show_progress, cli,
                &error))
        return cli_fail(cli, &error);
    note_exact(cli, shelf);
    size_t judged = 0;
    while (judged < shelf->count && places[judged].judged) ++judged;
    size_t shown = top > 0 && (size_t)top < judged ? (size_t)top : judged;
    if (cli->json) {
        report_json(cli, t, shelf, places, judged, shown);
    } else {
        cli_print_target(cli, t);
        print_table(cli, t, shelf, places, shown);
        print_legend(cli, t, shelf, places, judged, shown);
    }
    return CLI_DONE;
}

/* The lamp of --lamp as one of the target's lights. */
static int add_lamp(cli_context *cli, fh_target *target)
{
    fh_weights lamp;
    bool given;
    int code = cli_lamp(cli, target->light[0].condition.observer, &lamp, &given);
    if (code || !given) return code;
    if (target->light_count == FH_LIGHTS_MAX)
        return cli_usage(cli, "--lamp would be light %d; at most %d are judged", FH_LIGHTS_MAX + 1,
                         FH_LIGHTS_MAX);
    target->light[target->light_count++] = lamp;
    return CLI_DONE;
}

static int run(cli_context *cli)
{
    cli_target target;
    candidates shelf = {0};
    long top = cli->json ? 0 : 20;
    int code = cli_whole(cli, "top", 1, FH_LIBRARY_MAX, &top);
    if (!code) code = cli_find_target(cli, &target);
    if (!code) code = add_lamp(cli, &target.target);
    if (!code) code = read_shelf(cli, &shelf);
    cli_keep(cli, shelf.readings);
    if (!code) code = tie_shelf(cli, &shelf);
    return code ? code : rank_shelf(cli, &target, &shelf, top);
}

static const cli_option options[] = {
    {"spec", 0, "FILE", "take target, shell, lights and tolerance from a spec (spec.txt)", false},
    CLI_TARGET_OPTIONS,
    CLI_LAMP_OPTION,
    {"tie", 0, "FILE", "correct the candidates by a tie of the two instruments", false},
    {"top", 'n', "N", "how many to show (20; with --json all)", false},
    {0},
};

const cli_command cli_rank = {
    .name = "rank",
    .summary = "candidates by how they look behind the shell",
    .usage = "[LIBRARY | COLOUR]...",
    .details =
        "Ranks readings by their seen ΔE00 under their worst light. Each is put behind the same\n"
        "shell as the target, with all stated uncertainties drawn together, so that what target\n"
        "and candidates share cancels. Without operands the shelf is read (shelf.txt).\n\n"
        "The nearest 100 by a first look are drawn 2000 times, the others 100 times: enough to\n"
        "see that they are far, and 3000 swatches stay a matter of seconds.\n\n"
        "  farhue rank filaments.txt paints.txt\n"
        "  farhue rank --part lab:62,4,20 --bare shelf.txt srgb:b0a080\n",
    .options = options,
    .least = 0,
    .most = CLI_ANY,
    .run = run,
};
