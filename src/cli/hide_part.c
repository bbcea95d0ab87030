#include "cli/hide_part.h"

#include "farhue/words.h"

int cli_part_wall_read(cli_context *cli, cli_part_wall *out)
{
    const char *swatch = cli_value(cli, "swatch");
    int code = cli_number(cli, "part-wall", 1e-6, 1e6, &out->amount);
    if (code || !swatch) return code;
    if (!(out->amount > 0.0))
        return cli_usage(cli, "--swatch %s; expected --part-wall as well, the thickness of the part",
                         swatch);
    code = cli_colour(cli, swatch, &out->swatch);
    out->has_swatch = true;
    if (!code && out->swatch.origin == FH_ORIGIN_LAB)
        return cli_fail_text(cli, FH_E_DATA,
                             "--swatch %s: the swatch is known as Lab only; expected a spectrum",
                             out->swatch.id);
    return code;
}

/* Wall and swatch, as they look bare or through a shell, D65/10. */
static void looks(const cli_part_wall *wall, const fh_film *film, const fh_shell_curves *shell,
                  fh_lab out[2])
{
    const fh_weights weights = fh_weights_of(fh_condition_default());
    const fh_spectrum hollow = fh_spectrum_flat(0.0);
    fh_spectrum r[2] = {wall->has_swatch ? wall->swatch.reflectance : fh_film_thick(film),
                        fh_film_look(film, wall->amount, wall->behind ? &wall->below : &hollow)};
    for (int i = 0; i < 2; ++i) {
        if (shell) r[i] = fh_shell_look(shell, &r[i]);
        out[i] = fh_lab_of_spectrum(&r[i], &weights);
    }
}

/* The wall's looks are predicted as its readings were taken; a swatch read otherwise would differ
 * by that alone. */
int cli_part_wall_check(cli_context *cli, const cli_part_wall *wall, const fh_film *film)
{
    const fh_method *m = &wall->swatch.method;
    const fh_geometry geometry = m->geometry == FH_GEOMETRY_PHOTO ? FH_GEOMETRY_45_0 : m->geometry;
    if (!wall->has_swatch ||
        ((geometry == FH_GEOMETRY_UNKNOWN || geometry == film->geometry) &&
         (m->specular == FH_SPECULAR_UNKNOWN || m->specular == film->specular)))
        return CLI_DONE;
    return cli_fail_text(cli, FH_E_DATA,
                         "--swatch %s was read in %s, specular %s, the wall in %s, specular %s; "
                         "expected one way of reading for both",
                         wall->swatch.id, fh_geometry_name(geometry), fh_specular_name(m->specular),
                         fh_geometry_name(film->geometry), fh_specular_name(film->specular));
}

void cli_part_wall_report(cli_context *cli, const cli_part_wall *wall, const fh_film *film,
                          const fh_shell_curves *shell)
{
    if (!(wall->amount > 0.0)) return;
    if (!cli->json)
        cli_print(cli, "\nA wall of %.3g %s over %s, against %s:\n", wall->amount, wall->unit,
                  wall->behind ? wall->behind : "nothing (a hollow part, dark inside)",
                  wall->has_swatch ? wall->swatch.id : "one so thick that nothing shows through");
    double worst = 0.0;
    json_t *object = cli->json ? cli_json_object(cli->root, "part_wall") : NULL;
    if (object) cli_json_number(cli, object, "amount", wall->amount);
    for (int seen = 0; seen < (shell ? 2 : 1); ++seen) {
        fh_lab lab[2];
        char words[FH_WORDS];
        looks(wall, film, seen ? shell : NULL, lab);
        double dE = fh_de2000(lab[0], lab[1]);
        fh_words_of_difference(lab[0], lab[1], words);
        worst = dE; /* the last one is what people see */
        if (object) {
            json_t *one = cli_json_object(object, seen ? "seen" : "bare");
            cli_json_number(cli, one, "dE00", dE);
            cli_json_text(one, "words", words);
        } else {
            char phrase[FH_PHRASE];
            fh_words_with_size(lab[0], lab[1], phrase);
            cli_print(cli, "  %-4s  ΔE00 %.2f, %s\n", seen ? "seen" : "bare", dE, phrase);
        }
    }
    if (worst >= 1.0)
        cli_note(cli, "this wall is not the library's swatch: print and read a coupon of the "
                      "part's own wall, infill and orientation, with what will be behind it");
}
