/* `farhue mix --coat …`: how many coats of a recipe hide what is behind. */
#include "cli/mix.h"

int mix_coats(cli_context *cli, mix_job *job, const fh_recipe *recipe)
{
    const fh_paints *p = &job->paints;
    if (!job->with_coats) return CLI_DONE;
    const fh_paint *unscaled = fh_blend_unscaled(p->paints, &recipe->blend);
    if (unscaled) { /* the recipe stands without it */
        cli_note(cli,
                 "%s: coats of %s are all opaque, so how much of it hides isn't known; "
                 "expected films of it (FILM_AMOUNT) over black and white, or paint the "
                 "mixture over both and ask farhue hide",
                 job->input.name, unscaled->id);
        return CLI_DONE;
    }
    const fh_film film = fh_paints_coat(p, &recipe->blend, &job->finish);
    job->coats.doubt = fh_blend_safety(p->paints, &recipe->blend);
    int code = cli_coats_find(cli, &job->coats, &film, fh_film_plenty(&film),
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
    if (cli_coats_have_safe(&job->coats))
        cli_put(cli, "To be safe: were all its paints weaker by two standard deviations.\n");
    return CLI_DONE;
}
