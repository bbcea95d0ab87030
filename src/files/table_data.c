/* Rows of table text. Between blanks, a row may go on over several lines and is complete when it
 * has all its values at the end of a line; with separators, each line is a row. */
#include <string.h>

#include "base/error.h"
#include "files/table_words.h"

static fh_status short_row(fh_parser *p, fh_cursor place, size_t found)
{
    size_t wanted = p->table->column_count;
    return fh_parser_fail(p, place, "a row of %zu value%s; expected %zu, one a column", found,
                          found == 1 ? "" : "s", wanted);
}

static fh_status push(fh_parser *p, const fh_token *word)
{
    fh_table_push_cell(p->table, fh_keep_word(p, word));
    return fh_parser_stuck(p, word->place);
}

/* How many words are left on this line, the one at the cursor included; for messages. */
static size_t words_left(fh_parser p)
{
    size_t n = 0;
    fh_token word;
    p.error = NULL;
    while (fh_find_word(&p.cursor) && fh_read_word(&p, "", &word) == FH_OK) ++n;
    return n;
}

/* One line of values between blanks; *filled is how many the row at *start has so far. */
static fh_status read_blank_line(fh_parser *p, fh_cursor *start, size_t *filled)
{
    size_t on_line = 0;
    bool fresh = *filled == 0;
    while (fh_find_word(&p->cursor)) {
        fh_token word;
        if (*filled == p->table->column_count)
            return fresh ? short_row(p, *start, on_line + words_left(*p))
                         : short_row(p, *start, *filled - on_line);
        fh_status status = fh_read_word(p, "", &word);
        if (status) return status;
        if (*filled == 0) *start = word.place;
        if ((status = push(p, &word))) return status;
        ++*filled;
        ++on_line;
    }
    return FH_OK;
}

/* One value of a line with separators; blanks around it do not count. */
static fh_status read_field(fh_parser *p, const char *separators, fh_token *out)
{
    fh_cursor *c = &p->cursor;
    fh_cursor_skip_blanks(c);
    if (!fh_cursor_done(c) && *c->at == '"') return fh_read_word(p, separators, out);
    *out = (fh_token){.place = *c, .text.start = c->at};
    while (!fh_cursor_done(c) && !fh_cursor_line_end(c) && !strchr(separators, *c->at))
        fh_cursor_step(c);
    out->text = fh_slice_trim((fh_slice){out->text.start, (size_t)(c->at - out->text.start)});
    if (out->text.length > FH_TABLE_CELL)
        return fh_parser_fail(p, out->place, "a text of %zu bytes; expected at most %d",
                              out->text.length, (int)FH_TABLE_CELL);
    return FH_OK;
}

static fh_status read_separated_line(fh_parser *p, fh_cursor *start, size_t *filled)
{
    const char separators[2] = {p->separator, 0};
    *start = p->cursor;
    for (*filled = 0;;) {
        fh_token word;
        fh_status status = read_field(p, separators, &word);
        if (!status) status = push(p, &word);
        if (status) return status;
        ++*filled;
        fh_cursor_skip_blanks(&p->cursor);
        if (fh_cursor_done(&p->cursor) || *p->cursor.at != p->separator) break;
        fh_cursor_step(&p->cursor);
    }
    if (*filled == p->table->column_count) return FH_OK;
    return short_row(p, *start, *filled);
}

static bool at_end_of_data(const fh_parser *p)
{
    fh_parser look = *p;
    fh_token word;
    look.error = NULL;
    return fh_read_word(&look, "", &word) == FH_OK && !word.quoted &&
           fh_slice_is(word.text, "END_DATA");
}

fh_status fh_read_data(fh_parser *p, fh_cursor begin)
{
    fh_cursor start = begin;
    size_t filled = 0;
    if (!p->formatted)
        return fh_parser_fail(p, begin, "BEGIN_DATA without BEGIN_DATA_FORMAT before it");
    while (fh_find_word_below(&p->cursor)) {
        if (at_end_of_data(p)) {
            if (filled) return short_row(p, start, filled);
            p->cursor.at += strlen("END_DATA");
            if (p->sets >= 0 && (size_t)p->sets != p->table->row_count)
                return fh_parser_fail(p, p->sets_place,
                                      "NUMBER_OF_SETS says %ld, and the table has %zu rows",
                                      p->sets, p->table->row_count);
            return FH_OK;
        }
        fh_status status = p->separator ? read_separated_line(p, &start, &filled)
                                        : read_blank_line(p, &start, &filled);
        if (status) return status;
        if (filled < p->table->column_count) continue;
        filled = 0;
        ++p->table->row_count;
    }
    return fh_parser_fail(p, begin,
                          "BEGIN_DATA without END_DATA; the file may be cut off after row %zu",
                          p->table->row_count);
}
