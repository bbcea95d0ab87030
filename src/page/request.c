/* Requests of the page. */
#include <string.h>

#include "base/error.h"
#include "page/request.h"

static bool find(const page_request *r, const char *key, fh_slice *value)
{
    size_t wanted = strlen(key);
    const char *at = r->lines.start, *end = at + r->lines.length;
    while (at < end) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        if (!stop) stop = end;
        size_t length = (size_t)(stop - at);
        if (length > wanted && at[wanted] == '=' && memcmp(at, key, wanted) == 0) {
            *value = (fh_slice){at + wanted + 1, length - wanted - 1};
            return true;
        }
        at = stop + 1;
    }
    return false;
}

bool request_whole(const page_request *r, const char *key, fh_buffer *out)
{
    fh_slice value;
    if (!find(r, key, &value)) return false;
    fh_buffer_text(out, "");
    for (size_t i = 0; i < value.length; i++) {
        char c = value.start[i];
        if (c == '\\' && i + 1 < value.length) {
            c = value.start[++i];
            if (c == 'n') c = '\n';
            if (c == 'r') c = '\r';
        }
        fh_buffer_add(out, (fh_slice){&c, 1});
    }
    return !out->failed;
}

bool request_text(const page_request *r, const char *key, char *out, size_t size)
{
    fh_buffer whole = {0};
    bool there = request_whole(r, key, &whole);
    out[0] = '\0';
    if (there && whole.text) fh_copy_text(out, size, whole.text);
    fh_buffer_free(&whole);
    return there;
}

fh_status keep_line(const char *what, fh_slice text, char *out, size_t size, fh_error *error)
{
    size_t characters = 0;
    for (size_t i = 0; i < text.length; i++)
        characters += ((unsigned char)text.start[i] & 0xC0) != 0x80;
    if (!fh_utf8_is_line(text))
        return fh_fail(error, FH_E_DATA,
                       "The %s holds a character that controls a line or turns the writing; "
                       "expected one line of plain text.",
                       what);
    if (text.length >= size)
        return fh_fail(error, FH_E_LIMIT,
                       "The %s has %zu characters, which take %zu bytes; expected at most %zu "
                       "bytes (a letter with an accent takes 2, many a script's letters 3).",
                       what, characters, text.length, size - 1);
    fh_copy_slice(out, size, text);
    return FH_OK;
}

fh_status request_line(const page_request *r, const char *key, const char *what, char *out,
                       size_t size, fh_error *error)
{
    fh_buffer whole = {0};
    request_whole(r, key, &whole);
    fh_status status =
        whole.failed ? fh_fail(error, FH_E_MEMORY, "Out of memory.")
                     : keep_line(what, (fh_slice){whole.text, whole.length}, out, size, error);
    fh_buffer_free(&whole);
    return status;
}

/* A number in which a comma may stand for the decimal point. */
static bool number_of(fh_slice text, double *value)
{
    char plain[64];
    text = fh_slice_trim(text);
    if (!text.length || text.length >= sizeof plain) return false;
    memcpy(plain, text.start, text.length);
    for (size_t i = 0; i < text.length; i++)
        if (plain[i] == ',') plain[i] = '.';
    const char *start = plain;
    /* A typographic minus, as copied from a screen. */
    if (text.length > 3 && memcmp(plain, "\xe2\x88\x92", 3) == 0) {
        plain[2] = '-';
        start = plain + 2;
    }
    return fh_parse_number((fh_slice){start, text.length - (size_t)(start - plain)}, value);
}

bool request_number(const page_request *r, const char *key, double *value)
{
    fh_slice text;
    return find(r, key, &text) && number_of(text, value);
}

bool request_count(const page_request *r, const char *key, size_t *value)
{
    fh_slice text;
    long number;
    if (!find(r, key, &text) || !fh_parse_integer(text, &number) || number < 0) return false;
    *value = (size_t)number;
    return true;
}

static bool is_gap(char c, bool commas)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == ';' || (commas && c == ',');
}

bool list_number(fh_slice *rest, bool commas, double *value)
{
    while (rest->length && is_gap(*rest->start, commas)) rest->start++, rest->length--;
    size_t length = 0;
    while (length < rest->length && !is_gap(rest->start[length], commas)) length++;
    if (!length || !number_of((fh_slice){rest->start, length}, value)) return false;
    rest->start += length;
    rest->length -= length;
    return true;
}
