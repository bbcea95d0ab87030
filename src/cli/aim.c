/* farhue aim: the inner part that a look asks for. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "cli/mode.h"
#include "cli/shell_input.h"
#include "cli/table.h"
#include "farhue/aim.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "farhue/words.h"

typedef struct job {
    fh_reading look, part;
    bool has_part;
    fh_shell_record *shell;
    fh_aim aim;
    fh_lab part_lab; /* in the condition of the look */
    double part_dE;
    bool part_agrees; /* within what look, shell and part leave open */
} job;

static void row(cli_table *table, const char *what, fh_lab lab, const fh_mat3 *covariance)
{
    const double v[3] = {lab.L, lab.a, lab.b};
    cli_cell(table, "%s", what);
    cli_cell_patch(table, lab);
    for (int c = 0; c < 3; ++c) {
        cli_cell(table, "%.2f", v[c]);
        if (covariance)
            cli_cell(table, "%.2f", 1.96 * sqrt(fmax(0.0, covariance->m[c][c])));
        else
            cli_cell(table, "%s", "");
    }
}

static void report_text(cli_context *cli, const job *j)
{
    static const char *const headings[] = {"", "", "L*", "±", "a*", "±", "b*", "±"};
    const fh_aim *aim = &j->aim;
    fh_mat3 look = fh_reading_covariance(&j->look), inner = fh_reading_covariance(&aim->inner);
    char condition[FH_CONDITION_TEXT], words[FH_WORDS];
    fh_condition_text(j->look.condition, condition);
    cli_table table = cli_table_begin("lprrrrrr", headings);
    row(&table, "wanted look", j->look.lab, &look);
    row(&table, "its look", aim->reached, NULL);
    row(&table, "inner part", aim->inner.lab, &inner);
    if (j->has_part) row(&table, "part as measured", j->part_lab, NULL);
    cli_table_print(cli, &table);
    cli_print(cli, "\nFor %s; ± is half of the 95 %% interval. ", condition);
    if (aim->possible) {
        cli_print(cli,
                  "The inner part is the likeliest of all that look so; what the shell hides leaves "
                  "it open by %.2f (standard uncertainty).\n",
                  aim->open);
    } else {
        fh_words_of_difference(j->look.lab, aim->reached, words);
        cli_print(cli,
                  "No part behind this shell can have that look. The inner part is the one that "
                  "comes nearest; its look stays ΔE00 %.2f away: %s.\n",
                  aim->dE, words);
    }
    if (!j->has_part) return;
    fh_words_of_difference(aim->inner.lab, j->part_lab, words);
    cli_print(cli, "The part as measured ('%s') is ΔE00 %.2f from that (%s)%s", j->part.id,
              j->part_dE, words,
              j->part_agrees ? ", which lies within what look, shell and part leave open (95 %).\n"
                             : ": more than look, shell and part leave open (95 %), and ");
    if (!j->part_agrees)
        cli_print(cli, "%s.%s\n", fh_words_of_size(j->part_dE),
                  j->part_dE < 2.0 ? "" : " The two don't add up; check what was read.");
}

static void report_json(cli_context *cli, const job *j)
{
    const fh_aim *aim = &j->aim;
    fh_mat3 covariance = fh_reading_covariance(&aim->inner);
    double half[3];
    for (int c = 0; c < 3; ++c) half[c] = 1.96 * sqrt(fmax(0.0, covariance.m[c][c]));
    cli_json_lab(cli, cli->root, "wanted", j->look.lab);
    cli_json_condition(cli->root, "condition", j->look.condition);
    cli_json_lab(cli, cli->root, "lab", aim->inner.lab);
    cli_json_numbers(cli, cli->root, "lab_95", half, 3);
    cli_json_number(cli, cli->root, "open", aim->open);
    cli_json_lab(cli, cli->root, "seen", aim->reached);
    cli_json_number(cli, cli->root, "dE00", aim->dE);
    cli_json_bool(cli->root, "possible", aim->possible);
    cli_json_bool(cli->root, "estimated", true);
    cli_json_numbers(cli, cli->root, "reflectance", aim->inner.reflectance.v, FH_BANDS);
    if (!j->has_part) return;
    json_t *part = cli_json_object(cli->root, "part");
    cli_json_text(part, "id", j->part.id);
    cli_json_lab(cli, part, "lab", j->part_lab);
    cli_json_number(cli, part, "dE00", j->part_dE);
    cli_json_bool(part, "agrees", j->part_agrees);
}

/* Does the measured part lie in the 95 % ellipsoid of the difference? d' C^-1 d against the 0.95
 * quantile of chi squared with three degrees of freedom [JCGM102]. A difference that is certain has
 * no inverse: then only equal colours agree. */
static bool agrees(const fh_reading *aimed, const fh_reading *part)
{
    const double quantile = 7.815;
    const fh_vec3 d = {
        {part->lab.L - aimed->lab.L, part->lab.a - aimed->lab.a, part->lab.b - aimed->lab.b}};
    fh_mat3 covariance, inverse;
    if (fh_reading_difference_covariance(aimed, part, &covariance) ||
        fh_mat3_inverse(covariance, &inverse))
        return fh_de2000(aimed->lab, part->lab) < 0.01;
    const fh_vec3 x = fh_mat3_apply(inverse, d);
    return d.v[0] * x.v[0] + d.v[1] * x.v[1] + d.v[2] * x.v[2] <= quantile;
}

static int compare_part(cli_context *cli, job *j)
{
    fh_error error = {0};
    const fh_weights weights = fh_weights_of(j->look.condition);
    const char *text = cli_value(cli, "part");
    fh_reading *moved;
    if (!text) return CLI_DONE;
    int code = cli_colour(cli, text, &j->part);
    if (!code) code = cli_into_mode(cli, &j->part, &j->shell->shell.method, "the shell");
    if (code) return code;
    moved = cli_keep(cli, fh_allocate(1, sizeof *moved));
    if (!moved) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    if (fh_reading_in_condition(&j->part, &weights, moved, &error)) return cli_fail(cli, &error);
    j->has_part = true;
    j->part_lab = moved->lab;
    j->part_dE = fh_de2000(j->aim.inner.lab, moved->lab);
    j->part_agrees = agrees(&j->aim.inner, moved);
    return CLI_DONE;
}

static int save(cli_context *cli, const job *j)
{
    fh_text text = {0};
    if (fh_library_write(&j->aim.inner, 1, "Inner part worked back from a look", NULL, &text))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    int code = cli_product(cli, text.bytes, text.length);
    fh_text_free(&text);
    return code;
}

static int run(cli_context *cli)
{
    fh_error error = {0};
    job *j = cli_keep(cli, fh_allocate(1, sizeof *j));
    if (!j) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    int code = cli_through(cli, true, &j->shell);
    if (!code) code = cli_colour(cli, cli->operands[0], &j->look);
    if (!code) code = cli_require_mode(cli, &j->look, &j->shell->shell.method, "the shell");
    if (code) return code;
    if (fh_aim_at(&j->shell->shell, &j->look, &j->aim, &error)) return cli_fail(cli, &error);
    code = compare_part(cli, j);
    if (code) return code;
    if (!j->aim.possible)
        cli_note(cli,
                 "no part behind this shell can have that look; the nearest is given, ΔE00 %.2f "
                 "away",
                 j->aim.dE);
    if (cli->json)
        report_json(cli, j);
    else
        report_text(cli, j);
    return save(cli, j);
}

static const cli_option options[] = {
    {"shell", 's', "SHELL", "the shell's file (shell.txt, or the job's)", false},
    {"part", 'p', "READING", "the part as it was measured, to show the disagreement", false},
    {0},
};

const cli_command cli_aim = {
    .name = "aim",
    .summary = "the inner part that a wanted look asks for",
    .usage = "LOOK",
    .details =
        "Works back from the look of the assembled thing to the colour that the inner part needs.\n"
        "Of the many reflectances that look so, the likeliest is given, with what the readings "
        "and\n"
        "the shell leave open. Where no part can have that look, it says so and gives the "
        "nearest.\n"
        "-o FILE writes the inner part as a reading, for `spec` and `rank`, which say that it was\n"
        "worked back.\n\n"
        "  farhue aim look.txt#face --shell shell.txt -o part.txt\n"
        "  farhue aim lab:58.2,9.1,47.0 -s shell.txt -p part.txt#dial\n",
    .options = options,
    .least = 1,
    .most = 1,
    .run = run,
};
