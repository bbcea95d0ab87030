/* The coats and their drying time from what `farhue hide --coat N --json -o FILE`, or `farhue mix`
 * with the same, has saved. */
#include <jansson.h>
#include <math.h>
#include <string.h>

#include "cli/plan_coats.h"

static int refuse(cli_context *cli, const char *path, const char *message)
{
    return cli_fail_text(cli, FH_E_DATA, "%s: %s", path, message);
}

/* The goal by difference, through the shell where there is one. */
static json_t *goal_of(json_t *root, const char **seen)
{
    json_t *goals = json_object_get(root, "goals");
    for (size_t i = 0; i < json_array_size(goals); ++i) {
        json_t *goal = json_array_get(goals, i);
        const char *name = json_string_value(json_object_get(goal, "goal"));
        if (!name || strcmp(name, "difference") != 0) continue;
        *seen = json_object_get(goal, "seen") ? "seen" : "bare";
        return goal;
    }
    return NULL;
}

static bool can_be_planned(double coats)
{
    return coats >= 1.0 && coats <= FH_COATS_MAX && floor(coats) == coats;
}

/* The numbers of coats: as the paint's figures say, and to be safe where that is there. */
static int read_coats(cli_context *cli, const char *path, const json_t *of, double *likely,
                      double *coats)
{
    const json_t *told = json_object_get(of, "coats"), *safe = json_object_get(of, "coats_safe");
    if (!json_is_number(told))
        return refuse(cli, path, "no number of coats; expected it from farhue hide --coat AMOUNT");
    *likely = json_number_value(told);
    *coats = json_is_number(safe) ? fmax(json_number_value(safe), *likely) : *likely;
    const bool sound = can_be_planned(*likely);
    if (sound && can_be_planned(*coats)) return CLI_DONE;
    char message[160];
    fh_format(message, sizeof message, "%g coats%s; expected a whole number up to %d",
              sound ? *coats : *likely, sound ? " to be safe" : "", (int)FH_COATS_MAX);
    return refuse(cli, path, message);
}

static int take(cli_context *cli, const char *path, json_t *root, fh_plan_facts *facts)
{
    const char *seen = NULL;
    json_t *coats_of = json_object_get(root, "coats");
    json_t *from = json_is_object(coats_of) ? coats_of : root;
    const char *kind = json_string_value(json_object_get(from, "kind"));
    json_t *goal = goal_of(from, &seen), *of = json_object_get(goal, seen ? seen : "");
    if (!kind || !of)
        return refuse(cli, path, "not what farhue hide --json saves; expected its kind and goals");
    if (strcmp(kind, "coat") != 0)
        return refuse(cli, path, "this is of a printed wall; expected that of a coat of paint");
    if (json_is_false(json_object_get(of, "possible")))
        return refuse(cli, path,
                      "this paint never hides what is behind; expected another paint, "
                      "or --coats");
    double likely = 0.0, coats = 0.0;
    int code = read_coats(cli, path, of, &likely, &coats);
    if (code) return code;
    const double hours = json_number_value(json_object_get(of, "hours"));
    const double limit = json_number_value(json_object_get(goal, "limit"));
    if (!(hours >= 0.0) || hours > likely * FH_PLAN_HOURS_MAX)
        return refuse(cli, path, "no hours of drying; expected 0 or more, at most 10000 a coat");
    const bool clear = json_is_true(json_object_get(json_object_get(root, "finish"), "clear_coat"));
    if (clear && coats + 1.0 > FH_COATS_MAX)
        return refuse(cli, path, "with the clear coat that is more coats than can be planned");
    facts->coats = (unsigned)coats + (clear ? 1 : 0);
    if (hours > 0.0) facts->hours[FH_STEP_DRY] = hours / likely;
    if (coats > likely)
        cli_note(cli,
                 "%s: %.0f coats would do if the paints are as their file says; planned to be "
                 "safe",
                 path, likely);
    cli_note(cli, "%.0f coat%s%s from %s, for a ΔE00 of at most %.2g %s%s", coats,
             coats > 1.0 ? "s" : "", clear ? " and a clear coat" : "", path, limit,
             strcmp(seen, "seen") == 0 ? "seen through the shell" : "bare",
             hours > 0.0 ? ", and their drying" : "");
    return CLI_DONE;
}

int plan_coats(cli_context *cli, fh_plan_facts *facts)
{
    const char *path = cli_value(cli, "hide");
    fh_file file;
    json_error_t error;
    if (!path) return CLI_DONE;
    if (cli_value(cli, "coats"))
        return cli_usage(cli, "--hide and --coats both say how many coats; expected one of them");
    int code = cli_read(cli, path, FH_LIMIT_TEXT, &file);
    if (code) return code;
    json_t *root =
        json_loadb((const char *)file.bytes, file.length, JSON_REJECT_DUPLICATES, &error);
    if (!root) return refuse(cli, path, "no JSON; expected what farhue hide --json -o FILE saves");
    code = take(cli, path, root, facts);
    json_decref(root);
    return code;
}
