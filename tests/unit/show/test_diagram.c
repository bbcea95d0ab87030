/* Diagrams: well-formed, neutral but for the colours they show, and safe with any label. */
#include <math.h>
#include <string.h>

#include "check.h"
#include "farhue/diagram.h"
#include "farhue/plan_words.h"
#include "starve.h"

static size_t count_of(const char *text, const char *piece)
{
    size_t count = 0;
    for (const char *at = text; (at = strstr(at, piece)) != NULL; at += strlen(piece)) count++;
    return count;
}

/* Every element that is opened is closed, quotes are balanced, one root. */
static void check_well_formed(const char *svg)
{
    int depth = 0;
    check(strncmp(svg, "<svg ", 5) == 0);
    for (const char *at = svg; (at = strchr(at, '<')) != NULL;) {
        const char *end = at;
        bool quoted = false;
        while (*end && (quoted || *end != '>')) quoted ^= *end++ == '"';
        check(*end == '>' && !quoted);
        if (at[1] == '/')
            depth--;
        else if (end[-1] != '/')
            depth++;
        check(depth >= 0);
        at = end;
    }
    check(depth == 0);
    check(!strstr(svg, "nan") && !strstr(svg, "inf"));
}

static const char hostile[] = "\"><script>alert(1)</script>'&\xff\x01\xe2\x80\xae";

static void chroma_shows_marks_and_tolerance(void **state)
{
    (void)state;
    const fh_mark marks[] = {{FH_MARK_TARGET, {60, 10, 30}, "target"},
                             {FH_MARK_REFERENCE, {60, 11, 31}, NULL},
                             {FH_MARK_CANDIDATE, {61, 12, 28}, hostile},
                             {FH_MARK_CANDIDATE, {NAN, 12, 28}, "left out"}};
    const fh_lab contour[] = {{60, 8, 28}, {60, 12, 28}, {60, 12, 32}, {60, NAN, 1}, {60, 8, 32}};
    fh_text text = {0};
    check(fh_diagram_chroma(fh_sink_to_text(&text), marks, 4, contour, 5) == FH_OK);
    check_well_formed(text.bytes);
    check(count_of(text.bytes, "<circle") == 2); /* one candidate: rim and fill */
    check(!strstr(text.bytes, "left out"));
    check(strstr(text.bytes, "&quot;&gt;&lt;script&gt;") != NULL);
    check(!strstr(text.bytes, "<script") && !strchr(text.bytes, '\xff') && !strchr(text.bytes, 1));
    check(!strstr(text.bytes, "\xe2\x80\xae")); /* the right-to-left override */
    fh_text_free(&text);
}

/* Own requirement: names stand on the lines that lead to names, and keep clear of them. */
static void labels_are_above_lines(void **state)
{
    (void)state;
    fh_mark marks[6] = {{FH_MARK_TARGET, {60, 10, 30}, "target"}};
    for (size_t i = 1; i < 6; i++)
        marks[i] = (fh_mark){FH_MARK_CANDIDATE, {60, 10.1, 30.1}, "near"};
    fh_text text = {0};
    check(fh_diagram_chroma(fh_sink_to_text(&text), marks, 6, NULL, 0) == FH_OK);
    check_well_formed(text.bytes);
    const char *first = strstr(text.bytes, "class=\"label\""), *line = NULL;
    for (const char *at = text.bytes; (at = strstr(at, "stroke-opacity=\"0.60\"")) != NULL; at++)
        line = at;
    check(first != NULL && line != NULL && line < first);
    check(strstr(first, "paint-order=\"stroke\"") != NULL);
    check(!strstr(first, "<circle") && !strstr(first, "<rect"));
    fh_text_free(&text);
}

static void empty_and_extreme_input_is_drawn(void **state)
{
    (void)state;
    const fh_mark odd[] = {{FH_MARK_TARGET, {NAN, NAN, NAN}, hostile},
                           {FH_MARK_CANDIDATE, {1e300, 1e300, -1e300}, "far"}};
    for (size_t count = 0; count <= 2; count++) {
        fh_text text = {0};
        check(fh_diagram_chroma(fh_sink_to_text(&text), odd, count, NULL, 0) == FH_OK);
        check_well_formed(text.bytes);
        fh_text_free(&text);
        check(fh_diagram_lightness(fh_sink_to_text(&text), odd, count, 1, 0) == FH_OK);
        check_well_formed(text.bytes);
        fh_text_free(&text);
    }
}

static void many_marks_keep_to_the_limit(void **state)
{
    (void)state;
    fh_mark marks[300];
    for (size_t i = 0; i < 300; i++)
        marks[i] = (fh_mark){FH_MARK_CANDIDATE, {50, 0.01 * (double)i, 0}, "x"};
    fh_text text = {0};
    check(fh_diagram_chroma(fh_sink_to_text(&text), marks, 300, NULL, 0) == FH_OK);
    check_well_formed(text.bytes);
    check(count_of(text.bytes, "<circle") == 2 * 64);
    fh_text_free(&text);
}

static void lightness_has_its_band(void **state)
{
    (void)state;
    const fh_mark marks[] = {{FH_MARK_TARGET, {60, 10, 30}, "target"}};
    fh_text text = {0};
    check(fh_diagram_lightness(fh_sink_to_text(&text), marks, 1, 58, 62) == FH_OK);
    check_well_formed(text.bytes);
    check(count_of(text.bytes, "stroke-dasharray") == 1);
    fh_text_free(&text);
}

static void curves_have_a_key_and_say_what_is_estimated(void **state)
{
    (void)state;
    fh_curve curves[8];
    for (size_t i = 0; i < 8; i++)
        curves[i] = (fh_curve){fh_spectrum_flat(0.1 * (double)i), "a", i == 1};
    curves[0].label = hostile;
    curves[2].label = NULL;
    curves[3].values.v[4] = NAN;
    fh_text text = {0};
    check(fh_diagram_curves(fh_sink_to_text(&text), curves, 8) == FH_OK);
    check_well_formed(text.bytes);
    check(count_of(text.bytes, "<path") == FH_CURVES_MAX);
    check(count_of(text.bytes, "(estimated)") == 1);
    fh_text_free(&text);
    check(fh_diagram_curves(fh_sink_to_text(&text), NULL, 0) == FH_OK);
    check_well_formed(text.bytes);
    fh_text_free(&text);
}

static void section_and_pair(void **state)
{
    (void)state;
    fh_section section = {2.5, 1, {80, 10, 40}, {70, 2, 12}, {60, 14, 36}, hostile};
    fh_text text = {0};
    check(fh_diagram_section(fh_sink_to_text(&text), &section) == FH_OK);
    check_well_formed(text.bytes);
    check(strstr(text.bytes, "shell, 2.5 mm") && strstr(text.bytes, "air gap, 1 mm"));
    fh_text_free(&text);
    section = (fh_section){-1, 0, {NAN, 0, 0}, {70, 2, 12}, {60, 14, 36}, NULL};
    check(fh_diagram_section(fh_sink_to_text(&text), &section) == FH_OK);
    check_well_formed(text.bytes);
    check(strstr(text.bytes, "shell, not measured") && !strstr(text.bytes, "air gap"));
    fh_text_free(&text);
    check(fh_diagram_pair(fh_sink_to_text(&text), (fh_lab){50, 0, 0}, hostile,
                          (fh_lab){60, 120, 90}, NULL) == FH_OK);
    check_well_formed(text.bytes);
    check(strstr(text.bytes, "#777777") && count_of(text.bytes, "no screen shows") == 1);
    fh_text_free(&text);
}

static fh_status refuse(void *user, const char *bytes, size_t length)
{
    (void)bytes, (void)length;
    ++*(int *)user;
    return FH_E_IO;
}

static void a_sink_that_refuses_stops_the_writer(void **state)
{
    (void)state;
    int calls = 0;
    fh_curve curve = {fh_spectrum_flat(0.5), "a", false};
    check(fh_diagram_curves((fh_sink){refuse, &calls}, &curve, 1) == FH_E_IO);
    check(calls == 1);
    for (long n = 0;; n++) {
        fh_text text = {0};
        starve_after(n);
        fh_status status = fh_diagram_curves(fh_sink_to_text(&text), &curve, 1);
        bool failed = starve_end();
        check(status == (failed ? FH_E_MEMORY : FH_OK));
        fh_text_free(&text);
        if (!failed) break;
    }
}

/* One bar a step, the deadline, and names of days; whatever the span, no figure outside. */
static void a_route_along_its_days(void **state)
{
    (void)state;
    static const char *const deadlines[] = {"2026-03-09T10:01", "2026-03-10T12:00", "2026-03-22",
                                            "2036-03-01"};
    for (size_t i = 0; i < sizeof deadlines / sizeof *deadlines; i++) {
        fh_plan_facts facts = fh_plan_usual();
        fh_plan_route route;
        fh_text text = {0};
        facts.coats = FH_COATS_MAX;
        check(fh_moment_parse("2026-03-09T10:00", &facts.now, NULL) == FH_OK);
        check(fh_plan_deadline(deadlines[i], &facts) == FH_OK);
        check(fh_plan(&facts, FH_ROUTE_HELPER_PAINTS, &route, NULL) == FH_OK);
        check(fh_diagram_route(fh_sink_to_text(&text), &facts, &route) == FH_OK);
        check_well_formed(text.bytes);
        check(count_of(text.bytes, "<rect") == route.count);
        check(count_of(text.bytes, ">the deadline<") == 1);
        check(strstr(text.bytes, ">let coat 11 dry<") != NULL);
        check(count_of(text.bytes, "\"start\"") >= 1 && count_of(text.bytes, "\"start\"") <= 12);
        fh_text_free(&text);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chroma_shows_marks_and_tolerance),
        cmocka_unit_test(labels_are_above_lines),
        cmocka_unit_test(empty_and_extreme_input_is_drawn),
        cmocka_unit_test(many_marks_keep_to_the_limit),
        cmocka_unit_test(lightness_has_its_band),
        cmocka_unit_test(curves_have_a_key_and_say_what_is_estimated),
        cmocka_unit_test(section_and_pair),
        cmocka_unit_test(a_sink_that_refuses_stops_the_writer),
        cmocka_unit_test(a_route_along_its_days),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
