#include "cli/face.h"

#include "farhue/difference.h"
#include "farhue/words.h"

int cli_face_read(cli_context *cli, fh_finish *out)
{
    *out = (fh_finish){.gloss = -1.0};
    int code = cli_number(cli, "clear-coat", 1.2, 2.0, &out->index);
    return code ? code : cli_number(cli, "gloss", 0.0, 100.0, &out->gloss);
}

bool cli_face_given(const fh_finish *wish)
{
    return wish->index > 0.0 || wish->gloss >= 0.0;
}

void cli_face_note(cli_context *cli, const fh_finish *wish, double index)
{
    const double most = fh_finish_exceeds(index, *wish);
    if (most > 0.0)
        cli_note(cli,
                 "--gloss %.0f is above the 60° gloss of a perfectly smooth face of index %.3g, "
                 "%.0f: taken as smooth",
                 wish->gloss, wish->index > 0.0 ? wish->index : index, most);
}

/* "Under a clear coat of index 1.5, gloss 80," */
static void say_face(cli_context *cli, const fh_finish *wish)
{
    if (wish->index > 0.0)
        cli_print(cli, "Under a clear coat of index %.3g", wish->index);
    else
        cli_print(cli, "At a 60° gloss of %.0f", wish->gloss);
    if (wish->index > 0.0 && wish->gloss >= 0.0) cli_print(cli, " and 60° gloss %.0f", wish->gloss);
}

void cli_face_report(cli_context *cli, const fh_finish *wish, const fh_spectrum *without,
                     const fh_spectrum *with)
{
    const fh_weights day = fh_weights_of(fh_condition_default());
    const fh_lab from = fh_lab_of_spectrum(without, &day), to = fh_lab_of_spectrum(with, &day);
    const double dE = fh_de2000(from, to);
    if (!cli_face_given(wish)) return;
    if (cli->json) {
        json_t *object = cli_json_object(cli->root, "finish");
        cli_json_bool(object, "clear_coat", wish->index > 0.0);
        if (wish->index > 0.0) cli_json_number(cli, object, "index", wish->index);
        if (wish->gloss >= 0.0) cli_json_number(cli, object, "gloss", wish->gloss);
        cli_json_lab(cli, object, "lab_without", from);
        cli_json_lab(cli, object, "lab", to);
        cli_json_number(cli, object, "dE00", dE);
    } else {
        char phrase[FH_PHRASE];
        fh_words_with_size(from, to, phrase);
        say_face(cli, wish);
        cli_print(cli,
                  " the opaque paint goes from L* %.1f, a* %.1f, b* %.1f to\nL* %.1f, a* %.1f, "
                  "b* %.1f (D65/10): ΔE00 %.2f, %s.\n",
                  from.L, from.a, from.b, to.L, to.a, to.b, dE, phrase);
    }
    if (wish->index > 0.0)
        cli_note(cli, "a clear coat that is coloured, or that soaks into the paint, does more than "
                      "this: try it on a coupon and read that");
}
