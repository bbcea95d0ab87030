/* `farhue mix --added … --paint-out …`: what to add to a batch that is there. */
#include <math.h>

#include "cli/mix.h"

/* An error of the command line, or of what the paints file knows. */
static int fail(cli_context *cli, const mix_job *job, const char *option, fh_status status,
                const fh_error *error)
{
    if (status != FH_E_DATA) return cli_usage(cli, "--%s: %s", option, error->message);
    return cli_fail_text(cli, status, "%s: %s", job->input.name, error->message);
}

static int read_batch(cli_context *cli, const mix_job *job, fh_batch *batch, fh_reading *paint_outs)
{
    size_t steps = 0, outs = 0;
    while (cli_value_at(cli, "added", steps)) ++steps;
    while (cli_value_at(cli, "paint-out", outs)) ++outs;
    if (steps != outs || steps > FH_BATCH_STEPS)
        return cli_usage(cli,
                         "%zu --added and %zu --paint-out; expected one reading for each, at "
                         "most %d",
                         steps, outs, FH_BATCH_STEPS);
    batch->step_count = steps;
    for (size_t k = 0; k < steps; ++k) {
        fh_error error = {0};
        fh_status status = fh_quantity_add(cli_value_at(cli, "added", k), job->paints.paints,
                                           job->paints.count, k, batch, &error);
        if (status) return fail(cli, job, "added", status, &error);
        int code = cli_colour(cli, cli_value_at(cli, "paint-out", k), &paint_outs[k]);
        if (code) return code;
        batch->step[k].paint_out = &paint_outs[k];
    }
    for (size_t k = 0; cli_value_at(cli, "also", k); ++k) {
        size_t place;
        fh_error error = {0};
        fh_status status = fh_batch_place(cli_value_at(cli, "also", k), job->paints.paints,
                                          job->paints.count, batch, &place, &error);
        if (status) return fail(cli, job, "also", status, &error);
    }
    return CLI_DONE;
}

static void put_json(cli_context *cli, const fh_batch_advice *c)
{
    cli_json_number(cli, cli->root, "dE00", c->now);
    cli_json_bool(cli->root, "significant", c->significant);
    cli_json_bool(cli->root, "within", c->within);
    cli_json_bool(cli->root, "helps", c->helps);
    cli_json_number(cli, cli->root, "size_ml", c->size);
    cli_json_number(cli, cli->root, "new_size_ml", c->new_size);
    cli_json_number(cli, cli->root, "predicted", c->predicted);
    cli_json_number(cli, cli->root, "surprise", c->surprise);
}

static void put_learned(cli_context *cli, const mix_job *job, const fh_batch *batch,
                        const fh_batch_advice *c)
{
    json_t *list = cli->json ? cli_json_array(cli->root, "learned") : NULL;
    for (size_t p = 0; p < batch->paint_count; ++p) {
        const char *id = job->paints.paints[batch->paint[p]].id;
        if (list) {
            json_t *one = cli_json_append(list);
            cli_json_text(one, "paint", id);
            cli_json_number(cli, one, "K", c->learned_K[p]);
            cli_json_number(cli, one, "S", c->learned_S[p]);
        } else if (fabs(c->learned_K[p] - 1.0) > 0.03 || fabs(c->learned_S[p] - 1.0) > 0.03) {
            cli_print(cli, "%s seems to absorb %.2f and scatter %.2f times what its coats said.\n",
                      id, c->learned_K[p], c->learned_S[p]);
        }
    }
}

static void put_addition(cli_context *cli, const mix_job *job, const fh_batch *batch,
                         const fh_batch_advice *c)
{
    size_t paint[FH_MIX_PAINTS], count = 0;
    double ml[FH_MIX_PAINTS];
    for (size_t p = 0; p < batch->paint_count; ++p) {
        if (!(c->add[p] > 0.0)) continue;
        paint[count] = batch->paint[p];
        ml[count++] = c->add[p];
    }
    json_t *array = cli->json ? cli_json_array(cli->root, "add") : NULL;
    cli_print(cli, "Add to the %.2f ml that are there:\n\n", c->size);
    mix_put_amounts(cli, job, paint, ml, count, array);
    cli_print(cli,
              "\nThat makes %.2f ml, predicted to show ΔE00 %.2f. Paint out, let dry and read "
              "again.\n",
              c->new_size, c->predicted);
}

static void put_verdict(cli_context *cli, const mix_job *job, const fh_batch *batch,
                        const fh_batch_advice *c, double growth)
{
    const double tolerance = job->target.tolerance;
    if (!c->significant) {
        cli_print(cli,
                  "That is within the uncertainty of the readings: nothing should be added.\n");
        return;
    }
    if (c->within)
        cli_print(cli, "It is within the tolerance of %g and may stay as it is.\n", tolerance);
    if (c->helps) {
        if (c->within) cli_put(cli, "To come nearer:\n");
        put_addition(cli, job, batch, c);
    } else if (c->surprise > FH_BATCH_BEYOND) {
        cli_put(cli, "Check what was put in before anything is added.\n");
    } else if (!c->within) {
        cli_print(cli,
                  "Nothing that can be added makes it better, for a growth of up to %g of its size "
                  "and by what can be dispensed:\n--also PAINT lets other pots in, --growth and a "
                  "finer --least may help.\n",
                  growth);
    }
}

int mix_correct(cli_context *cli, mix_job *job)
{
    fh_reading paint_outs[FH_BATCH_STEPS];
    fh_batch batch = {.paint_count = 0};
    fh_batch_advice advice;
    fh_paints_look outs_look, finished;
    fh_error error = {0};
    double growth = 1.0;
    int code = read_batch(cli, job, &batch, paint_outs);
    if (!code) code = cli_number(cli, "growth", 0.01, 100, &growth);
    if (code) return code;
    fh_batch_options options = fh_batch_options_for(&job->target);
    fh_reading part = job->target.part;
    part.method = fh_target_way(&job->target);
    if (fh_paints_batch_looks(&job->paints, &job->face, cli_flag(cli, "coated"), &part, &batch,
                              &outs_look, &finished, &error))
        return cli_fail(cli, &error);
    mix_note_look(cli, job, &finished);
    options.surface = outs_look.surface;
    options.finish = finished.surface;
    options.most_growth = growth;
    for (size_t p = 0; p < batch.paint_count; ++p)
        if (fh_quantity_ml(job->least, &job->paints.paints[batch.paint[p]], &options.step[p],
                           &error))
            return cli_fail_text(cli, FH_E_DATA, "--least: %s", error.message);
    if (fh_batch_correct(&job->target, job->paints.paints, &batch, &options, &advice, &error))
        return cli_fail(cli, &error);
    cli_print(cli, "The last paint-out shows ΔE00 %.2f%s.\n", advice.now,
              cli_face_given(&job->face) && !cli_flag(cli, "coated") ? " once finished" : "");
    if (cli->json) put_json(cli, &advice);
    put_learned(cli, job, &batch, &advice);
    if (advice.surprise > FH_BATCH_STRANGE)
        cli_note(cli,
                 "the paint-outs can't be explained by these paints and quantities (%.0f standard "
                 "deviations off): check what was put in",
                 advice.surprise);
    put_verdict(cli, job, &batch, &advice, growth);
    cli_put_painting_cautions(cli);
    return CLI_DONE;
}
