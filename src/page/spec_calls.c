/* Calls about what is sent: spec, sheet and code of the owner; the helper's spec and reply. */
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/cautions.h"
#include "farhue/chat.h"
#include "farhue/kind.h"
#include "farhue/spec_sheet.h"
#include "farhue/spoken.h"
#include "page/door.h"
#include "page/stack.h"
#include "page/tie.h"

static void fill_spec(const desk_settings *settings, const page_request *r, fh_spec *spec)
{
    fh_copy_text(spec->title, sizeof spec->title, settings->title);
    fh_copy_text(spec->owner, sizeof spec->owner, settings->owner);
    spec->shell_mm = settings->shell_mm;
    spec->gap_mm = settings->gap_mm;
    request_text(r, "created", spec->created, sizeof spec->created);
    request_text(r, "deadline", spec->deadline, sizeof spec->deadline);
    for (int i = 0; i < FH_CAUTION_COUNT && spec->caution_count < FH_SPEC_CAUTIONS; i++)
        fh_format(spec->caution[spec->caution_count++], FH_CAUTION_TEXT, "%s: %s",
                  fh_caution_title((fh_caution)i), fh_caution_text((fh_caution)i));
}

/* The code of a spec with its words and the note that goes with it, or why there is none. */
static bool write_code(page_json *j, const fh_spec *spec, char code[FH_SPOKEN_TEXT],
                       char words[FH_SPOKEN_WORDS], const char **note)
{
    fh_error error = {0};
    fh_spoken spoken;
    bool estimated = false;
    if (fh_spoken_of_spec(spec, &spoken, &estimated, &error) ||
        fh_spoken_write(&spoken, code, &error)) {
        json_text(j, "code_note", error.message);
        return false;
    }
    fh_spoken_words(code, words);
    json_text(j, "code", code);
    json_text(j, "words", words);
    *note = fh_spoken_note(estimated);
    json_text(j, "code_note", *note);
    return true;
}

static fh_status write_sheet(page_json *j, const fh_spec *spec, fh_error *error)
{
    char code[FH_SPOKEN_TEXT], words[FH_SPOKEN_WORDS];
    fh_spec_sheet_extra extra = fh_spec_sheet_nothing();
    const char *note = NULL;
    if (write_code(j, spec, code, words, &note)) {
        extra.spoken = code;
        extra.spoken_words = words;
        extra.spoken_note = note;
    }
    fh_text html = {0};
    fh_status status = fh_spec_sheet_write(fh_sink_to_text(&html), spec, &extra, error);
    if (!status) json_text(j, "sheet", html.bytes);
    fh_text_free(&html);
    return status;
}

/* The owner's spec: file, sheet and code. Takes some tenths of a second. */
static fh_status call_spec(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    page_stack stack;
    fh_spec *spec = NULL;
    fh_text text = {0};
    fh_status status = stack_of(&desk->now, &stack, error);
    if (status) return status;
    status = fh_spec_new(&stack.target, &spec, error);
    if (!status) {
        fill_spec(&desk->now.settings, r, spec);
        status = fh_spec_write(spec, stack.record, &text);
    }
    if (!status) {
        json_text(j, "text", text.bytes);
        json_text(j, "check_code", spec->code);
        status = write_sheet(j, spec, error);
    }
    fh_text_free(&text);
    fh_spec_free(spec);
    stack_free(&stack);
    return status;
}

/* A spec read only to see that it is one. */
static fh_status require_spec(const page_request *r, fh_error *error)
{
    fh_kind kind = fh_kind_of(r->body.start, r->body.length);
    if (kind != FH_KIND_TEXT)
        return fh_fail(error, FH_E_DATA, "This is %s; a spec is a text file.", fh_kind_name(kind));
    fh_spec *spec = NULL;
    fh_status status = fh_spec_read(r->body.start, r->body.length, &spec, NULL, error);
    fh_spec_free(spec);
    return status;
}

/* The helper opens a spec; the owner notes which one was sent. */
static fh_status call_spec_read(page_desk *desk, const page_request *r, page_json *j,
                                fh_error *error)
{
    (void)j;
    fh_status status = require_spec(r, error);
    if (!status) status = desk_set_file(&desk->now.spec, r->body.start, r->body.length);
    if (!status) desk->now.from_code = false;
    return status;
}

static fh_status write_reply(page_json *j, const fh_spec *spec, const fh_reading *coupon,
                             const fh_verdict *verdict, const page_request *r, const char *helper)
{
    fh_reply *reply = NULL;
    fh_text text = {0};
    fh_status status = fh_reply_new(spec, 1, &reply);
    if (status) return status;
    reply->readings[0] = *coupon;
    reply->decision = verdict->decision;
    reply->p_within = verdict->p_within;
    reply->seen = verdict->seen[verdict->worst].interval.median;
    fh_copy_text(reply->helper, sizeof reply->helper, helper);
    request_text(r, "created", reply->created, sizeof reply->created);
    status = fh_reply_write(reply, &text);
    if (!status) json_text(j, "text", text.bytes);
    fh_text_free(&text);
    fh_reply_free(reply);
    return status;
}

/* The helper's reply on the coupon: a paragraph, and a file where a spec file is answered. */
static fh_status call_reply(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    fh_reading coupon;
    page_stack stack;
    fh_status status = page_coupon(&desk->now, r, &coupon, error);
    if (!status) status = stack_of(&desk->now, &stack, error);
    if (status) return status;
    fh_spec *made = NULL; /* a code has no spec; its words need one */
    fh_verdict verdict;
    fh_verdict_options options = fh_verdict_defaults();
    coupon = tie_candidate(&desk->now, &coupon, NULL, 0);
    status = fh_judge(&stack.target, &coupon, &options, &verdict, page_progress, NULL, error);
    if (!status && !stack.spec) status = fh_spec_new(&stack.target, &made, error);
    if (!status) {
        char paragraph[FH_CHAT];
        const fh_spec *spec = stack.spec ? stack.spec : made;
        fh_chat_of_reply(spec, &coupon, &verdict, desk->now.settings.helper, paragraph);
        json_text(j, "paragraph", paragraph);
        if (stack.spec)
            status = write_reply(j, spec, &coupon, &verdict, r, desk->now.settings.helper);
    }
    fh_spec_free(made);
    stack_free(&stack);
    return status;
}

/* A reply to another spec is refused, as on the command line: its coupon was made for another
 * target. words says what is known where it isn't. */
static fh_status write_answer(page_json *j, const desk_state *job, const fh_reply *reply,
                              fh_error *error)
{
    fh_spec *sent = NULL;
    fh_error other = {0};
    const char *words =
        "This job does not remember a spec that was sent, so nobody can tell whether "
        "the reply answers yours.";
    fh_status status = FH_OK;
    if (job->spec.length && !fh_spec_read(job->spec.bytes, job->spec.length, &sent, NULL, NULL)) {
        status = fh_reply_answers(reply, sent, &other);
        words = "The reply answers the spec you sent.";
    }
    if (status) {
        fh_fail(error, status,
                "This reply is to another spec: it answers check code %s, yours has %s. It is not "
                "taken and nothing is judged; ask for the reply to yours, or open the job that the "
                "other spec is of.",
                reply->answers[0] ? reply->answers : "(none)", sent->code);
    } else {
        json_text(j, "words", words);
        json_text(j, "helper", reply->helper);
        json_text(j, "says", fh_decision_text(reply->decision));
    }
    fh_spec_free(sent);
    return status;
}

/* The owner opens a reply: its readings go to the coupon. */
static fh_status call_reply_read(page_desk *desk, const page_request *r, page_json *j,
                                 fh_error *error)
{
    fh_reply *reply = NULL;
    fh_kind kind = fh_kind_of(r->body.start, r->body.length);
    if (kind != FH_KIND_TEXT)
        return fh_fail(error, FH_E_DATA, "This is %s; a reply is a text file.", fh_kind_name(kind));
    fh_status status = fh_reply_read(r->body.start, r->body.length, &reply, error);
    if (status) return status;
    status = write_answer(j, &desk->now, reply, error);
    if (!status) desk_clear(&desk->now.tray[TRAY_COUPON]);
    for (size_t i = 0; i < reply->count && !status; i++)
        status = desk_add(&desk->now.tray[TRAY_COUPON], &reply->readings[i]);
    fh_reply_free(reply);
    return status;
}

const page_entry page_spec_calls[] = {{"spec", call_spec, false},
                                      {"spec-read", call_spec_read, true},
                                      {"spec-sent", call_spec_read, true},
                                      {"reply", call_reply, false},
                                      {"reply-read", call_reply_read, true},
                                      {NULL, NULL, false}};
