#include "files/plain.h"

#include <string.h>

#include "base/error.h"

/* What is wrong with the character of n bytes at c; NULL when nothing is. */
static const char *trouble(const char *c, size_t n)
{
    unsigned char first = (unsigned char)c[0];
    if (n == 0) return "bytes that are not UTF-8; save the file as UTF-8 text";
    if (n == 1 && first == 0) return "a NUL byte; expected text (UTF-16 must be saved as UTF-8)";
    if ((n == 1 && first < 0x20 && first != '\t' && first != '\r' && first != '\n') ||
        first == 0x7F || (n == 2 && first == 0xC2 && (unsigned char)c[1] < 0xA0))
        return "a control character; expected text";
    /* U+202A–U+202E, U+2066–U+2069 */
    if (n == 3 && first == 0xE2 && (unsigned char)c[1] == 0x80 && (unsigned char)c[2] >= 0xAA &&
        (unsigned char)c[2] <= 0xAE)
        return "a character that turns the direction of writing; take it out";
    if (n == 3 && first == 0xE2 && (unsigned char)c[1] == 0x81 && (unsigned char)c[2] >= 0xA6 &&
        (unsigned char)c[2] <= 0xA9)
        return "a character that turns the direction of writing; take it out";
    return NULL;
}

fh_status fh_plain_text(const char *text, size_t length, fh_slice *out, fh_error *error)
{
    fh_slice body = {text ? text : "", length};
    if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        body.start += 3;
        body.length -= 3;
    }
    fh_cursor cursor = fh_cursor_of(body);
    while (!fh_cursor_done(&cursor)) {
        if (fh_cursor_line_end(&cursor)) {
            fh_cursor_next_line(&cursor);
            continue;
        }
        size_t n = fh_utf8_length(cursor.at, (size_t)(cursor.end - cursor.at));
        const char *what = trouble(cursor.at, n);
        if (what) return fh_fail_at(error, FH_E_DATA, cursor.line, cursor.column, "%s", what);
        cursor.at += n;
        ++cursor.column;
    }
    *out = body;
    return FH_OK;
}

fh_cursor fh_cursor_of(fh_slice text)
{
    return (fh_cursor){text.start, text.start + text.length, 1, 1};
}

bool fh_cursor_done(const fh_cursor *cursor)
{
    return cursor->at == cursor->end;
}

bool fh_cursor_line_end(const fh_cursor *cursor)
{
    return cursor->at < cursor->end && (*cursor->at == '\n' || *cursor->at == '\r');
}

void fh_cursor_step(fh_cursor *cursor)
{
    ++cursor->at;
    bool inside = cursor->at < cursor->end && ((unsigned char)*cursor->at & 0xC0) == 0x80;
    if (!inside) ++cursor->column;
}

void fh_cursor_next_line(fh_cursor *cursor)
{
    char first = *cursor->at++;
    if (first == '\r' && cursor->at < cursor->end && *cursor->at == '\n') ++cursor->at;
    ++cursor->line;
    cursor->column = 1;
}

void fh_cursor_skip_blanks(fh_cursor *cursor)
{
    while (cursor->at < cursor->end && (*cursor->at == ' ' || *cursor->at == '\t'))
        fh_cursor_step(cursor);
}
