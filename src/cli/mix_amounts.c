/* Amounts of paint as they are told. */
#include "cli/mix.h"
#include "cli/table.h"

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
