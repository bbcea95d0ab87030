#include "cli/face.h"

#include "farhue/difference.h"
#include "farhue/words.h"

int cli_face_read(cli_context *cli, cli_face *out)
{
    *out = (cli_face){.gloss = -1.0};
    int code = cli_number(cli, "clear-coat", 1.2, 2.0, &out->clear);
    return code ? code : cli_number(cli, "gloss", 0.0, 100.0, &out->gloss);
}

bool cli_face_given(const cli_face *face)
{
    return face->clear > 0.0 || face->gloss >= 0.0;
}

int cli_face_surface(cli_context *cli, const cli_face *face, double index, const fh_surface *smooth,
                     const fh_surface *read, const fh_method *method, fh_surface *out)
{
    fh_geometry geometry = method->geometry;
    fh_specular specular = method->specular;
    fh_surface finished;
    *out = *read;
    if (!cli_face_given(face)) return CLI_DONE;
    if (!(face->clear > 0.0) && index <= 1.0)
        return cli_fail_text(cli, FH_E_DATA,
                             "--gloss: these looks fit best as a paint without a face; expected "
                             "--index 1.5, or GLOSS with the readings");
    /* Not said: as K and S were fitted. */
    if (geometry == FH_GEOMETRY_UNKNOWN) geometry = FH_GEOMETRY_45_0;
    if (specular == FH_SPECULAR_UNKNOWN) specular = FH_SPECULAR_EXCLUDED;
    if (fh_surface_of_finish((fh_finish){face->clear > 0.0 ? face->clear : index, face->gloss},
                             geometry, specular, &finished))
        return cli_fail_text(cli, FH_E_DATA,
                             "the mirror reflection is said to be included in a 45/0 reading; "
                             "expected it excluded");
    if (!(face->clear > 0.0)) {
        const double outer = finished.outer;
        finished = *smooth;
        finished.outer = outer;
    }
    *out = finished;
    return CLI_DONE;
}

/* "Under a clear coat of index 1.5, gloss 80," */
static void say_face(cli_context *cli, const cli_face *face)
{
    if (face->clear > 0.0)
        cli_print(cli, "Under a clear coat of index %.3g", face->clear);
    else
        cli_print(cli, "At a 60° gloss of %.0f", face->gloss);
    if (face->clear > 0.0 && face->gloss >= 0.0) cli_print(cli, " and 60° gloss %.0f", face->gloss);
}

void cli_face_report(cli_context *cli, const cli_face *face, const fh_spectrum *without,
                     const fh_spectrum *with)
{
    const fh_weights day = fh_weights_of(fh_condition_default());
    const fh_lab from = fh_lab_of_spectrum(without, &day), to = fh_lab_of_spectrum(with, &day);
    const double dE = fh_de2000(from, to);
    if (!cli_face_given(face)) return;
    if (cli->json) {
        json_t *object = cli_json_object(cli->root, "finish");
        cli_json_bool(object, "clear_coat", face->clear > 0.0);
        if (face->clear > 0.0) cli_json_number(cli, object, "index", face->clear);
        if (face->gloss >= 0.0) cli_json_number(cli, object, "gloss", face->gloss);
        cli_json_lab(cli, object, "lab_without", from);
        cli_json_lab(cli, object, "lab", to);
        cli_json_number(cli, object, "dE00", dE);
    } else {
        char phrase[FH_PHRASE];
        fh_words_with_size(from, to, phrase);
        say_face(cli, face);
        cli_print(cli,
                  " the opaque paint goes from L* %.1f, a* %.1f, b* %.1f to\nL* %.1f, a* %.1f, "
                  "b* %.1f (D65/10): ΔE00 %.2f, %s.\n",
                  from.L, from.a, from.b, to.L, to.a, to.b, dE, phrase);
    }
    if (face->clear > 0.0)
        cli_note(cli, "a clear coat that is coloured, or that soaks into the paint, does more than "
                      "this: try it on a coupon and read that");
}
