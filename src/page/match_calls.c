/* Calls that judge: what the stage shows, tolerance, ranking, verdict. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/diagram.h"
#include "farhue/rank.h"
#include "farhue/tolerance.h"
#include "farhue/words.h"
#include "page/door.h"
#include "page/stack.h"
#include "page/tie.h"

static const char *name_of(const fh_reading *reading)
{
    return reading->name[0] ? reading->name : reading->id;
}

/* One row of the stage: a part bare, and behind the shell, under one light. */
static fh_status write_row(page_json *j, const char *role, const fh_reading *reading,
                           const page_stack *stack, const fh_weights *light, fh_lab *shown,
                           fh_error *error)
{
    fh_reading spectral;
    fh_status status = stack_with_spectrum(reading, &spectral, error);
    if (status) return status;
    *shown = fh_lab_of_spectrum(&spectral.reflectance, light);
    json_open(j, NULL, '{');
    json_text(j, "role", role);
    json_text(j, "name", name_of(reading));
    json_screen(j, "bare", *shown);
    if (stack->shell) {
        fh_spectrum look = fh_shell_look(&stack->shell->curves, &spectral.reflectance);
        *shown = fh_lab_of_spectrum(&look, light);
        json_screen(j, "seen", *shown);
    }
    json_close(j, '}');
    return FH_OK;
}

/* The candidate that the page points at; of the coupon without an index it is what is judged, the
 * mean of its readings. */
static bool pointed_at(const desk_state *job, const page_request *r, fh_reading *out)
{
    char name[16];
    desk_tray tray;
    size_t index;
    if (!request_text(r, "tray", name, sizeof name) || !desk_tray_of(name, &tray)) return false;
    if (!request_count(r, "index", &index))
        return tray == TRAY_COUPON && page_coupon(job, r, out, NULL) == FH_OK;
    if (index >= job->tray[tray].count) return false;
    *out = job->tray[tray].items[index];
    return true;
}

/* A coat that the request brings along as a curve (36 bands) with its name; false without one. */
static bool brought_along(const page_request *r, fh_reading *out)
{
    fh_buffer curve = {0};
    *out = fh_reading_blank();
    out->origin = FH_ORIGIN_SPECTRUM;
    bool there = request_whole(r, "curve", &curve);
    fh_slice rest = {curve.text ? curve.text : "", there ? curve.length : 0};
    for (size_t i = 0; i < FH_BANDS && there; i++)
        there = list_number(&rest, true, &out->reflectance.v[i]) && out->reflectance.v[i] >= 0.0 &&
                out->reflectance.v[i] <= 1.2;
    request_text(r, "name", out->name, sizeof out->name);
    const fh_weights own = fh_weights_of(out->condition);
    if (there) out->lab = fh_lab_of_spectrum(&out->reflectance, &own);
    fh_buffer_free(&curve);
    return there;
}

static fh_status call_stage(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    page_stack stack = {.shell = NULL, .record = NULL, .spec = NULL};
    fh_status status = stack_of(&desk->now, &stack, NULL);
    bool ready = status == FH_OK;
    if (!ready) fh_target_init(&stack.target, &(fh_reading){.repeats = 1}, NULL);
    size_t index = 0;
    request_count(r, "light", &index);
    if (index >= stack.target.light_count) index = 0;
    const fh_weights *light = &stack.target.light[index];
    fh_reading moved;
    const fh_reading *candidate = NULL;
    if (pointed_at(&desk->now, r, &moved)) {
        moved = tie_candidate(&desk->now, &moved, NULL, 0);
        candidate = &moved;
    } else if (brought_along(r, &moved)) {
        candidate = &moved;
    }
    fh_lab target = {0}, other = {0};
    json_open(j, "rows", '[');
    status = FH_OK;
    if (ready) status = write_row(j, "target", &stack.target.part, &stack, light, &target, error);
    if (!status && candidate)
        status = write_row(j, "candidate", candidate, &stack, light, &other, error);
    json_close(j, ']');
    json_bool(j, "shell", stack.shell != NULL);
    if (ready && candidate && !status) {
        char words[FH_WORDS], line[200];
        fh_words_of_difference(target, other, words);
        fh_format(line, sizeof line,
                  "as shown \xce\x94"
                  "E00 %.1f: %s",
                  fh_de2000(target, other), words);
        json_text(j, "difference", line);
    }
    json_open(j, "lights", '[');
    for (size_t i = 0; i < stack.target.light_count; i++) {
        json_open(j, NULL, '{');
        json_text(j, "name", fh_words_of_light(stack.target.light[i].condition.illuminant));
        json_close(j, '}');
    }
    json_close(j, ']');
    stack_free(&stack);
    return status;
}

enum { CONTOUR = 72 };

/* The contour in the a*b* plane and the extent along L*, as colours. */
static fh_status outline(const fh_target *target, fh_lab bare, fh_lab contour[CONTOUR], double *low,
                         double *high, fh_error *error)
{
    fh_vec3 offsets[CONTOUR], ends[4];
    const fh_vec3 L = {{1, 0, 0}}, a = {{0, 1, 0}}, b = {{0, 0, 1}};
    fh_status status = fh_tolerance_contour(target, a, b, CONTOUR, offsets, NULL, error);
    if (!status) status = fh_tolerance_contour(target, L, a, 4, ends, NULL, error);
    if (status) return status;
    for (size_t i = 0; i < CONTOUR; i++)
        contour[i] = (fh_lab){bare.L, bare.a + offsets[i].v[1], bare.b + offsets[i].v[2]};
    *high = bare.L + ends[0].v[0];
    *low = bare.L + ends[2].v[0];
    return FH_OK;
}

static void write_diagrams(page_json *j, const fh_mark *marks, size_t count, const fh_lab *contour,
                           double low, double high)
{
    fh_text svg = {0};
    fh_status status =
        fh_diagram_chroma(fh_sink_to_text(&svg), marks, count, contour, contour ? CONTOUR : 0);
    json_drawing(j, "chroma", &svg, status);
    status = fh_diagram_lightness(fh_sink_to_text(&svg), marks, count, low, high);
    json_drawing(j, "lightness", &svg, status);
}

static fh_status call_tolerance(page_desk *desk, const page_request *r, page_json *j,
                                fh_error *error)
{
    (void)r;
    page_stack stack;
    fh_tolerance tolerance;
    fh_lab contour[CONTOUR];
    double low, high;
    fh_status status = stack_of(&desk->now, &stack, error);
    if (status) return status;
    status = fh_tolerance_find(&stack.target, &tolerance, error);
    if (!status) status = outline(&stack.target, tolerance.bare, contour, &low, &high, error);
    if (!status) {
        char sentence[FH_SENTENCE];
        fh_tolerance_sentence(&tolerance, stack.shell != NULL, sentence);
        json_text(j, "sentence", sentence);
        json_number(j, "safe", tolerance.safe);
        json_number(j, "forgiving", tolerance.forgiving);
        fh_mark mark = {FH_MARK_TARGET, tolerance.bare, "target"};
        write_diagrams(j, &mark, 1, contour, low, high);
    }
    stack_free(&stack);
    return status;
}

/* first: the place, from 1, of the first of its group; the candidate's own when it is the first. */
static void write_place(page_json *j, const fh_reading *candidate, const fh_ranked *place,
                        bool tied, size_t first)
{
    const fh_verdict *v = &place->verdict;
    json_open(j, NULL, '{');
    json_count(j, "index", place->index);
    json_text(j, "name", name_of(candidate));
    json_screen(j, "screen", candidate->lab);
    json_bool(j, "judged", place->judged);
    json_bool(j, "tied", tied);
    if (!place->judged) {
        json_text(j, "words", place->why);
        json_text(j, "verdict", "not comparable");
        json_close(j, '}');
        return;
    }
    const fh_sight *worst = &v->seen[v->worst];
    char words[FH_WORDS], line[300], alike[60] = "";
    fh_words_of_difference(worst->target, worst->candidate, words);
    if (tied) fh_format(alike, sizeof alike, "; cannot be told apart from place %zu", first);
    fh_format(line, sizeof line, "%s%s%s%s%s", words, alike,
              !v->lamp_fails ? ""
              : v->estimated ? "; fits by daylight, open under the lamp"
                             : "; fits by daylight, not under the lamp",
              v->estimated ? "; curve estimated" : "",
              v->converted ? "; mirror reflection converted by its gloss" : "");
    json_number(j, "dE00", worst->interval.median);
    json_number(j, "low", worst->interval.low);
    json_number(j, "high", worst->interval.high);
    json_number(j, "bare", v->bare.interval.median);
    json_number(j, "p", v->p_within);
    json_text(j, "words", line);
    json_text(j, "verdict",
              v->decision == FH_ACCEPT   ? "fits"
              : v->decision == FH_REJECT ? "does not fit"
                                         : "open");
    json_close(j, '}');
}

enum { MARKED = 8, LISTED = 100 };

static fh_status write_ranking(page_json *j, const page_stack *stack, const desk_readings *shelf,
                               const fh_ranked *places)
{
    json_open(j, "places", '[');
    for (size_t i = 0, first = 0; i < shelf->count && i < LISTED; i++) {
        const bool tied = i > 0 && places[i].judged && places[i].group == places[first].group;
        if (!tied) first = i;
        write_place(j, &shelf->items[places[i].index], &places[i], tied, first + 1);
    }
    json_close(j, ']');
    fh_mark marks[MARKED + 1];
    char labels[MARKED][4];
    size_t count = 0;
    for (size_t i = 0; i < shelf->count && count < MARKED; i++) {
        if (!places[i].judged) continue;
        fh_format(labels[count], sizeof labels[count], "%zu", i + 1);
        marks[count + 1] =
            (fh_mark){FH_MARK_CANDIDATE, places[i].verdict.bare.candidate, labels[count]};
        marks[0] = (fh_mark){FH_MARK_TARGET, places[i].verdict.bare.target, "target"};
        count++;
    }
    if (!count) return FH_OK;
    if (count == MARKED && shelf->count > MARKED && places[MARKED].judged)
        json_text(j, "drawn", "The drawings show the first eight.");
    fh_lab contour[CONTOUR];
    double low, high;
    bool drawn = outline(&stack->target, marks[0].lab, contour, &low, &high, NULL) == FH_OK;
    write_diagrams(j, marks, count + 1, drawn ? contour : NULL, drawn ? low : 1, drawn ? high : 0);
    return FH_OK;
}

/* A reading without a stated uncertainty counts as exact; who reads the figures must know. */
static void write_exact(page_json *j, const desk_readings *shelf)
{
    size_t exact = 0;
    char words[160];
    for (size_t i = 0; i < shelf->count; i++) exact += fh_reading_is_exact(&shelf->items[i]);
    if (!exact) return;
    if (shelf->count == 1)
        fh_format(words, sizeof words, "The candidate states no uncertainty and counts as exact.");
    else
        fh_format(words, sizeof words,
                  "%zu of %zu candidates state no uncertainty and count as exact.", exact,
                  shelf->count);
    json_text(j, "exact", words);
}

static fh_status call_rank(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r;
    const desk_readings *shelf = &desk->now.tray[TRAY_SHELF];
    page_stack stack;
    fh_status status = stack_of(&desk->now, &stack, error);
    if (status) return status;
    fh_ranked *places = fh_allocate(shelf->count, sizeof *places);
    fh_reading *tied = fh_allocate(shelf->count, sizeof *tied);
    fh_rank_options options = fh_rank_defaults();
    fh_tie tie;
    char why[TIE_WHY];
    bool wanted = tie_wanted(&desk->now, &tie, why, sizeof why);
    for (size_t i = 0; tied && i < shelf->count; i++)
        tied[i] = tie_move(wanted ? &tie : NULL, &shelf->items[i], why, sizeof why);
    status = places && tied ? fh_rank(&stack.target, tied, shelf->count, &options, places,
                                      page_progress, NULL, error)
                            : FH_E_MEMORY;
    if (!status) {
        char words[260];
        fh_format(words, sizeof words,
                  "%zu candidates, by the worst of %zu lights%s. In brackets "
                  "where the difference lies with 95 %% chance.%s",
                  shelf->count, stack.target.light_count,
                  stack.shell ? ", as seen through the shell" : "",
                  shelf->count > LISTED ? " The first hundred are listed." : "");
        json_text(j, "words", words);
        write_exact(j, shelf);
        json_text(j, "tie", why);
        status = write_ranking(j, &stack, shelf, places);
    }
    fh_free(places);
    fh_free(tied);
    stack_free(&stack);
    return status;
}

static void write_verdict(page_json *j, const fh_verdict *v, const fh_target *target)
{
    const fh_sight *worst = &v->seen[v->worst];
    char words[FH_WORDS], line[480], chance[FH_CHANCE];
    fh_words_of_difference(worst->target, worst->candidate, words);
    fh_words_of_chance(v->p_within, chance);
    json_text(j, "decision", fh_decision_text(v->decision));
    json_text(j, "headline",
              v->decision == FH_ACCEPT   ? "It fits: go ahead"
              : v->decision == FH_REJECT ? "It does not fit"
                                         : "Measure again: these readings leave it open");
    fh_format(
        line, sizeof line,
        "%s under %s: \xce\x94"
        "E00 %.1f where %.1f is allowed. Chance that it is "
        "right under every light: %s.%s%s%s",
        words, fh_words_of_light(worst->condition.illuminant), worst->interval.median,
        target->tolerance, chance,
        !v->lamp_fails ? ""
        : v->estimated
            ? " By daylight it fits; how it looks under the lamp is open, since there is no curve."
            : " By daylight it fits; under the lamp it does not.",
        v->converted ? " The coupon was read in another specular mode and converted by its gloss."
                     : "",
        target->converted ? " The old part was read in another specular mode than the shell and "
                            "converted by its gloss."
                          : "");
    if (line[0] >= 'a' && line[0] <= 'z') line[0] = (char)(line[0] - 'a' + 'A');
    json_text(j, "words", line);
    json_number(j, "p_within", v->p_within);
    json_open(j, "lights", '[');
    for (size_t i = 0; i < v->light_count; i++) {
        json_open(j, NULL, '{');
        json_text(j, "name", fh_words_of_light(v->seen[i].condition.illuminant));
        json_number(j, "dE00", v->seen[i].dE00);
        json_number(j, "median", v->seen[i].interval.median);
        json_number(j, "low", v->seen[i].interval.low);
        json_number(j, "high", v->seen[i].interval.high);
        json_number(j, "p", v->seen[i].p_within);
        fh_words_of_chance(v->seen[i].p_within, chance);
        json_text(j, "chance", chance);
        json_close(j, '}');
    }
    json_close(j, ']');
    if (v->decision != FH_MEASURE_AGAIN) return;
    if (v->settle.candidate)
        fh_format(line, sizeof line, "About %u more readings of the coupon would settle it.",
                  v->settle.candidate);
    else if (v->settle.both)
        fh_format(line, sizeof line,
                  "About %u more readings each of coupon and old part would settle "
                  "it.",
                  v->settle.both);
    else if (v->estimated)
        fh_format(
            line, sizeof line,
            "More readings like these will not settle it: without a curve "
            "nobody knows how the colour changes under another light. Compare by eye under the "
            "lamp, or have a curve measured.");
    else
        fh_format(line, sizeof line,
                  "More readings with these instruments will not settle it; tie "
                  "them with chips that both of you measure, or compare by eye.");
    json_text(j, "settle", line);
}

fh_status page_coupon(const desk_state *job, const page_request *r, fh_reading *out,
                      fh_error *error)
{
    size_t index;
    const desk_readings *coupons = &job->tray[TRAY_COUPON];
    if (!coupons->count) return fh_fail(error, FH_E_DATA, "The coupon has no reading yet.");
    if (request_count(r, "index", &index) && index < coupons->count) {
        *out = coupons->items[index];
        return FH_OK;
    }
    if (coupons->count == 1) {
        *out = coupons->items[0];
        return FH_OK;
    }
    fh_status status = fh_reading_pool(coupons->items, coupons->count, out, error);
    if (status) return status;
    bool alike = coupons->items[0].name[0] != '\0';
    for (size_t i = 1; i < coupons->count; i++)
        alike = alike && strcmp(coupons->items[i].name, coupons->items[0].name) == 0;
    char what[FH_NAME - 32] = ""; /* longer names are cut at a character */
    if (alike) fh_copy_text(what, sizeof what, coupons->items[0].name);
    fh_format(out->name, sizeof out->name, "%s%smean of %zu readings", what, what[0] ? ", " : "",
              coupons->count);
    return FH_OK;
}

static fh_status call_check(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    fh_reading coupon;
    page_stack stack;
    fh_status status = page_coupon(&desk->now, r, &coupon, error);
    if (!status) status = stack_of(&desk->now, &stack, error);
    if (status) return status;
    fh_verdict verdict;
    fh_verdict_options options = fh_verdict_defaults();
    char why[TIE_WHY];
    coupon = tie_candidate(&desk->now, &coupon, why, sizeof why);
    status = fh_judge(&stack.target, &coupon, &options, &verdict, page_progress, NULL, error);
    if (!status) {
        write_verdict(j, &verdict, &stack.target);
        json_text(j, "tie",
                  why[0]                    ? why
                  : desk->now.settings.tied ? "Corrected by the chips."
                                            : "");
        if (fh_reading_is_exact(&coupon))
            json_text(j, "exact",
                      "The coupon states no uncertainty and counts as exact; several readings of "
                      "it would tell.");
    }
    stack_free(&stack);
    return status;
}

const page_entry page_match_calls[] = {{"stage", call_stage, false},
                                       {"tolerance", call_tolerance, false},
                                       {"rank", call_rank, false},
                                       {"check", call_check, false},
                                       {NULL, NULL, false}};
