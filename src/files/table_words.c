/* Words of table text. */
#include "files/table_words.h"

#include <string.h>

#include "base/error.h"

fh_status fh_parser_fail(fh_parser *p, fh_cursor place, const char *format, ...)
{
    char message[FH_ERROR_MESSAGE];
    va_list arguments;
    va_start(arguments, format);
    fh_format_list(message, sizeof message, format, arguments);
    va_end(arguments);
    return fh_fail_at(p->error, FH_E_DATA, place.line, place.column, "%s", message);
}

/* What sticks to the list, as an error of this place. */
fh_status fh_parser_stuck(fh_parser *p, fh_cursor place)
{
    fh_status status = p->tables->failed;
    if (status == FH_E_LIMIT)
        return fh_fail_at(p->error, status, place.line, place.column,
                          "more than can be read here; at most %d tables, %d columns, %d keywords, "
                          "%d values in a file",
                          (int)FH_TABLES_MAX, (int)FH_TABLE_COLUMNS, (int)FH_TABLE_KEYWORDS,
                          (int)FH_TABLE_CELLS);
    if (status) return fh_fail(p->error, status, "out of memory");
    return FH_OK;
}

void fh_skip_comment(fh_cursor *c)
{
    while (!fh_cursor_done(c) && !fh_cursor_line_end(c)) fh_cursor_step(c);
}

/* To the next word of this line; false at its end (a comment ends it too). */
bool fh_find_word(fh_cursor *c)
{
    fh_cursor_skip_blanks(c);
    if (!fh_cursor_done(c) && *c->at == '#') fh_skip_comment(c);
    return !fh_cursor_done(c) && !fh_cursor_line_end(c);
}

/* To the next word of the file; false at its end. */
bool fh_find_word_below(fh_cursor *c)
{
    while (!fh_find_word(c)) {
        if (fh_cursor_done(c)) return false;
        fh_cursor_next_line(c);
    }
    return true;
}

bool fh_ends_word(const fh_cursor *c, const char *separators)
{
    return fh_cursor_done(c) || fh_cursor_line_end(c) || *c->at == ' ' || *c->at == '\t' ||
           (*c->at && strchr(separators, *c->at));
}

static fh_status read_quoted(fh_parser *p, const char *separators, fh_token *out)
{
    fh_cursor *c = &p->cursor;
    *out = (fh_token){.place = *c, .quoted = true};
    fh_cursor_step(c);
    out->text.start = c->at;
    for (;; fh_cursor_step(c)) {
        if (fh_cursor_done(c) || fh_cursor_line_end(c))
            return fh_parser_fail(p, out->place,
                                  "a quote that is not closed on its line; expected another \"");
        if (*c->at != '"') continue;
        bool another = c->at + 1 < c->end && c->at[1] == '"';
        if (!another) break;
        out->doubled = true;
        fh_cursor_step(c);
    }
    out->text.length = (size_t)(c->at - out->text.start);
    fh_cursor_step(c);
    if (!fh_ends_word(c, separators))
        return fh_parser_fail(
            p, *c,
            "text right after a closing quote; expected a blank, or two quotes for a "
            "quote inside the text");
    return FH_OK;
}

/* The word at the cursor. In a list with a separator of its own, unquoted words may hold
 * blanks, and end before the separator. */
fh_status fh_read_word(fh_parser *p, const char *separators, fh_token *out)
{
    fh_cursor *c = &p->cursor;
    if (*c->at == '"') {
        fh_status status = read_quoted(p, separators, out);
        if (status) return status;
    } else {
        *out = (fh_token){.place = *c, .text.start = c->at};
        while (!fh_ends_word(c, separators)) fh_cursor_step(c);
        out->text.length = (size_t)(c->at - out->text.start);
    }
    if (out->text.length > FH_TABLE_CELL)
        return fh_parser_fail(p, out->place, "a text of %zu bytes; expected at most %d",
                              out->text.length, (int)FH_TABLE_CELL);
    return FH_OK;
}

/* Into the pool; two quotes become one. */
fh_cell fh_keep_word(fh_parser *p, const fh_token *word)
{
    fh_cell cell = fh_tables_keep(p->tables, word->text, (uint32_t)word->place.line,
                                  (uint32_t)word->place.column, word->quoted);
    if (!word->doubled || p->tables->failed) return cell;
    char *from = p->tables->pool + cell.at, *to = from;
    for (; *from; ++from) {
        *to++ = *from;
        if (*from == '"') ++from;
    }
    *to = '\0';
    return cell;
}
