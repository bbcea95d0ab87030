/* farhue tie: bring two people's instruments together; and ties for other commands. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "cli/table.h"
#include "cli/target.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "farhue/tie_file.h"

int cli_find_tie(cli_context *cli, fh_tie *out, bool *found)
{
    cli_input input;
    fh_error error = {0};
    const char *path = cli_value(cli, "tie");
    *found = false;
    if (!path) return CLI_DONE;
    int code = cli_text_input(cli, path, "tie", &input);
    if (code) return code;
    if (fh_tie_read(input.bytes, input.length, out, &error))
        return cli_fail_input(cli, &input, &error);
    *found = true;
    return CLI_DONE;
}

/* Bring a reading into the condition it is wanted in, saying so. */
static int carry(cli_context *cli, fh_condition to, fh_reading *reading)
{
    char wanted[FH_CONDITION_TEXT];
    fh_error error = {0};
    if (fh_condition_equal(reading->condition, to)) return CLI_DONE;
    fh_condition_text(to, wanted);
    fh_weights weights = fh_weights_of(to);
    if (fh_reading_in_condition(reading, &weights, reading, &error)) return cli_fail(cli, &error);
    cli_note(cli, "%s is carried to %s%s", reading->id, wanted,
             reading->origin == FH_ORIGIN_SPECTRUM ? "" : " by its estimated spectrum");
    return CLI_DONE;
}

int cli_apply_tie(cli_context *cli, const fh_tie *tie, fh_reading *reading)
{
    fh_error error = {0};
    if (reading->basis == FH_BASIS_SCREEN) {
        cli_note(cli, "%s is known as sRGB only, no instrument read it: not corrected by the tie",
                 reading->id);
        return CLI_DONE;
    }
    /* Said before it is carried: what the tie does not cover needs no other condition. */
    int code = fh_tie_covers(tie, reading) ? carry(cli, tie->condition, reading) : CLI_DONE;
    if (code) return code;
    if (fh_tie_apply(tie, reading, reading, &error)) return cli_fail(cli, &error);
    return CLI_DONE;
}

/* The objects that both have, in the owner's order. */
typedef struct pair_list {
    fh_reading *owner, *helper;
    size_t count;
} pair_list;

static int find_pairs(cli_context *cli, const fh_library *owner, const fh_library *helper,
                      pair_list *out)
{
    size_t room = owner->count;
    out->count = 0;
    out->owner = cli_keep(cli, fh_allocate(room, sizeof *out->owner));
    out->helper = cli_keep(cli, fh_allocate(room, sizeof *out->helper));
    if (!out->owner || !out->helper) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    for (size_t i = 0; i < owner->count; ++i) {
        const fh_reading *theirs = fh_library_find(helper, owner->readings[i].id);
        if (!theirs) {
            cli_note(cli, "%s: not among the helper's readings, left out", owner->readings[i].id);
            continue;
        }
        out->owner[out->count] = owner->readings[i];
        out->helper[out->count++] = *theirs;
    }
    for (size_t i = 0; i < helper->count; ++i)
        if (!fh_library_find(owner, helper->readings[i].id))
            cli_note(cli, "%s: not among the owner's readings, left out", helper->readings[i].id);
    int code = CLI_DONE;
    for (size_t i = 0; !code && i < out->count; ++i) {
        code = carry(cli, out->owner[0].condition, &out->owner[i]);
        if (!code) code = carry(cli, out->owner[0].condition, &out->helper[i]);
    }
    return code;
}

static void report_text(cli_context *cli, const pair_list *pairs, const fh_tie *tie)
{
    static const char *const heads[] = {"object", "", "", "ΔE00 as read", "ΔE00 tied"};
    cli_table table = cli_table_begin("lpprr", heads);
    for (size_t i = 0; i < pairs->count; ++i) {
        fh_lab a = pairs->owner[i].lab, b = pairs->helper[i].lab;
        cli_cell(&table, "%s", pairs->owner[i].id);
        cli_cell_patch(&table, a);
        cli_cell_patch(&table, b);
        cli_cell(&table, "%.2f", fh_de2000(a, b));
        cli_cell(&table, "%.2f", fh_de2000(a, fh_tie_lab(tie, b)));
    }
    cli_table_print(cli, &table);
    cli_print(cli,
              "\nCorrection: %s. Between the two instruments %.2f on average as read, %.2f tied, "
              "each object predicted by the others.\n",
              fh_tie_kind_text(tie->kind), tie->before, tie->after);
    cli_print(cli, "What stays uncertain of a corrected reading: L* %.2f, a* %.2f, b* %.2f.\n",
              sqrt(tie->covariance.m[0][0]), sqrt(tie->covariance.m[1][1]),
              sqrt(tie->covariance.m[2][2]));
    if (tie->kind == FH_TIE_NONE)
        cli_put(cli, "No correction predicts better than none: the two agree as they are.\n");
    cli_put(cli, cli_value(cli, "output") ? "" : "Not saved; -o tie.txt saves it.\n");
}

static void report_json(cli_context *cli, const pair_list *pairs, const fh_tie *tie)
{
    const double left[3] = {sqrt(tie->covariance.m[0][0]), sqrt(tie->covariance.m[1][1]),
                            sqrt(tie->covariance.m[2][2])};
    cli_json_text(cli->root, "id", tie->id);
    cli_json_text(cli->root, "kind", fh_tie_kind_text(tie->kind));
    cli_json_condition(cli->root, "condition", tie->condition);
    cli_json_number(cli, cli->root, "objects", (double)tie->objects);
    cli_json_number(cli, cli->root, "before", tie->before);
    cli_json_number(cli, cli->root, "after", tie->after);
    cli_json_numbers(cli, cli->root, "stdev", left, 3);
    json_t *list = cli_json_array(cli->root, "pairs");
    for (size_t i = 0; i < pairs->count; ++i) {
        fh_lab a = pairs->owner[i].lab, b = pairs->helper[i].lab;
        json_t *one = cli_json_append(list);
        cli_json_text(one, "id", pairs->owner[i].id);
        cli_json_number(cli, one, "dE00", fh_de2000(a, b));
        cli_json_number(cli, one, "dE00_tied", fh_de2000(a, fh_tie_lab(tie, b)));
    }
}

static int run(cli_context *cli)
{
    fh_library owner = {0}, helper = {0};
    pair_list pairs = {0};
    fh_tie tie;
    fh_text text = {0};
    fh_error error = {0};
    double lot = 0.2;
    char date[FH_DATE];
    const char *id = cli_value(cli, "id") ? cli_value(cli, "id") : "owner and helper";
    int code = cli_number(cli, "lot", 0, 10, &lot);
    if (!code) code = cli_date(cli, "date", date);
    if (!code && cli->operand_count == 1)
        code = cli_usage(cli,
                         "only %s is given; expected OWNER HELPER, or neither for chips and "
                         "mine",
                         cli->operands[0]);
    const bool named = cli->operand_count == 2;
    if (!code) code = cli_read_library(cli, named ? cli->operands[0] : NULL, "chips", &owner);
    if (!code) code = cli_read_library(cli, named ? cli->operands[1] : NULL, "mine", &helper);
    if (!code) code = find_pairs(cli, &owner, &helper, &pairs);
    if (code) return code;
    if (pairs.count < FH_TIE_LEAST)
        return cli_fail_text(cli, FH_E_DATA, "%zu objects were measured by both (by their ids); "
                                             "expected at least %d",
                             pairs.count, (int)FH_TIE_LEAST);
    if (fh_tie_find(id, pairs.owner, pairs.helper, pairs.count, lot, &tie, &error))
        return cli_fail(cli, &error);
    fh_status status = fh_tie_write(&tie, date, &text);
    cli_keep(cli, text.bytes);
    if (status) return cli_fail_text(cli, status, "the tie cannot be written");
    code = cli_product(cli, text.bytes, text.length);
    if (code) return code;
    if (cli->json) report_json(cli, &pairs, &tie);
    else report_text(cli, &pairs, &tie);
    return CLI_DONE;
}

static const cli_option options[] = {
    {"lot", 0, "SD", "spread of ΔL*, Δa*, Δb* between two copies of one object (0.2; 0: the same "
                     "objects went to both)", false},
    {"id", 0, "TEXT", "a name for this tie (\"owner and helper\")", false},
    {"date", 0, "DATE", "date of the file (today)", false},
    {0},
};

const cli_command cli_tie = {
    .name = "tie",
    .summary = "bring two people's instruments together",
    .usage = "[OWNER HELPER]",
    .details =
        "Both measure the same 4 to 8 objects (paint-shop chips, say; among them colours close to\n"
        "the target) and give them the same ids. The helper's readings are then corrected towards\n"
        "the owner's: by an offset or a matrix, whichever predicts objects that it was not made\n"
        "from best. Readings of other instruments and colours known from a screen are left as "
        "they\n"
        "are, with a note. What stays uncertain replaces the two instruments' own errors. For "
        "photos the\n"
        "objects lie in the photo that is to be tied.\n\n"
        "Without operands chips.txt and mine.txt are read, or the job's tables of these names.\n\n"
        "  farhue tie chips-owner.txt chips-helper.txt -o tie.txt\n"
        "  farhue check coupon.txt --tie tie.txt\n",
    .options = options,
    .least = 0,
    .most = 2,
    .run = run,
};
