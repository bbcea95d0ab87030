/* Calls that plan: what is known of time, and which routes still fit. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/plan_words.h"
#include "page/door.h"
#include "page/stack.h"

/* --- What is known ------------------------------------------------------------------------------
 */

static fh_status set_deadline(fh_plan_facts *plan, const char *value, fh_error *error)
{
    if (!value[0]) {
        plan->deadline = 0;
        return FH_OK;
    }
    if (fh_plan_deadline(value, plan))
        return fh_fail(error, FH_E_DATA,
                       "\"%.40s\" is no date; expected such as 2026-03-14 or 2026-03-14T18:00.",
                       value);
    return FH_OK;
}

static fh_status set_coats(fh_plan_facts *plan, const page_request *r, fh_error *error)
{
    size_t coats;
    if (!request_count(r, "value", &coats) || coats < 1 || coats > FH_COATS_MAX)
        return fh_fail(error, FH_E_DATA, "Expected 1 to %d coats.", (int)FH_COATS_MAX);
    plan->coats = (unsigned)coats;
    return FH_OK;
}

/* How long a step takes; nothing typed: as long as usual. */
static fh_status set_hours(fh_plan_facts *plan, const page_request *r, fh_step step,
                           const char *value, fh_error *error)
{
    double hours = fh_plan_usual().hours[step];
    if (value[0] &&
        (!request_number(r, "value", &hours) || !(hours >= 0.0 && hours <= FH_PLAN_HOURS_MAX)))
        return fh_fail(error, FH_E_DATA, "\"%.40s\" is out of range; expected hours from 0 to %g.",
                       value, FH_PLAN_HOURS_MAX);
    plan->hours[step] = hours;
    return FH_OK;
}

static fh_status set_of_step(fh_plan_facts *plan, const page_request *r, const char *key,
                             const char *value, fh_error *error)
{
    char name[32];
    fh_step step;
    fh_route route;
    request_text(r, "name", name, sizeof name);
    if (strcmp(key, "open") == 0 && !fh_route_parse(name, &route)) {
        plan->open[route] = strcmp(value, "1") == 0;
        for (int i = 0; i < FH_ROUTE_COUNT; i++)
            if (plan->open[i]) return FH_OK;
        return fh_fail(error, FH_E_DATA, "At least one way has to stay.");
    }
    if (fh_step_parse(name, &step))
        return fh_fail(error, FH_E_ARGUMENT, "There is no step of that name.");
    if (strcmp(key, "hours") == 0) return set_hours(plan, r, step, value, error);
    if (strcmp(key, "done") != 0) return fh_fail(error, FH_E_ARGUMENT, "A plan has no such thing.");
    plan->done[step] = strcmp(value, "1") == 0;
    return FH_OK;
}

static fh_status call_plan_set(page_desk *desk, const page_request *r, page_json *j,
                               fh_error *error)
{
    (void)j;
    fh_plan_facts *plan = &desk->now.settings.plan;
    char key[16], value[64];
    request_text(r, "key", key, sizeof key);
    request_text(r, "value", value, sizeof value);
    if (strcmp(key, "deadline") == 0) return set_deadline(plan, value, error);
    if (strcmp(key, "coats") == 0) return set_coats(plan, r, error);
    if (strcmp(key, "awake") != 0) return set_of_step(plan, r, key, value, error);
    if (fh_plan_awake(value, plan))
        return fh_fail(error, FH_E_DATA,
                       "\"%.40s\" are no waking hours; expected hours of one day, such as 8-22.",
                       value);
    return FH_OK;
}

/* --- The routes ---------------------------------------------------------------------------------
 */

static void write_facts(page_json *j, const fh_plan_facts *plan)
{
    const fh_plan_facts usual = fh_plan_usual();
    char text[FH_MOMENT_TEXT] = "";
    if (plan->deadline) fh_moment_text(plan->deadline, text);
    json_text(j, "deadline", text);
    fh_plan_awake_text(plan, text);
    json_text(j, "awake", text);
    json_count(j, "coats", plan->coats);
    json_open(j, "steps", '[');
    for (int i = 0; i < FH_STEP_COUNT; i++) {
        const bool by_coats = plan->hours[i] < 0.0;
        json_open(j, NULL, '{');
        json_text(j, "name", fh_step_name((fh_step)i));
        json_text(j, "words", fh_step_words((fh_step)i));
        json_number(j, "hours", by_coats ? (double)NAN : plan->hours[i]);
        json_number(j, "usual", usual.hours[i] < 0.0 ? (double)NAN : usual.hours[i]);
        json_bool(j, "done", plan->done[i]);
        json_close(j, '}');
    }
    json_close(j, ']');
}

static void json_moment_words(page_json *j, const char *key, fh_moment moment)
{
    char words[FH_MOMENT_TEXT];
    fh_moment_words(moment, words);
    json_text(j, key, words);
}

static void json_span(page_json *j, const char *key, long long minutes)
{
    char words[FH_SPAN];
    fh_words_of_span(minutes, words);
    json_text(j, key, words);
}

static void write_step(page_json *j, const fh_plan_step *s)
{
    char words[FH_STEP_TEXT];
    fh_words_of_step(s, words);
    json_open(j, NULL, '{');
    json_text(j, "words", words);
    json_text(j, "who", fh_who_name(s->who));
    json_bool(j, "ready", s->ready);
    json_span(j, "takes", s->minutes);
    json_moment_words(j, "from", s->earliest);
    json_moment_words(j, "latest", s->latest);
    json_close(j, '}');
}

static void write_route(page_json *j, const fh_plan_facts *plan, const fh_plan_route *r)
{
    char words[FH_OUTLOOK];
    fh_text svg = {0};
    json_bool(j, "fits", r->fits);
    fh_words_of_route(plan, r, words);
    json_text(j, "state", words);
    fh_words_of_outlook(plan, r, words);
    json_text(j, "outlook", words);
    json_open(j, "steps", '[');
    for (size_t i = 0; i < r->count; i++) write_step(j, &r->steps[i]);
    json_close(j, ']');
    json_drawing(j, "drawing", &svg, fh_diagram_route(fh_sink_to_text(&svg), plan, r));
}

static fh_status write_routes(page_json *j, const fh_plan_facts *plan, fh_error *error)
{
    fh_status status = FH_OK;
    fh_plan_route *route = fh_allocate(1, sizeof *route);
    if (!route) return fh_fail(error, FH_E_MEMORY, "Out of memory.");
    json_open(j, "routes", '[');
    for (int i = 0; i < FH_ROUTE_COUNT && !status; i++) {
        json_open(j, NULL, '{');
        json_text(j, "name", fh_route_name((fh_route)i));
        json_text(j, "words", fh_route_words((fh_route)i));
        json_bool(j, "open", plan->open[i]);
        if (plan->open[i] && plan->deadline) {
            status = fh_plan(plan, (fh_route)i, route, error);
            if (!status) write_route(j, plan, route);
        }
        json_close(j, '}');
    }
    json_close(j, ']');
    fh_free(route);
    return status;
}

/* The deadline of a spec that came, where none is set. */
static fh_status deadline_of_spec(const desk_state *job, fh_plan_facts *plan)
{
    fh_spec *spec = NULL;
    if (!stack_is_received(job)) return FH_OK;
    fh_status status = fh_spec_read(job->spec.bytes, job->spec.length, &spec, NULL, NULL);
    if (!status) (void)fh_plan_deadline(spec->deadline, plan);
    fh_spec_free(spec);
    return status == FH_E_MEMORY ? status : FH_OK;
}

/* What is known, and the routes from "now" on; "trouble" says why there are none. */
static fh_status call_plan(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    fh_plan_facts plan = desk->now.settings.plan;
    char now[FH_MOMENT_TEXT];
    fh_error why = {0};
    request_text(r, "now", now, sizeof now);
    if (fh_moment_parse(now, &plan.now, NULL))
        return fh_fail(error, FH_E_ARGUMENT, "The present moment is missing.");
    fh_status status = plan.deadline ? FH_OK : deadline_of_spec(&desk->now, &plan);
    json_bool(j, "of_spec", plan.deadline && !desk->now.settings.plan.deadline);
    write_facts(j, &plan);
    if (!status) status = write_routes(j, &plan, &why);
    if (!status) return FH_OK;
    if (status == FH_E_MEMORY) return fh_fail(error, status, "Out of memory.");
    json_text(j, "trouble", why.message);
    return FH_OK;
}

const page_entry page_plan_calls[] = {
    {"plan-set", call_plan_set, true}, {"plan", call_plan, false}, {NULL, NULL, false}};
