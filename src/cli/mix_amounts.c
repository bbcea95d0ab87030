/* Quantities of paint: as they are given, and as they are told. */
#include <math.h>
#include <string.h>

#include "cli/mix.h"
#include "cli/table.h"

static bool read_unit(const char *text, mix_unit *out)
{
    while (*text == ' ') ++text;
    if (!*text || strcmp(text, "ml") == 0)
        *out = MIX_ML;
    else if (strcmp(text, "g") == 0)
        *out = MIX_GRAMS;
    else if (strcmp(text, "drop") == 0 || strcmp(text, "drops") == 0)
        *out = MIX_DROPS;
    else
        return false;
    return true;
}

int mix_read_quantity(cli_context *cli, const char *what, const char *text, mix_quantity *out)
{
    const size_t digits = strspn(text, "+-.0123456789");
    double value;
    mix_unit unit;
    if (!fh_parse_number((fh_slice){text, digits}, &value) || !read_unit(text + digits, &unit))
        return cli_usage(cli, "%s %s; expected a quantity such as 20ml, 15g or 3drops", what, text);
    if (!(value > 0.0) || value > 1e6)
        return cli_usage(cli, "%s %s; expected more than 0", what, text);
    *out = (mix_quantity){value, unit};
    return CLI_DONE;
}

bool mix_in_ml(const mix_quantity *quantity, const fh_paint *paint, double *ml)
{
    switch (quantity->unit) {
    case MIX_ML:
        *ml = quantity->value;
        return true;
    case MIX_GRAMS:
        *ml = quantity->value / paint->density;
        return paint->density > 0.0;
    case MIX_DROPS:
        *ml = quantity->value * paint->drop;
        return paint->drop > 0.0;
    }
    return false;
}

static int unknown(cli_context *cli, const fh_paint *paint, mix_unit unit)
{
    return cli_fail_text(cli, FH_E_DATA,
                         "the %s of %s isn't known; expected %s in the file of "
                         "paints, or quantities in ml",
                         unit == MIX_GRAMS ? "density" : "drop", paint->id,
                         unit == MIX_GRAMS ? "DENSITY_G_ML" : "DROP_ML");
}

/* The batch in ml: grams and drops of a mixture follow from its shares. */
static int batch_ml(cli_context *cli, const mix_job *job, const fh_recipe *recipe, double *out)
{
    double per_ml = 0.0;
    if (job->batch.unit == MIX_ML) {
        *out = job->batch.value;
        return CLI_DONE;
    }
    for (size_t i = 0; i < recipe->blend.count; ++i) {
        const fh_paint *p = &job->paints.paints[recipe->blend.paint[i]];
        const double one = job->batch.unit == MIX_GRAMS ? p->density : 1.0 / p->drop;
        if (!(one > 0.0)) return unknown(cli, p, job->batch.unit);
        per_ml += recipe->blend.part[i] * one;
    }
    *out = job->batch.value / per_ml;
    return CLI_DONE;
}

int mix_round(cli_context *cli, const mix_job *job, const fh_recipe *recipe,
              double ml[FH_MIX_PAINTS], fh_recipe *rounded)
{
    double step[FH_MIX_PAINTS], batch = 0.0;
    fh_error error = {0};
    for (size_t i = 0; i < recipe->blend.count; ++i) {
        const fh_paint *p = &job->paints.paints[recipe->blend.paint[i]];
        if (!mix_in_ml(&job->least, p, &step[i])) return unknown(cli, p, job->least.unit);
    }
    int code = batch_ml(cli, job, recipe, &batch);
    if (code) return code;
    if (fh_recipe_round(&job->target, job->paints.paints, recipe, &job->finish, batch, step, ml,
                        rounded, &error))
        return cli_fail(cli, &error);
    return CLI_DONE;
}

static void put_json(cli_context *cli, const mix_job *job, const size_t *paint, const double *ml,
                     size_t count, double total, json_t *array)
{
    for (size_t i = 0; i < count; ++i) {
        const fh_paint *p = &job->paints.paints[paint[i]];
        json_t *one = cli_json_append(array);
        cli_json_text(one, "paint", p->id);
        cli_json_number(cli, one, "ml", ml[i]);
        cli_json_number(cli, one, "percent", 100.0 * ml[i] / total);
        if (p->density > 0.0) cli_json_number(cli, one, "g", ml[i] * p->density);
        if (p->drop > 0.0) cli_json_number(cli, one, "drops", ml[i] / p->drop);
    }
}

void mix_put_amounts(cli_context *cli, const mix_job *job, const size_t *paint, const double *ml,
                     size_t count, json_t *array)
{
    static const char *const heads[] = {"paint", "", "parts", "ml", "g", "drops"};
    double total = 0.0;
    for (size_t i = 0; i < count; ++i) total += ml[i];
    if (cli->json) {
        put_json(cli, job, paint, ml, count, total, array);
        return;
    }
    cli_table table = cli_table_begin("llrrrr", heads);
    for (size_t i = 0; i < count; ++i) {
        const fh_paint *p = &job->paints.paints[paint[i]];
        cli_cell(&table, "%s", p->id);
        cli_cell(&table, "%s", p->name);
        cli_cell(&table, "%.1f %%", 100.0 * ml[i] / total);
        cli_cell(&table, "%.2f", ml[i]);
        if (p->density > 0.0)
            cli_cell(&table, "%.2f", ml[i] * p->density);
        else
            cli_cell(&table, "?");
        if (p->drop > 0.0)
            cli_cell(&table, "%.0f", ml[i] / p->drop);
        else
            cli_cell(&table, "?");
    }
    cli_table_print(cli, &table);
}
