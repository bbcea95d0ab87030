/* farhue hide: how much of a paint or a printed wall hides what is behind it. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "cli/coats.h"
#include "cli/face.h"
#include "cli/hide_part.h"
#include "cli/shell_input.h"
#include "farhue/difference.h"
#include "farhue/hide.h"
#include "farhue/mix.h"
#include "farhue/words.h"

typedef struct job {
    size_t count;
    cli_pair pairs[FH_FILM_SAMPLES];
    double amounts[FH_FILM_SAMPLES], most;
    fh_film_kind kind;
    double index;
    fh_film film;
    fh_film_report report;
    fh_finish face;      /* of the finished part, where it isn't as read */
    fh_spectrum as_read; /* opaque, without the finish */
    cli_coats coats;
    cli_part_wall wall;
    fh_shell_record *shell;
} job;

/* --amount once for all looks, or once for each; without it the readings' thickness. */
static int read_amounts(cli_context *cli, job *j)
{
    size_t given = 0;
    while (given < FH_FILM_SAMPLES && cli_value_at(cli, "amount", given)) ++given;
    if (given > 1 && given != j->count)
        return cli_usage(cli, "%zu amounts for %zu looks; expected one for all or one for each",
                         given, j->count);
    for (size_t i = 0; i < j->count; ++i) {
        if (given == 0) {
            j->amounts[i] = j->pairs[i].look.method.thickness_mm;
            if (!(j->amounts[i] > 0.0))
                return cli_usage(cli,
                                 "the look '%s' says nothing of its thickness; expected "
                                 "THICKNESS_MM in its file, or --amount",
                                 j->pairs[i].look.id);
        } else {
            const char *text = cli_value_at(cli, "amount", given == 1 ? 0 : i);
            if (!fh_parse_number(fh_slice_of(text), &j->amounts[i]) || !(j->amounts[i] > 0.0) ||
                j->amounts[i] > 1e6)
                return cli_usage(cli, "--amount %s; expected a number above 0", text);
        }
        j->most = fmax(j->most, 1000.0 * j->amounts[i]);
    }
    if (!j->coats.unit) j->coats.unit = given == 0 ? "mm" : "units";
    return CLI_DONE;
}

/* Standard deviation of the logarithm of what a brush or a can lays on (common practice, no
 * source).
 */
static const double coats_vary = 0.10;

static int read_options(cli_context *cli, job *j)
{
    j->kind = cli_flag(cli, "wall") ? FH_FILM_WALL : FH_FILM_COAT;
    j->index = j->kind == FH_FILM_WALL ? 1.5 : 0.0;
    int code = cli_index(cli, &j->index);
    if (!code) code = cli_face_read(cli, &j->face);
    if (!code && cli_face_given(&j->face) && j->kind == FH_FILM_WALL)
        return cli_usage(cli,
                         "--clear-coat and --gloss are of a coat of paint; expected no --wall");
    if (!code) code = cli_coats_read(cli, &j->coats);
    if (j->kind == FH_FILM_COAT) j->coats.doubt = fh_paint_safety(coats_vary);
    if (!code) code = cli_number(cli, "tolerance", 0.05, 20.0, &j->coats.tolerance);
    if (!code) code = cli_part_wall_read(cli, &j->wall);
    return code ? code : cli_through(cli, false, &j->shell);
}

/* L* without the light that a matt face spreads. */
static double lightness(const job *j, const fh_reading *r)
{
    const double index = j->index >= 1.0 ? j->index : FH_INDEX_USUAL;
    return fmax(0.0, fh_lightness_without(r->lab.L, fh_surface_veil(index, &r->method)));
}

/* Of one amount, the look over the darker backing is never the lighter one. */
static int check_order(cli_context *cli, const job *j)
{
    static const double slack = 1.0; /* L* */
    for (size_t a = 0; a < j->count; ++a)
        for (size_t b = 0; b < j->count; ++b) {
            const cli_pair *dark = &j->pairs[a], *light = &j->pairs[b];
            const bool same = fabs(j->amounts[a] / j->amounts[b] - 1.0) < 1e-9;
            if (!same || lightness(j, &dark->backing) > lightness(j, &light->backing) - slack)
                continue;
            const double over_dark = lightness(j, &dark->look);
            const double over_light = lightness(j, &light->look);
            if (over_dark > over_light + slack)
                return cli_fail_text(cli, FH_E_DATA,
                                     "the look over %s (L* %.1f) is lighter than that over %s (L* "
                                     "%.1f), which is the lighter backing; expected looks and "
                                     "backings that belong together",
                                     dark->backing.id, over_dark, light->backing.id, over_light);
        }
    return CLI_DONE;
}

static int fit(cli_context *cli, job *j)
{
    static const double doesnt_fit = 2.0; /* ΔE00 (common practice, no source) */
    const int code = check_order(cli, j);
    if (code) return code;
    fh_film_sample samples[FH_FILM_SAMPLES];
    fh_error error = {0};
    for (size_t i = 0; i < j->count; ++i)
        samples[i] = (fh_film_sample){&j->pairs[i].look, &j->pairs[i].backing, j->amounts[i]};
    if (fh_film_fit(j->kind, samples, j->count, j->index, &j->film, &j->report, &error))
        return cli_fail(cli, &error);
    for (size_t i = 0; i < j->count; ++i)
        if (j->pairs[i].look.origin == FH_ORIGIN_LAB ||
            j->pairs[i].backing.origin == FH_ORIGIN_LAB) {
            cli_note(cli,
                     "readings of Lab only: their spectra are estimated, so K and S are rough");
            break;
        }
    if (j->report.worst > doesnt_fit)
        cli_note(
            cli,
            "these looks don't fit one %s: met within ΔE00 %.1f only; check backings and amounts",
            j->kind == FH_FILM_WALL ? "wall" : "coat", j->report.worst);
    if (j->report.loose > 0)
        cli_note(cli,
                 "in %zu of %d bands these readings don't fix the scattering; what is said of "
                 "hiding there is a guess (read it thinner, over black)",
                 j->report.loose, (int)FH_BANDS);
    return CLI_DONE;
}

/* From here on the film is looked at with its finish. */
static int finish(cli_context *cli, job *j)
{
    j->as_read = fh_film_thick(&j->film);
    if (!cli_face_given(&j->face)) return CLI_DONE;
    cli_face_note(cli, &j->face, j->film.index);
    switch (fh_surface_finished(j->film.index, &j->film.surface, j->face, j->film.geometry,
                                j->film.specular, &j->film.top)) {
    case FH_OK:
        return CLI_DONE;
    case FH_E_IMPOSSIBLE:
        if (cli_value(cli, "index"))
            return cli_fail_text(cli, FH_E_DATA,
                                 "--gloss: a paint of index 1 is without a face; "
                                 "expected --index 1.5 or so");
        return cli_fail_text(cli, FH_E_DATA,
                             "--gloss: these looks fit best as a paint without a face; expected "
                             "--index 1.5, or GLOSS with the readings");
    default:
        return cli_fail_text(cli, FH_E_DATA,
                             "the mirror reflection is said to be included in a 45/0 reading; "
                             "expected it excluded");
    }
}

/* ΔE00 of the film as read from the same material in great thickness, over dark and light. */
static void from_thick(const job *j, double dE[2])
{
    const fh_hide_scene *scene = &j->coats.scene[0];
    fh_spectrum thick = fh_film_thick(&j->film);
    fh_lab own = fh_lab_of_spectrum(&thick, &scene->weights);
    fh_hiding now = fh_hide_at(&j->film, j->amounts[0], scene);
    dE[0] = fh_de2000(own, now.dark);
    dE[1] = fh_de2000(own, now.light);
}

static void print_finish(cli_context *cli, const job *j)
{
    const fh_spectrum with = fh_film_thick(&j->film);
    cli_face_report(cli, &j->face, &j->as_read, &with);
}

static void report_text(cli_context *cli, const job *j)
{
    fh_hiding now[2];
    double amount = j->amounts[0];
    cli_print(cli,
              "K and S of a %s from %zu look%s, index %.3g: met within ΔE00 %.2f (mean %.2f).\n",
              j->kind == FH_FILM_WALL ? "printed wall" : "coat", j->count, j->count > 1 ? "s" : "",
              j->film.index, j->report.worst, j->report.mean);
    print_finish(cli, j);
    for (int seen = 0; seen < (j->shell ? 2 : 1); ++seen) {
        now[seen] = fh_hide_at(&j->film, amount, &j->coats.scene[seen]);
        cli_print(cli, "At %.3g %s, %s: contrast ratio %.3f, ΔE00 %.2f, %s.\n", amount,
                  j->coats.unit, seen ? "seen through the shell" : "bare", now[seen].ratio,
                  now[seen].dE, fh_words_of_size(now[seen].dE));
    }
    cli_print(cli, "Between %s.\n\n",
              j->coats.over ? "the film over the part and so much of it that the part can't show"
                            : "the film over black and over white (0.80)");
    if (j->kind == FH_FILM_WALL && !j->coats.over) {
        double dE[2];
        from_thick(j, dE);
        cli_print(cli,
                  "Such a wall isn't the swatch of its material: over black it looks ΔE00 %.1f, "
                  "over white %.1f from a thick piece.\n\n",
                  dE[0], dE[1]);
    }
    cli_coats_print(cli, &j->coats);
    if (cli_coats_have_safe(&j->coats))
        cli_print(cli,
                  "To be safe: were the coats, or the paint, weaker than read by two standard "
                  "deviations, %.0f %% (common practice).\n",
                  100.0 * (1.0 - 1.0 / j->coats.doubt));
    if (j->kind == FH_FILM_COAT) cli_put_painting_cautions(cli);
}

static void report_json(cli_context *cli, const job *j)
{
    cli_json_text(cli->root, "kind", j->kind == FH_FILM_WALL ? "wall" : "coat");
    cli_json_text(cli->root, "unit", j->coats.unit);
    cli_json_number(cli, cli->root, "index", j->film.index);
    cli_json_number(cli, cli->root, "fit_dE00", j->report.mean);
    cli_json_number(cli, cli->root, "fit_worst_dE00", j->report.worst);
    cli_json_numbers(cli, cli->root, "K", j->film.K.v, FH_BANDS);
    cli_json_numbers(cli, cli->root, "S", j->film.S.v, FH_BANDS);
    for (int seen = 0; seen < (j->shell ? 2 : 1); ++seen) {
        json_t *one = cli_json_object(cli->root, seen ? "seen" : "bare");
        fh_hiding now = fh_hide_at(&j->film, j->amounts[0], &j->coats.scene[seen]);
        cli_json_number(cli, one, "amount", j->amounts[0]);
        cli_json_number(cli, one, "ratio", now.ratio);
        cli_json_number(cli, one, "dE00", now.dE);
    }
    double thick[2];
    from_thick(j, thick);
    cli_json_numbers(cli, cli->root, "from_thick_dE00", thick, 2);
    print_finish(cli, j);
    cli_coats_json(cli, &j->coats, cli->root);
    if (j->kind == FH_FILM_COAT) cli_put_painting_cautions(cli);
}

static int run(cli_context *cli)
{
    job *j = cli_keep(cli, fh_allocate(1, sizeof *j));
    if (!j) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    int code = read_options(cli, j);
    if (!code)
        code =
            cli_pairs(cli, cli->operands, cli->operand_count, j->pairs, FH_FILM_SAMPLES, &j->count);
    if (!code) code = read_amounts(cli, j);
    if (!code) code = fit(cli, j);
    if (!code) code = finish(cli, j);
    if (!code) code = cli_part_wall_check(cli, &j->wall, &j->film);
    if (!code)
        code = cli_coats_find(cli, &j->coats, &j->film, j->most,
                              j->shell ? &j->shell->shell.curves : NULL);
    if (code) return code;
    if (cli->json)
        report_json(cli, j);
    else
        report_text(cli, j);
    j->wall.behind = j->coats.over ? j->coats.part.id : NULL;
    j->wall.below = j->coats.scene[0].dark;
    j->wall.unit = j->coats.unit;
    cli_part_wall_report(cli, &j->wall, &j->film, j->shell ? &j->shell->shell.curves : NULL);
    return CLI_DONE;
}

static const cli_option options[] = {
    {"amount", 'a', "NUMBER",
     "how much was on the backing: once for all looks or once for each (else THICKNESS_MM)", true},
    CLI_COATS_OPTIONS,
    {"wall", 'w', NULL, "a printed wall with air on both sides, not a coat of paint", false},
    {"index", 'n', "N",
     "refractive index (1.5; of a coat with four looks and more one that fits clearly better)",
     false},
    CLI_FACE_OPTIONS,
    {"shell", 's', "SHELL", "the shell's file, for the look behind it (shell.txt if there)", false},
    {"tolerance", 0, "T", "what still counts as hidden, ΔE00 (1)", false},
    {"part-wall", 0, "AMOUNT",
     "the part's wall, over --over or hollow: by how much it is not the library's swatch", false},
    {"swatch", 0, "READING", "that swatch (else so thick that nothing shows through)", false},
    {0},
};

const cli_command cli_hide = {
    .name = "hide",
    .summary = "how many coats, or millimetres, hide what is behind",
    .usage = "[FILE | LOOK=BACKING]...",
    .details =
        "Finds K and S of a paint or a printed wall from looks over black and white (or a ladder "
        "of\n"
        "amounts), and from them the amount that hides: by the contrast ratio 0.98 of the trade "
        "and\n"
        "by ΔE00, bare and as seen through the shell. The shell forgives: behind it fewer coats "
        "may\n"
        "do. Files hold looks that name their backing (SAMPLE_BACKING), or the backing and then "
        "the\n"
        "look over it.\n\n"
        "  farhue hide sage-black.txt sage-white.txt --amount 1 --unit-name coats --coat 1 \\\n"
        "      --drying 2 --over print.txt#grey -s shell.txt\n"
        "  farhue hide wall-black.txt wall-white.txt --wall --amount 0.8 --unit-name mm \\\n"
        "      --part-wall 1.2 --swatch shelf.txt#sage\n",
    .options = options,
    .least = 1,
    .most = CLI_ANY,
    .run = run,
};
