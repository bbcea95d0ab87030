/* Reading table text, ISO 28178 / CGATS.17 ASCII [ISO28178]: header, data format, tables.
 *
 * Traps: ids may begin with digits or zeros and stay text; further tables follow after END_DATA,
 * with or without a file identifier of their own; a keyword may come more than once. */
#include <string.h>

#include "base/error.h"
#include "files/names.h"
#include "files/table_words.h"

/* --- Header --------------------------------------------------------------------------------- */

static bool is_name(fh_slice text)
{
    for (size_t i = 0; i < text.length; ++i) {
        char c = text.start[i];
        bool fine = (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ||
                    c == '_' || c == '-' || c == '.';
        if (!fine || (i == 0 && c < 'A')) return false;
    }
    return text.length > 0;
}

/* The rest of the line as a keyword's value: one word in quotes, or everything up to a comment. */
static fh_status read_value(fh_parser *p, fh_token *out)
{
    fh_cursor *c = &p->cursor;
    *out = (fh_token){.place = *c};
    if (!fh_find_word(c)) return FH_OK;
    fh_status status = fh_read_word(p, "", out);
    if (status) return status;
    while (fh_find_word(c)) {
        if (out->quoted)
            return fh_parser_fail(
                p, *c, "more text after a value in quotes; expected the end of the line");
        while (!fh_ends_word(c, "")) fh_cursor_step(c);
        out->text.length = (size_t)(c->at - out->text.start);
    }
    if (out->text.length > FH_TABLE_CELL)
        return fh_parser_fail(p, out->place, "a text of %zu bytes; expected at most %d",
                              out->text.length, (int)FH_TABLE_CELL);
    return FH_OK;
}

static fh_status read_count(fh_parser *p, const fh_token *name, long *out)
{
    fh_token value;
    fh_status status = read_value(p, &value);
    if (status) return status;
    if (!fh_parse_integer(value.text, out) || *out < 0)
        return fh_parser_fail(p, value.place, "%.*s is \"%.*s\"; expected a whole number",
                              (int)name->text.length, name->text.start,
                              (int)(value.text.length < 40 ? value.text.length : 40),
                              value.text.start);
    return FH_OK;
}

static bool may_repeat(const char *column)
{
    return !strcmp(column, "SPECTRAL_NM") || !strcmp(column, "SPECTRAL_PCT") ||
           !strcmp(column, "SPECTRAL_DEC");
}

static fh_status check_columns(fh_parser *p, fh_cursor place)
{
    fh_names names = fh_names_begin(true);
    fh_status status = FH_OK;
    for (size_t i = 0; i < p->table->column_count && !status; ++i) {
        const char *name = fh_table_column_name(p->table, i);
        bool twice = false;
        status = fh_names_add(&names, name, &twice);
        if (status) status = fh_fail(p->error, status, "out of memory");
        if (!status && twice && !may_repeat(name)) {
            fh_cell cell = p->table->columns[i];
            status = fh_fail_at(p->error, FH_E_DATA, cell.line, cell.column,
                                "column %s is there twice; expected each column once", name);
        }
    }
    fh_names_end(&names);
    if (!status && p->fields >= 0 && (size_t)p->fields != p->table->column_count)
        return fh_parser_fail(p, place, "NUMBER_OF_FIELDS says %ld, and %zu columns are named",
                              p->fields, p->table->column_count);
    return status;
}

static fh_status read_format(fh_parser *p, fh_cursor begin)
{
    if (p->formatted) return fh_parser_fail(p, begin, "a second BEGIN_DATA_FORMAT in one table");
    p->formatted = true;
    p->separator = 0;
    while (fh_find_word_below(&p->cursor)) {
        fh_token word;
        if (strchr(",;", *p->cursor.at)) {
            if (p->separator && p->separator != *p->cursor.at)
                return fh_parser_fail(p, p->cursor,
                                      "commas and semicolons in one list; expected one of them");
            p->separator = *p->cursor.at;
            fh_cursor_step(&p->cursor);
            continue;
        }
        fh_status status = fh_read_word(p, ",;", &word);
        if (status) return status;
        if (fh_slice_is(word.text, "END_DATA_FORMAT")) return check_columns(p, begin);
        if (word.text.length == 0) return fh_parser_fail(p, word.place, "a column without a name");
        if (fh_slice_is(word.text, "BEGIN_DATA"))
            return fh_parser_fail(p, word.place,
                                  "BEGIN_DATA inside the data format; expected END_DATA_FORMAT");
        fh_table_push_column(p->table, fh_keep_word(p, &word));
        if ((status = fh_parser_stuck(p, word.place))) return status;
    }
    return fh_parser_fail(p, begin,
                          "BEGIN_DATA_FORMAT without END_DATA_FORMAT; the file may be cut off");
}

/* --- Tables --------------------------------------------------------------------------------- */

static fh_status begin_table(fh_parser *p)
{
    fh_token word;
    p->table = fh_tables_add(p->tables);
    if (!p->table) return fh_parser_stuck(p, p->cursor);
    p->table->line = (uint32_t)p->cursor.line;
    p->formatted = false;
    p->fields = p->sets = -1;
    /* A lone word on the first line is the file identifier. */
    fh_cursor before = p->cursor;
    fh_status status = fh_read_word(p, "", &word);
    if (status) return status;
    bool letter = word.text.length && (unsigned char)*word.text.start >= 'A';
    if (letter && !fh_find_word(&p->cursor) && !fh_slice_is(word.text, "BEGIN_DATA_FORMAT") &&
        !fh_slice_is(word.text, "BEGIN_DATA"))
        p->table->type = fh_keep_word(p, &word);
    else
        p->cursor = before;
    return fh_parser_stuck(p, before);
}

static fh_status read_keyword(fh_parser *p, const fh_token *name)
{
    fh_token value;
    if (name->quoted || !is_name(name->text))
        return fh_parser_fail(p, name->place, "\"%.*s\"; expected a keyword, or BEGIN_DATA_FORMAT",
                              (int)(name->text.length < 40 ? name->text.length : 40),
                              name->text.start);
    if (name->text.length > 4 && !memcmp(name->text.start, "END_", 4))
        return fh_parser_fail(p, name->place, "%.*s without its beginning", (int)name->text.length,
                              name->text.start);
    fh_status status = read_value(p, &value);
    if (status) return status;
    if (fh_slice_is(name->text, "KEYWORD")) return FH_OK; /* the writer declares anew */
    fh_cell kept = fh_keep_word(p, name);
    fh_table_push_keyword(p->table, kept, fh_keep_word(p, &value));
    return fh_parser_stuck(p, name->place);
}

/* One line of the header, or a section; *done after END_DATA. */
static fh_status read_statement(fh_parser *p, bool *done)
{
    fh_token name;
    fh_status status = fh_read_word(p, "", &name);
    if (status) return status;
    if (fh_slice_is(name.text, "BEGIN_DATA_FORMAT")) return read_format(p, name.place);
    if (fh_slice_is(name.text, "BEGIN_DATA")) {
        *done = true;
        return fh_read_data(p, name.place);
    }
    if (fh_slice_is(name.text, "NUMBER_OF_FIELDS")) {
        status = read_count(p, &name, &p->fields);
        if (!status && p->formatted) status = check_columns(p, name.place);
        return status;
    }
    if (fh_slice_is(name.text, "NUMBER_OF_SETS")) {
        p->sets_place = name.place;
        return read_count(p, &name, &p->sets);
    }
    return read_keyword(p, &name);
}

static fh_status read_table(fh_parser *p)
{
    fh_cursor begin = p->cursor;
    bool done = false;
    fh_status status = begin_table(p);
    while (!status && !done) {
        if (!fh_find_word_below(&p->cursor))
            return fh_parser_fail(p, begin,
                                  "a table without BEGIN_DATA; expected BEGIN_DATA_FORMAT with the "
                                  "column names and BEGIN_DATA with the rows");
        status = read_statement(p, &done);
    }
    return status;
}

fh_status fh_tables_read(const char *text, size_t length, fh_tables **out, fh_error *error)
{
    fh_parser p = {.error = error};
    fh_slice body;
    fh_status status = fh_plain_text(text, length, &body, error);
    if (status) return status;
    p.tables = fh_tables_new();
    if (!p.tables) return fh_fail(error, FH_E_MEMORY, "out of memory");
    p.cursor = fh_cursor_of(body);
    if (!fh_find_word_below(&p.cursor))
        status = fh_parser_fail(&p, p.cursor, "no table; the file is empty");
    while (!status && fh_find_word_below(&p.cursor)) status = read_table(&p);
    if (status)
        fh_tables_free(p.tables);
    else
        *out = p.tables;
    return status;
}

bool fh_tables_recognise(const char *text, size_t length)
{
    fh_cursor c = fh_cursor_of((fh_slice){text, length});
    const size_t word = strlen("BEGIN_DATA");
    while (!fh_cursor_done(&c)) {
        fh_cursor_skip_blanks(&c);
        if ((size_t)(c.end - c.at) >= word && !memcmp(c.at, "BEGIN_DATA", word)) return true;
        fh_skip_comment(&c);
        if (!fh_cursor_done(&c)) fh_cursor_next_line(&c);
    }
    return false;
}
