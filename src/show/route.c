/* A route of a plan, drawn along its days. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "farhue/plan_words.h"
#include "show/axis.h"

static const double label_width = 300, days_width = 440, row_height = 18, head = 24, foot = 8;

typedef struct route_view {
    fh_markup m;
    const fh_plan_facts *facts;
    const fh_plan_route *route;
    fh_axis axis;
    double height;
} route_view;

static double at(const route_view *v, fh_moment t)
{
    return fh_axis_at(&v->axis, (double)t);
}

/* A day as an axis names it: "Mon 3", or "3 Feb" where days are skipped. */
static void name_day(fh_moment day, bool skipped, char out[FH_MOMENT_TEXT])
{
    char words[FH_MOMENT_TEXT];
    fh_moment_words(day, words); /* "Mon 3 Feb 00:00" */
    char *number = strchr(words, ' ') + 1;
    char *month = strchr(number, ' ') + 1;
    if (skipped)
        *strchr(month, ' ') = '\0';
    else
        month[-1] = '\0';
    fh_copy_text(out, FH_MOMENT_TEXT, skipped ? number : words);
}

/* Midnights, as many as there is room to name. */
static void draw_days(route_view *v)
{
    const double room = 54.0;
    const double day = (v->axis.stop - v->axis.start) * FH_DAY / (v->axis.high - v->axis.low);
    const long every = (long)ceil(room / day);
    const fh_moment first = (fh_moment)v->axis.low - fh_moment_of_day((fh_moment)v->axis.low);
    double before = -HUGE_VAL;
    for (long k = 0; (double)(first + k * FH_DAY) < v->axis.high; k += every) {
        char words[FH_MOMENT_TEXT];
        const double x = fmax(v->axis.start, at(v, first + k * FH_DAY));
        const double next = at(v, first + (k + every) * FH_DAY);
        fh_svg_line(&v->m, x, head - 4, x, v->height - foot, 0.18);
        if (x < before + room || next < x + room) continue; /* a day that has nearly passed, too */
        name_day(first + k * FH_DAY, every > 6, words);
        fh_svg_text(&v->m, x + 2, head - 10, "start", words);
        before = x;
    }
}

static void draw_step(route_view *v, const fh_plan_step *s, double y)
{
    char words[FH_STEP_TEXT];
    const double from = at(v, s->earliest), to = at(v, s->earliest_end);
    const double limit = at(v, s->latest + (s->earliest_end - s->earliest));
    fh_words_of_step(s, words);
    fh_svg_text(&v->m, v->axis.start - 8, y + 13, "end", words);
    if (limit > to) {
        fh_svg_line(&v->m, to, y + 9, fmin(limit, v->axis.stop), y + 9, 0.5);
        if (limit <= v->axis.stop) fh_svg_line(&v->m, limit, y + 5, limit, y + 13, 0.5);
    }
    fh_putf(&v->m,
            "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"10\" fill=\"currentColor\" "
            "fill-opacity=\"%.2f\" stroke=\"currentColor\"/>",
            from, y + 4, fmax(1.5, to - from), s->attended ? 0.85 : 0.25);
}

fh_status fh_diagram_route(fh_sink sink, const fh_plan_facts *facts, const fh_plan_route *route)
{
    const fh_moment end = route->finish > facts->deadline ? route->finish : facts->deadline;
    route_view v = {.m = fh_markup_to(sink), .facts = facts, .route = route};
    v.axis = fh_axis_of((double)facts->now, (double)end + FH_HOUR, label_width,
                        label_width + days_width, 5);
    v.height = head + row_height * (double)route->count + foot;
    fh_svg_open(&v.m, label_width + days_width + 8, v.height, fh_route_words(route->route));
    draw_days(&v);
    for (size_t i = 0; i < route->count; ++i)
        draw_step(&v, &route->steps[i], head + row_height * (double)i);
    const double x = at(&v, facts->deadline);
    fh_putf(&v.m,
            "<line x1=\"%.1f\" y1=\"%.1f\" x2=\"%.1f\" y2=\"%.1f\" stroke=\"currentColor\" "
            "stroke-width=\"2\" stroke-dasharray=\"5 3\"><title>the deadline</title></line>",
            x, head - 4, x, v.height - foot);
    fh_svg_close(&v.m);
    return v.m.status;
}
