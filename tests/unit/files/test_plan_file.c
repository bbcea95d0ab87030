/* Plans as files. Expected values: the files' own words. */
#include "check.h"
#include "starve.h"
#include "told.h"

#include <string.h>

#include "farhue/plan_file.h"

static fh_moment at(const char *text)
{
    fh_moment t = 0;
    assert_int_equal(fh_moment_parse(text, &t, NULL), FH_OK);
    return t;
}

/* Read text over the usual facts. */
static fh_status read_text(const char *text, fh_plan_facts *facts, fh_error *error)
{
    fh_tables *tables = NULL;
    *facts = fh_plan_usual();
    *error = (fh_error){0};
    const fh_status status = fh_tables_recognise(text, strlen(text))
                                 ? fh_tables_read(text, strlen(text), &tables, error)
                                 : fh_csv_read(text, strlen(text), &tables, error);
    assert_int_equal(status, FH_OK);
    const fh_status read = fh_plan_read(fh_tables_at(tables, 0), facts, error);
    fh_tables_free(tables);
    return read;
}

#define HEAD "CGATS.17\nDEADLINE \"2031-03-01T17:30\"\nAWAKE \"7.5-21\"\nCOATS 5\n"
#define ROWS                                                                                       \
    "BEGIN_DATA_FORMAT\nSTEP HOURS DONE\nEND_DATA_FORMAT\nBEGIN_DATA\nprint 31.5 no\n"             \
    "filament \"\" YES\nEND_DATA\n"

static void what_the_file_says(void **state)
{
    (void)state;
    const fh_plan_facts usual = fh_plan_usual();
    fh_plan_facts f;
    fh_error error;
    if (read_text(HEAD "WITHOUT \"owner-paints  filament\"\n" ROWS, &f, &error))
        fail_msg("%s", error.message);
    check(f.deadline == at("2031-03-01T17:30"));
    assert_int_equal(f.wake, 7 * 60 + 30);
    assert_int_equal(f.sleep, 21 * 60);
    assert_int_equal(f.coats, 5);
    check(!f.open[FH_ROUTE_FILAMENT] && !f.open[FH_ROUTE_OWNER_PAINTS]);
    check(f.open[FH_ROUTE_HELPER_PAINTS]);
    check_close(f.hours[FH_STEP_PRINT], 31.5, 0.0);
    check_close(f.hours[FH_STEP_FILAMENT], usual.hours[FH_STEP_FILAMENT], 0.0);
    check(f.done[FH_STEP_FILAMENT] && !f.done[FH_STEP_PRINT]);

    /* What it doesn't say stays; a day alone is the evening of the people in the file. */
    if (read_text("CGATS.17\nDEADLINE 2031-03-01\nAWAKE 9-20.25\n" ROWS, &f, &error))
        fail_msg("%s", error.message);
    check(f.deadline == at("2031-03-01T20:15"));
    assert_int_equal(f.coats, usual.coats);
    if (read_text("STEP,HOURS\ndry,2\n", &f, &error)) fail_msg("%s", error.message);
    check(f.deadline == 0);
    check_close(f.hours[FH_STEP_DRY], 2.0, 0.0);
}

static void written_and_read_again(void **state)
{
    (void)state;
    fh_plan_facts f = fh_plan_usual(), back;
    fh_text text = {0};
    fh_error error;
    assert_int_equal(fh_plan_write(&f, NULL, &text), FH_OK); /* nothing but the usual */
    check(!strstr(text.bytes, "DEADLINE") && !strstr(text.bytes, "print"));
    assert_int_equal(read_text(text.bytes, &back, &error), FH_OK);
    check(back.deadline == 0 && back.coats == f.coats);
    check_all_close(back.hours, f.hours, FH_STEP_COUNT, 0.0);
    fh_text_free(&text);

    f.deadline = at("2031-03-01T17:30");
    f.wake = 7 * 60 + 33;
    f.sleep = 23 * 60 + 59;
    f.coats = 12;
    f.open[FH_ROUTE_FILAMENT] = f.open[FH_ROUTE_HELPER_PAINTS] = false;
    f.hours[FH_STEP_PRINT] = 1.0 / 3.0;
    f.hours[FH_STEP_PAINTOUT] = 7.0; /* usually by the coats */
    f.done[FH_STEP_PRIME] = true;
    assert_int_equal(fh_plan_write(&f, "2031-02-03", &text), FH_OK);
    check(strstr(text.bytes, "\"2031-02-03\"") != NULL);
    assert_int_equal(read_text(text.bytes, &back, &error), FH_OK);
    check(back.deadline == f.deadline && back.wake == f.wake && back.sleep == f.sleep);
    assert_int_equal(back.coats, 12);
    assert_memory_equal(back.open, f.open, sizeof f.open);
    assert_memory_equal(back.done, f.done, sizeof f.done);
    check_all_close(back.hours, f.hours, FH_STEP_COUNT, 0.0);
    fh_text_free(&text);
}

static void mistakes_are_named(void **state)
{
    (void)state;
    static const struct {
        const char *text, *expected; /* LINE:COLUMN: message */
    } cases[] = {
        {"STEP,DAYS\nprint,2\n", "1:0: no plan"},
        {"HOURS,DONE\n2,no\n", "1:0: no plan"},
        {"STEP,HOURS\nprnt,2\n", "2:1: no such step"},
        {"STEP,HOURS\nprint,2\nprint,3\n", "3:1: this step is there twice"},
        {"STEP,HOURS\nprint,-1\n", "2:7: out of range"},
        {"STEP,HOURS\nprint,10001\n", "2:7: out of range"},
        {"STEP,HOURS\nprint,\"2,5\"\n", "2:7: HOURS is 2,5 with a decimal comma"},
        {"STEP,DONE\nprint,maybe\n", "2:7: DONE is neither"},
        {"CGATS.17\nDEADLINE soon\n" ROWS, "2:10: no date"},
        {"CGATS.17\nDEADLINE 2031-02-29\n" ROWS, "2:10: no date"},
        {"CGATS.17\nAWAKE 22-8\n" ROWS, "2:7: no waking hours"},
        {"CGATS.17\nAWAKE 8-8.9\n" ROWS, "2:7: no waking hours"},
        {"CGATS.17\nAWAKE 8-24\n" ROWS, "2:7: no waking hours"},
        {"CGATS.17\nAWAKE 8-23.999\n" ROWS, "2:7: no waking hours"},
        {"CGATS.17\nAWAKE 1e300-23\n" ROWS, "2:7: no waking hours"},
        {"CGATS.17\nAWAKE 8\n" ROWS, "2:7: no waking hours"},
        {"CGATS.17\nCOATS 0\n" ROWS, "2:7: out of range"},
        {"CGATS.17\nCOATS 13\n" ROWS, "2:7: out of range"},
        {"CGATS.17\nCOATS 2.5\n" ROWS, "2:7: out of range"},
        {"CGATS.17\nCOATS many\n" ROWS, "2:7: COATS is \"many\""},
        {"CGATS.17\nWITHOUT \"by-hand\"\n" ROWS, "2:9: no such route"},
        {"CGATS.17\nWITHOUT \"filament owner-paints helper-paints\"\n" ROWS,
         "2:9: no route is left"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; ++i) {
        fh_plan_facts f;
        fh_error error;
        assert_int_equal(read_text(cases[i].text, &f, &error), FH_E_DATA);
        check_told(&error, cases[i].expected, i);
    }
}

static void memory_may_run_out(void **state)
{
    (void)state;
    const fh_plan_facts f = fh_plan_usual();
    for (long n = 0;; ++n) {
        fh_text text = {0};
        starve_after(n);
        const fh_status status = fh_plan_write(&f, "2031-02-03", &text);
        const bool failed = starve_end();
        fh_text_free(&text);
        assert_int_equal(status, failed ? FH_E_MEMORY : FH_OK);
        if (!failed) break;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_the_file_says),
        cmocka_unit_test(written_and_read_again),
        cmocka_unit_test(mistakes_are_named),
        cmocka_unit_test(memory_may_run_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
