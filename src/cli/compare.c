/* farhue compare: the difference between two colours. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/mode.h"
#include "cli/table.h"
#include "cli/yellowing.h"
#include "farhue/difference.h"
#include "farhue/draw.h"
#include "farhue/estimate.h"
#include "farhue/words.h"

enum { TRIALS = 10000, SEED = 1 };

/* What the uncertainty of the two readings makes of ΔE00. */
typedef struct interval {
    bool known;
    double low, high, p_within;
} interval;

/* The figures of one light. */
typedef struct comparison {
    fh_condition light; /* of a lamp from a file no standard one */
    fh_lab a, b;
    bool estimated; /* one of them was converted without a spectrum */
    fh_difference d;
    double dE76, dE94, dE94_textile, cmc11, cmc21;
    interval range;
    cli_yellowing yellowing;
} comparison;

static comparison compare(fh_lab a, fh_lab b, fh_factors factors)
{
    return (comparison){.a = a,
                        .b = b,
                        .d = fh_de2000_parts(a, b, factors),
                        .dE76 = fh_de1976(a, b),
                        .dE94 = fh_de1994_graphic(a, b),
                        .dE94_textile = fh_de1994_textile(a, b),
                        .cmc11 = fh_decmc(a, b, 1, 1),
                        .cmc21 = fh_decmc(a, b, 2, 1)};
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Monte Carlo [JCGM101]: B moves about its place by the error of the difference. */
static interval find_interval(fh_lab a, fh_lab b, fh_mat3 lower, fh_factors factors,
                              double tolerance)
{
    double drawn[TRIALS];
    const uint64_t stream = fh_draw_stream("compare");
    size_t within = 0;
    for (size_t t = 0; t < TRIALS; ++t) {
        fh_vec3 z;
        for (uint64_t i = 0; i < 3; ++i) z.v[i] = fh_draw_normal(SEED, stream, t, i);
        fh_vec3 e = fh_mat3_apply(lower, z);
        fh_lab moved = {b.L + e.v[0], b.a + e.v[1], b.b + e.v[2]};
        drawn[t] = fh_de2000_parts(a, moved, factors).dE;
        within += drawn[t] <= tolerance;
    }
    qsort(drawn, TRIALS, sizeof *drawn, ascending);
    return (interval){true, drawn[TRIALS / 40], drawn[TRIALS - TRIALS / 40 - 1],
                      (double)within / TRIALS};
}

static int uncertainty(cli_context *cli, const fh_reading *a, const fh_reading *b,
                       fh_factors factors, double tolerance, interval *out)
{
    fh_mat3 covariance, lower;
    if (fh_reading_difference_covariance(a, b, &covariance) || fh_mat3_cholesky(covariance, &lower))
        return cli_fail_text(cli, FH_E_DATA, "the uncertainty of %s or %s is not a covariance",
                             a->id, b->id);
    double trace = covariance.m[0][0] + covariance.m[1][1] + covariance.m[2][2];
    if (trace > 0) *out = find_interval(a->lab, b->lab, lower, factors, tolerance);
    return CLI_DONE;
}

static int read_factors(cli_context *cli, fh_factors *out)
{
    const char *text = cli_value(cli, "factors");
    double *const to[3] = {&out->kL, &out->kC, &out->kH};
    for (size_t i = 0; text && i < 3; ++i) {
        size_t length = strcspn(text, ":");
        bool number = fh_parse_number((fh_slice){text, length}, to[i]);
        if (!number || *to[i] <= 0 || *to[i] > 100 || (text[length] == ':') != (i < 2))
            return cli_usage(cli,
                             "--factors %s: expected kL:kC:kH, three positive numbers such as "
                             "2:1:1",
                             cli_value(cli, "factors"));
        text += length + 1;
    }
    return CLI_DONE;
}

static bool has_spectrum(const fh_reading *reading)
{
    return reading->origin != FH_ORIGIN_LAB;
}

/* A reading under a light: as it was read, from its spectrum, or estimated. */
static int bring_to(cli_context *cli, const fh_reading *reading, const fh_weights *light,
                    fh_reading *out, bool *estimated)
{
    fh_error error = {0};
    if (fh_reading_in_condition(reading, light, out, &error)) return cli_fail(cli, &error);
    if (fh_condition_equal(reading->condition, light->condition) ||
        reading->origin == FH_ORIGIN_SPECTRUM)
        return CLI_DONE;
    char has[FH_CONDITION_TEXT];
    fh_condition_text(reading->condition, has);
    cli_note(cli,
             "%s is known by its Lab for %s only: what it is under another light is estimated, "
             "with the uncertainty that adds",
             reading->id, has);
    *estimated = true;
    return CLI_DONE;
}

static int compare_under(cli_context *cli, const fh_reading *a, const fh_reading *b,
                         const fh_weights *light, fh_factors factors, double tolerance,
                         comparison *out)
{
    fh_reading there[2];
    bool estimated = false;
    int code = bring_to(cli, a, light, &there[0], &estimated);
    if (!code) code = bring_to(cli, b, light, &there[1], &estimated);
    if (code) return code;
    *out = compare(there[0].lab, there[1].lab, factors);
    out->light = light->condition;
    out->estimated = estimated;
    out->yellowing = cli_yellowing_of(&there[0], &there[1]);
    return uncertainty(cli, &there[0], &there[1], factors, tolerance, &out->range);
}

/* The lights when none are asked for: those of the readings; with two spectra the usual three. */
static size_t usual_lights(const fh_reading *a, const fh_reading *b, fh_condition *lights)
{
    if (has_spectrum(a) && has_spectrum(b)) {
        fh_observer observer = a->condition.observer;
        lights[0] = (fh_condition){FH_ILLUMINANT_D65, observer};
        lights[1] = (fh_condition){FH_ILLUMINANT_A, observer};
        lights[2] = (fh_condition){FH_ILLUMINANT_LED_B1, observer};
        return 3;
    }
    lights[0] = has_spectrum(a) ? b->condition : a->condition;
    return 1;
}

static void describe(const char *which, const fh_reading *reading, cli_table *table)
{
    char condition[FH_CONDITION_TEXT];
    fh_lch lch = fh_lch_of_lab(reading->lab);
    fh_condition_text(reading->condition, condition);
    cli_cell(table, "%s", which);
    cli_cell_patch(table, reading->lab);
    cli_cell(table, "%s", reading->id);
    cli_cells_lab(table, reading->lab);
    cli_cell(table, "%.2f", lch.C);
    cli_cell(table, "%.1f", lch.h);
    cli_cell(table, "%s", condition);
}

/* "1.2 … 3.4", or a dash. */
static void range_cell(cli_table *table, const interval *range)
{
    if (range->known)
        cli_cell(table, "%.2f … %.2f", range->low, range->high);
    else
        cli_cell(table, "–");
}

/* ΔE00 under each light with its interval and components; true when one is estimated. */
static bool print_main(cli_context *cli, const comparison *found, size_t count)
{
    static const char *const headings[] = {"under", "ΔE00", "95 %", "ΔL′", "ΔC′", "ΔH′"};
    cli_table table = cli_table_begin("lrrrrr", headings);
    bool estimated = false;
    for (size_t i = 0; i < count; ++i) {
        const comparison *c = &found[i];
        char light[FH_CONDITION_TEXT];
        fh_condition_text(c->light, light);
        estimated = estimated || c->estimated;
        cli_cell(&table, "%s%s", light, c->estimated ? " *" : "");
        cli_cell(&table, "%.2f", c->d.dE);
        range_cell(&table, &c->range);
        cli_cell(&table, "%+.2f", c->d.dL);
        cli_cell(&table, "%+.2f", c->d.dC);
        cli_cell(&table, "%+.2f", c->d.dH);
    }
    cli_table_print(cli, &table);
    return estimated;
}

static void print_others(cli_context *cli, const comparison *found, size_t count)
{
    static const char *const headings[] = {"under",         "ΔE*ab",   "CIE94 graphic",
                                           "CIE94 textile", "CMC 1:1", "CMC 2:1"};
    cli_table table = cli_table_begin("lrrrrr", headings);
    for (size_t i = 0; i < count; ++i) {
        const comparison *c = &found[i];
        char light[FH_CONDITION_TEXT];
        fh_condition_text(c->light, light);
        cli_cell(&table, "%s", light);
        cli_cell(&table, "%.2f", c->dE76);
        cli_cell(&table, "%.2f", c->dE94);
        cli_cell(&table, "%.2f", c->dE94_textile);
        cli_cell(&table, "%.2f", c->cmc11);
        cli_cell(&table, "%.2f", c->cmc21);
    }
    cli_table_print(cli, &table);
}

/* How yellow both are, under the first light for which the index is meant; nothing for colours of
 * which yellowness says nothing. */
static void print_yellowing(cli_context *cli, const comparison *found, size_t count)
{
    size_t i = 0;
    while (i < count && !found[i].yellowing.apt) ++i;
    if (i == count) return;
    const cli_yellowing *y = &found[i].yellowing;
    char light[FH_CONDITION_TEXT];
    fh_condition_text(found[i].light, light);
    cli_print(cli, "\nYellowness index (E313) for %s: A %.1f, B %.1f", light, y->yi[0], y->yi[1]);
    if (y->half > 0.0)
        cli_print(cli, ", difference %+.1f ± %.1f", y->yi[1] - y->yi[0], y->half);
    else
        cli_print(cli, ", difference %+.1f", y->yi[1] - y->yi[0]);
    cli_print(cli, ".\nB is %s than A%s.\n", y->words,
              cli_yellowing_open(y) ? ", by less than the uncertainty of the difference" : "");
}

static void json_yellowing(cli_context *cli, json_t *light, const cli_yellowing *y)
{
    if (!y->known) return;
    json_t *one = cli_json_object(light, "yellowness");
    cli_json_number(cli, one, "a", y->yi[0]);
    cli_json_number(cli, one, "b", y->yi[1]);
    cli_json_number(cli, one, "difference", y->yi[1] - y->yi[0]);
    if (y->half > 0.0) cli_json_number(cli, one, "half_interval", y->half);
    if (y->words) cli_json_text(one, "words", y->words);
}

static void report_text(cli_context *cli, const fh_reading *a, const fh_reading *b,
                        const comparison *found, size_t count)
{
    static const char *const headings[] = {"", "", "colour", "L*", "a*", "b*", "C*", "h", "for"};
    cli_table table = cli_table_begin("lplrrrrrl", headings);
    describe("A", a, &table);
    describe("B", b, &table);
    cli_table_print(cli, &table);
    cli_put(cli, "\n");
    bool estimated = print_main(cli, found, count);
    cli_put(
        cli,
        "B against A: ΔL′ > 0 lighter, ΔC′ > 0 more colourful, ΔH′ turned in hue (each\n"
        "divided by its weight in ΔE00). 95 %: where ΔE00 lies with the uncertainty of both; as\n"
        "chance adds more often than it takes away, that may be above the plain figure.\n");
    if (estimated) cli_put(cli, "* estimated: a colour known as Lab only, under another light.\n");
    cli_put(cli, "\n");
    print_others(cli, found, count);
    print_yellowing(cli, found, count);
}

static void report_json(cli_context *cli, const fh_reading *a, const fh_reading *b,
                        const comparison *found, size_t count)
{
    const fh_reading *both[2] = {a, b};
    for (int i = 0; i < 2; ++i) {
        json_t *one = cli_json_object(cli->root, i ? "b" : "a");
        cli_json_text(one, "id", both[i]->id);
        cli_json_lab(cli, one, "lab", both[i]->lab);
        cli_json_condition(one, "condition", both[i]->condition);
    }
    json_t *lights = cli_json_array(cli->root, "lights");
    for (size_t i = 0; i < count; ++i) {
        const comparison *c = &found[i];
        const double ends[2] = {c->range.low, c->range.high};
        json_t *one = cli_json_append(lights);
        cli_json_condition(one, "condition", c->light);
        cli_json_bool(one, "estimated", c->estimated);
        cli_json_lab(cli, one, "lab_a", c->a);
        cli_json_lab(cli, one, "lab_b", c->b);
        cli_json_number(cli, one, "dE00", c->d.dE);
        if (c->range.known) cli_json_numbers(cli, one, "dE00_95", ends, 2);
        cli_json_number(cli, one, "dL", c->d.dL);
        cli_json_number(cli, one, "dC", c->d.dC);
        cli_json_number(cli, one, "dH", c->d.dH);
        cli_json_number(cli, one, "dE76", c->dE76);
        cli_json_number(cli, one, "dE94", c->dE94);
        cli_json_number(cli, one, "dE94_textile", c->dE94_textile);
        cli_json_number(cli, one, "cmc_1_1", c->cmc11);
        cli_json_number(cli, one, "cmc_2_1", c->cmc21);
        json_yellowing(cli, one, &c->yellowing);
    }
}

/* Within the tolerance under every light? The probability is that of the worst light. */
static int judge(cli_context *cli, const comparison *found, size_t count, double tolerance)
{
    bool within = true, known = false;
    double p = 1;
    char chance[FH_CHANCE];
    for (size_t i = 0; i < count; ++i) {
        within = within && found[i].d.dE <= tolerance;
        known = known || found[i].range.known;
        if (found[i].range.known) p = fmin(p, found[i].range.p_within);
    }
    if (cli->json) {
        cli_json_number(cli, cli->root, "tolerance", tolerance);
        cli_json_bool(cli->root, "within", within);
        if (known) cli_json_number(cli, cli->root, "p_within", p);
    } else {
        cli_print(cli, "\n%s the tolerance of %g%s.", within ? "Within" : "Not within", tolerance,
                  count > 1 ? " under every light" : "");
        fh_words_of_probability(p, 3, chance);
        if (known)
            cli_print(cli, " With the uncertainty, the probability of being within it is %s%s.",
                      chance, count > 1 ? " under the worst light" : "");
        cli_put(cli, "\n");
    }
    return within ? CLI_DONE : CLI_REJECTED;
}

/* One specular mode for both, by the gloss of either; else it is said that they differ. */
static void settle_modes(cli_context *cli, fh_reading *a, fh_reading *b)
{
    if (!fh_methods_clash(&a->method, &b->method)) return;
    fh_reading *const converted[2] = {b, a}, *const as[2] = {a, b};
    for (int i = 0; i < 2; ++i) {
        if (fh_reading_in_mode(converted[i], &as[i]->method, FH_INDEX_USUAL, converted[i], NULL))
            continue;
        cli_note_converted(cli, converted[i], as[i]->id);
        return;
    }
    const bool holds = fh_method_mode(&a->method) == FH_SPECULAR_INCLUDED;
    cli_note(cli,
             "%s was read with the mirror reflection %s, %s with it %s: part of the difference is "
             "that; GLOSS of one of them would tell how much",
             a->id, holds ? "included" : "excluded", b->id, holds ? "excluded" : "included");
}

static int run(cli_context *cli)
{
    fh_reading a, b;
    fh_condition lights[CLI_LIGHTS];
    comparison found[CLI_LIGHTS + 1];
    size_t count = 0;
    fh_weights lamp;
    bool with_lamp = false;
    fh_factors factors = {1, 1, 1};
    double tolerance = HUGE_VAL;
    int code = cli_number(cli, "tolerance", 0.01, 1000, &tolerance);
    if (!code) code = read_factors(cli, &factors);
    if (!code) code = cli_lights(cli, lights, &count);
    if (!code) code = cli_colour(cli, cli->operands[0], &a);
    if (!code) code = cli_colour(cli, cli->operands[1], &b);
    if (!code) settle_modes(cli, &a, &b);
    if (!code && count == 0) count = usual_lights(&a, &b, lights);
    if (!code) code = cli_lamp(cli, lights[0].observer, &lamp, &with_lamp);
    for (size_t i = 0; i < count && !code; ++i) {
        const fh_weights light = fh_weights_of(lights[i]);
        code = compare_under(cli, &a, &b, &light, factors, tolerance, &found[i]);
    }
    if (!code && with_lamp)
        code = compare_under(cli, &a, &b, &lamp, factors, tolerance, &found[count++]);
    if (code) return code;
    if (cli->json)
        report_json(cli, &a, &b, found, count);
    else
        report_text(cli, &a, &b, found, count);
    return isfinite(tolerance) ? judge(cli, found, count, tolerance) : CLI_DONE;
}

static const cli_option options[] = {
    {"tolerance", 0, "T", "exit 0 when ΔE00 is at most T under every light, 1 when not", false},
    {"lights", 0, "COND,...", "conditions to compare under, such as D65/10,A/10", false},
    CLI_LAMP_OPTION,
    {"factors", 0, "kL:kC:kH", "parametric factors of CIEDE2000 (1:1:1)", false},
    {0},
};

const cli_command cli_compare = {
    .name = "compare",
    .summary = "the difference between two colours",
    .usage = "A B",
    .details =
        "Shows CIEDE2000 with its components, ΔE*ab, CIE94 and CMC for B against A. Two spectra "
        "are compared under daylight and lamp light; colours known as Lab only, in the condition "
        "of A, or estimated for the lights that are asked for. Readings that carry an uncertainty "
        "give a 95 % interval: what both share (the same instrument, the same photo) cancels. "
        "For pale and yellowish colours, such as aged against sheltered plastic, the yellowness "
        "index of ASTM E313 is shown too.\n\n"
        "  farhue compare lab:62.1,18.4,40.2 lab:60.9,18.0,43.1\n"
        "  farhue compare part.txt#dial shelf.txt#sand --tolerance 2\n",
    .options = options,
    .least = 2,
    .most = 2,
    .run = run,
};
