#include "cli/coats.h"

#include <math.h>

#include "cli/table.h"

int cli_coats_read(cli_context *cli, cli_coats *out)
{
    const char *over = cli_value(cli, "over");
    *out = (cli_coats){.tolerance = 1.0, .doubt = 1.0, .unit = cli_value(cli, "unit-name")};
    int code = cli_number(cli, "coat", 1e-6, 1e6, &out->coat);
    if (!code) code = cli_number(cli, "drying", 0.0, 1000.0, &out->drying);
    if (!code && cli_value(cli, "drying") && !(out->coat > 0.0))
        return cli_usage(cli, "--drying is of a coat; expected --coat as well");
    if (code || !over) return code;
    out->over = true;
    return cli_colour(cli, over, &out->part);
}

int cli_coats_find(cli_context *cli, cli_coats *coats, const fh_film *film, double most,
                   const fh_shell_curves *shell)
{
    coats->scene[0] = fh_hide_scene_standard();
    if (coats->over) {
        fh_error error = {0};
        if (fh_hide_scene_over_reading(film, &coats->part, &coats->scene[0], &error))
            return cli_fail(cli, &error);
        if (coats->part.origin == FH_ORIGIN_LAB)
            cli_note(cli,
                     "--over %s: known as Lab only; whether it shows through goes by an "
                     "estimated spectrum",
                     coats->part.id);
    }
    coats->through = shell != NULL;
    coats->scene[1] = coats->scene[0];
    coats->scene[1].shell = shell;
    coats->goals[0] =
        (cli_coats_goal){"ratio", "contrast ratio 0.98", {FH_HIDE_RATIO, HUGE_VAL}, {-1, -1}};
    coats->goals[1] = (cli_coats_goal){"difference", "ΔE00", {0.0, coats->tolerance}, {-1, -1}};
    for (size_t g = 0; g < CLI_COATS_GOALS; ++g)
        for (int seen = 0; seen < (coats->through ? 2 : 1); ++seen)
            (void)fh_hide_amount(film, &coats->scene[seen], coats->goals[g].goal, most,
                                 &coats->goals[g].amount[seen]);
    return CLI_DONE;
}

static double coats_of(const cli_coats *c, double amount)
{
    return c->coat > 0.0 ? fh_hide_coats(amount, c->coat) : -1.0;
}

/* Whether a figure "to be safe" stands beside an amount. */
static bool has_safe(const cli_coats *c, double amount)
{
    if (!(amount > 0.0)) return false;
    return c->coat > 0.0 ? coats_of(c, amount * c->doubt) > coats_of(c, amount) : c->doubt > 1.0;
}

bool cli_coats_have_safe(const cli_coats *c)
{
    for (size_t g = 0; g < CLI_COATS_GOALS; ++g)
        for (int seen = 0; seen < (c->through ? 2 : 1); ++seen)
            if (has_safe(c, c->goals[g].amount[seen])) return true;
    return false;
}

/* "0.12 mm, 4 coats", with doubt "(5 to be safe)" */
static void cell_amount(cli_table *table, const cli_coats *c, double amount)
{
    const double coats = coats_of(c, amount), safe = coats_of(c, amount * c->doubt);
    char more[64] = "";
    if (amount < 0.0) {
        cli_cell(table, "never");
    } else if (coats < 0.0) {
        if (has_safe(c, amount))
            fh_format(more, sizeof more, " (%.3g to be safe)", amount * c->doubt);
        cli_cell(table, "%.3g %s%s", amount, c->unit, more);
    } else {
        if (has_safe(c, amount)) fh_format(more, sizeof more, " (%.0f to be safe)", safe);
        cli_cell(table, "%.3g %s, %.0f coat%s%s", amount, c->unit, coats, coats > 1.0 ? "s" : "",
                 more);
    }
}

static void print_hours(cli_context *cli, const cli_coats *c)
{
    const cli_coats_goal *goal = &c->goals[1];
    for (int seen = 0; seen < (c->through ? 2 : 1); ++seen) {
        double coats = coats_of(c, goal->amount[seen]);
        if (goal->amount[seen] < 0.0 || coats < 1.0) continue;
        cli_print(cli,
                  "%s, ΔE00 %.2g takes %.0f coat%s: %.3g hours of drying, %.3g until the last one "
                  "may be coated or handled.\n",
                  seen ? "Seen through the shell" : "Bare", c->tolerance, coats,
                  coats > 1.0 ? "s" : "", (coats - 1.0) * c->drying, coats * c->drying);
    }
}

void cli_coats_print(cli_context *cli, const cli_coats *coats)
{
    static const char *const headings[] = {"hidden when", "bare", "seen through the shell"};
    cli_table table = cli_table_begin(coats->through ? "lll" : "ll", headings);
    for (size_t g = 0; g < CLI_COATS_GOALS; ++g) {
        if (g == 0)
            cli_cell(&table, "%s", coats->goals[g].name);
        else
            cli_cell(&table, "%s at most %.2g", coats->goals[g].name, coats->tolerance);
        cell_amount(&table, coats, coats->goals[g].amount[0]);
        if (coats->through) cell_amount(&table, coats, coats->goals[g].amount[1]);
    }
    cli_table_print(cli, &table);
    if (coats->drying > 0.0) print_hours(cli, coats);
}

static void json_amount(cli_context *cli, json_t *goal, const cli_coats *c, const char *key,
                        double amount)
{
    json_t *one = cli_json_object(goal, key);
    const double coats = coats_of(c, amount);
    cli_json_bool(one, "possible", amount >= 0.0);
    if (amount < 0.0) return;
    cli_json_number(cli, one, "amount", amount);
    if (c->doubt > 1.0) cli_json_number(cli, one, "amount_safe", amount * c->doubt);
    if (coats < 0.0) return;
    cli_json_number(cli, one, "coats", coats);
    if (c->doubt > 1.0) cli_json_number(cli, one, "coats_safe", coats_of(c, amount * c->doubt));
    if (c->drying > 0.0) cli_json_number(cli, one, "hours", coats * c->drying);
}

void cli_coats_json(cli_context *cli, const cli_coats *coats, json_t *object)
{
    json_t *goals = cli_json_array(object, "goals");
    for (size_t g = 0; g < CLI_COATS_GOALS; ++g) {
        const cli_coats_goal *of = &coats->goals[g];
        json_t *goal = cli_json_append(goals);
        cli_json_text(goal, "goal", of->key);
        cli_json_number(cli, goal, "limit", g == 0 ? FH_HIDE_RATIO : coats->tolerance);
        json_amount(cli, goal, coats, "bare", of->amount[0]);
        if (coats->through) json_amount(cli, goal, coats, "seen", of->amount[1]);
    }
}
