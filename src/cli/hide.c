/* farhue hide: how much of a paint or a printed wall hides what is behind it. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "cli/hide_part.h"
#include "cli/shell_input.h"
#include "cli/table.h"
#include "farhue/difference.h"
#include "farhue/hide.h"
#include "farhue/words.h"

/* One goal, bare and seen; amount negative: not with any amount that was tried. */
typedef struct wanted {
    const char *key, *name;
    fh_hide_goal goal;
    double amount[2];
} wanted;

enum { GOALS = 2 };

typedef struct job {
    size_t count;
    cli_pair pairs[FH_FILM_SAMPLES];
    double amounts[FH_FILM_SAMPLES], most;
    fh_film_kind kind;
    double index, tolerance, coat, drying;
    const char *unit;
    fh_film film;
    fh_film_report report;
    bool over;
    fh_reading part;
    cli_part_wall wall;
    fh_shell_record *shell;
    fh_hide_scene scene[2]; /* bare, seen */
    wanted goals[GOALS];
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
    if (!j->unit) j->unit = given == 0 ? "mm" : "units";
    return CLI_DONE;
}

static int read_options(cli_context *cli, job *j)
{
    j->kind = cli_flag(cli, "wall") ? FH_FILM_WALL : FH_FILM_COAT;
    j->index = j->kind == FH_FILM_WALL ? 1.5 : 0.0;
    j->tolerance = 1.0;
    j->unit = cli_value(cli, "unit-name");
    int code = cli_index(cli, &j->index);
    if (!code) code = cli_number(cli, "tolerance", 0.05, 20.0, &j->tolerance);
    if (!code) code = cli_number(cli, "coat", 1e-6, 1e6, &j->coat);
    if (!code) code = cli_number(cli, "drying", 0.0, 1000.0, &j->drying);
    if (!code && cli_value(cli, "over")) {
        code = cli_colour(cli, cli_value(cli, "over"), &j->part);
        j->over = true;
    }
    if (!code) code = cli_part_wall_read(cli, &j->wall);
    return code ? code : cli_through(cli, false, &j->shell);
}

static int fit(cli_context *cli, job *j)
{
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
    if (j->report.loose > 0)
        cli_note(cli,
                 "in %zu of %d bands these readings don't fix the scattering; what is said of "
                 "hiding there is a guess (read it thinner, over black)",
                 j->report.loose, (int)FH_BANDS);
    return CLI_DONE;
}

static int find_amounts(cli_context *cli, job *j)
{
    j->scene[0] = fh_hide_scene_standard();
    if (j->over) {
        if (j->part.origin == FH_ORIGIN_LAB)
            return cli_fail_text(cli, FH_E_DATA,
                                 "--over %s: the part is known as Lab only; expected "
                                 "a spectrum",
                                 j->part.id);
        j->scene[0] = fh_hide_scene_over(&j->film, &j->part.reflectance);
    }
    j->scene[1] = j->scene[0];
    if (j->shell) j->scene[1].shell = &j->shell->shell.curves;
    j->goals[0] = (wanted){"ratio", "contrast ratio 0.98", {FH_HIDE_RATIO, HUGE_VAL}, {-1, -1}};
    j->goals[1] = (wanted){"difference", "ΔE00", {0.0, j->tolerance}, {-1, -1}};
    for (size_t g = 0; g < GOALS; ++g)
        for (int seen = 0; seen < (j->shell ? 2 : 1); ++seen)
            (void)fh_hide_amount(&j->film, &j->scene[seen], j->goals[g].goal, j->most,
                                 &j->goals[g].amount[seen]);
    return CLI_DONE;
}

static double coats_of(const job *j, double amount)
{
    return j->coat > 0.0 ? ceil(amount / j->coat - 1e-3) : -1.0;
}

static void cell_amount(cli_table *table, const job *j, double amount)
{
    double coats = coats_of(j, amount);
    if (amount < 0.0)
        cli_cell(table, "never");
    else if (coats < 0.0)
        cli_cell(table, "%.3g %s", amount, j->unit);
    else
        cli_cell(table, "%.3g %s, %.0f coat%s", amount, j->unit, coats, coats > 1.0 ? "s" : "");
}

static void report_hours(cli_context *cli, const job *j)
{
    const wanted *goal = &j->goals[1];
    for (int seen = 0; seen < (j->shell ? 2 : 1); ++seen) {
        double coats = coats_of(j, goal->amount[seen]);
        if (goal->amount[seen] < 0.0 || coats < 1.0) continue;
        cli_print(cli,
                  "%s, ΔE00 %.2g takes %.0f coat%s: %.3g hours of drying, %.3g until the last one "
                  "may be coated or handled.\n",
                  seen ? "Seen through the shell" : "Bare", j->tolerance, coats,
                  coats > 1.0 ? "s" : "", (coats - 1.0) * j->drying, coats * j->drying);
    }
}

/* ΔE00 of the film as read from the same material in great thickness, over dark and light. */
static void from_thick(const job *j, double dE[2])
{
    const fh_hide_scene *scene = &j->scene[0];
    fh_spectrum thick = fh_film_thick(&j->film);
    fh_lab own = fh_lab_of_spectrum(&thick, &scene->weights);
    fh_hiding now = fh_hide_at(&j->film, j->amounts[0], scene);
    dE[0] = fh_de2000(own, now.dark);
    dE[1] = fh_de2000(own, now.light);
}

static void report_text(cli_context *cli, const job *j)
{
    static const char *const headings[] = {"hidden when", "bare", "seen through the shell"};
    fh_hiding now[2];
    double amount = j->amounts[0];
    cli_print(cli,
              "K and S of a %s from %zu look%s, index %.3g: met within ΔE00 %.2f (mean %.2f).\n",
              j->kind == FH_FILM_WALL ? "printed wall" : "coat", j->count, j->count > 1 ? "s" : "",
              j->film.index, j->report.worst, j->report.mean);
    for (int seen = 0; seen < (j->shell ? 2 : 1); ++seen) {
        now[seen] = fh_hide_at(&j->film, amount, &j->scene[seen]);
        cli_print(cli, "At %.3g %s, %s: contrast ratio %.3f, ΔE00 %.2f, %s.\n", amount, j->unit,
                  seen ? "seen through the shell" : "bare", now[seen].ratio, now[seen].dE,
                  fh_words_of_size(now[seen].dE));
    }
    cli_print(cli, "Between %s.\n\n",
              j->over ? "the film over the part and so much of it that the part can't show"
                      : "the film over black and over white (0.80)");
    if (j->kind == FH_FILM_WALL && !j->over) {
        double dE[2];
        from_thick(j, dE);
        cli_print(cli,
                  "Such a wall isn't the swatch of its material: over black it looks ΔE00 %.1f, "
                  "over white %.1f from a thick piece.\n\n",
                  dE[0], dE[1]);
    }
    cli_table table = cli_table_begin(j->shell ? "lll" : "ll", headings);
    for (size_t g = 0; g < GOALS; ++g) {
        if (g == 0)
            cli_cell(&table, "%s", j->goals[g].name);
        else
            cli_cell(&table, "%s at most %.2g", j->goals[g].name, j->tolerance);
        cell_amount(&table, j, j->goals[g].amount[0]);
        if (j->shell) cell_amount(&table, j, j->goals[g].amount[1]);
    }
    cli_table_print(cli, &table);
    if (j->drying > 0.0) report_hours(cli, j);
    if (j->kind == FH_FILM_COAT) cli_put_painting_cautions(cli);
}

static void json_amount(cli_context *cli, json_t *goal, const job *j, const char *key,
                        double amount)
{
    json_t *one = cli_json_object(goal, key);
    double coats = coats_of(j, amount);
    cli_json_bool(one, "possible", amount >= 0.0);
    if (amount < 0.0) return;
    cli_json_number(cli, one, "amount", amount);
    if (coats < 0.0) return;
    cli_json_number(cli, one, "coats", coats);
    if (j->drying > 0.0) cli_json_number(cli, one, "hours", coats * j->drying);
}

static void report_json(cli_context *cli, const job *j)
{
    cli_json_text(cli->root, "kind", j->kind == FH_FILM_WALL ? "wall" : "coat");
    cli_json_text(cli->root, "unit", j->unit);
    cli_json_number(cli, cli->root, "index", j->film.index);
    cli_json_number(cli, cli->root, "fit_dE00", j->report.mean);
    cli_json_number(cli, cli->root, "fit_worst_dE00", j->report.worst);
    cli_json_numbers(cli, cli->root, "K", j->film.K.v, FH_BANDS);
    cli_json_numbers(cli, cli->root, "S", j->film.S.v, FH_BANDS);
    for (int seen = 0; seen < (j->shell ? 2 : 1); ++seen) {
        json_t *one = cli_json_object(cli->root, seen ? "seen" : "bare");
        fh_hiding now = fh_hide_at(&j->film, j->amounts[0], &j->scene[seen]);
        cli_json_number(cli, one, "amount", j->amounts[0]);
        cli_json_number(cli, one, "ratio", now.ratio);
        cli_json_number(cli, one, "dE00", now.dE);
    }
    double thick[2];
    from_thick(j, thick);
    cli_json_numbers(cli, cli->root, "from_thick_dE00", thick, 2);
    json_t *goals = cli_json_array(cli->root, "goals");
    for (size_t g = 0; g < GOALS; ++g) {
        json_t *goal = cli_json_append(goals);
        cli_json_text(goal, "goal", j->goals[g].key);
        cli_json_number(cli, goal, "limit", g == 0 ? FH_HIDE_RATIO : j->tolerance);
        json_amount(cli, goal, j, "bare", j->goals[g].amount[0]);
        if (j->shell) json_amount(cli, goal, j, "seen", j->goals[g].amount[1]);
    }
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
    if (!code) code = find_amounts(cli, j);
    if (code) return code;
    if (cli->json)
        report_json(cli, j);
    else
        report_text(cli, j);
    j->wall.has_behind = j->over;
    j->wall.behind = j->part;
    j->wall.unit = j->unit;
    cli_part_wall_report(cli, &j->wall, &j->film, j->shell ? &j->shell->shell.curves : NULL);
    return CLI_DONE;
}

static const cli_option options[] = {
    {"amount", 'a', "NUMBER",
     "how much was on the backing: once for all looks or once for each (else THICKNESS_MM)", true},
    {"unit-name", 0, "NAME", "what the amounts are in: mm, ml, coats (mm)", false},
    {"wall", 'w', NULL, "a printed wall with air on both sides, not a coat of paint", false},
    {"index", 'n', "N", "refractive index (a wall: 1.5; a coat: the one that fits best)", false},
    {"over", 0, "READING", "what is to be hidden: an existing part (else black and white)", false},
    {"shell", 's', "SHELL", "the shell's file, for the look behind it (shell.txt if there)", false},
    {"tolerance", 0, "T", "what still counts as hidden, ΔE00 (1)", false},
    {"part-wall", 0, "AMOUNT",
     "the part's wall, over --over or hollow: by how much it is not the library's swatch", false},
    {"swatch", 0, "READING", "that swatch (else so thick that nothing shows through)", false},
    {"coat", 0, "AMOUNT", "what one coat lays on, in the same unit: answers in coats", false},
    {"drying", 0, "HOURS", "drying time of a coat: answers in hours", false},
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
