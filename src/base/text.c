/* Numbers go through the C library's correctly rounded conversions; the decimal separator of
 * whatever locale is set is found by printing a half, and replaced. */
#include "base/text.h"

#include <errno.h>
#include <limits.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { NUMBER_SIZE = 400 }; /* the longest %f of a double is 310 digits and its decimals */

fh_slice fh_slice_of(const char *text)
{
    return (fh_slice){text ? text : "", text ? strlen(text) : 0};
}

bool fh_slice_equal(fh_slice a, fh_slice b)
{
    return a.length == b.length && (a.length == 0 || memcmp(a.start, b.start, a.length) == 0);
}

bool fh_slice_is(fh_slice a, const char *text)
{
    return fh_slice_equal(a, fh_slice_of(text));
}

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

bool fh_slice_is_fold(fh_slice a, const char *text)
{
    if (strlen(text) != a.length) return false;
    for (size_t i = 0; i < a.length; ++i)
        if (lower(a.start[i]) != lower(text[i])) return false;
    return true;
}

fh_slice fh_slice_trim(fh_slice a)
{
    while (a.length && (*a.start == ' ' || *a.start == '\t')) {
        ++a.start;
        --a.length;
    }
    while (a.length && (a.start[a.length - 1] == ' ' || a.start[a.length - 1] == '\t')) --a.length;
    return a;
}

bool fh_copy_slice(char *out, size_t size, fh_slice text)
{
    if (size == 0) return text.length == 0;
    size_t length = text.length < size ? text.length : size - 1;
    /* Step back over continuation bytes, so that no character is cut in two. */
    if (length < text.length)
        while (length > 0 && ((unsigned char)text.start[length] & 0xC0) == 0x80) --length;
    if (length) memmove(out, text.start, length);
    out[length] = '\0';
    return length == text.length;
}

bool fh_copy_text(char *out, size_t size, const char *text)
{
    return fh_copy_slice(out, size, fh_slice_of(text));
}

/* The decimal separator in force, as text; "." in the C locale. */
static size_t decimal_separator(char out[8])
{
    char half[16];
    int length = snprintf(half, sizeof half, "%.1f", 0.5);
    size_t middle = length > 2 ? (size_t)length - 2 : 1; /* between the 0 and the 5 */
    if (middle > 7) middle = 7;
    memcpy(out, half + 1, middle);
    out[middle] = '\0';
    return middle;
}

static void use_decimal_point(char *number)
{
    char separator[8];
    size_t length = decimal_separator(separator);
    if (length == 1 && separator[0] == '.') return;
    char *at = strstr(number, separator);
    if (!at) return;
    *at = '.';
    memmove(at + 1, at + length, strlen(at + length) + 1);
}

/* "-0.00" says nothing that "0.00" does not. */
static void drop_negative_zero(char *number)
{
    char *minus = strchr(number, '-');
    if (!minus || strchr(number, 'n') || strchr(number, 'N')) return;
    for (const char *c = minus + 1; *c && *c != 'e'; ++c)
        if (*c >= '1' && *c <= '9') return;
    if (minus > number) { /* keep the width */
        memmove(number + 1, number, (size_t)(minus - number));
        number[0] = ' ';
    } else {
        memmove(minus, minus + 1, strlen(minus));
    }
}

/* One conversion of a format: its flags, width and precision as text, its length and letter. */
struct conversion {
    char spec[32];
    char letter;
    char length; /* 0, 'l' or 'z' */
    int stars;
};

static const char *read_conversion(const char *format, struct conversion *out)
{
    size_t n = 0;
    *out = (struct conversion){0};
    out->spec[n++] = '%';
    while (*format && strchr("-+ 0#.*123456789lz", *format) && n < sizeof out->spec - 3) {
        if (*format == '*') ++out->stars;
        if (*format == 'l' || *format == 'z') out->length = *format;
        out->spec[n++] = *format++;
    }
    out->letter = *format;
    if (*format) out->spec[n++] = *format++;
    return format;
}

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
static void print_conversion(char *out, size_t size, const struct conversion *how, va_list *list)
{
    int star = how->stars ? va_arg(*list, int) : 0;
    out[0] = '\0';
    switch (how->letter) {
    case 'd':
        if (how->length == 'l')
            snprintf(out, size, how->spec, va_arg(*list, long));
        else if (how->stars)
            snprintf(out, size, how->spec, star, va_arg(*list, int));
        else
            snprintf(out, size, how->spec, va_arg(*list, int));
        break;
    case 'u':
    case 'x':
    case 'X':
        if (how->length == 'z')
            snprintf(out, size, how->spec, va_arg(*list, size_t));
        else if (how->length == 'l')
            snprintf(out, size, how->spec, va_arg(*list, unsigned long));
        else
            snprintf(out, size, how->spec, va_arg(*list, unsigned));
        break;
    case 'f':
    case 'e':
    case 'g': {
        double value = va_arg(*list, double);
        if (how->stars)
            snprintf(out, size, how->spec, star, value);
        else
            snprintf(out, size, how->spec, value);
        use_decimal_point(out);
        drop_negative_zero(out);
        break;
    }
    case 'c':
        snprintf(out, size, "%c", va_arg(*list, int));
        break;
    case '%':
        snprintf(out, size, "%%");
        break;
    default:
        snprintf(out, size, "?");
        break;
    }
}

/* The length of text without a last character that was cut. */
static size_t whole(const char *text, size_t length)
{
    size_t last = length;
    while (last > 0 && ((unsigned char)text[last - 1] & 0xC0) == 0x80) --last;
    const bool cut = last > 0 && (unsigned char)text[last - 1] >= 0xC0 &&
                     fh_utf8_length(text + last - 1, length - last + 1) == 0;
    return cut ? last - 1 : length;
}

/* %s is copied apart, so that its length is unlimited; a precision counts bytes, but keeps to whole
 * characters. */
static size_t print_string(char *out, size_t size, const struct conversion *how, va_list *list)
{
    int star = how->stars ? va_arg(*list, int) : 0;
    const char *text = va_arg(*list, const char *);
    int length = how->stars ? snprintf(out, size, how->spec, star, text)
                            : snprintf(out, size, how->spec, text);
    if (length < 0) return 0;
    if ((size_t)length >= size || !strchr(how->spec, '.')) return (size_t)length;
    const size_t kept = whole(out, (size_t)length);
    out[kept] = '\0';
    return kept;
}
#pragma GCC diagnostic pop

size_t fh_format_list(char *out, size_t size, const char *format, va_list arguments)
{
    if (size == 0) return 0;
    va_list list;
    va_copy(list, arguments);
    size_t used = 0;
    out[0] = '\0';
    while (*format && used < size - 1) {
        if (*format != '%') {
            out[used++] = *format++;
            out[used] = '\0';
            continue;
        }
        struct conversion how;
        format = read_conversion(format + 1, &how);
        if (how.letter == 's') {
            used += print_string(out + used, size - used, &how, &list);
        } else {
            char number[NUMBER_SIZE];
            print_conversion(number, sizeof number, &how, &list);
            size_t length = strlen(number);
            fh_copy_text(out + used, size - used, number);
            used += length;
        }
    }
    va_end(list);
    if (used > size - 1) { /* cut: end on a whole character */
        used = whole(out, size - 1);
        out[used] = '\0';
    }
    return used;
}

size_t fh_format(char *out, size_t size, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    size_t length = fh_format_list(out, size, format, arguments);
    va_end(arguments);
    return length;
}

static bool reads_back(const char *text, double value)
{
    double back;
    return fh_parse_number(fh_slice_of(text), &back) && back == value;
}

/* 500 rather than 5e+02: without an exponent where that needs no more than some zeros. */
static void without_exponent(char *out, size_t size, double value)
{
    char plain[40];
    double magnitude = fabs(value);
    if (!strchr(out, 'e') || magnitude < 1e-5 || magnitude >= 1e15) return;
    for (int decimals = 0; decimals <= 22; ++decimals) {
        size_t length = fh_format(plain, sizeof plain, "%.*f", decimals, value);
        if (length >= size) return;
        if (!reads_back(plain, value)) continue;
        memcpy(out, plain, length + 1);
        return;
    }
}

void fh_shortest_number(char *out, size_t size, double value)
{
    for (int digits = 1; digits <= 17; ++digits) {
        fh_format(out, size, "%.*g", digits, value);
        if (reads_back(out, value)) break;
    }
    without_exponent(out, size, value);
}

static const char *skip_digits(const char *at, const char *end, size_t *count)
{
    while (at < end && *at >= '0' && *at <= '9') {
        ++at;
        ++*count;
    }
    return at;
}

/* Digits, a point, digits, an exponent: the position of the point in *point, or -1. */
static bool number_syntax(fh_slice text, ptrdiff_t *point)
{
    const char *at = text.start, *end = text.start + text.length;
    size_t digits = 0, exponent = 0;
    *point = -1;
    if (at < end && (*at == '+' || *at == '-')) ++at;
    at = skip_digits(at, end, &digits);
    if (at < end && *at == '.') {
        *point = at - text.start;
        at = skip_digits(at + 1, end, &digits);
    }
    if (digits == 0) return false;
    if (at < end && (*at == 'e' || *at == 'E')) {
        ++at;
        if (at < end && (*at == '+' || *at == '-')) ++at;
        at = skip_digits(at, end, &exponent);
        if (exponent == 0) return false;
    }
    return at == end;
}

bool fh_parse_number(fh_slice text, double *value)
{
    char copy[128], separator[8];
    ptrdiff_t point;
    if (text.length == 0 || text.length > 100 || !number_syntax(text, &point)) return false;
    size_t extra = decimal_separator(separator), used = 0;
    for (size_t i = 0; i < text.length; ++i) {
        if ((ptrdiff_t)i == point) {
            memcpy(copy + used, separator, extra);
            used += extra;
        } else {
            copy[used++] = text.start[i];
        }
    }
    copy[used] = '\0';
    double parsed = strtod(copy, NULL);
    if (!isfinite(parsed)) return false;
    *value = parsed;
    return true;
}

bool fh_parse_integer(fh_slice text, long *value)
{
    size_t i = 0;
    bool negative = false;
    long sum = 0;
    if (text.length && (text.start[0] == '-' || text.start[0] == '+')) {
        negative = text.start[0] == '-';
        i = 1;
    }
    if (i == text.length) return false;
    for (; i < text.length; ++i) {
        char c = text.start[i];
        if (c < '0' || c > '9' || sum > (LONG_MAX - 9) / 10) return false;
        sum = sum * 10 + (c - '0');
    }
    *value = negative ? -sum : sum;
    return true;
}

bool fh_parse_hex(fh_slice text, unsigned long *value)
{
    unsigned long sum = 0;
    if (text.length == 0 || text.length > 8) return false;
    for (size_t i = 0; i < text.length; ++i) {
        char c = lower(text.start[i]);
        unsigned digit;
        if (c >= '0' && c <= '9')
            digit = (unsigned)(c - '0');
        else if (c >= 'a' && c <= 'f')
            digit = (unsigned)(c - 'a') + 10;
        else
            return false;
        sum = sum * 16 + digit;
    }
    *value = sum;
    return true;
}
