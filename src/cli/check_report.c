/* What `farhue check` says. */
#include <string.h>

#include "cli/check.h"
#include "cli/table.h"
#include "farhue/words.h"

static void add_sight(cli_table *table, const fh_sight *sight, const char *what)
{
    char condition[FH_CONDITION_TEXT], chance[FH_CHANCE];
    fh_condition_text(sight->condition, condition);
    cli_cell(table, "%s %s", what, condition);
    cli_cell_patch(table, sight->target);
    cli_cell_patch(table, sight->candidate);
    cli_cell(table, "%.1f %.1f %.1f", sight->target.L, sight->target.a, sight->target.b);
    cli_cell(table, "%.1f %.1f %.1f", sight->candidate.L, sight->candidate.a, sight->candidate.b);
    cli_cell(table, "%.2f", sight->interval.median);
    cli_cell(table, "%.1f–%.1f", sight->interval.low, sight->interval.high);
    fh_words_of_probability(sight->p_within, 3, chance);
    cli_cell(table, "%s", chance);
}

static void print_sights(cli_context *cli, const fh_verdict *v)
{
    static const char *const heads[] = {"",     "",     "", "target L* a* b*", "coupon L* a* b*",
                                        "ΔE00", "95 %", "P"};
    cli_table table = cli_table_begin("lppllrrr", heads);
    for (size_t i = 0; i < v->light_count; ++i) add_sight(&table, &v->seen[i], "seen");
    add_sight(&table, &v->bare, "bare");
    cli_table_print(cli, &table);
    cli_put(cli,
            "ΔE00 is the median, with its 95 % interval; P the probability of being within the "
            "tolerance.\n");
}

/* The view that the words are about: the first light, or the worst when only lamps fail. */
static const fh_sight *telling(const fh_verdict *v)
{
    return v->lamp_fails ? &v->seen[v->worst] : &v->seen[0];
}

static void print_metamerism(cli_context *cli, const fh_verdict *v)
{
    char first[FH_CONDITION_TEXT], other[FH_CONDITION_TEXT];
    if (v->light_count < 2) return;
    fh_condition_text(v->seen[0].condition, first);
    cli_print(cli, "Metamerism index of the looks from %s to ", first);
    for (size_t i = 1; i < v->light_count; ++i) {
        fh_condition_text(v->seen[i].condition, other);
        cli_print(cli, "%s%s %.1f", i > 1 ? ", to " : "", other, v->seen[i].metamerism);
    }
    cli_print(cli, " (ΔE00)%s.\n", v->estimated ? ", by an estimated spectrum" : "");
}

static void print_words(cli_context *cli, const fh_verdict *v)
{
    char seen[FH_PHRASE], bare[FH_WORDS], light[FH_CONDITION_TEXT];
    const fh_sight *sight = telling(v);
    fh_words_with_size(sight->target, sight->candidate, seen);
    fh_words_of_difference(v->bare.target, v->bare.candidate, bare);
    fh_condition_text(sight->condition, light);
    cli_print(cli, "\nAs seen under %s: %s. Bare: %s.\n", light, seen, bare);
    if (v->lamp_fails && v->estimated)
        cli_put(cli, "By an estimated spectrum it fits in daylight and fails under a lamp "
                     "(metamerism); look at the two under that lamp.\n");
    else if (v->lamp_fails)
        cli_put(cli, "It fits in daylight and fails under a lamp (metamerism): its pigments are "
                     "others than the target's.\n");
}

static double size_of(const fh_mat3 *covariance)
{
    return covariance->m[0][0] + covariance->m[1][1] + covariance->m[2][2];
}

/* The larger of *most and the shared errors of a that b does not share; its source in *found. */
static void look_for_source(const fh_reading *a, const fh_reading *b, double *most,
                            const char **found)
{
    for (size_t i = 0; i < a->shared_count; ++i) {
        double size = size_of(&a->shared[i].covariance);
        for (size_t k = 0; k < b->shared_count; ++k)
            if (strcmp(b->shared[k].source, a->shared[i].source) == 0) size = 0.0;
        if (size > *most) {
            *most = size;
            *found = a->shared[i].source;
        }
    }
}

/* The largest error that target and coupon do not share, NULL when there is none. */
static const char *largest_source(const fh_reading *coupon, const fh_reading *part)
{
    const char *found = NULL;
    double most = 0.0;
    look_for_source(coupon, part, &most, &found);
    look_for_source(part, coupon, &most, &found);
    return found;
}

/* Lab alone may tell daylight from daylight, and still leave lamps open. */
static void print_estimated(cli_context *cli, const fh_verdict *v)
{
    char light[FH_CONDITION_TEXT];
    fh_decision first = fh_decide(v->seen[0].p_within);
    fh_condition_text(v->seen[0].condition, light);
    cli_put(cli, "A spectrum is estimated from Lab here, which leaves other lights open");
    if (first != FH_MEASURE_AGAIN && v->light_count > 1)
        cli_print(cli, "; under %s alone it would be: %s", light, fh_decision_text(first));
    cli_put(cli, ". Compare the two by eye under the lamp, or measure spectra.\n");
}

static void print_settle(cli_context *cli, const fh_verdict *v, const fh_reading *coupon,
                         const fh_reading *part)
{
    const char *source = largest_source(coupon, part);
    if (v->settle.candidate)
        cli_print(cli, "%u more reading%s of the coupon would settle it, if the mean stays.\n",
                  v->settle.candidate, v->settle.candidate == 1 ? "" : "s");
    else if (v->settle.both)
        cli_print(cli,
                  "%u more readings of the coupon and of the reference part each would settle it, "
                  "if their means stay.\n",
                  v->settle.both);
    else
        cli_put(cli, "No number of readings with these instruments will settle it.\n");
    if (coupon->basis == FH_BASIS_SCREEN)
        cli_put(cli, "Its colour is known from a screen only, and repeats do not lessen what that "
                     "leaves open; measure it.\n");
    if (v->settle.candidate || v->settle.both) return;
    if (v->estimated) print_estimated(cli, v);
    if (source)
        cli_print(cli,
                  "The largest error that target and coupon do not share: %s; a tie of the "
                  "two instruments (farhue tie) would lessen it.\n",
                  source);
}

void check_report_text(cli_context *cli, const cli_target *t, const check_case *c,
                       const fh_verdict *v)
{
    char decision[32], chance[FH_CHANCE];
    cli_print_target(cli, t);
    cli_print(cli, "Coupon   %s%s%s, from %s\n\n", c->reading.id, c->reading.name[0] ? ", " : "",
              c->reading.name, c->name);
    print_sights(cli, v);
    print_words(cli, v);
    print_metamerism(cli, v);
    fh_copy_text(decision, sizeof decision, fh_decision_text(v->decision));
    decision[0] = (char)(decision[0] - 'a' + 'A');
    fh_words_of_probability(v->p_within, 3, chance);
    cli_print(cli, "\n%s: the probability that it is right under every light is %s.\n", decision,
              chance);
    if (v->decision == FH_MEASURE_AGAIN) print_settle(cli, v, &c->reading, &t->target.part);
    if (!c->reply || c->reply->decision == v->decision) return;
    fh_words_of_probability(c->reply->p_within, 3, chance);
    cli_print(cli, "The reply itself says %s (%s).\n", fh_decision_text(c->reply->decision),
              chance);
}

void check_report_json(cli_context *cli, const cli_target *t, const check_case *c,
                       const fh_verdict *v)
{
    char seen[FH_PHRASE], bare[FH_WORDS];
    fh_words_of_difference(telling(v)->target, telling(v)->candidate, seen);
    fh_words_of_difference(v->bare.target, v->bare.candidate, bare);
    cli_json_target(cli, cli_json_object(cli->root, "target"), t);
    cli_json_text(cli->root, "id", c->reading.id);
    cli_json_verdict(cli, cli->root, v);
    cli_json_text(cli->root, "words_seen", seen);
    cli_json_text(cli->root, "words_bare", bare);
    cli_json_number(cli, cli->root, "more_readings", v->settle.candidate);
    cli_json_number(cli, cli->root, "more_of_both", v->settle.both);
    if (c->reply) cli_json_text(cli->root, "reply_says", fh_decision_text(c->reply->decision));
}
