/* farhue plan: routes to a finished part, and what each still allows before a deadline. */
#include <string.h>
#include <time.h>

#include "cli/cli.h"
#include "cli/plan_coats.h"
#include "cli/table.h"
#include "farhue/plan_file.h"
#include "farhue/plan_words.h"
#include "farhue/spec_file.h"

/* --- What is known -------------------------------------------------------------------------- */

/* The clock on the wall. */
static int now(cli_context *cli, fh_moment *out)
{
    char text[FH_MOMENT_TEXT];
    struct tm parts;
    time_t seconds = time(NULL);
    if (seconds == (time_t)-1 || !localtime_r(&seconds, &parts) ||
        !strftime(text, sizeof text, "%Y-%m-%dT%H:%M", &parts) || fh_moment_parse(text, out, NULL))
        return cli_fail_text(cli, FH_E_IO, "the clock could not be read; give --now");
    return CLI_DONE;
}

#define NO_DATE "is no date; expected 2026-03-14 or 2026-03-14T18:00"

static int find_now(cli_context *cli, fh_moment *out)
{
    const char *text = cli_value(cli, "now");
    if (!text) return now(cli, out);
    return fh_moment_parse(text, out, NULL) ? cli_usage(cli, "--now %s " NO_DATE, text) : CLI_DONE;
}

static const char *step_name(const void *user, size_t i)
{
    (void)user;
    return i < FH_STEP_COUNT ? fh_step_name((fh_step)i) : NULL;
}

static int unknown_step(cli_context *cli, const char *what, const char *name)
{
    const char *nearest = cli_nearest(name, step_name, NULL);
    return cli_usage(cli, "%s: no step %s%s%s; the steps are those of farhue help plan", what, name,
                     nearest ? "; did you mean " : "", nearest ? nearest : "");
}

/* --hours STEP=H */
static int read_hours(cli_context *cli, fh_plan_facts *facts)
{
    const char *text;
    for (size_t i = 0; (text = cli_value_at(cli, "hours", i)); ++i) {
        char name[32];
        fh_step step;
        size_t length = strcspn(text, "=");
        fh_copy_slice(name, sizeof name, (fh_slice){text, length});
        if (fh_step_parse(name, &step)) return unknown_step(cli, "--hours", name);
        if (!text[length] ||
            !fh_parse_number(fh_slice_of(text + length + 1), &facts->hours[step]) ||
            !(facts->hours[step] >= 0.0 && facts->hours[step] <= FH_PLAN_HOURS_MAX))
            return cli_usage(cli,
                             "--hours %s; expected STEP=HOURS from 0 to %g, such as print=20.5",
                             text, FH_PLAN_HOURS_MAX);
    }
    return CLI_DONE;
}

/* --done STEP,STEP… */
static int read_done(cli_context *cli, fh_plan_facts *facts)
{
    const char *text;
    for (size_t i = 0; (text = cli_value_at(cli, "done", i)); ++i)
        while (*text) {
            char name[32];
            fh_step step;
            size_t length = strcspn(text, ",");
            fh_copy_slice(name, sizeof name, (fh_slice){text, length});
            if (fh_step_parse(name, &step)) return unknown_step(cli, "--done", name);
            facts->done[step] = true;
            text += length + (text[length] == ',');
        }
    return CLI_DONE;
}

static int read_without(cli_context *cli, fh_plan_facts *facts)
{
    const char *text;
    for (size_t i = 0; (text = cli_value_at(cli, "without", i)); ++i) {
        fh_route route;
        if (fh_route_parse(text, &route))
            return cli_usage(cli, "--without %s; expected filament, owner-paints or helper-paints",
                             text);
        facts->open[route] = false;
    }
    for (int route = 0; route < FH_ROUTE_COUNT; ++route)
        if (facts->open[route]) return CLI_DONE;
    return cli_usage(cli, "--without leaves no route");
}

/* --awake 8-22 */
static int read_awake(cli_context *cli, fh_plan_facts *facts)
{
    const char *text = cli_value(cli, "awake");
    if (!text || !fh_plan_awake(text, facts)) return CLI_DONE;
    return cli_usage(cli, "--awake %s; expected FROM-TO in hours of one day, such as 8-22", text);
}

/* A file of durations, and what else it knows of the plan. */
static int read_file(cli_context *cli, const char *path, fh_plan_facts *facts)
{
    cli_input input;
    fh_tables *tables;
    fh_error error = {0};
    int code = cli_text_input(cli, path, "plan", &input);
    if (!code) code = cli_tables(cli, &input, &tables);
    if (code) return code;
    return fh_plan_read(fh_tables_at(tables, 0), facts, &error)
               ? cli_fail_input(cli, &input, &error)
               : CLI_DONE;
}

static int deadline_of_spec(cli_context *cli, fh_plan_facts *facts)
{
    cli_input input;
    fh_spec *spec;
    fh_error error = {0};
    int code = cli_text_input(cli, NULL, "spec", &input);
    if (code) return code;
    if (fh_spec_read(input.bytes, input.length, &spec, NULL, &error))
        return cli_fail_input(cli, &input, &error);
    if (spec->deadline[0] && !fh_plan_deadline(spec->deadline, facts))
        cli_note(cli, "the deadline is that of %s: %s", input.name, spec->deadline);
    fh_spec_free(spec);
    return CLI_DONE;
}

/* Given, of the plan's file, else that of the spec. */
static int find_deadline(cli_context *cli, fh_plan_facts *facts)
{
    const char *text = cli_value(cli, "deadline");
    if (text)
        return fh_plan_deadline(text, facts) ? cli_usage(cli, "--deadline %s " NO_DATE, text)
                                             : CLI_DONE;
    if (!facts->deadline && cli_has_input(cli, "spec")) {
        int code = deadline_of_spec(cli, facts);
        if (code) return code;
    }
    if (facts->deadline) return CLI_DONE;
    return cli_usage(cli, "no deadline; expected --deadline 2026-03-14T18:00");
}

static int read_facts(cli_context *cli, fh_plan_facts *facts)
{
    int code = read_awake(cli, facts); /* the evening of a day in the file is that of these hours */
    if (!code && (cli->operand_count || cli_has_input(cli, "plan")))
        code = read_file(cli, cli->operand_count ? cli->operands[0] : NULL, facts);
    if (!code) code = read_awake(cli, facts);
    if (!code) code = find_deadline(cli, facts);
    if (!code) code = find_now(cli, &facts->now);
    if (!code) code = plan_coats(cli, facts);
    if (!code) code = read_hours(cli, facts);
    if (!code) code = read_done(cli, facts);
    if (!code) code = read_without(cli, facts);
    long coats = facts->coats;
    if (!code) code = cli_whole(cli, "coats", 1, FH_COATS_MAX, &coats);
    facts->coats = (unsigned)coats;
    return code;
}

/* --- As text -------------------------------------------------------------------------------- */

static void print_route(cli_context *cli, const fh_plan_facts *facts, const fh_plan_route *r)
{
    static const char *const headings[] = {"step", "who",           "takes",
                                           "from", "at the latest", "spare"};
    char a[FH_MOMENT_TEXT], b[FH_MOMENT_TEXT], text[FH_STEP_TEXT], takes[FH_SPAN], spare[FH_SPAN];
    char words[FH_OUTLOOK];
    fh_words_of_route(facts, r, words);
    cli_print(cli, "%s: %s\n", fh_route_words(r->route), words);
    cli_table table = cli_table_begin("llrllr", headings);
    for (size_t i = 0; i < r->count; ++i) {
        const fh_plan_step *s = &r->steps[i];
        fh_moment_words(s->earliest, a);
        fh_moment_words(s->latest, b);
        fh_words_of_step(s, text);
        fh_words_of_span(s->minutes, takes);
        fh_words_of_span(s->latest - s->earliest, spare);
        cli_cell(&table, "%s", text);
        cli_cell(&table, "%s", fh_who_name(s->who));
        cli_cell(&table, "%s", takes);
        cli_cell(&table, "%s", a);
        cli_cell(&table, "%s", b);
        cli_cell(&table, "%s", spare);
    }
    cli_table_print(cli, &table);
    cli_put(cli, "\n");
}

/* Steps that can begin now, each once. */
static void print_ready(cli_context *cli, const fh_plan_route *routes, size_t count)
{
    bool said[FH_STEP_COUNT][2] = {{false}};
    cli_put(cli, "\nCan begin now:\n");
    for (size_t i = 0; i < count; ++i)
        for (size_t k = 0; k < routes[i].count; ++k) {
            const fh_plan_step *s = &routes[i].steps[k];
            bool owner = s->who == FH_WHO_OWNER;
            char text[FH_STEP_TEXT];
            if (!s->ready || !routes[i].fits || said[s->step][owner]) continue;
            said[s->step][owner] = true;
            fh_words_of_step(s, text);
            cli_print(cli, "- %s (%s)\n", text, fh_who_name(s->who));
        }
}

/* Every route opens the old machine; those that paint bring the cautions of painting. */
static void put_cautions(cli_context *cli, const fh_plan_route *routes, size_t count)
{
    static const fh_caution wanted[] = {FH_CAUTION_PAINTING, FH_CAUTION_SANDING,
                                        FH_CAUTION_SOLVENTS, FH_CAUTION_OPENING, FH_CAUTION_SHEET};
    bool painting = false;
    for (size_t i = 0; i < count; ++i) painting = painting || routes[i].route != FH_ROUTE_FILAMENT;
    const size_t from = painting ? 0 : 3;
    cli_put_cautions(cli, wanted + from, sizeof wanted / sizeof *wanted - from);
}

static void report_text(cli_context *cli, const fh_plan_facts *facts, const fh_plan_route *routes,
                        size_t count)
{
    char from[FH_MOMENT_TEXT], to[FH_MOMENT_TEXT];
    bool any = false;
    fh_moment_words(facts->now, from);
    fh_moment_words(facts->deadline, to);
    cli_print(cli, "From %s to %s; %u coat%s of paint; people work from %ld:%02ld to %ld:%02ld\n\n",
              from, to, facts->coats, facts->coats == 1 ? "" : "s", facts->wake / 60,
              facts->wake % 60, facts->sleep / 60, facts->sleep % 60);
    for (size_t i = 0; i < count; ++i) print_route(cli, facts, &routes[i]);
    cli_put(cli, "What is still open:\n");
    for (size_t i = 0; i < count; ++i) {
        char words[FH_OUTLOOK];
        fh_words_of_outlook(facts, &routes[i], words);
        cli_print(cli, "- %s: %s.\n", fh_route_words(routes[i].route), words);
        any = any || (routes[i].fits && routes[i].count);
    }
    if (any) print_ready(cli, routes, count);
    put_cautions(cli, routes, count);
}

/* --- As JSON -------------------------------------------------------------------------------- */

static void json_moment(json_t *object, const char *key, fh_moment moment)
{
    char text[FH_MOMENT_TEXT];
    fh_moment_text(moment, text);
    cli_json_text(object, key, text);
}

static void report_json(cli_context *cli, const fh_plan_facts *facts, const fh_plan_route *routes,
                        size_t count)
{
    json_moment(cli->root, "now", facts->now);
    json_moment(cli->root, "deadline", facts->deadline);
    json_object_set_new(cli->root, "coats", json_integer((json_int_t)facts->coats));
    json_t *list = cli_json_array(cli->root, "routes");
    for (size_t i = 0; i < count; ++i) {
        const fh_plan_route *r = &routes[i];
        json_t *route = cli_json_append(list);
        cli_json_text(route, "route", fh_route_name(r->route));
        cli_json_bool(route, "fits", r->fits);
        json_moment(route, "finish", r->finish);
        cli_json_number(cli, route, "spare_hours", (double)(facts->deadline - r->finish) / FH_HOUR);
        json_moment(route, "open_until", r->open_until);
        if (r->urgent < r->count)
            cli_json_text(route, "urgent", fh_step_name(r->steps[r->urgent].step));
        json_t *steps = cli_json_array(route, "steps");
        for (size_t k = 0; k < r->count; ++k) {
            const fh_plan_step *s = &r->steps[k];
            json_t *step = cli_json_append(steps);
            cli_json_text(step, "step", fh_step_name(s->step));
            if (s->coat) json_object_set_new(step, "coat", json_integer((json_int_t)s->coat));
            cli_json_text(step, "who", fh_who_name(s->who));
            cli_json_bool(step, "ready", s->ready);
            cli_json_number(cli, step, "hours", (double)s->minutes / FH_HOUR);
            json_moment(step, "earliest_start", s->earliest);
            json_moment(step, "latest_start", s->latest);
        }
    }
    put_cautions(cli, routes, count);
}

static int run(cli_context *cli)
{
    fh_plan_facts facts = fh_plan_usual();
    fh_plan_route routes[FH_ROUTE_COUNT];
    size_t count = 0;
    int code = read_facts(cli, &facts);
    if (code) return code;
    for (int route = 0; route < FH_ROUTE_COUNT; ++route) {
        fh_error error = {0};
        if (!facts.open[route]) continue;
        if (fh_plan(&facts, (fh_route)route, &routes[count], &error)) return cli_fail(cli, &error);
        ++count;
    }
    if (cli->json)
        report_json(cli, &facts, routes, count);
    else
        report_text(cli, &facts, routes, count);
    return CLI_DONE;
}

static const cli_option options[] = {
    {"deadline", 0, "TIME",
     "when the part must be in: 2026-03-14T18:00; a day alone: its evening (that of the plan's "
     "file, or of the spec)",
     false},
    {"now", 0, "TIME", "plan from then on (now)", false},
    {"hours", 0, "STEP=H", "how long a step takes", true},
    {"done", 0, "STEP,...", "steps that are done, or not needed", true},
    {"coats", 0, "N", "coats of paint, as farhue hide gives them (3)", false},
    {"hide", 0, "FILE",
     "coats, and their drying between, from what farhue hide --coat … --json -o FILE saved", false},
    {"awake", 0, "FROM-TO", "hours of the day in which people work (8-22)", false},
    {"without", 0, "ROUTE", "leave out filament, owner-paints or helper-paints", true},
    {0},
};

const cli_command cli_plan = {
    .name = "plan",
    .summary = "routes to the finished part, and what must be decided by when",
    .usage = "[FILE]",
    .details =
        "For each route the earliest and the latest start of every step, and until when it stays "
        "open. The fit and a colour coupon come before the long print in every route. Durations "
        "are "
        "elapsed hours, those of steps that need a person (fit, verdict, clean, prime, coat, "
        "check, "
        "assemble) of waking hours; FILE (plan.txt, or that of the job) has columns STEP, HOURS "
        "and "
        "DONE, and may say deadline, coats, waking hours and routes as well. Times are local, "
        "without change to or from summer time.\n\n"
        "Steps and usual hours: filament 48, paint 24, draft 2, fit 1, coupon 1, paintout by the "
        "coats "
        "(half an hour, and each coat with its drying, painted in waking hours), verdict 1, print "
        "24, clean 1, prime 0.5, "
        "prime-dry 2, coat 0.5, dry 4, cure 24, post 48, "
        "check 1, assemble 1.\n\n"
        "  farhue plan --deadline 2026-03-14 --hours print=31 --done draft --coats 2\n"
        "  farhue plan --deadline 2026-03-14 --hide coats.json\n",
    .options = options,
    .least = 0,
    .most = 1,
    .run = run,
};
