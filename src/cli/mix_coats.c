/* `farhue mix --coat …`: how many coats of a recipe hide what is behind. */
#include <math.h>

#include "cli/mix.h"

/* K and S without a scale say nothing of amounts. */
static int check_scaled(cli_context *cli, const mix_job *job, const fh_recipe *recipe)
{
    for (size_t i = 0; i < recipe->blend.count; ++i) {
        const fh_paint *p = &job->paints.paints[recipe->blend.paint[i]];
        if (!p->scaled)
            return cli_fail_text(cli, FH_E_DATA,
                                 "%s: coats of %s are all opaque, so how much of it hides isn't "
                                 "known; expected films of it (FILM_AMOUNT) over black and white, "
                                 "or paint the mixture over both and ask farhue hide",
                                 job->input.name, p->id);
    }
    return CLI_DONE;
}

/* K and S of the paints may both be off by their spread, and amounts then are by as much. */
static double doubt_of(const mix_job *job, const fh_recipe *recipe)
{
    double spread = 0.0;
    for (size_t i = 0; i < recipe->blend.count; ++i) {
        const fh_paint *p = &job->paints.paints[recipe->blend.paint[i]];
        spread = fmax(spread, hypot(p->spread, p->strength));
    }
    return exp(1.96 * spread);
}

/* So much is opaque however weak the paint scatters. */
static double most_of(const fh_film *film)
{
    double S = 0.0;
    for (size_t i = 0; i < FH_BANDS; ++i) S = fmax(S, film->S.v[i]);
    return 3000.0 / S;
}

int mix_coats(cli_context *cli, mix_job *job, const fh_recipe *recipe)
{
    const fh_paints *p = &job->paints;
    if (!job->with_coats) return CLI_DONE;
    int code = check_scaled(cli, job, recipe);
    if (code) return code;
    const fh_film film =
        fh_blend_coat(p->paints, &recipe->blend, p->index, &p->surface, &job->finish);
    job->coats.doubt = doubt_of(job, recipe);
    code = cli_coats_find(cli, &job->coats, &film, most_of(&film),
                          job->target.shell ? &job->target.shell->curves : NULL);
    if (code) return code;
    if (cli->json) {
        json_t *object = cli_json_object(cli->root, "coats");
        cli_json_text(object, "kind", "coat");
        cli_json_text(object, "unit", job->coats.unit);
        cli_coats_json(cli, &job->coats, object);
        return CLI_DONE;
    }
    cli_print(cli, "\nCoats of recipe 1, over %s:\n\n",
              job->coats.over ? job->coats.part.id : "black and white (0.80)");
    cli_coats_print(cli, &job->coats);
    cli_print(cli, "To be safe: were all its paints that much weaker (95 %%).\n");
    return CLI_DONE;
}
