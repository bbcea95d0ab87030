/* Plain words of differences. Expected words: worked from the definition in farhue/words.h. */
#include <math.h>
#include <string.h>

#include "check.h"
#include "farhue/words.h"

static const char *words(fh_lab reference, fh_lab sample)
{
    static char out[FH_WORDS];
    fh_words_of_difference(reference, sample, out);
    return out;
}

static void greys_are_told_along_the_axes(void **state)
{
    (void)state;
    fh_lab grey = {60, 0, 0};
    assert_string_equal(words(grey, (fh_lab){60, 0, 3}), "too yellow");
    assert_string_equal(words(grey, (fh_lab){60, 0, -3}), "too blue");
    assert_string_equal(words(grey, (fh_lab){60, 2, 0}), "too red");
    assert_string_equal(words(grey, (fh_lab){60, -2, 0}), "too green");
    assert_string_equal(words(grey, (fh_lab){63, 0, 0}), "too light");
    assert_string_equal(words(grey, (fh_lab){50, 0, 0}), "much too dark");
    assert_string_equal(words(grey, (fh_lab){63, 0, 3}), "too yellow, too light");
    assert_string_equal(words(grey, (fh_lab){60, 0, 40}), "much too yellow");
}

static void colours_are_told_by_chroma_and_hue(void **state)
{
    (void)state;
    fh_lab amber = fh_lab_of_lch((fh_lch){60, 50, 70});
    assert_string_equal(words(amber, fh_lab_of_lch((fh_lch){60, 56, 70})), "too vivid");
    assert_string_equal(words(amber, fh_lab_of_lch((fh_lch){60, 44, 70})), "too dull");
    assert_string_equal(words(amber, fh_lab_of_lch((fh_lch){60, 50, 75})), "too yellow");
    assert_string_equal(words(amber, fh_lab_of_lch((fh_lch){60, 50, 65})), "too red");
    fh_lab violet = fh_lab_of_lch((fh_lch){40, 40, 310});
    assert_string_equal(words(violet, fh_lab_of_lch((fh_lch){40, 40, 314})), "too red");
    assert_string_equal(words(violet, fh_lab_of_lch((fh_lch){40, 40, 306})), "too blue");
    fh_lab rose = fh_lab_of_lch((fh_lch){50, 40, 5}); /* across 0 degrees */
    assert_string_equal(words(rose, fh_lab_of_lch((fh_lch){50, 40, 357})), "too blue");
}

static void small_and_unknown_differences(void **state)
{
    (void)state;
    fh_lab grey = {60, 0, 0};
    assert_string_equal(words(grey, grey), "no visible difference");
    assert_string_equal(words(grey, (fh_lab){60.3, 0, 0.2}), "no visible difference");
    assert_string_equal(words(grey, (fh_lab){60.8, 0, 0}), "a little too light");
    assert_string_equal(words(grey, (fh_lab){NAN, 0, 0}), "not known");
    assert_string_equal(words(grey, (fh_lab){INFINITY, 0, 0}), "not known");
}

/* Every direction and size fits, and says something. */
static void words_always_fit(void **state)
{
    (void)state;
    for (int L = 0; L <= 100; L += 20)
        for (int h = 0; h < 360; h += 10)
            for (int C = 0; C <= 120; C += 15)
                for (int g = 0; g < 360; g += 30) {
                    const char *out = words(fh_lab_of_lch((fh_lch){L, C, h}),
                                            fh_lab_of_lch((fh_lch){100 - L, 60, g}));
                    check(strlen(out) > 5 && strlen(out) < FH_WORDS - 1);
                }
}

static void sizes(void **state)
{
    (void)state;
    assert_string_equal(fh_words_of_size(0), "not visible side by side");
    assert_string_equal(fh_words_of_size(0.99), "not visible side by side");
    assert_string_equal(fh_words_of_size(1), "visible only side by side");
    assert_string_equal(fh_words_of_size(2), "visible from close");
    assert_string_equal(fh_words_of_size(4), "visible across the room");
    assert_string_equal(fh_words_of_size(NAN), "not known");
    assert_string_equal(fh_words_of_size(-1), "not known");
}

/* By the two above: ΔL* 0.8, 3 and 6 at L* 60 are ΔE00 0.70, 2.6 and 5.1. */
static void both_in_one_phrase(void **state)
{
    (void)state;
    const fh_lab grey = {60, 0, 0};
    char out[FH_PHRASE];
    fh_words_with_size(grey, grey, out);
    assert_string_equal(out, "no visible difference");
    fh_words_with_size(grey, (fh_lab){60.8, 0, 0}, out);
    assert_string_equal(out, "a little too light, though not visible side by side");
    fh_words_with_size(grey, (fh_lab){63, 0, 0}, out);
    assert_string_equal(out, "too light (visible from close)");
    fh_words_with_size(grey, (fh_lab){54, 0, 0}, out);
    assert_string_equal(out, "much too dark (visible across the room)");
    fh_words_with_size(grey, (fh_lab){NAN, 0, 0}, out);
    assert_string_equal(out, "not known");
}

/* Limits 2, 8, 20: common practice, no source. */
static void yellowing(void **state)
{
    (void)state;
    assert_string_equal(fh_words_of_yellowing(0), "hardly yellower");
    assert_string_equal(fh_words_of_yellowing(1.99), "hardly yellower");
    assert_string_equal(fh_words_of_yellowing(2), "slightly yellower");
    assert_string_equal(fh_words_of_yellowing(8), "plainly yellower");
    assert_string_equal(fh_words_of_yellowing(20), "strongly yellower");
    assert_string_equal(fh_words_of_yellowing(-1), "hardly less yellow");
    assert_string_equal(fh_words_of_yellowing(-25), "strongly less yellow");
    assert_string_equal(fh_words_of_yellowing(NAN), "not known");
    assert_string_equal(fh_words_of_yellowing(-INFINITY), "not known");
}

/* A probability that would round to one or nothing is told by its bound. */
static void chances(void **state)
{
    (void)state;
    static const struct {
        double p;
        int decimals;
        const char *words;
    } cases[] = {{0.973, 3, "0.973"},       {0.5, 1, "0.5"},
                 {0.9994, 3, "0.999"},      {0.9996, 3, "above 0.999"},
                 {1, 3, "above 0.999"},     {1, 2, "above 0.99"},
                 {0.994, 2, "0.99"},        {0.0006, 3, "0.001"},
                 {0.0004, 3, "below 0.001"}, {0, 2, "below 0.01"},
                 {0, 1, "below 0.1"},       {1, 6, "above 0.999999"},
                 {NAN, 3, "not known"},     {-0.001, 3, "not known"},
                 {1.001, 3, "not known"},   {INFINITY, 3, "not known"}};
    char out[FH_CHANCE];
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        fh_words_of_probability(cases[i].p, cases[i].decimals, out);
        assert_string_equal(out, cases[i].words);
    }
    static const struct {
        double p;
        const char *words;
    } percents[] = {{0.974, "97 %"},  {0.994, "99 %"},     {0.996, "above 99 %"},
                    {0.006, "1 %"},   {0.004, "below 1 %"}, {0, "below 1 %"},
                    {1, "above 99 %"}, {NAN, "not known"},  {2, "not known"}};
    for (size_t i = 0; i < sizeof percents / sizeof *percents; i++) {
        fh_words_of_chance(percents[i].p, out);
        assert_string_equal(out, percents[i].words);
    }
}

static void lights_have_names_of_their_own(void **state)
{
    (void)state;
    for (int i = 0; i <= FH_ILLUMINANT_FILE; i++)
        for (int j = 0; j < i; j++)
            check(strcmp(fh_words_of_light((fh_illuminant)i), fh_words_of_light((fh_illuminant)j)));
    assert_string_equal(fh_words_of_light(FH_ILLUMINANT_D65), "daylight");
}

/* Own requirement: one minus sign, U+2212, wherever people read figures; no "−0.0". */
static void figures_have_a_true_minus(void **state)
{
    (void)state;
    char out[FH_LAB_WORDS];
    fh_words_of_lab((fh_lab){71.24, -2.4, 14.8}, out);
    assert_string_equal(out, "L* 71.2, a* \xe2\x88\x92"
                             "2.4, b* 14.8");
    fh_words_of_lab((fh_lab){0, -0.04, -128}, out);
    assert_string_equal(out, "L* 0.0, a* 0.0, b* \xe2\x88\x92"
                             "128.0");
    fh_words_of_lab((fh_lab){NAN, 0, 0}, out);
    assert_string_equal(out, "not known");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figures_have_a_true_minus),
        cmocka_unit_test(greys_are_told_along_the_axes),
        cmocka_unit_test(colours_are_told_by_chroma_and_hue),
        cmocka_unit_test(small_and_unknown_differences),
        cmocka_unit_test(words_always_fit),
        cmocka_unit_test(sizes),
        cmocka_unit_test(both_in_one_phrase),
        cmocka_unit_test(yellowing),
        cmocka_unit_test(chances),
        cmocka_unit_test(lights_have_names_of_their_own),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
