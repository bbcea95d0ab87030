/* The critical-path method (forward pass, backward pass) on a calendar of waking hours. */
#include "farhue/plan.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/text.h"

typedef struct step_facts {
    const char *name, *words;
    fh_who who; /* painting steps: whoever paints in the route */
    bool attended;
    double hours; /* common practice, no source */
} step_facts;

static const step_facts steps[FH_STEP_COUNT] = {
    [FH_STEP_FILAMENT] = {"filament", "get the filament", FH_WHO_HELPER, false, 48},
    [FH_STEP_PAINT] = {"paint", "get the paints", FH_WHO_OWNER, false, 24},
    [FH_STEP_DRAFT] = {"draft", "print a draft of what must fit", FH_WHO_HELPER, false, 2},
    [FH_STEP_FIT] = {"fit", "measure the draft; the owner compares it", FH_WHO_HELPER, true, 1},
    [FH_STEP_COUPON] = {"coupon", "print a coupon", FH_WHO_HELPER, false, 1},
    [FH_STEP_PAINTOUT] = {"paintout", "mix, and paint a coupon with all coats", FH_WHO_OWNER, false,
                          FH_PLAN_BY_COATS},
    [FH_STEP_VERDICT] = {"verdict", "measure the coupon, reply, have it checked", FH_WHO_HELPER,
                         true, 1},
    [FH_STEP_PRINT] = {"print", "do the long print", FH_WHO_HELPER, false, 24},
    [FH_STEP_CLEAN] = {"clean", "take off supports, clean", FH_WHO_HELPER, true, 1},
    [FH_STEP_PRIME] = {"prime", "prime", FH_WHO_OWNER, true, 0.5},
    [FH_STEP_PRIME_DRY] = {"prime-dry", "let the primer dry", FH_WHO_OWNER, false, 2},
    [FH_STEP_COAT] = {"coat", "paint coat", FH_WHO_OWNER, true, 0.5},
    [FH_STEP_DRY] = {"dry", "let it dry", FH_WHO_OWNER, false, 4},
    [FH_STEP_CURE] = {"cure", "let it harden", FH_WHO_OWNER, false, 24},
    [FH_STEP_POST] = {"post", "send it by post", FH_WHO_POST, false, 48},
    [FH_STEP_CHECK] = {"check", "check the part's colour and fit", FH_WHO_OWNER, true, 1},
    [FH_STEP_ASSEMBLE] = {"assemble", "put it in", FH_WHO_OWNER, true, 1},
};

/* Minutes of mixing before the coats of a coupon (common practice, no source). */
enum { MIXING = 30 };

fh_plan_facts fh_plan_usual(void)
{
    fh_plan_facts facts = {.wake = 8 * FH_HOUR, .sleep = 22 * FH_HOUR, .coats = 3};
    for (int i = 0; i < FH_STEP_COUNT; ++i) facts.hours[i] = steps[i].hours;
    for (int i = 0; i < FH_ROUTE_COUNT; ++i) facts.open[i] = true;
    return facts;
}

const char *fh_step_name(fh_step step)
{
    return steps[step].name;
}

const char *fh_step_words(fh_step step)
{
    return steps[step].words;
}

fh_status fh_step_parse(const char *name, fh_step *out)
{
    for (int i = 0; i < FH_STEP_COUNT; ++i)
        if (strcmp(steps[i].name, name) == 0) {
            *out = (fh_step)i;
            return FH_OK;
        }
    return FH_E_DATA;
}

const char *fh_route_name(fh_route route)
{
    static const char *const names[] = {"filament", "owner-paints", "helper-paints"};
    return names[route];
}

fh_status fh_route_parse(const char *name, fh_route *out)
{
    for (int i = 0; i < FH_ROUTE_COUNT; ++i)
        if (strcmp(fh_route_name((fh_route)i), name) == 0) {
            *out = (fh_route)i;
            return FH_OK;
        }
    return FH_E_DATA;
}

const char *fh_route_words(fh_route route)
{
    static const char *const words[] = {"Print in a filament that fits",
                                        "Print in any filament, the owner paints",
                                        "The helper prints and paints"};
    return words[route];
}

const char *fh_who_name(fh_who who)
{
    static const char *const names[] = {"owner", "helper", "post"};
    return names[who];
}

fh_status fh_plan_awake(const char *text, fh_plan_facts *facts)
{
    const char *dash = strchr(text, '-');
    double from = 0, to = 0;
    if (!dash || !fh_parse_number((fh_slice){text, (size_t)(dash - text)}, &from) ||
        !fh_parse_number(fh_slice_of(dash + 1), &to) ||
        !(from >= 0 && from < 24 && to >= 0 && to < 24))
        return FH_E_DATA;
    const long wake = (long)(from * FH_HOUR + 0.5), sleep = (long)(to * FH_HOUR + 0.5);
    if (sleep >= FH_DAY || sleep - wake < FH_HOUR) return FH_E_DATA;
    facts->wake = wake;
    facts->sleep = sleep;
    return FH_OK;
}

void fh_plan_awake_text(const fh_plan_facts *facts, char out[FH_MOMENT_TEXT])
{
    fh_format(out, FH_MOMENT_TEXT, "%.6g-%.6g", (double)facts->wake / FH_HOUR,
              (double)facts->sleep / FH_HOUR);
}

fh_status fh_plan_deadline(const char *text, fh_plan_facts *facts)
{
    bool day_only;
    fh_moment at;
    if (fh_moment_parse(text, &at, &day_only)) return FH_E_DATA;
    facts->deadline = day_only ? at + facts->sleep : at;
    return FH_OK;
}

/* --- Waking hours --------------------------------------------------------------------------- */

static fh_moment midnight(fh_moment t)
{
    return t - fh_moment_of_day(t);
}

/* The first moment not before t at which somebody is up. */
static fh_moment up_after(const fh_plan_facts *f, fh_moment t)
{
    long minute = fh_moment_of_day(t);
    if (minute < f->wake) return midnight(t) + f->wake;
    if (minute > f->sleep) return midnight(t) + FH_DAY + f->wake;
    return t;
}

/* The last moment not after t at which somebody is up. */
static fh_moment up_before(const fh_plan_facts *f, fh_moment t)
{
    long minute = fh_moment_of_day(t);
    if (minute < f->wake) return midnight(t) - FH_DAY + f->sleep;
    if (minute > f->sleep) return midnight(t) + f->sleep;
    return t;
}

/* When a person may begin work at or after t: not at bedtime. */
static fh_moment begin_work(const fh_plan_facts *f, fh_moment t, long minutes)
{
    t = up_after(f, t);
    if (minutes > 0 && fh_moment_of_day(t) == f->sleep) t = midnight(t) + FH_DAY + f->wake;
    return t;
}

static fh_moment end_work(const fh_plan_facts *f, fh_moment start, long minutes)
{
    fh_moment t = start;
    for (;;) {
        long room = f->sleep - fh_moment_of_day(t);
        if (minutes <= room) return t + minutes;
        minutes -= room;
        t = midnight(t) + FH_DAY + f->wake;
    }
}

/* The latest start of work that must be over by end. */
static fh_moment latest_work(const fh_plan_facts *f, fh_moment end, long minutes)
{
    fh_moment t = up_before(f, end);
    for (;;) {
        long room = fh_moment_of_day(t) - f->wake;
        if (minutes <= room) return t - minutes;
        minutes -= room;
        t = midnight(t) - FH_DAY + f->sleep;
    }
}

/* --- Routes --------------------------------------------------------------------------------- */

typedef struct builder {
    const fh_plan_facts *facts;
    fh_plan_route *route;
    fh_who painter;
} builder;

static fh_who who_does(const builder *b, fh_step step)
{
    bool painting = step == FH_STEP_PAINT || step == FH_STEP_PAINTOUT || step == FH_STEP_PRIME ||
                    step == FH_STEP_PRIME_DRY || step == FH_STEP_COAT || step == FH_STEP_DRY ||
                    step == FH_STEP_CURE;
    /* Who has painted the coupon measures it. */
    painting = painting || (step == FH_STEP_VERDICT && b->route->route != FH_ROUTE_FILAMENT);
    return painting ? b->painter : steps[step].who;
}

static bool is_by_coats(const fh_plan_facts *f, fh_step step)
{
    return step == FH_STEP_PAINTOUT && f->hours[step] < 0;
}

static long minutes_of(const fh_plan_facts *f, fh_step step)
{
    if (is_by_coats(f, step))
        return MIXING + (long)f->coats * (minutes_of(f, FH_STEP_COAT) + minutes_of(f, FH_STEP_DRY));
    return (long)ceil(f->hours[step] * FH_HOUR);
}

/* Add a step after those in the bit set; what comes after it gets the set that is returned: the
 * step itself, or what it waited for when it is done. */
static unsigned long long add(builder *b, fh_step step, unsigned coat, unsigned long long after)
{
    if (b->facts->done[step]) return after;
    size_t at = b->route->count++;
    b->route->steps[at] = (fh_plan_step){.step = step,
                                         .who = who_does(b, step),
                                         .coat = coat,
                                         .attended = steps[step].attended,
                                         .ready = after == 0,
                                         .minutes = minutes_of(b->facts, step),
                                         .after = after};
    return 1ull << at;
}

static unsigned long long add_painting(builder *b, unsigned long long after)
{
    after = add(b, FH_STEP_PRIME, 0, after);
    after = add(b, FH_STEP_PRIME_DRY, 0, after);
    for (unsigned coat = 1; coat <= b->facts->coats; ++coat) {
        after = add(b, FH_STEP_COAT, coat, after);
        if (coat < b->facts->coats) after = add(b, FH_STEP_DRY, coat, after);
    }
    return add(b, FH_STEP_CURE, 0, after);
}

/* The fit and a coupon come before the long print in every route. */
static void build(builder *b, fh_route route)
{
    bool paints = route != FH_ROUTE_FILAMENT;
    unsigned long long fit = add(b, FH_STEP_FIT, 0, add(b, FH_STEP_DRAFT, 0, 0));
    unsigned long long material = add(b, paints ? FH_STEP_PAINT : FH_STEP_FILAMENT, 0, 0);
    unsigned long long coupon = add(b, paints ? FH_STEP_PAINTOUT : FH_STEP_COUPON, 0, material);
    unsigned long long last = fit | add(b, FH_STEP_VERDICT, 0, coupon);
    last = add(b, FH_STEP_PRINT, 0, last);
    last = add(b, FH_STEP_CLEAN, 0, last);
    if (route == FH_ROUTE_HELPER_PAINTS) last = add_painting(b, last);
    last = add(b, FH_STEP_POST, 0, last);
    if (route == FH_ROUTE_OWNER_PAINTS) last = add_painting(b, last);
    last = add(b, FH_STEP_CHECK, 0, last);
    add(b, FH_STEP_ASSEMBLE, 0, last);
}

/* --- The two passes ------------------------------------------------------------------------- */

/* A coupon that gets all its coats: they are painted in waking hours, as those of the part, and
 * each dries before the next, and before it is read. */
static fh_moment end_of_coats(const fh_plan_facts *f, fh_moment start)
{
    const long painting = minutes_of(f, FH_STEP_COAT), drying = minutes_of(f, FH_STEP_DRY);
    fh_moment t = end_work(f, start, MIXING);
    for (unsigned coat = 0; coat < f->coats; ++coat)
        t = end_work(f, begin_work(f, t, painting), painting) + drying;
    return t;
}

/* The latest start for it to be dry by end. */
static fh_moment latest_of_coats(const fh_plan_facts *f, fh_moment end)
{
    const long painting = minutes_of(f, FH_STEP_COAT), drying = minutes_of(f, FH_STEP_DRY);
    fh_moment t = end;
    for (unsigned coat = 0; coat < f->coats; ++coat) t = latest_work(f, t - drying, painting);
    return latest_work(f, t, MIXING);
}

/* A step that may begin at `from`. */
static void place_earliest(const fh_plan_facts *f, fh_plan_step *s, fh_moment from)
{
    const bool by_coats = is_by_coats(f, s->step);
    if (by_coats)
        s->earliest = begin_work(f, from, MIXING);
    else
        s->earliest = s->attended ? begin_work(f, from, s->minutes) : up_after(f, from);
    if (by_coats)
        s->earliest_end = end_of_coats(f, s->earliest);
    else
        s->earliest_end =
            s->attended ? end_work(f, s->earliest, s->minutes) : s->earliest + s->minutes;
}

/* The latest start of a step that must be over by end. */
static fh_moment latest_start(const fh_plan_facts *f, const fh_plan_step *s, fh_moment end)
{
    if (is_by_coats(f, s->step)) return latest_of_coats(f, end);
    return s->attended ? latest_work(f, end, s->minutes) : up_before(f, end - s->minutes);
}

static void forwards(const fh_plan_facts *f, fh_plan_route *r)
{
    r->finish = f->now;
    for (size_t i = 0; i < r->count; ++i) {
        fh_plan_step *s = &r->steps[i];
        fh_moment from = f->now;
        for (size_t k = 0; k < i; ++k)
            if (s->after >> k & 1 && r->steps[k].earliest_end > from)
                from = r->steps[k].earliest_end;
        place_earliest(f, s, from);
        if (s->earliest_end > r->finish) r->finish = s->earliest_end;
    }
    r->fits = r->finish <= f->deadline;
}

static void backwards(const fh_plan_facts *f, fh_plan_route *r)
{
    r->open_until = f->deadline;
    r->urgent = FH_PLAN_STEPS;
    for (size_t i = r->count; i-- > 0;) {
        fh_plan_step *s = &r->steps[i];
        fh_moment end = f->deadline;
        for (size_t k = i + 1; k < r->count; ++k)
            if (r->steps[k].after >> i & 1 && r->steps[k].latest < end) end = r->steps[k].latest;
        s->latest = latest_start(f, s, end);
        if (s->latest <= r->open_until) {
            r->open_until = s->latest;
            r->urgent = i;
        }
    }
}

static fh_status check(const fh_plan_facts *f, fh_error *error)
{
    if (f->wake < 0 || f->sleep >= FH_DAY || f->sleep - f->wake < FH_HOUR)
        return fh_fail(error, FH_E_ARGUMENT,
                       "waking hours that are none; expected at least one hour within a day");
    if (f->coats < 1 || f->coats > FH_COATS_MAX)
        return fh_fail(error, FH_E_ARGUMENT, "%u coats; expected 1 to %d", f->coats,
                       (int)FH_COATS_MAX);
    for (int i = 0; i < FH_STEP_COUNT; ++i)
        if (!((f->hours[i] >= 0 && f->hours[i] <= FH_PLAN_HOURS_MAX) || is_by_coats(f, (fh_step)i)))
            return fh_fail(error, FH_E_ARGUMENT, "%g hours for %s; expected 0 to 10000",
                           f->hours[i], steps[i].name);
    if (f->deadline <= f->now)
        return fh_fail(error, FH_E_DATA, "the deadline has passed; expected one in the future");
    if (f->deadline - f->now > 3653ll * FH_DAY)
        return fh_fail(error, FH_E_DATA, "the deadline is more than ten years off");
    return FH_OK;
}

fh_status fh_plan(const fh_plan_facts *facts, fh_route route, fh_plan_route *out, fh_error *error)
{
    fh_status status = check(facts, error);
    if (status) return status;
    *out = (fh_plan_route){.route = route};
    builder b = {facts, out, route == FH_ROUTE_HELPER_PAINTS ? FH_WHO_HELPER : FH_WHO_OWNER};
    build(&b, route);
    forwards(facts, out);
    backwards(facts, out);
    return FH_OK;
}

size_t fh_plan_longest_critical(const fh_plan_route *route)
{
    size_t longest = FH_PLAN_STEPS;
    fh_moment least = 0;
    for (size_t i = 0; i < route->count; ++i) {
        fh_moment spare = route->steps[i].latest - route->steps[i].earliest;
        if (i == 0 || spare < least) least = spare;
    }
    for (size_t i = 0; i < route->count; ++i) {
        const fh_plan_step *s = &route->steps[i];
        /* nights shift the spare time of neighbours by up to a night */
        if (s->latest - s->earliest > least + FH_DAY / 2) continue;
        if (longest == FH_PLAN_STEPS || s->minutes > route->steps[longest].minutes) longest = i;
    }
    return longest;
}
