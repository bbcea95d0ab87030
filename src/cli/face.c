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

static void put_json(cli_context *cli, const fh_finish *wish, const fh_lab *from, fh_lab to)
{
    json_t *object = cli_json_object(cli->root, "finish");
    cli_json_bool(object, "clear_coat", wish->index > 0.0);
    if (wish->index > 0.0) cli_json_number(cli, object, "index", wish->index);
    if (wish->gloss >= 0.0) cli_json_number(cli, object, "gloss", wish->gloss);
    if (from)
        cli_json_lab(cli, object, "lab_without", *from);
    else
        json_object_set_new(object, "lab_without", json_null());
    cli_json_lab(cli, object, "lab", to);
    if (from)
        cli_json_number(cli, object, "dE00", fh_de2000(*from, to));
    else
        json_object_set_new(object, "dE00", json_null());
}

static void put_text(cli_context *cli, const fh_finish *wish, const fh_lab *from, fh_lab to)
{
    say_face(cli, wish);
    if (!from) {
        cli_print(cli, " the opaque paint reads L* %.1f, a* %.1f, b* %.1f (D65/10).\n", to.L, to.a,
                  to.b);
        return;
    }
    char phrase[FH_PHRASE];
    fh_words_with_size(*from, to, phrase);
    cli_print(cli,
              " the opaque paint goes from L* %.1f, a* %.1f, b* %.1f to\nL* %.1f, a* %.1f, "
              "b* %.1f (D65/10): ΔE00 %.2f, %s.\n",
              from->L, from->a, from->b, to.L, to.a, to.b, fh_de2000(*from, to), phrase);
}

void cli_face_report(cli_context *cli, const fh_finish *wish, const fh_spectrum *without,
                     const fh_spectrum *with)
{
    const fh_weights day = fh_weights_of(fh_condition_default());
    const fh_lab to = fh_lab_of_spectrum(with, &day);
    fh_lab from;
    if (!cli_face_given(wish)) return;
    if (without) from = fh_lab_of_spectrum(without, &day);
    if (cli->json)
        put_json(cli, wish, without ? &from : NULL, to);
    else
        put_text(cli, wish, without ? &from : NULL, to);
    if (!without)
        cli_note(cli, "how the paint reads without that finish isn't known: it was read in another "
                      "specular mode than the target, and its gloss isn't stated (GLOSS)");
    if (wish->index > 0.0)
        cli_note(cli, "a clear coat that is coloured, or that soaks into the paint, does more than "
                      "this: try it on a coupon and read that");
}
