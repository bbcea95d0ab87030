#include "files/plain.h"

#include <string.h>

#include "base/error.h"

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
        const char *what = fh_utf8_trouble(cursor.at, n);
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
