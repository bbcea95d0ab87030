/* Targets and verdicts in reports. */
#include <string.h>

#include "cli/target.h"
#include "farhue/tolerance.h"

static void lights_text(const fh_target *target, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < target->light_count; ++i) {
        char one[FH_CONDITION_TEXT];
        fh_condition_text(target->light[i].condition, one);
        const char *between = i == 0 ? "" : i + 1 < target->light_count ? ", " : " and ";
        used += fh_format(out + used, size - used, "%s%s", between, one);
    }
}

/* Options beside a spec may have taken the place of its shell. */
static bool has_its_shell(const cli_target *t)
{
    return t->spec && t->spec->shell && t->target.shell == t->spec->shell;
}

void cli_print_built(cli_context *cli, const fh_spec *spec)
{
    const double shell = fh_spec_shell_mm(spec), gap = fh_spec_gap_mm(spec);
    if (shell < 0 && gap < 0) return;
    cli_put(cli, "Shell    ");
    if (shell >= 0) cli_print(cli, "%.4g mm thick%s", shell, gap >= 0 ? ", " : "");
    if (gap >= 0) cli_print(cli, "air gap behind it %.4g mm", gap);
    cli_put(cli, "\n");
}

void cli_json_built(cli_context *cli, json_t *object, const fh_spec *spec)
{
    const double shell = fh_spec_shell_mm(spec), gap = fh_spec_gap_mm(spec);
    if (shell >= 0) cli_json_number(cli, object, "shell_mm", shell);
    if (gap >= 0) cli_json_number(cli, object, "gap_mm", gap);
}

void cli_print_target(cli_context *cli, const cli_target *t)
{
    char lights[160], condition[FH_CONDITION_TEXT];
    const fh_reading *part = &t->target.part;
    lights_text(&t->target, lights, sizeof lights);
    fh_condition_text(part->condition, condition);
    if (t->spec)
        cli_print(cli, "Spec     %s, check code %s\n", t->spec->title[0] ? t->spec->title : "(no title)",
                  t->spec->code);
    if (t->target.by_look) {
        char seen[FH_CONDITION_TEXT];
        const fh_reading *look = &t->target.look;
        fh_condition_text(look->condition, seen);
        cli_print(cli, "Look     %s  L* %.2f, a* %.2f, b* %.2f under %s, as measured\n", look->id,
                  look->lab.L, look->lab.a, look->lab.b, seen);
    }
    if (has_its_shell(t)) cli_print_built(cli, t->spec);
    const bool named = part->name[0] && strcmp(part->name, part->id) != 0;
    cli_print(cli, "Target   %s%s%s  L* %.2f, a* %.2f, b* %.2f under %s%s%s\n", part->id,
              named ? ", " : "", named ? part->name : "", part->lab.L, part->lab.a, part->lab.b,
              condition, part->origin == FH_ORIGIN_LAB ? ", spectrum estimated" : "",
              t->target.aimed ? ", worked back from a look" : "");
    cli_print(cli, "Right    up to ΔE00 %.2f as seen %s, under %s\n\n", t->target.tolerance,
              t->target.shell ? "through the shell" : "bare (nothing in front)", lights);
}

void cli_json_target(cli_context *cli, json_t *object, const cli_target *t)
{
    const fh_target *target = &t->target;
    if (t->spec) {
        cli_json_text(object, "title", t->spec->title);
        cli_json_text(object, "check_code", t->spec->code);
    }
    cli_json_text(object, "id", target->part.id);
    cli_json_lab(cli, object, "lab", target->part.lab);
    cli_json_condition(object, "condition", target->part.condition);
    cli_json_bool(object, "estimated", target->part.origin != FH_ORIGIN_SPECTRUM);
    cli_json_bool(object, "aimed", target->aimed);
    cli_json_bool(object, "shell", target->shell != NULL);
    if (has_its_shell(t)) cli_json_built(cli, object, t->spec);
    if (target->by_look) {
        json_t *look = cli_json_object(object, "look");
        cli_json_text(look, "id", target->look.id);
        cli_json_lab(cli, look, "lab", target->look.lab);
        cli_json_condition(look, "condition", target->look.condition);
    }
    cli_json_number(cli, object, "tolerance", target->tolerance);
    json_t *lights = cli_json_array(object, "lights");
    for (size_t i = 0; lights && i < target->light_count; ++i) {
        char one[FH_CONDITION_TEXT];
        fh_condition_text(target->light[i].condition, one);
        json_array_append_new(lights, json_string(one));
    }
}

static void json_sight(cli_context *cli, json_t *object, const fh_sight *sight)
{
    const double ends[2] = {sight->interval.low, sight->interval.high};
    cli_json_condition(object, "condition", sight->condition);
    cli_json_lab(cli, object, "target", sight->target);
    cli_json_lab(cli, object, "lab", sight->candidate);
    cli_json_number(cli, object, "dE00", sight->dE00);
    cli_json_number(cli, object, "median", sight->interval.median);
    cli_json_numbers(cli, object, "dE00_95", ends, 2);
    cli_json_number(cli, object, "p_within", sight->p_within);
}

void cli_json_verdict(cli_context *cli, json_t *object, const fh_verdict *verdict)
{
    json_sight(cli, cli_json_object(object, "bare"), &verdict->bare);
    json_t *seen = cli_json_array(object, "seen");
    for (size_t i = 0; i < verdict->light_count; ++i) {
        json_t *one = cli_json_append(seen);
        json_sight(cli, one, &verdict->seen[i]);
        cli_json_number(cli, one, "metamerism", verdict->seen[i].metamerism);
    }
    const fh_sight *worst = &verdict->seen[verdict->worst];
    cli_json_number(cli, object, "worst_median", worst->interval.median);
    cli_json_condition(object, "worst_light", worst->condition);
    cli_json_number(cli, object, "p_within", verdict->p_within);
    cli_json_text(object, "verdict", fh_decision_text(verdict->decision));
    cli_json_bool(object, "lamp_fails", verdict->lamp_fails);
    cli_json_bool(object, "estimated", verdict->estimated);
    cli_json_bool(object, "converted", verdict->converted);
    cli_json_number(cli, object, "trials", (double)verdict->trials);
}
