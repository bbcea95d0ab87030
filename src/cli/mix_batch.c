/* `farhue mix --added … --paint-out …`: what to add to a batch that is there. */
#include <math.h>
#include <string.h>

#include "cli/mix.h"

/* The place of a paint in the batch, added when it is new. */
static int place_of(cli_context *cli, const mix_job *job, fh_batch *batch, const char *id,
                    size_t *place)
{
    const size_t paint = fh_paints_find(&job->paints, id);
    if (paint == FH_NONE)
        return cli_fail_text(cli, FH_E_DATA, "%s: there is no paint %s", job->input.name, id);
    for (*place = 0; *place < batch->paint_count; ++*place)
        if (batch->paint[*place] == paint) return CLI_DONE;
    if (batch->paint_count == FH_MIX_PAINTS)
        return cli_usage(cli, "more than %d paints in one batch", FH_MIX_PAINTS);
    batch->paint[batch->paint_count++] = paint;
    return CLI_DONE;
}

/* One "white=14ml,red=3.5" into a step of the batch. */
static int read_added(cli_context *cli, const mix_job *job, fh_batch *batch, size_t step,
                      const char *text)
{
    const char *at = text;
    while (*at) {
        const size_t length = strcspn(at, ",");
        const char *equals = memchr(at, '=', length);
        char id[FH_ID], quantity[64];
        mix_quantity given;
        size_t place;
        double ml;
        if (!equals || !fh_copy_slice(id, sizeof id, (fh_slice){at, (size_t)(equals - at)}) ||
            !fh_copy_slice(quantity, sizeof quantity,
                           (fh_slice){equals + 1, (size_t)(at + length - equals - 1)}))
            return cli_usage(cli,
                             "--added %s; expected PAINT=QUANTITY,... such as "
                             "white=14ml,red=3.5ml",
                             text);
        int code = mix_read_quantity(cli, "--added", quantity, &given);
        if (!code) code = place_of(cli, job, batch, id, &place);
        if (code) return code;
        if (!mix_in_ml(&given, &job->paints.paints[batch->paint[place]], &ml))
            return cli_fail_text(cli, FH_E_DATA,
                                 "grams or drops of %s; expected DENSITY_G_ML or "
                                 "DROP_ML for it in %s",
                                 id, job->input.name);
        batch->step[step].added[place] += ml;
        at += length + (at[length] == ',');
    }
    return CLI_DONE;
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
        int code = read_added(cli, job, batch, k, cli_value_at(cli, "added", k));
        if (!code) code = cli_colour(cli, cli_value_at(cli, "paint-out", k), &paint_outs[k]);
        if (code) return code;
        batch->step[k].paint_out = &paint_outs[k];
    }
    for (size_t k = 0; cli_value_at(cli, "also", k); ++k) {
        size_t place;
        int code = place_of(cli, job, batch, cli_value_at(cli, "also", k), &place);
        if (code) return code;
    }
    return CLI_DONE;
}

static void put_json(cli_context *cli, const fh_batch_advice *c)
{
    cli_json_number(cli, cli->root, "dE00", c->now);
    cli_json_bool(cli->root, "significant", c->significant);
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

/* The face that the paint-outs were read with, each in one and the same way. */
static int paint_out_surface(cli_context *cli, const mix_job *job, const fh_batch *batch,
                             fh_surface *out)
{
    const fh_reading *first = batch->step[0].paint_out;
    fh_paints_look look;
    fh_error error = {0};
    for (size_t k = 1; k < batch->step_count; ++k) {
        const fh_reading *one = batch->step[k].paint_out;
        if (one->method.geometry != first->method.geometry ||
            one->method.specular != first->method.specular)
            return cli_fail_text(
                cli, FH_E_DATA,
                "the paint-outs %s and %s were read in different ways; expected one "
                "geometry and one specular mode for all",
                first->id, one->id);
    }
    if (fh_paints_look_of(&job->paints, cli_flag(cli, "coated") ? &job->face : NULL, &first->method,
                          first->id, &look, &error))
        return cli_fail(cli, &error);
    *out = look.surface;
    return CLI_DONE;
}

int mix_correct(cli_context *cli, mix_job *job)
{
    fh_reading paint_outs[FH_BATCH_STEPS];
    fh_batch batch = {.paint_count = 0};
    fh_batch_advice advice;
    fh_error error = {0};
    double growth = 1.0;
    int code = read_batch(cli, job, &batch, paint_outs);
    if (!code) code = cli_number(cli, "growth", 0.01, 100, &growth);
    if (code) return code;
    fh_batch_options options = fh_batch_options_for(&job->target);
    options.finish = job->finish;
    code = paint_out_surface(cli, job, &batch, &options.surface);
    if (code) return code;
    options.most_growth = growth;
    for (size_t p = 0; p < batch.paint_count; ++p)
        if (!mix_in_ml(&job->least, &job->paints.paints[batch.paint[p]], &options.step[p]))
            return cli_fail_text(cli, FH_E_DATA,
                                 "density or drop of %s isn't known; expected --least "
                                 "in ml",
                                 job->paints.paints[batch.paint[p]].id);
    if (fh_batch_correct(&job->target, job->paints.paints, &batch, &options, &advice, &error))
        return cli_fail(cli, &error);
    cli_print(cli, "The last paint-out shows ΔE00 %.2f%s.\n", advice.now,
              cli_face_given(&job->face) && !cli_flag(cli, "coated") ? " once finished" : "");
    if (cli->json) put_json(cli, &advice);
    put_learned(cli, job, &batch, &advice);
    if (advice.surprise > 3.0)
        cli_note(cli,
                 "the paint-outs can't be explained by these paints and quantities (%.0f standard "
                 "deviations off): check what was put in",
                 advice.surprise);
    if (!advice.significant)
        cli_print(cli,
                  "That is within the uncertainty of the readings: nothing should be added.\n");
    else if (!advice.helps)
        cli_print(cli,
                  "Nothing that can be added makes it better; --also PAINT lets other pots in.\n");
    else
        put_addition(cli, job, &batch, &advice);
    cli_put_painting_cautions(cli);
    return CLI_DONE;
}
