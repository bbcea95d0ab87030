/* farhue check: a coupon, or a reply, against a spec. */
#include <string.h>

#include "base/memory.h"
#include "cli/check.h"
#include "cli/mode.h"
#include "farhue/chat.h"
#include "farhue/spec_file.h"

static void free_reply(void *reply)
{
    fh_reply_free(reply);
}

/* One reading of several: by id, or all pooled, or only when there is just one. */
static int choose(cli_context *cli, const fh_reading *readings, size_t count, const char *id,
                  check_case *out)
{
    fh_error error = {0};
    for (size_t i = 0; id && i < count; ++i) {
        if (strcmp(readings[i].id, id) != 0) continue;
        out->reading = readings[i];
        return CLI_DONE;
    }
    if (id)
        return cli_fail_text(cli, FH_E_DATA, "%s: no reading %s; the first is %s", out->name, id,
                             count ? readings[0].id : "none");
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
                      const char *id, check_case *out)
{
    fh_error error = {0};
    if (fh_reply_read(input->bytes, input->length, &out->reply, &error))
        return cli_fail_input(cli, input, &error);
    if (!cli_keep_with(cli, out->reply, free_reply))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    if (fh_reply_answers(out->reply, target->spec, &error))
        return cli_fail_input(cli, input, &error);
    return choose(cli, out->reply->readings, out->reply->count, id, out);
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

static int read_coupon(cli_context *cli, const cli_target *target, check_case *out)
{
    cli_input input;
    fh_library library = {0};
    const char *text = cli->operand_count ? cli->operands[0] : NULL, *file = NULL, *id = NULL;
    *out = (check_case){.reply = NULL};
    const bool written =
        text && (cli_is_literal(text) || (strchr(text, ':') && !strchr(text, '#')));
    if (written && !fh_file_exists(text)) {
        fh_copy_text(out->name, sizeof out->name, text);
        return cli_colour(cli, text, &out->reading);
    }
    const char *usual =
        !text && !cli_has_input(cli, "coupon") && cli_has_input(cli, "reply") ? "reply" : "coupon";
    int code = text ? cli_split_id(cli, text, &file, &id) : CLI_DONE;
    if (!code) code = cli_text_input(cli, file, usual, &input);
    if (code) return code;
    fh_copy_text(out->name, sizeof out->name, input.name);
    if (is_reply(&input)) return read_reply(cli, &input, target, id, out);
    code = cli_library(cli, &input, &library);
    return code ? code : choose(cli, library.readings, library.count, id, out);
}

/* --- The reply -------------------------------------------------------------------------------- */

static int write_reply(cli_context *cli, const cli_target *t, const check_case *c,
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
static void report_paragraph(cli_context *cli, const cli_target *t, const check_case *c,
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
    check_case coupon;
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
    if (verdict.converted) cli_note_converted(cli, &coupon.reading, "the target");
    if (fh_reading_is_exact(&coupon.reading))
        cli_note(cli,
                 "%s states no uncertainty and counts as exact; several readings of it, with "
                 "--pool, would tell",
                 coupon.reading.id);
    code = write_reply(cli, &target, &coupon, &verdict);
    if (code) return code;
    if (cli->json)
        check_report_json(cli, &target, &coupon, &verdict);
    else
        check_report_text(cli, &target, &coupon, &verdict);
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
