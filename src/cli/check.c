/* farhue check: a coupon, or a reply, against a spec. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "cli/table.h"
#include "cli/target.h"
#include "farhue/chat.h"
#include "farhue/spec_file.h"
#include "farhue/words.h"

/* What is to be judged, and the reply it came in (NULL: readings alone). */
typedef struct submission {
    fh_reading reading;
    fh_reply *reply;
    char name[FH_ERROR_FILE];
} submission;

static void free_reply(void *reply)
{
    fh_reply_free(reply);
}

/* One reading of several: by id, or all pooled, or only when there is just one. */
static int choose(cli_context *cli, const fh_reading *readings, size_t count, submission *out)
{
    fh_error error = {0};
    if (count == 1) {
        out->reading = readings[0];
        return CLI_DONE;
    }
    if (!cli_flag(cli, "pool"))
        return cli_fail_text(cli, FH_E_DATA,
                             "%s: %zu readings; say which one with %s#ID, or --pool when all are "
                             "of one coupon",
                             out->name, count, out->name);
    if (fh_reading_pool(readings, count, &out->reading, &error)) return cli_fail(cli, &error);
    cli_note(cli, "%s: %zu readings pooled into one", out->name, count);
    return CLI_DONE;
}

static int read_reply(cli_context *cli, const cli_input *input, const cli_target *target,
                      submission *out)
{
    fh_error error = {0};
    if (fh_reply_read(input->bytes, input->length, &out->reply, &error))
        return cli_fail_input(cli, input, &error);
    if (!cli_keep_with(cli, out->reply, free_reply))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    if (fh_reply_answers(out->reply, target->spec, &error))
        return cli_fail_input(cli, input, &error);
    return choose(cli, out->reply->readings, out->reply->count, out);
}

static bool is_reply(const cli_input *input)
{
    fh_tables *tables;
    if (!fh_tables_recognise(input->bytes, input->length) ||
        fh_tables_read(input->bytes, input->length, &tables, NULL))
        return false;
    bool reply = strcmp(fh_tables_kind(tables), "reply") == 0;
    fh_tables_free(tables);
    return reply;
}

static int read_coupon(cli_context *cli, const cli_target *target, submission *out)
{
    cli_input input;
    fh_library library = {0};
    const char *text = cli->operand_count ? cli->operands[0] : NULL;
    *out = (submission){.reply = NULL};
    if (text && (strchr(text, ':') || strchr(text, '#')) && !fh_file_exists(text)) {
        fh_copy_text(out->name, sizeof out->name, text);
        return cli_colour(cli, text, &out->reading);
    }
    const char *usual =
        !text && !cli_has_input(cli, "coupon") && cli_has_input(cli, "reply") ? "reply" : "coupon";
    int code = cli_text_input(cli, text, usual, &input);
    if (code) return code;
    fh_copy_text(out->name, sizeof out->name, input.name);
    if (is_reply(&input)) return read_reply(cli, &input, target, out);
    code = cli_library(cli, &input, &library);
    return code ? code : choose(cli, library.readings, library.count, out);
}

/* --- The report ------------------------------------------------------------------------------- */

static void add_sight(cli_table *table, const fh_sight *sight, const char *what)
{
    char condition[FH_CONDITION_TEXT];
    fh_condition_text(sight->condition, condition);
    cli_cell(table, "%s %s", what, condition);
    cli_cell_patch(table, sight->target);
    cli_cell_patch(table, sight->candidate);
    cli_cell(table, "%.1f %.1f %.1f", sight->target.L, sight->target.a, sight->target.b);
    cli_cell(table, "%.1f %.1f %.1f", sight->candidate.L, sight->candidate.a, sight->candidate.b);
    cli_cell(table, "%.2f", sight->interval.median);
    cli_cell(table, "%.1f–%.1f", sight->interval.low, sight->interval.high);
    cli_cell(table, "%.3f", sight->p_within);
}

static void print_sights(cli_context *cli, const fh_verdict *v)
{
    static const char *const heads[] = {"",     "",     "", "target L* a* b*", "coupon L* a* b*",
                                        "ΔE00", "95 %", "P"};
    cli_table table = cli_table_begin("lppllrrr", heads);
    for (size_t i = 0; i < v->light_count; ++i) add_sight(&table, &v->seen[i], "seen");
    add_sight(&table, &v->bare, "bare");
    cli_table_print(cli, &table);
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
    char seen[FH_WORDS], bare[FH_WORDS], light[FH_CONDITION_TEXT];
    const fh_sight *sight = telling(v);
    fh_words_of_difference(sight->target, sight->candidate, seen);
    fh_words_of_difference(v->bare.target, v->bare.candidate, bare);
    fh_condition_text(sight->condition, light);
    cli_print(cli, "\nAs seen under %s: %s (%s). Bare: %s.\n", light, seen,
              fh_words_of_size(sight->dE00), bare);
    if (v->lamp_fails)
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
    if (v->settle.candidate || v->settle.both) return;
    if (v->estimated) print_estimated(cli, v);
    if (source)
        cli_print(cli,
                  "The largest error that target and coupon do not share: %s; a tie of the "
                  "two instruments (farhue tie) would lessen it.\n",
                  source);
}

static void report_text(cli_context *cli, const cli_target *t, const submission *c,
                        const fh_verdict *v)
{
    char decision[32];
    cli_print_target(cli, t);
    cli_print(cli, "Coupon   %s%s%s, from %s\n\n", c->reading.id, c->reading.name[0] ? ", " : "",
              c->reading.name, c->name);
    print_sights(cli, v);
    print_words(cli, v);
    print_metamerism(cli, v);
    fh_copy_text(decision, sizeof decision, fh_decision_text(v->decision));
    decision[0] = (char)(decision[0] - 'a' + 'A');
    cli_print(cli, "\n%s: the probability that it is right under every light is %.3f.\n", decision,
              v->p_within);
    if (v->decision == FH_MEASURE_AGAIN) print_settle(cli, v, &c->reading, &t->target.part);
    if (c->reply && c->reply->decision != v->decision)
        cli_print(cli, "The reply itself says %s (%.3f).\n", fh_decision_text(c->reply->decision),
                  c->reply->p_within);
}

static void report_json(cli_context *cli, const cli_target *t, const submission *c,
                        const fh_verdict *v)
{
    char seen[FH_WORDS], bare[FH_WORDS];
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

/* --- The reply -------------------------------------------------------------------------------- */

static int write_reply(cli_context *cli, const cli_target *t, const submission *c,
                       const fh_verdict *v)
{
    fh_reply *reply;
    fh_text text = {0};
    const char *path = cli_value(cli, "reply");
    if (!path && !cli_value(cli, "output")) return CLI_DONE;
    fh_status status = fh_reply_new(t->spec, 1, &reply);
    if (status) return cli_fail_text(cli, status, "the reply cannot be made");
    cli_keep_with(cli, reply, free_reply);
    reply->readings[0] = c->reading;
    reply->decision = v->decision;
    reply->p_within = v->p_within;
    reply->seen = v->seen[v->worst].interval.median;
    int code = cli_date(cli, "date", reply->created);
    if (code) return code;
    if (!fh_copy_text(reply->helper, sizeof reply->helper,
                      cli_value(cli, "helper") ? cli_value(cli, "helper") : "") ||
        !fh_copy_text(reply->note, sizeof reply->note,
                      cli_value(cli, "note") ? cli_value(cli, "note") : ""))
        return cli_usage(cli, "--helper or --note is too long");
    status = fh_reply_write(reply, &text);
    cli_keep(cli, text.bytes);
    if (status) return cli_fail_text(cli, status, "the reply cannot be written");
    if (path) code = cli_write(cli, path, text.bytes, text.length);
    return code || !cli_value(cli, "output") ? code : cli_product(cli, text.bytes, text.length);
}

/* With a reply comes the paragraph to paste into a chat. */
static void report_paragraph(cli_context *cli, const cli_target *t, const submission *c,
                             const fh_verdict *v)
{
    char paragraph[FH_CHAT];
    if (!cli_value(cli, "reply") && !cli_value(cli, "output")) return;
    fh_chat_of_reply(t->spec, &c->reading, v, cli_value(cli, "helper"), paragraph);
    if (cli->json) {
        cli_json_text(cli->root, "paragraph", paragraph);
    } else {
        cli_put(cli, "\nFor the chat:\n");
        cli_put(cli, paragraph);
        cli_put(cli, "\n");
    }
}

static int exit_code(fh_decision decision)
{
    if (decision == FH_ACCEPT) return CLI_DONE;
    return decision == FH_REJECT ? CLI_REJECTED : CLI_AGAIN;
}

static int run(cli_context *cli)
{
    cli_target target;
    submission coupon;
    fh_tie tie;
    bool tied;
    fh_verdict verdict;
    fh_error error = {0};
    fh_verdict_options options = fh_verdict_defaults();
    int code = cli_spec_target(cli, &target);
    if (!code) code = read_coupon(cli, &target, &coupon);
    if (!code) code = cli_find_tie(cli, &tie, &tied);
    if (!code && tied) code = cli_apply_tie(cli, &tie, &coupon.reading);
    if (code) return code;
    if (fh_judge(&target.target, &coupon.reading, &options, &verdict, cli_show_progress, cli,
                 &error))
        return cli_fail(cli, &error);
    if (cli_is_exact(&coupon.reading))
        cli_note(cli,
                 "%s states no uncertainty and counts as exact; several readings of it, with "
                 "--pool, would tell",
                 coupon.reading.id);
    code = write_reply(cli, &target, &coupon, &verdict);
    if (code) return code;
    if (cli->json)
        report_json(cli, &target, &coupon, &verdict);
    else
        report_text(cli, &target, &coupon, &verdict);
    report_paragraph(cli, &target, &coupon, &verdict);
    return exit_code(verdict.decision);
}

static const cli_option options[] = {
    {"spec", 0, "FILE", "the spec (spec.txt)", false},
    {"tie", 0, "FILE", "correct the coupon by a tie of the two instruments", false},
    {"pool", 0, NULL, "all readings of the file are of one coupon", false},
    {"reply", 0, "FILE", "save a reply, and write a paragraph for the chat (as -o does)", false},
    {"helper", 0, "TEXT", "who answers, for the reply", false},
    {"note", 0, "TEXT", "a remark in it", false},
    {"date", 0, "DATE", "its date (today)", false},
    {0},
};

const cli_command cli_check = {
    .name = "check",
    .summary = "a coupon, or a reply, against a spec: accept, reject or measure again",
    .usage = "[COUPON | REPLY | COLOUR]",
    .details =
        "Judges a coupon behind the spec's shell under all its lights, with all uncertainties.\n"
        "Accept: the probability of being right is 0.95 or more; reject: 0.05 or less. Without an\n"
        "operand coupon.txt is read, or reply.txt. -o FILE saves a reply that echoes the spec; a\n"
        "reply is checked anew, and refused when it answers another spec.\n\n"
        "Exit codes: 0 accept, 1 reject, 5 measure again.\n\n"
        "  farhue check coupon.txt#C2 --reply reply.txt\n"
        "  farhue check reply.txt --spec spec.txt\n",
    .options = options,
    .least = 0,
    .most = 1,
    .run = run,
};
