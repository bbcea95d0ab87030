/* What `farhue mix` says about recipes. */
#include <math.h>

#include "cli/mix.h"
#include "cli/table.h"
#include "farhue/names.h"

/* "white 62.0 %, red 30.1 %, blue 7.9 %", each paint with its share on one line. */
static void describe(const mix_job *job, const fh_recipe *recipe, char *out, size_t size)
{
    size_t length = 0;
    out[0] = '\0';
    for (size_t i = 0; i < recipe->blend.count && length < size; ++i)
        length +=
            fh_format(out + length, size - length, "%s%s %.1f %%", i ? ", " : "",
                      job->paints.paints[recipe->blend.paint[i]].id, 100.0 * recipe->blend.part[i]);
}

static void put_table(cli_context *cli, const mix_job *job, const mix_line *lines, size_t count)
{
    static const char *const heads[] = {"",     "",     "recipe (by volume)", "bare",
                                        "seen", "95 %", "metamerism"};
    cli_table table = cli_table_begin("rplrrrr", heads);
    for (size_t i = 0; i < count; ++i) {
        char text[320];
        describe(job, &lines[i].recipe, text, sizeof text);
        cli_cell(&table, "%zu", i + 1);
        cli_cell_patch(&table, lines[i].recipe.lab);
        cli_cell(&table, "%s", text);
        cli_cell(&table, "%.2f", fh_recipe_worst_bare(&job->target, &lines[i].recipe));
        cli_cell(&table, "%.2f", lines[i].recipe.worst);
        cli_cell(&table, "%.1f–%.1f", lines[i].low, lines[i].high);
        cli_cell(&table, "%.2f", lines[i].recipe.metamerism);
    }
    cli_table_print(cli, &table);
    cli_put(cli, "\nbare, seen: the largest predicted ΔE00 over the lights, of an opaque dry coat "
                 "mixed just so.\n"
                 "95 %: where seen lies with the doubt about paints, dispensing and target; as "
                 "doubt adds more\n"
                 "often than it takes away, that may be above the plain figure.\n");
}

/* The same colour under the first light, another under another: a question of the spectrum. */
static bool put_metameric(cli_context *cli, const mix_job *job, const fh_recipe *best)
{
    size_t light;
    double nm;
    bool more;
    char first[FH_CONDITION_TEXT], other[FH_CONDITION_TEXT];
    if (!fh_recipe_metameric(&job->target, best, &light, &nm, &more)) return false;
    fh_condition_text(job->target.light[0].condition, first);
    fh_condition_text(job->target.light[light].condition, other);
    if (cli->json) {
        json_t *missing = cli_json_object(cli->root, "missing");
        cli_json_condition(missing, "metameric_under", job->target.light[light].condition);
        if (nm > 0.0) cli_json_number(cli, missing, "nm", nm);
        if (nm > 0.0) cli_json_bool(missing, "more", more);
        return true;
    }
    cli_print(
        cli,
        "\nUnder %s these pots reach the target; under %s the best recipe shows ΔE00 %.2f, the "
        "tolerance is %g.\nThe colour is right, the spectrum isn't",
        first, other, best->seen[light], job->target.tolerance);
    if (nm > 0.0)
        cli_print(cli, ": a paint that lets the mixture reflect %s near %.0f nm would help.\n",
                  more ? "more" : "less", nm);
    else
        cli_print(cli, "; a measured curve of the target would tell which paint helps.\n");
    return true;
}

/* When the pots can't do it: what kind of paint would. */
static int put_missing(cli_context *cli, const mix_job *job, const fh_recipe *best)
{
    fh_reading paint = fh_reading_blank();
    fh_colour_name name;
    fh_error error = {0};
    if (best->worst <= job->target.tolerance || put_metameric(cli, job, best)) return CLI_DONE;
    if (fh_recipe_missing(&job->target, best, &paint.lab))
        return cli_fail_text(cli, FH_E_DATA, "the missing paint can't be worked out");
    paint.condition = job->target.condition;
    if (fh_names_of_reading(&paint, &name, 1, NULL, &error)) name.name = NULL;
    if (cli->json) {
        json_t *missing = cli_json_object(cli->root, "missing");
        cli_json_lab(cli, missing, "lab", paint.lab);
        cli_json_condition(missing, "condition", paint.condition);
        if (name.name) cli_json_text(missing, "name", name.name);
        return CLI_DONE;
    }
    cli_print(
        cli,
        "\nThese pots don't reach the target: the best recipe shows ΔE00 %.2f, the tolerance is "
        "%g.\nA paint in the direction of L* %.0f, a* %.0f, b* %.0f%s%s would help.\n",
        best->worst, job->target.tolerance, paint.lab.L, paint.lab.a, paint.lab.b,
        name.name ? ", such as " : "", name.name ? name.name : "");
    return CLI_DONE;
}

static void put_json(cli_context *cli, const mix_job *job, const mix_line *lines, size_t count)
{
    json_t *list = cli_json_array(cli->root, "recipes");
    for (size_t i = 0; i < count; ++i) {
        const fh_recipe *r = &lines[i].recipe;
        const double interval[2] = {lines[i].low, lines[i].high};
        json_t *one = cli_json_append(list), *paints = cli_json_array(one, "paints");
        for (size_t k = 0; k < r->blend.count; ++k) {
            json_t *paint = cli_json_append(paints);
            cli_json_text(paint, "paint", job->paints.paints[r->blend.paint[k]].id);
            cli_json_number(cli, paint, "percent", 100.0 * r->blend.part[k]);
        }
        cli_json_lab(cli, one, "lab", r->lab);
        cli_json_condition(one, "condition", job->target.condition);
        cli_json_number(cli, one, "dE00", r->worst);
        cli_json_numbers(cli, one, "dE00_95", interval, 2);
        cli_json_numbers(cli, one, "bare", r->bare, job->target.light_count);
        cli_json_numbers(cli, one, "seen", r->seen, job->target.light_count);
        cli_json_number(cli, one, "metamerism", r->metamerism);
    }
}

/* The rounded recipe beyond the tolerance that the recipe itself keeps: what would do. */
static void put_coarse(cli_context *cli, const mix_job *job, const fh_dispensed *batch)
{
    char larger[24];
    if (!batch->coarse) return;
    fh_format(larger, sizeof larger, batch->larger < 100.0 ? "%.3g" : "%.0f", batch->larger);
    if (batch->larger > 0.0)
        cli_note(cli,
                 "rounded so, the batch misses the tolerance of %g; one of about %s ml, or a "
                 "finer step, keeps it",
                 job->target.tolerance, larger);
    else
        cli_note(cli, "rounded so, the batch misses the tolerance of %g; expected a finer step",
                 job->target.tolerance);
}

/* The first recipe as it goes on the bench. */
static int put_batch(cli_context *cli, const mix_job *job, const fh_recipe *best)
{
    fh_dispensed batch;
    fh_error error = {0};
    if (fh_recipe_dispense(&job->target, job->paints.paints, best, &job->finish, job->batch,
                           job->least, &batch, &error))
        return cli_fail(cli, &error);
    size_t paint[FH_MIX_PAINTS];
    double kept[FH_MIX_PAINTS];
    size_t count = 0;
    for (size_t i = 0; i < best->blend.count; ++i) {
        if (!(batch.ml[i] > 0.0)) continue;
        paint[count] = best->blend.paint[i];
        kept[count++] = batch.ml[i];
    }
    json_t *object = cli->json ? cli_json_object(cli->root, "batch") : NULL;
    if (fabs(batch.size - batch.wanted) < 0.005)
        cli_print(cli, "\nRecipe 1 as a batch of %.2f ml:\n\n", batch.size);
    else
        cli_print(cli,
                  "\nRecipe 1 as a batch (%.2f ml wanted; %.2f ml so that it can be "
                  "dispensed):\n\n",
                  batch.wanted, batch.size);
    mix_put_amounts(cli, job, paint, kept, count, object ? cli_json_array(object, "add") : NULL);
    cli_print(cli, "\nRounded to what can be dispensed it shows ΔE00 %.2f, metamerism %.2f.\n",
              batch.rounded.worst, batch.rounded.metamerism);
    put_coarse(cli, job, &batch);
    if (object) {
        cli_json_number(cli, object, "ml", batch.size);
        cli_json_number(cli, object, "wanted_ml", batch.wanted);
        cli_json_number(cli, object, "dE00", batch.rounded.worst);
        cli_json_number(cli, object, "metamerism", batch.rounded.metamerism);
    }
    return CLI_DONE;
}

/* What the finish does to the first recipe: without it, what its dry paint-out should read. */
static void put_finish(cli_context *cli, const mix_job *job, const fh_recipe *best)
{
    if (!cli_face_given(&job->face)) return;
    fh_spectrum bare;
    if (job->has_plain) bare = fh_blend_opaque(job->paints.paints, &best->blend, &job->plain);
    cli_print(cli, "\nThese are the colours with the finish. Recipe 1%s:\n",
              job->has_plain ? " without and with it" : "");
    cli_face_report(cli, &job->face, job->has_plain ? &bare : NULL, &best->reflectance);
}

int mix_report(cli_context *cli, mix_job *job, const mix_line *lines, size_t count)
{
    if (cli->json)
        put_json(cli, job, lines, count);
    else
        put_table(cli, job, lines, count);
    put_finish(cli, job, &lines[0].recipe);
    int code = put_missing(cli, job, &lines[0].recipe);
    if (!code && job->has_batch) code = put_batch(cli, job, &lines[0].recipe);
    if (!code) code = mix_coats(cli, job, &lines[0].recipe);
    if (code) return code;
    cli_put_painting_cautions(cli);
    return CLI_DONE;
}
