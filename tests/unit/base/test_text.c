/* Numbers and text, in the C locale and in one that writes a comma. */
#include "check.h"
#include "comma.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "base/text.h"

static double parsed(const char *text)
{
    double value = -12345.0;
    return fh_parse_number(fh_slice_of(text), &value) ? value : -12345.0;
}

/* Source: the C language's own constants, converted by the compiler. */
static void reads_numbers(void **state)
{
    (void)state;
    const struct {
        const char *text;
        double value;
    } good[] = {{"0", 0.0},        {"12.5", 12.5},     {"-0.1", -0.1},     {"+3", 3.0},
                {".5", 0.5},       {"5.", 5.0},        {"1e3", 1e3},       {"1.25E-7", 1.25e-7},
                {"000.10", 0.1},   {"1e308", 1e308},   {"9007199254740993", 9007199254740992.0},
                {"5e-324", 5e-324}};
    for (size_t i = 0; i < sizeof good / sizeof *good; ++i)
        check(parsed(good[i].text) == good[i].value);
    const char *bad[] = {"",    ".",    "-",     "1,5",  "0x10", "nan",    "inf", "1e",  "1e+",
                         "1 ",  " 1",   "1.2.3", "--1",  "1e5.", "1e400",  "e5",  "12a", "\xC2\xA0" "1"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; ++i) check(parsed(bad[i]) == -12345.0);
}

static void shortest_reads_back(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 20000; ++i) {
        uint64_t bits = fh_random_bits(3, 0, i, 0);
        double value;
        memcpy(&value, &bits, sizeof value);
        if (!isfinite(value)) continue;
        char text[32];
        fh_shortest_number(text, sizeof text, value);
        check(parsed(text) == value);
    }
    char text[32];
    fh_shortest_number(text, sizeof text, 0.1);
    assert_string_equal(text, "0.1");
    fh_shortest_number(text, sizeof text, -0.0);
    assert_string_equal(text, "0");
}

static void formats(void **state)
{
    (void)state;
    char out[64];
    fh_format(out, sizeof out, "%s|%5.2f|%-6d|%zu|%c|%%|%04x|%.3g", "a", 1.005, 7, (size_t)8, 'z',
              0xABu, 1234567.0);
    assert_string_equal(out, "a| 1.00|7     |8|z|%|00ab|1.23e+06");
    fh_format(out, sizeof out, "%.2f %.1f %6.2f", -0.001, -0.04, -0.001);
    assert_string_equal(out, "0.00 0.0   0.00");
    fh_format(out, sizeof out, "%.2f", -0.006);
    assert_string_equal(out, "-0.01");
    fh_format(out, sizeof out, "%.*f %*d %.*s", 3, 2.5, 4, 42, 2, "abcdef");
    assert_string_equal(out, "2.500   42 ab");
    fh_format(out, sizeof out, "%f", 1e300); /* longer than the buffer: cut, terminated */
    assert_int_equal(strlen(out), sizeof out - 1);
    char small[4];
    fh_format(small, sizeof small, "a%s", "\xE2\x82\xAC" "x"); /* a three-byte sign that does not fit */
    assert_string_equal(small, "a");
    /* A precision keeps to whole characters. */
    fh_format(out, sizeof out, "%.2s|%.3s|%.*s", "a€", "€uro", 4, "aä€");
    assert_string_equal(out, "a|€|aä");
}

static void comma_locale(void **state)
{
    (void)state;
    char out[64];
    comma_locale_begin();
    fh_format(out, sizeof out, "%.2f %g", 1.5, 0.25);
    check(parsed("1.5") == 1.5);
    check(parsed("1,5") == -12345.0);
    char shortest[32];
    fh_shortest_number(shortest, sizeof shortest, 0.1);
    comma_locale_end();
    assert_string_equal(out, "1.50 0.25");
    assert_string_equal(shortest, "0.1");
}

/* Source: RFC 3629, section 3 and 10; the sequences are the usual traps, from memory. */
static void utf8(void **state)
{
    (void)state;
    const char *good[] = {"", "abc", "\xC3\xA9", "\xE2\x82\xAC", "\xF0\x9F\x8E\xA8", "\xEF\xBF\xBD"};
    const char *bad[] = {"\x80",         "\xC0\xAF",     "\xC3",         "\xE0\x80\x80",
                         "\xED\xA0\x80", "\xF0\x80\x80\x80", "\xF4\x90\x80\x80", "\xFF", "a\xE2\x82"};
    for (size_t i = 0; i < sizeof good / sizeof *good; ++i)
        check(fh_utf8_valid(fh_slice_of(good[i])));
    for (size_t i = 0; i < sizeof bad / sizeof *bad; ++i)
        check(!fh_utf8_valid(fh_slice_of(bad[i])));
    char cut[5];
    check(!fh_copy_text(cut, sizeof cut, "ab\xE2\x82\xAC"));
    assert_string_equal(cut, "ab");
}

static void slices_and_integers(void **state)
{
    (void)state;
    long n = 7;
    unsigned long x = 7;
    check(fh_parse_integer(fh_slice_of("-42"), &n) && n == -42);
    check(!fh_parse_integer(fh_slice_of("99999999999999999999"), &n) && n == -42);
    check(!fh_parse_integer(fh_slice_of("4 "), &n) && !fh_parse_integer(fh_slice_of(""), &n));
    check(fh_parse_hex(fh_slice_of("fFa0"), &x) && x == 0xFFA0);
    check(!fh_parse_hex(fh_slice_of("0x1"), &x) && !fh_parse_hex(fh_slice_of("123456789"), &x));
    check(fh_slice_is(fh_slice_trim(fh_slice_of(" \tab c\t ")), "ab c"));
    check(fh_slice_is_fold(fh_slice_of("D65"), "d65") && !fh_slice_is_fold(fh_slice_of("D6"), "D65"));
    check(fh_slice_equal(fh_slice_of(NULL), fh_slice_of("")));
}

/* Control characters: ISO/IEC 6429's C0 and C1, and DEL; directions: Unicode's UAX #9, table 1. */
static void what_may_be_shown(void **state)
{
    (void)state;
    const char *lines[] = {"", "a\tb", "\xC2\xA0", "\xE2\x80\xAF", "\xE2\x81\xA5", "\xF0\x9F\x8E\xA8"};
    const char *others[] = {"a\n", "a\r", "\x1B", "\x7F", "\xC2\x80", "\xC2\x9F", "\xE2\x80\xAA",
                            "\xE2\x80\xAE", "\xE2\x81\xA6", "\xE2\x81\xA9", "\xC2", "\x9B"};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; ++i)
        check(fh_utf8_is_line(fh_slice_of(lines[i])));
    for (size_t i = 0; i < sizeof others / sizeof *others; ++i)
        check(!fh_utf8_is_line(fh_slice_of(others[i])));
    check(!fh_utf8_is_line((fh_slice){"a\0b", 3}));
    check(fh_utf8_trouble("\n", 1) == NULL && fh_utf8_trouble("\0", 1) != NULL);
}

static void buffer(void **state)
{
    (void)state;
    fh_buffer b = {0};
    for (int i = 0; i < 1000; ++i) fh_buffer_format(&b, "%d,", i);
    check(!b.failed && b.length == 3890); /* 10·2 + 90·3 + 900·4 */
    check(strncmp(b.text, "0,1,2,", 6) == 0 && b.text[b.length] == '\0');
    fh_buffer_free(&b);
    fh_buffer_free(&b);
    check(b.text == NULL && b.length == 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_numbers), cmocka_unit_test(shortest_reads_back),
        cmocka_unit_test(formats),       cmocka_unit_test(comma_locale),
        cmocka_unit_test(utf8),          cmocka_unit_test(slices_and_integers),
        cmocka_unit_test(buffer),        cmocka_unit_test(what_may_be_shown),
    };
    return cmocka_run_group_tests_name("text", tests, NULL, NULL);
}
