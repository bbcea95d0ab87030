/* The spoken code: anchors worked by hand, every single wrong character and every swap of two. */
#include <math.h>
#include <string.h>

#include "base/random.h"
#include "check.h"
#include "farhue/spoken.h"

static const char alphabet[] = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

static fh_spoken target_of(double L, double a, double b, double tolerance)
{
    fh_spoken target = {fh_condition_default(), {L, a, b}, tolerance};
    return target;
}

/* Independent computation: the fields laid out as bits by hand.
   Version 1 = 1; D65/10 = 4 · 2 + 1 = 9; L* 50.0 = 500 = 01111 10100; a* 0 = 2047 and b* 0 = 2047 =
   011111111111 each; 2.0 = 20 = 010100. The 24 + 6 bits: 01111 11111 11011 11111 11110 10100. */
static void content_is_laid_out_as_documented(void **state)
{
    (void)state;
    char code[FH_SPOKEN_TEXT];
    fh_spoken target = target_of(50, 0, 0, 2);
    check(fh_spoken_write(&target, code, NULL) == FH_OK);
    const int expected[10] = {1, 9, 15, 20, 15, 31, 27, 31, 30, 20};
    for (size_t i = 0; i < 10; i++) check(code[i + i / 4] == alphabet[expected[i]]);
    check(code[4] == '-' && code[9] == '-' && strlen(code) == 14);
}

/* The check characters solve, over GF(32) with x^5 + x^2 + 1:  sum c_i = 0  and
   sum c_i alpha^(11-i) = 0. Independent computation: powers of alpha by repeated doubling and a
   bitwise product, unlike the shift register of the source. */
static unsigned product(unsigned x, unsigned y)
{
    unsigned sum = 0;
    for (unsigned bit = 0; bit < 5; bit++)
        if (y >> bit & 1) sum ^= x << bit;
    for (unsigned bit = 9; bit >= 5; bit--)
        if (sum >> bit & 1) sum ^= 0x25U << (bit - 5);
    return sum;
}

static void check_characters_solve_the_two_equations(void **state)
{
    (void)state;
    char code[FH_SPOKEN_TEXT];
    fh_spoken target = target_of(71.3, 12.4, -38.6, 3.1);
    check(fh_spoken_write(&target, code, NULL) == FH_OK);
    unsigned sum = 0, weighted = 0, power = 1;
    for (size_t i = 12; i-- > 0;) {
        unsigned value = (unsigned)(strchr(alphabet, code[i + i / 4]) - alphabet);
        sum ^= value;
        weighted ^= product(value, power);
        power = product(power, 2);
    }
    check(sum == 0 && weighted == 0);
}

static void random_target(uint64_t trial, fh_spoken *out)
{
    double u[6];
    for (uint64_t i = 0; i < 6; i++) u[i] = fh_random_uniform(11, 1, trial, i);
    out->condition.illuminant = (fh_illuminant)(int)(u[0] * FH_ILLUMINANT_COUNT);
    out->condition.observer = u[1] < 0.5 ? FH_OBSERVER_2 : FH_OBSERVER_10;
    out->lab = (fh_lab){u[2] * 102, (u[3] - 0.5) * 400, (u[4] - 0.5) * 400};
    out->tolerance = u[5] * 6.3;
}

static void round_trip_within_the_rounding(void **state)
{
    (void)state;
    for (uint64_t trial = 0; trial < 20000; trial++) {
        fh_spoken in, out;
        char code[FH_SPOKEN_TEXT];
        random_target(trial, &in);
        check(fh_spoken_write(&in, code, NULL) == FH_OK);
        check(fh_spoken_read(code, &out, NULL) == FH_OK);
        check(fh_condition_equal(in.condition, out.condition));
        check_close(out.lab.L, in.lab.L, 0.05 + 1e-9);
        check_close(out.lab.a, in.lab.a, 0.05 + 1e-9);
        check_close(out.lab.b, in.lab.b, 0.05 + 1e-9);
        check_between(in.tolerance - out.tolerance, -1e-9, 0.1); /* never rounded up */
    }
}

static bool accepted(const char *code)
{
    fh_spoken out;
    return fh_spoken_read(code, &out, NULL) == FH_OK;
}

/* Over 400 codes: all 12 × 31 wrong characters, and all 66 swaps of two that differ. */
static void every_wrong_character_and_every_swap_is_caught(void **state)
{
    (void)state;
    for (uint64_t trial = 0; trial < 400; trial++) {
        fh_spoken in;
        char code[FH_SPOKEN_TEXT], spoilt[FH_SPOKEN_TEXT];
        random_target(trial, &in);
        check(fh_spoken_write(&in, code, NULL) == FH_OK);
        for (size_t i = 0; i < 14; i++) {
            if (i % 5 == 4) continue;
            for (size_t c = 0; c < 32; c++) {
                strcpy(spoilt, code);
                spoilt[i] = alphabet[c];
                check(accepted(spoilt) == (alphabet[c] == code[i]));
            }
            for (size_t j = i + 1; j < 14; j++) {
                if (j % 5 == 4) continue;
                strcpy(spoilt, code);
                spoilt[i] = code[j];
                spoilt[j] = code[i];
                check(accepted(spoilt) == (code[i] == code[j]));
            }
        }
    }
}

/* The distance is 3, so every pair of wrong characters is caught as well: all of them, one code. */
static void every_two_wrong_characters_are_caught(void **state)
{
    (void)state;
    char code[FH_SPOKEN_TEXT], spoilt[FH_SPOKEN_TEXT];
    fh_spoken target = target_of(63.2, 8.8, 31.5, 2.4);
    check(fh_spoken_write(&target, code, NULL) == FH_OK);
    for (size_t i = 0; i < 14; i++)
        for (size_t j = i + 1; j < 14; j++) {
            if (i % 5 == 4 || j % 5 == 4) continue;
            for (size_t c = 0; c < 1024; c++) {
                strcpy(spoilt, code);
                spoilt[i] = alphabet[c / 32];
                spoilt[j] = alphabet[c % 32];
                check(accepted(spoilt) == (strcmp(spoilt, code) == 0));
            }
        }
}

static void case_spaces_dashes_and_look_alikes_do_not_matter(void **state)
{
    (void)state;
    fh_spoken in = target_of(0, -204.7, -204.7, 0), out;
    char code[FH_SPOKEN_TEXT], typed[128] = "";
    size_t zeros = 0;
    check(fh_spoken_write(&in, code, NULL) == FH_OK);
    for (const char *at = code; *at; at++) {
        char low[2] = {*at, 0};
        if (*at >= 'A') low[0] = (char)(*at - 'A' + 'a');
        zeros += *at == '0';
        strcat(typed, *at == '0' ? (zeros % 2 ? "o" : "O") : *at == '1' ? "l" : low);
        strcat(typed, *at == '-' ? " \xe2\x80\x93 " : "\xc2\xa0");
    }
    check(zeros > 2 && strchr(typed, 'l'));
    check(fh_spoken_read(typed, &out, NULL) == FH_OK);
    check_close(out.lab.a, -204.7, 1e-12);
    for (char *at = typed; *at; at++)
        if (*at == 'l') *at = 'I';
    check(fh_spoken_read(typed, &out, NULL) == FH_OK);
}

static void what_cannot_be_read_is_said(void **state)
{
    (void)state;
    fh_spoken out = target_of(1, 2, 3, 4);
    fh_error error = {0};
    check(fh_spoken_read("19FM-U00", &out, &error) == FH_E_DATA);
    check(error.column == 6 && strstr(error.message, "'U'"));
    check(fh_spoken_read("19FM\xc3\xa9", &out, &error) == FH_E_DATA);
    check(strstr(error.message, "'\xc3\xa9'") != NULL);
    check(fh_spoken_read("\xff", &out, &error) == FH_E_DATA);
    check(fh_spoken_read("19FM-1234-567", &out, &error) == FH_E_DATA);
    check(strstr(error.message, "11 characters") != NULL);
    check(fh_spoken_read("19FM-1234-5678-9", &out, &error) == FH_E_DATA);
    check(fh_spoken_read("", &out, &error) == FH_E_DATA);
    check(fh_spoken_read(NULL, &out, &error) == FH_E_DATA);
    check(fh_spoken_read("0000-0000-0000", &out, &error) == FH_E_DATA);
    check(strstr(error.message, "version 0") != NULL);
    check_close(out.lab.L, 1, 0); /* untouched */
}

static void what_cannot_be_written_is_refused(void **state)
{
    (void)state;
    char code[FH_SPOKEN_TEXT] = "untouched";
    fh_spoken lamp = target_of(50, 0, 0, 2);
    lamp.condition.illuminant = FH_ILLUMINANT_FILE;
    check(fh_spoken_write(&lamp, code, NULL) == FH_E_ARGUMENT);
    const fh_spoken bad[] = {
        target_of(-0.1, 0, 0, 2),  target_of(102.4, 0, 0, 2), target_of(50, 204.8, 0, 2),
        target_of(50, 0, -205, 2), target_of(NAN, 0, 0, 2),   target_of(50, 0, INFINITY, 2),
        target_of(50, 0, 0, -0.1), target_of(50, 0, 0, NAN),  target_of(50, 0, 0, INFINITY)};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        check(fh_spoken_write(&bad[i], code, NULL) == FH_E_ARGUMENT);
    check(strcmp(code, "untouched") == 0);
}

static void tolerance_is_rounded_down_and_held_at_the_top(void **state)
{
    (void)state;
    const double pairs[][2] = {{2.0, 2.0}, {1.99, 1.9}, {0.09, 0}, {6.3, 6.3}, {17, 6.3}};
    for (size_t i = 0; i < 5; i++) {
        char code[FH_SPOKEN_TEXT];
        fh_spoken in = target_of(50, 0, 0, pairs[i][0]), out;
        check(fh_spoken_write(&in, code, NULL) == FH_OK);
        check(fh_spoken_read(code, &out, NULL) == FH_OK);
        check_close(out.tolerance, pairs[i][1], 1e-12);
    }
}

static void spelt_out_in_the_icao_alphabet(void **state)
{
    (void)state;
    char words[FH_SPOKEN_WORDS];
    fh_spoken_words("K7QF-3m0a-9XPD", words);
    assert_string_equal(words, "Kilo seven Quebec Foxtrot, three Mike zero Alfa, "
                               "nine X-ray Papa Delta");
    fh_spoken_words("NNNN-NNNN-NNNN", words); /* November is the longest word */
    check(strlen(words) == 12 * 8 + 9 + 2 * 2);
    fh_spoken_words(NULL, words);
    assert_string_equal(words, "");
    fh_spoken target = target_of(60, 1, 2, 2);
    fh_reading reading = fh_spoken_reading(&target);
    check_close(reading.lab.b, 2, 0);
    /* A uniform distribution 0.1 wide has a standard deviation of 0.1/sqrt(12). */
    check_close(sqrt(reading.random.m[1][1]), 0.1 / sqrt(12), 1e-12);
    check(fh_reading_check(&reading, NULL, NULL) == FH_OK);
    check(strstr(fh_spoken_note(false), "bare target only") != NULL);
}

/* Own requirement: a part known by Lab alone goes in its own condition, unchanged; one that was
 * read for a lamp from a file went through an estimated spectrum, and the note says so. */
static void lab_alone_keeps_its_condition(void **state)
{
    (void)state;
    static fh_target target;
    fh_reading part = fh_reading_blank();
    part.lab = (fh_lab){60, 4, 14};
    part.condition = (fh_condition){FH_ILLUMINANT_C, FH_OBSERVER_2};
    fh_target_init(&target, &part, NULL);
    fh_spec *spec = NULL;
    fh_spoken out;
    bool estimated = true;
    check(fh_spec_new(&target, &spec, NULL) == FH_OK);
    check(fh_spoken_of_spec(spec, &out, &estimated, NULL) == FH_OK);
    check(!estimated && fh_condition_equal(out.condition, part.condition));
    check_close(out.lab.L, 60, 0);
    check_close(out.lab.a, 4, 0);
    check_close(out.lab.b, 14, 0);
    check(out.tolerance > 0);
    spec->part.condition.illuminant = FH_ILLUMINANT_FILE;
    check(fh_spoken_of_spec(spec, &out, &estimated, NULL) == FH_OK);
    check(estimated && fh_condition_equal(out.condition, spec->told.condition));
    check(strstr(fh_spoken_note(true), "estimated") && !strstr(fh_spoken_note(false), "estimated"));
    fh_spec_free(spec);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lab_alone_keeps_its_condition),
        cmocka_unit_test(content_is_laid_out_as_documented),
        cmocka_unit_test(check_characters_solve_the_two_equations),
        cmocka_unit_test(round_trip_within_the_rounding),
        cmocka_unit_test(every_wrong_character_and_every_swap_is_caught),
        cmocka_unit_test(every_two_wrong_characters_are_caught),
        cmocka_unit_test(case_spaces_dashes_and_look_alikes_do_not_matter),
        cmocka_unit_test(what_cannot_be_read_is_said),
        cmocka_unit_test(what_cannot_be_written_is_refused),
        cmocka_unit_test(tolerance_is_rounded_down_and_held_at_the_top),
        cmocka_unit_test(spelt_out_in_the_icao_alphabet),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
