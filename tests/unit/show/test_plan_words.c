/* Sentences about a plan. Expected values: by hand, from the calendar of test_plan.c. */
#include "check.h"

#include <string.h>

#include "farhue/plan_words.h"

static void spans(void **state)
{
    (void)state;
    static const struct {
        long long minutes;
        const char *expected;
    } cases[] = {{0, "0 min"},
                 {59, "59 min"},
                 {60, "1 h"},
                 {90, "1 h 30 min"},
                 {2 * FH_DAY - 60, "47 h"},
                 {2 * FH_DAY, "2 d 0 h"},
                 {3 * FH_DAY + 4 * FH_HOUR + 59, "3 d 4 h"},
                 {-90, "-1 h 30 min"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; ++i) {
        char words[FH_SPAN];
        fh_words_of_span(cases[i].minutes, words);
        assert_string_equal(words, cases[i].expected);
    }
}

static fh_plan_facts facts(const char *now, const char *deadline)
{
    fh_plan_facts f = fh_plan_usual();
    assert_int_equal(fh_moment_parse(now, &f.now, NULL), FH_OK);
    assert_int_equal(fh_plan_deadline(deadline, &f), FH_OK);
    return f;
}

static void says(const fh_plan_facts *f, fh_route route, const char *state, const char *outlook)
{
    fh_plan_route r;
    char words[FH_OUTLOOK];
    assert_int_equal(fh_plan(f, route, &r, NULL), FH_OK);
    fh_words_of_route(f, &r, words);
    assert_string_equal(words, state);
    fh_words_of_outlook(f, &r, words);
    assert_string_equal(words, outlook);
}

/* The filament route of test_plan.c: done Sat 14 Mar 15:00, open until Tue 10 Mar 15:00. */
static void outlooks(void **state)
{
    (void)state;
    fh_plan_facts f = facts("2026-03-09T10:00", "2026-03-15T20:00");
    says(&f, FH_ROUTE_FILAMENT, "fits, done Sat 14 Mar 15:00 at the earliest, 29 h to spare",
         "open until Tue 10 Mar 15:00; then it is too late to get the filament");
    f = facts("2026-03-09T10:00", "2026-03-14T20:00");
    says(&f, FH_ROUTE_FILAMENT, "fits, done Sat 14 Mar 15:00 at the earliest, 5 h to spare",
         "open until Mon 9 Mar 15:00, so decide today; then it is too late to get the filament");
    f = facts("2026-03-09T10:00", "2026-03-14T14:00");
    says(&f, FH_ROUTE_FILAMENT, "DOES NOT FIT, done Sat 14 Mar 15:00 at the earliest, 1 h too late",
         "closed, unless 1 h are saved; the longest step without spare time is: get the filament "
         "(2 d 0 h)");
    for (int i = 0; i < FH_STEP_COUNT; ++i) f.done[i] = true;
    says(&f, FH_ROUTE_FILAMENT, "fits, done Mon 9 Mar 10:00 at the earliest, 5 d 4 h to spare",
         "nothing is left to do");
}

static void steps(void **state)
{
    (void)state;
    static const struct {
        fh_plan_step step;
        const char *expected;
    } cases[] = {{{.step = FH_STEP_COAT, .coat = 2}, "paint coat 2"},
                 {{.step = FH_STEP_DRY, .coat = 11}, "let coat 11 dry"},
                 {{.step = FH_STEP_PRINT}, "do the long print"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; ++i) {
        char words[FH_STEP_TEXT];
        fh_words_of_step(&cases[i].step, words);
        assert_string_equal(words, cases[i].expected);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spans),
        cmocka_unit_test(outlooks),
        cmocka_unit_test(steps),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
