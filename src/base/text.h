/* Text without a locale: formatting, numbers, UTF-8, growing buffers.
 *
 * Numbers always use the decimal point, whatever locale the process has set. */
#ifndef FARHUE_BASE_TEXT_H
#define FARHUE_BASE_TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

#include "farhue/status.h"

/* A borrowed piece of text, not NUL-terminated. */
typedef struct fh_slice {
    const char *start;
    size_t length;
} fh_slice;

fh_slice fh_slice_of(const char *text); /* text may be NULL: an empty slice */
bool fh_slice_equal(fh_slice a, fh_slice b);
bool fh_slice_is(fh_slice a, const char *text);
bool fh_slice_is_fold(fh_slice a, const char *text); /* ASCII letters match in either case */
fh_slice fh_slice_trim(fh_slice a);                  /* without blanks and tabs at both ends */

/* Copy text, cut at a UTF-8 character boundary to fit size bytes with the final NUL.
 * Returns false when it was cut. */
bool fh_copy_text(char *out, size_t size, const char *text);
bool fh_copy_slice(char *out, size_t size, fh_slice text);

/* printf with the conversions %s %c %d %u %zu %ld %lu %x %% %.*s and %f %e %g of doubles, with
 * width, precision, '-', '+' and '0'; always a decimal point. The result is cut to fit and
 * NUL-terminated; that, and a precision in bytes of a text, cuts at a UTF-8 character boundary. A
 * negative zero prints as 0. Returns the length that was written. */
size_t fh_format(char *out, size_t size, const char *format, ...) FH_PRINTF(3, 4);
size_t fh_format_list(char *out, size_t size, const char *format, va_list arguments);

/* The shortest decimal text that reads back as the same double. out holds at least 32 bytes. */
void fh_shortest_number(char *out, size_t size, double value);

/* A whole slice as a finite number: digits, one decimal point, an exponent. No blanks, no
 * hexadecimal, no "nan" or "inf", no comma. Returns false and leaves *value for anything else. */
bool fh_parse_number(fh_slice text, double *value);
bool fh_parse_integer(fh_slice text, long *value);
bool fh_parse_hex(fh_slice text, unsigned long *value);

/* Length of the UTF-8 character at start (1 to 4), 0 when it is malformed, overlong, a surrogate,
 * above U+10FFFF or cut off. */
size_t fh_utf8_length(const char *start, size_t left);
bool fh_utf8_valid(fh_slice text);

/* What keeps the character of n bytes at c, as fh_utf8_length counts them, from being text that can
 * be shown: malformed, a NUL, a control character (C0 but tab and line ends, DEL, C1), one that
 * turns the direction of writing. NULL when nothing does. */
const char *fh_utf8_trouble(const char *c, size_t n);

/* Whether all of a text may be shown and stands on one line: what the files of a job can hold. */
bool fh_utf8_is_line(fh_slice text);

/* A growing text; text is NUL-terminated once something was added. Errors stick: after a failed
 * addition the buffer stays as it was and failed is true, so that a writer checks once. */
typedef struct fh_buffer {
    char *text;
    size_t length;
    size_t capacity;
    bool failed;
} fh_buffer;

void fh_buffer_add(fh_buffer *buffer, fh_slice piece);
void fh_buffer_text(fh_buffer *buffer, const char *text);
void fh_buffer_format(fh_buffer *buffer, const char *format, ...) FH_PRINTF(2, 3); /* ≤ 1023 bytes a call */
void fh_buffer_free(fh_buffer *buffer);

#endif
