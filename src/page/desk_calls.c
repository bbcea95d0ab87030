/* Calls about the job as a whole: show it, settings, lights, undo, a spoken code, cautions. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "farhue/cautions.h"
#include "farhue/difference.h"
#include "farhue/spoken.h"
#include "farhue/words.h"
#include "page/door.h"
#include "page/stack.h"
#include "page/tie.h"

/* Lights that the page offers, in this order. */
static const fh_condition offered[] = {
    {FH_ILLUMINANT_D65, FH_OBSERVER_10},    {FH_ILLUMINANT_A, FH_OBSERVER_10},
    {FH_ILLUMINANT_LED_B1, FH_OBSERVER_10}, {FH_ILLUMINANT_LED_B3, FH_OBSERVER_10},
    {FH_ILLUMINANT_D50, FH_OBSERVER_10},    {FH_ILLUMINANT_F2, FH_OBSERVER_10},
    {FH_ILLUMINANT_F11, FH_OBSERVER_10}};
enum { OFFERED = sizeof offered / sizeof *offered };

static size_t light_at(const desk_settings *settings, fh_condition light)
{
    size_t i = 0;
    while (i < settings->light_count && !fh_condition_equal(settings->light[i], light)) i++;
    return i;
}

static void write_settings(page_json *j, const desk_settings *s)
{
    json_open(j, "settings", '{');
    json_text(j, "role", s->role);
    json_text(j, "title", s->title);
    json_text(j, "owner", s->owner);
    json_text(j, "helper", s->helper);
    json_text(j, "kit", s->kit);
    json_text(j, "match", s->match);
    json_bool(j, "aimed", s->aimed);
    json_bool(j, "close_seen", s->close_seen);
    json_bool(j, "tied", s->tied);
    json_text(j, "paint_batch", s->paint.batch);
    json_text(j, "paint_least", s->paint.least);
    json_text(j, "paint_coat", s->paint.coat);
    json_text(j, "paint_over", s->paint.over);
    json_text(j, "paint_clear", s->paint.clear);
    json_text(j, "paint_gloss", s->paint.gloss);
    json_text(j, "paint_most", s->paint.most);
    json_open(j, "added", '[');
    for (size_t i = 0; i < s->paint.steps; i++) json_text(j, NULL, s->paint.added[i]);
    json_close(j, ']');
    json_number(j, "tolerance", s->tolerance);
    json_number(j, "shell_mm", s->shell_mm < 0 ? (double)NAN : s->shell_mm);
    json_number(j, "gap_mm", s->gap_mm < 0 ? (double)NAN : s->gap_mm);
    json_close(j, '}');
    json_open(j, "lights", '[');
    for (size_t i = 0; i < OFFERED; i++) {
        json_open(j, NULL, '{');
        json_condition(j, "key", offered[i]);
        json_text(j, "name", fh_words_of_light(offered[i].illuminant));
        json_bool(j, "on", light_at(s, offered[i]) < s->light_count);
        json_close(j, '}');
    }
    json_close(j, ']');
}

static void write_trays(page_json *j, const desk_state *job)
{
    json_open(j, "trays", '{');
    for (int i = 0; i < TRAY_COUNT; i++) {
        json_open(j, desk_tray_name((desk_tray)i), '[');
        for (size_t k = 0; k < job->tray[i].count; k++)
            desk_write_reading(j, &job->tray[i].items[k]);
        json_close(j, ']');
    }
    json_close(j, '}');
}

static fh_status call_desk(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r, (void)error;
    write_settings(j, &desk->now.settings);
    write_trays(j, &desk->now);
    char deadline[FH_MOMENT_TEXT] = "";
    if (desk->now.settings.plan.deadline)
        fh_moment_text(desk->now.settings.plan.deadline, deadline);
    json_text(j, "deadline", deadline);
    json_bool(j, "sent", desk->now.spec.length > 0);
    json_count(j, "pots", desk->now.paints.length ? desk->now.paints_mark : 0);
    json_bool(j, "undo", desk->past_count > 0);
    json_bool(j, "redo", desk->future_count > 0);
    return describe_stack(j, &desk->now);
}

/* A number; no value at all is for a thickness that is not known. */
static fh_status set_number(desk_settings *s, const page_request *r, const char *key,
                            const char *value, fh_error *error)
{
    double number;
    bool millimetres = strcmp(key, "tolerance") != 0;
    if (millimetres && !value[0]) {
        *(strcmp(key, "shell_mm") == 0 ? &s->shell_mm : &s->gap_mm) = -1;
        return FH_OK;
    }
    if (!request_number(r, "value", &number))
        return fh_fail(error, FH_E_DATA, "\"%.40s\" is no number; expected %s.", value,
                       millimetres ? "millimetres, such as 2.5" : "a colour difference, such as 2");
    fh_status status = desk_set_number(s, key, number, error);
    if (!status && !millimetres) s->close_seen = true;
    return status;
}

static fh_status set(desk_settings *s, const page_request *r, const char *key,
                     const fh_buffer *value, fh_error *error)
{
    const char *text = value->text ? value->text : "";
    if (desk_has_text(key)) return desk_set_text(s, key, (fh_slice){text, value->length}, error);
    if (desk_has_number(key)) return set_number(s, r, key, text, error);
    bool *choice = strcmp(key, "aimed") == 0  ? &s->aimed
                   : strcmp(key, "tied") == 0 ? &s->tied
                                              : NULL;
    if (!choice) return fh_fail(error, FH_E_ARGUMENT, "There is no setting \"%s\".", key);
    *choice = strcmp(text, "1") == 0;
    return FH_OK;
}

static fh_status call_set(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)j;
    char key[16];
    fh_buffer value = {0};
    request_text(r, "key", key, sizeof key);
    request_whole(r, "value", &value);
    fh_status status = value.failed ? fh_fail(error, FH_E_MEMORY, "Out of memory.")
                                    : set(&desk->now.settings, r, key, &value, error);
    fh_buffer_free(&value);
    return status;
}

static fh_status call_light(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)j;
    desk_settings *s = &desk->now.settings;
    char key[FH_CONDITION_TEXT];
    double on = 0;
    fh_condition light;
    request_text(r, "key", key, sizeof key);
    request_number(r, "value", &on);
    if (fh_condition_parse(key, &light))
        return fh_fail(error, FH_E_DATA, "\"%s\" is no light.", key);
    size_t at = light_at(s, light);
    if (on > 0 && at == s->light_count) {
        if (s->light_count == FH_LIGHTS_MAX)
            return fh_fail(error, FH_E_LIMIT, "At most %d lights.", FH_LIGHTS_MAX);
        s->light[s->light_count++] = light;
    } else if (on <= 0 && at < s->light_count) {
        if (s->light_count == 1)
            return fh_fail(error, FH_E_DATA, "At least one light has to stay.");
        memmove(&s->light[at], &s->light[at + 1], (s->light_count - at - 1) * sizeof *s->light);
        s->light_count--;
    }
    return FH_OK;
}

static fh_status call_undo(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r, (void)j;
    if (!desk->past_count) return fh_fail(error, FH_E_DATA, "There is nothing to undo.");
    desk_state now = desk->now;
    desk->past_count--;
    desk->now = desk->past[desk->past_count];
    desk->past[desk->past_count] = now;
    desk->future_count++;
    return FH_OK;
}

static fh_status call_redo(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r, (void)j;
    if (!desk->future_count) return fh_fail(error, FH_E_DATA, "There is nothing to do again.");
    desk_state now = desk->now;
    desk->now = desk->past[desk->past_count];
    desk->past[desk->past_count] = now;
    desk->past_count++;
    desk->future_count--;
    return FH_OK;
}

static fh_status call_clear(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r, (void)j, (void)error;
    desk_state_free(&desk->now);
    return FH_OK;
}

static fh_status call_code_read(page_desk *desk, const page_request *r, page_json *j,
                                fh_error *error)
{
    (void)j;
    char code[128];
    fh_spoken spoken;
    request_text(r, "code", code, sizeof code);
    fh_status status = fh_spoken_read(code, &spoken, error);
    if (status) return status;
    fh_reading target = fh_spoken_reading(&spoken);
    status = fh_reading_check(&target, NULL, error);
    if (status) return status;
    fh_text_free(&desk->now.spec);
    desk->now.from_code = true;
    desk->now.received = target;
    desk->now.settings.tolerance = spoken.tolerance > 0 ? spoken.tolerance : 2;
    return FH_OK;
}

/* A code for figures that are given, without a job. */
static fh_status call_code_write(page_desk *desk, const page_request *r, page_json *j,
                                 fh_error *error)
{
    (void)desk;
    char condition[FH_CONDITION_TEXT], code[FH_SPOKEN_TEXT], words[FH_SPOKEN_WORDS];
    fh_spoken target = {.tolerance = 0};
    request_text(r, "condition", condition, sizeof condition);
    request_number(r, "tolerance", &target.tolerance);
    if (!request_number(r, "L", &target.lab.L) || !request_number(r, "a", &target.lab.a) ||
        !request_number(r, "b", &target.lab.b) || fh_condition_parse(condition, &target.condition))
        return fh_fail(error, FH_E_DATA, "A code needs L*, a*, b* and a condition.");
    fh_status status = fh_spoken_write(&target, code, error);
    if (status) return status;
    fh_spoken_words(code, words);
    json_text(j, "code", code);
    json_text(j, "words", words);
    return FH_OK;
}

/* What the chips say about the two instruments. */
static fh_status call_tie(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r;
    fh_tie tie;
    char words[240];
    fh_status status = tie_of(&desk->now, &tie, error);
    if (status) return status;
    fh_format(words, sizeof words,
              "%zu chips: your readings and the owner's differ by \xce\x94"
              "E00 %.1f "
              "on average; corrected (%s), a chip that was left out differs by %.1f.",
              tie.objects, tie.before, fh_tie_kind_text(tie.kind), tie.after);
    json_text(j, "words", words);
    json_number(j, "before", tie.before);
    json_number(j, "after", tie.after);
    return FH_OK;
}

static const char *name_of(const fh_reading *reading)
{
    return reading->name[0] ? reading->name : reading->id;
}

enum { VISIBLE = 2 }; /* ΔE00 from which two spots are taken for two colours, as fh_words_of_size */

/* How far the spots of the old part lie apart: their mean may be a colour that none of them has. */
static fh_status call_spots(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r;
    const desk_readings *spots = &desk->now.tray[TRAY_PART];
    double most = -1;
    size_t one = 0, other = 0;
    for (size_t i = 0; i < spots->count; i++)
        for (size_t k = i + 1; k < spots->count; k++) {
            const fh_reading *a = &spots->items[i], *b = &spots->items[k];
            if (!fh_condition_equal(a->condition, b->condition)) continue;
            const double dE = fh_de2000(a->lab, b->lab);
            if (dE > most) most = dE, one = i, other = k;
        }
    if (most < 0)
        return fh_fail(error, FH_E_DATA,
                       "No two spots were read for the same light and observer, so nobody can say "
                       "how far they lie apart.");
    char words[420];
    const size_t length =
        fh_format(words, sizeof words,
                  "The spots differ by up to \xce\x94"
                  "E00 %.1f: %s and %s.",
                  most, name_of(&spots->items[one]), name_of(&spots->items[other]));
    if (most >= VISIBLE)
        fh_format(words + length, sizeof words - length,
                  " Their mean is then a colour that no spot has; choose the spot whose colour the "
                  "new part is to have.");
    json_text(j, "words", words);
    json_number(j, "dE00", most);
    return FH_OK;
}

static fh_status call_cautions(page_desk *desk, const page_request *r, page_json *j,
                               fh_error *error)
{
    (void)desk, (void)error;
    static const char *const topics[FH_CAUTION_COUNT] = {[FH_CAUTION_PAINTING] = "painting",
                                                         [FH_CAUTION_SANDING] = "sanding",
                                                         [FH_CAUTION_SOLVENTS] = "solvents",
                                                         [FH_CAUTION_OPENING] = "opening",
                                                         [FH_CAUTION_SHEET] = NULL};
    char wanted[96];
    request_text(r, "topics", wanted, sizeof wanted);
    json_open(j, "cautions", '[');
    for (int i = 0; i < FH_CAUTION_COUNT; i++) {
        if (topics[i] && !strstr(wanted, topics[i])) continue;
        json_open(j, NULL, '{');
        json_text(j, "title", fh_caution_title((fh_caution)i));
        json_text(j, "text", fh_caution_text((fh_caution)i));
        json_close(j, '}');
    }
    json_close(j, ']');
    return FH_OK;
}

const page_entry page_desk_calls[] = {{"desk", call_desk, false},
                                      {"set", call_set, true},
                                      {"light", call_light, true},
                                      {"undo", call_undo, false},
                                      {"redo", call_redo, false},
                                      {"clear", call_clear, true},
                                      {"code-read", call_code_read, true},
                                      {"code-write", call_code_write, false},
                                      {"tie", call_tie, false},
                                      {"spots", call_spots, false},
                                      {"cautions", call_cautions, false},
                                      {NULL, NULL, false}};
