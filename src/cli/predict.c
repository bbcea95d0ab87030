/* farhue predict: the look of an inner part through a shell. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "cli/mode.h"
#include "cli/shell_input.h"
#include "cli/table.h"
#include "farhue/difference.h"
#include "farhue/draw.h"
#include "farhue/estimate.h"
#include "farhue/words.h"

enum { TRIALS = 1000, SEED = 1 };

/* One light: the look, and what a measured look says of it. */
typedef struct sight {
    fh_condition light;
    fh_weights weights;
    fh_lab look, measured;
    double sd[3]; /* of the look's Lab */
    double dE, low, high;
} sight;

typedef struct job {
    fh_reading inner, measured;
    bool has_measured;
    fh_shell_record *shell;
    fh_estimate estimate, measured_estimate;
    fh_drawer inner_drawer, measured_drawer;
    size_t count;
    sight sights[CLI_LIGHTS + 1];
    double dE[TRIALS], lab[3][TRIALS];
} job;

static int prepare(cli_context *cli, const fh_reading *reading, const char *name,
                   fh_estimate *estimate, fh_drawer *drawer)
{
    fh_error error = {0};
    if (fh_estimate_of_reading(reading, estimate, &error)) return cli_fail(cli, &error);
    if (fh_drawer_of(reading, name, drawer))
        return cli_fail_text(cli, FH_E_DATA, "the uncertainty of %s is not a covariance",
                             reading->id);
    return CLI_DONE;
}

static fh_lab lab_of(const job *j, const fh_shell_curves *curves, const fh_spectrum *inner,
                     const sight *s)
{
    (void)j;
    fh_spectrum look = fh_shell_look(curves, inner);
    return fh_lab_of_spectrum(&look, &s->weights);
}

/* Lab of the measured look under a light: as read where that is the light, else by its spectrum. */
static fh_lab measured_lab(const job *j, const sight *s)
{
    if (fh_condition_equal(j->measured.condition, s->light)) return j->measured.lab;
    return fh_lab_of_spectrum(&j->measured_estimate.reflectance, &s->weights);
}

static fh_spectrum draw(const fh_estimate *estimate, const fh_drawer *drawer, const char *open,
                        uint64_t trial)
{
    double z[FH_ESTIMATE_MODES];
    const uint64_t stream = fh_draw_stream(open);
    for (size_t k = 0; k < estimate->mode_count; ++k) z[k] = fh_draw_normal(SEED, stream, trial, k);
    return fh_estimate_draw(estimate, fh_draw_error(drawer, SEED, trial), z);
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double spread(const double *values)
{
    double mean = 0.0, sum = 0.0;
    for (size_t t = 0; t < TRIALS; ++t) mean += values[t] / TRIALS;
    for (size_t t = 0; t < TRIALS; ++t) sum += (values[t] - mean) * (values[t] - mean);
    return sqrt(sum / (TRIALS - 1));
}

/* Monte Carlo over the errors of shell, part and measured look; shared sources are drawn once. */
static void simulate(cli_context *cli, job *j, sight *s, double begun)
{
    for (size_t t = 0; t < TRIALS; ++t) {
        if (t % 100 == 0) cli_show_progress(cli, begun + (double)t / TRIALS / (double)j->count);
        fh_shell_curves curves = fh_shell_draw(&j->shell->shell, SEED, t);
        fh_spectrum inner = draw(&j->estimate, &j->inner_drawer, "predict: inner, open", t);
        fh_lab look = lab_of(j, &curves, &inner, s);
        j->lab[0][t] = look.L;
        j->lab[1][t] = look.a;
        j->lab[2][t] = look.b;
        if (!j->has_measured) continue;
        fh_spectrum other =
            draw(&j->measured_estimate, &j->measured_drawer, "predict: measured look, open", t);
        j->dE[t] = fh_de2000(fh_lab_of_spectrum(&other, &s->weights), look);
    }
    for (int c = 0; c < 3; ++c) s->sd[c] = spread(j->lab[c]);
    if (!j->has_measured) return;
    qsort(j->dE, TRIALS, sizeof *j->dE, ascending);
    s->low = j->dE[TRIALS / 40];
    s->high = j->dE[TRIALS - TRIALS / 40 - 1];
}

static int predict(cli_context *cli, job *j)
{
    fh_condition lights[CLI_LIGHTS] = {{FH_ILLUMINANT_D65, FH_OBSERVER_10},
                                       {FH_ILLUMINANT_A, FH_OBSERVER_10},
                                       {FH_ILLUMINANT_LED_B1, FH_OBSERVER_10}};
    size_t count = 0;
    int code = cli_lights(cli, lights, &count);
    if (code) return code;
    fh_weights lamp;
    bool with_lamp;
    count = count ? count : 3;
    code = cli_lamp(cli, lights[0].observer, &lamp, &with_lamp);
    if (code) return code;
    j->count = count + with_lamp;
    for (size_t k = 0; k < j->count; ++k) {
        sight *s = &j->sights[k];
        s->weights = k < count ? fh_weights_of(lights[k]) : lamp;
        s->light = s->weights.condition;
        s->look = lab_of(j, &j->shell->shell.curves, &j->estimate.reflectance, s);
        if (j->has_measured) {
            s->measured = measured_lab(j, s);
            s->dE = fh_de2000(s->measured, s->look);
        }
        simulate(cli, j, s, (double)k / (double)j->count);
    }
    return CLI_DONE;
}

static void report_text(cli_context *cli, const job *j)
{
    static const char *const headings[] = {"under", "",   "L*", "±",    "a*",
                                           "±",     "b*", "±",  "ΔE00", "95 %"};
    cli_table table = cli_table_begin(j->has_measured ? "lprrrrrrrl" : "lprrrrrr", headings);
    for (size_t k = 0; k < j->count; ++k) {
        const sight *s = &j->sights[k];
        const double lab[3] = {s->look.L, s->look.a, s->look.b};
        char light[FH_CONDITION_TEXT];
        fh_condition_text(s->light, light);
        cli_cell(&table, "%s", light);
        cli_cell_patch(&table, s->look);
        for (int c = 0; c < 3; ++c) {
            cli_cell(&table, "%.2f", lab[c]);
            cli_cell(&table, "%.2f", 1.96 * s->sd[c]);
        }
        if (!j->has_measured) continue;
        cli_cell(&table, "%.2f", s->dE);
        cli_cell(&table, "%.2f–%.2f", s->low, s->high);
    }
    cli_table_print(cli, &table);
    cli_put(cli, "\n± is half of the 95 % interval, of shell and part together.\n");
    if (!j->has_measured) return;
    const sight *s = &j->sights[0];
    char words[FH_PHRASE];
    fh_words_with_size(s->measured, s->look, words);
    cli_print(cli,
              "Against the measured look '%s' (%.2f, %.2f, %.2f) the prediction is off by "
              "ΔE00 %.2f: %s.\n",
              j->measured.id, s->measured.L, s->measured.a, s->measured.b, s->dE, words);
}

static void report_json(cli_context *cli, const job *j)
{
    cli_json_text(cli->root, "inner", j->inner.id);
    cli_json_bool(cli->root, "estimated",
                  j->shell->shell.estimated || j->inner.origin != FH_ORIGIN_SPECTRUM);
    json_t *lights = cli_json_array(cli->root, "lights");
    for (size_t k = 0; k < j->count; ++k) {
        const sight *s = &j->sights[k];
        const double interval[2] = {s->low, s->high};
        json_t *one = cli_json_append(lights);
        cli_json_condition(one, "condition", s->light);
        cli_json_lab(cli, one, "lab", s->look);
        const double half[3] = {1.96 * s->sd[0], 1.96 * s->sd[1], 1.96 * s->sd[2]};
        cli_json_numbers(cli, one, "lab_95", half, 3);
        if (!j->has_measured) continue;
        cli_json_lab(cli, one, "measured", s->measured);
        cli_json_number(cli, one, "dE00", s->dE);
        cli_json_numbers(cli, one, "dE00_95", interval, 2);
    }
}

/* The look as a reading: spectrum, Lab under the first light, its uncertainty. */
static int save(cli_context *cli, const job *j)
{
    const sight *s = &j->sights[0];
    fh_reading look = fh_reading_blank();
    fh_text text = {0};
    fh_format(look.id, sizeof look.id, "%.50s-seen", j->inner.id);
    look.condition = s->light;
    look.reflectance = fh_shell_look(&j->shell->shell.curves, &j->estimate.reflectance);
    look.lab = s->look;
    look.origin = j->inner.origin == FH_ORIGIN_SPECTRUM ? FH_ORIGIN_SPECTRUM : FH_ORIGIN_ESTIMATED;
    look.random = fh_mat3_diagonal(s->sd[0] * s->sd[0], s->sd[1] * s->sd[1], s->sd[2] * s->sd[2]);
    look.method = j->shell->shell.method;
    fh_copy_text(look.note, sizeof look.note, "predicted, not measured");
    if (fh_library_write(&look, 1, "Predicted look of a part through a shell", NULL, &text))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    int code = cli_product(cli, text.bytes, text.length);
    fh_text_free(&text);
    return code;
}

/* Behind an opaque shell every part looks the same: true, and no use without being said. */
static void note_opaque(cli_context *cli, const fh_shell *shell)
{
    const fh_spectrum reach = fh_shell_reach(&shell->curves);
    for (size_t i = 0; i < FH_BANDS; ++i)
        if (reach.v[i] >= FH_SHELL_HIDDEN) return;
    cli_note(cli, "the shell hides the part in every band: any part looks the same behind it");
}

static int run(cli_context *cli)
{
    job *j = cli_keep(cli, fh_allocate(1, sizeof *j));
    if (!j) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    int code = cli_through(cli, true, &j->shell);
    if (!code) code = cli_colour(cli, cli->operands[0], &j->inner);
    if (!code) code = cli_into_mode(cli, &j->inner, &j->shell->shell.method, "the shell");
    if (!code) code = prepare(cli, &j->inner, "predict: inner", &j->estimate, &j->inner_drawer);
    j->has_measured = cli->operand_count > 1;
    if (!code && j->has_measured) code = cli_colour(cli, cli->operands[1], &j->measured);
    if (!code && j->has_measured)
        code = cli_require_mode(cli, &j->measured, &j->shell->shell.method, "the shell");
    if (!code && j->has_measured)
        code = prepare(cli, &j->measured, "predict: measured look", &j->measured_estimate,
                       &j->measured_drawer);
    if (!code) code = predict(cli, j);
    if (code) return code;
    note_opaque(cli, &j->shell->shell);
    if (cli->json)
        report_json(cli, j);
    else
        report_text(cli, j);
    return save(cli, j);
}

static const cli_option options[] = {
    {"shell", 's', "SHELL", "the shell's file (shell.txt, or the job's)", false},
    {"lights", 0, "COND,...", "conditions to predict for (D65/10,A/10,LED-B1/10)", false},
    CLI_LAMP_OPTION,
    {0},
};

const cli_command cli_predict = {
    .name = "predict",
    .summary = "the look of an inner part through a shell",
    .usage = "INNER [LOOK]",
    .details = "Computes how a part of the colour INNER looks through the shell, under each light, "
               "with the\n"
               "uncertainty of shell and part. Where the look of that very part was measured too, "
               "LOOK, it\n"
               "shows by how much the prediction is off: the test of whether the figures add up.\n"
               "A part known as Lab only goes through its estimated spectrum, and carries the "
               "uncertainty\n"
               "of that.\n\n"
               "  farhue predict chip.txt#chip chip.txt#hood --shell shell.txt\n"
               "  farhue predict lab:62.1,18.4,40.2 -s shell.txt\n",
    .options = options,
    .least = 1,
    .most = 2,
    .run = run,
};
