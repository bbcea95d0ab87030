/* Moments of local time. Weekdays and day numbers: the Gregorian calendar; 1970-01-01 was a
   Thursday, and day 20526 is 2026-03-14, a Saturday (independent computation: 56 years of 365 days,
   14 leap days, 31 + 28 + 13 days). */
#include "check.h"

#include <string.h>

#include "farhue/moment.h"

static fh_moment parsed(const char *text)
{
    fh_moment t = -1;
    if (fh_moment_parse(text, &t, NULL)) fail_msg("%s is refused", text);
    return t;
}

static void known(void **state)
{
    (void)state;
    char text[FH_MOMENT_TEXT];
    assert_int_equal(parsed("1970-01-01"), 0);
    assert_int_equal(parsed("1970-01-01T00:01"), 1);
    assert_int_equal(parsed("2026-03-14 18:30"),
                     (56 * 365 + 14 + 31 + 28 + 13) * 1440LL + 18 * 60 + 30);
    fh_moment_words(parsed("2026-03-14T18:30"), text);
    assert_string_equal(text, "Sat 14 Mar 18:30");
    fh_moment_words(0, text);
    assert_string_equal(text, "Thu 1 Jan 00:00");
    assert_int_equal(fh_moment_of_day(parsed("2026-03-14T18:30")), 18 * 60 + 30);
    bool day_only = false;
    fh_moment t;
    assert_int_equal(fh_moment_parse("2026-03-14", &t, &day_only), FH_OK);
    assert_true(day_only);
}

static void round_trip(void **state)
{
    (void)state;
    for (fh_moment t = 0; t < parsed("2405-01-01"); t += 1440 * 13 + 7) {
        char text[FH_MOMENT_TEXT];
        fh_moment_text(t, text);
        assert_int_equal(parsed(text), t);
    }
}

static void refused(void **state)
{
    (void)state;
    static const char *const texts[] = {"",
                                        "2026",
                                        "2026-3-14",
                                        "2026-02-29",
                                        "2100-02-29",
                                        "2026-04-31",
                                        "2026-13-01",
                                        "2026-00-10",
                                        "2026-03-14T24:00",
                                        "2026-03-14T18:60",
                                        "2026-03-14T1830",
                                        "2026-03-14T18:30Z",
                                        "1969-12-31",
                                        "14.03.2026",
                                        "2026-03-14T+8:30",
                                        "tomorrow"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; ++i) {
        fh_moment t = 7;
        if (fh_moment_parse(texts[i], &t, NULL) != FH_E_DATA) fail_msg("%s is taken", texts[i]);
        assert_int_equal(t, 7);
    }
    parsed("2000-02-29");
    parsed("2024-02-29");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(known),
        cmocka_unit_test(round_trip),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
