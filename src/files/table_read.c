/* Reading table text, ISO 28178 / CGATS.17 ASCII [ISO28178].
 *
 * Traps: ids may begin with digits or zeros and stay text; a row may go on over several lines, so
 * a row is complete when it has all its values at the end of a line; further tables follow after
 * END_DATA, with or without a file identifier of their own; a keyword may come more than once. */
#include <string.h>

#include "base/error.h"
#include "files/names.h"
#include "files/plain.h"
#include "files/table.h"

typedef struct parser {
    fh_tables *tables;
    fh_table *table;
    fh_cursor cursor;
    fh_error *error;
    char separator;       /* ',' or ';' as in the data format, 0 for blanks */
    bool formatted;       /* BEGIN_DATA_FORMAT was seen */
    long fields, sets;    /* NUMBER_OF_…, -1 when not given */
    fh_cursor sets_place; /* of NUMBER_OF_SETS */
} parser;

/* A word of the file, in quotes or not. */
typedef struct token {
    fh_slice text;
    fh_cursor place;
    bool quoted, doubled; /* doubled: two quotes stand for one */
} token;

static fh_status fail(parser *p, fh_cursor place, const char *format, ...) FH_PRINTF(3, 4);

static fh_status fail(parser *p, fh_cursor place, const char *format, ...)
{
    char message[FH_ERROR_MESSAGE];
    va_list arguments;
    va_start(arguments, format);
    fh_format_list(message, sizeof message, format, arguments);
    va_end(arguments);
    return fh_fail_at(p->error, FH_E_DATA, place.line, place.column, "%s", message);
}

/* What sticks to the list, as an error of this place. */
static fh_status check_stuck(parser *p, fh_cursor place)
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

/* --- Words ---------------------------------------------------------------------------------- */

static void skip_comment(fh_cursor *c)
{
    while (!fh_cursor_done(c) && !fh_cursor_line_end(c)) fh_cursor_step(c);
}

/* To the next word of this line; false at its end (a comment ends it too). */
static bool find_word(fh_cursor *c)
{
    fh_cursor_skip_blanks(c);
    if (!fh_cursor_done(c) && *c->at == '#') skip_comment(c);
    return !fh_cursor_done(c) && !fh_cursor_line_end(c);
}

/* To the next word of the file; false at its end. */
static bool find_word_below(fh_cursor *c)
{
    while (!find_word(c)) {
        if (fh_cursor_done(c)) return false;
        fh_cursor_next_line(c);
    }
    return true;
}

static bool ends_word(const fh_cursor *c, const char *separators)
{
    return fh_cursor_done(c) || fh_cursor_line_end(c) || *c->at == ' ' || *c->at == '\t' ||
           (*c->at && strchr(separators, *c->at));
}

static fh_status read_quoted(parser *p, const char *separators, token *out)
{
    fh_cursor *c = &p->cursor;
    *out = (token){.place = *c, .quoted = true};
    fh_cursor_step(c);
    out->text.start = c->at;
    for (;; fh_cursor_step(c)) {
        if (fh_cursor_done(c) || fh_cursor_line_end(c))
            return fail(p, out->place,
                        "a quote that is not closed on its line; expected another \"");
        if (*c->at != '"') continue;
        bool another = c->at + 1 < c->end && c->at[1] == '"';
        if (!another) break;
        out->doubled = true;
        fh_cursor_step(c);
    }
    out->text.length = (size_t)(c->at - out->text.start);
    fh_cursor_step(c);
    if (!ends_word(c, separators))
        return fail(p, *c,
                    "text right after a closing quote; expected a blank, or two quotes for a "
                    "quote inside the text");
    return FH_OK;
}

/* The word at the cursor. In a list with a separator of its own, unquoted words may hold
 * blanks, and end before the separator. */
static fh_status read_word(parser *p, const char *separators, token *out)
{
    fh_cursor *c = &p->cursor;
    if (*c->at == '"') {
        fh_status status = read_quoted(p, separators, out);
        if (status) return status;
    } else {
        *out = (token){.place = *c, .text.start = c->at};
        while (!ends_word(c, separators)) fh_cursor_step(c);
        out->text.length = (size_t)(c->at - out->text.start);
    }
    if (out->text.length > FH_TABLE_CELL)
        return fail(p, out->place, "a text of %zu bytes; expected at most %d", out->text.length,
                    (int)FH_TABLE_CELL);
    return FH_OK;
}

/* Into the pool; two quotes become one. */
static fh_cell keep(parser *p, const token *word)
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
static fh_status read_value(parser *p, token *out)
{
    fh_cursor *c = &p->cursor;
    *out = (token){.place = *c};
    if (!find_word(c)) return FH_OK;
    fh_status status = read_word(p, "", out);
    if (status) return status;
    while (find_word(c)) {
        if (out->quoted)
            return fail(p, *c, "more text after a value in quotes; expected the end of the line");
        while (!ends_word(c, "")) fh_cursor_step(c);
        out->text.length = (size_t)(c->at - out->text.start);
    }
    if (out->text.length > FH_TABLE_CELL)
        return fail(p, out->place, "a text of %zu bytes; expected at most %d", out->text.length,
                    (int)FH_TABLE_CELL);
    return FH_OK;
}

static fh_status read_count(parser *p, const token *name, long *out)
{
    token value;
    fh_status status = read_value(p, &value);
    if (status) return status;
    if (!fh_parse_integer(value.text, out) || *out < 0)
        return fail(p, value.place, "%.*s is \"%.*s\"; expected a whole number",
                    (int)name->text.length, name->text.start,
                    (int)(value.text.length < 40 ? value.text.length : 40), value.text.start);
    return FH_OK;
}

static bool may_repeat(const char *column)
{
    return !strcmp(column, "SPECTRAL_NM") || !strcmp(column, "SPECTRAL_PCT") ||
           !strcmp(column, "SPECTRAL_DEC");
}

static fh_status check_columns(parser *p, fh_cursor place)
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
        return fail(p, place, "NUMBER_OF_FIELDS says %ld, and %zu columns are named", p->fields,
                    p->table->column_count);
    return status;
}

static fh_status read_format(parser *p, fh_cursor begin)
{
    if (p->formatted) return fail(p, begin, "a second BEGIN_DATA_FORMAT in one table");
    p->formatted = true;
    p->separator = 0;
    while (find_word_below(&p->cursor)) {
        token word;
        if (strchr(",;", *p->cursor.at)) {
            if (p->separator && p->separator != *p->cursor.at)
                return fail(p, p->cursor,
                            "commas and semicolons in one list; expected one of them");
            p->separator = *p->cursor.at;
            fh_cursor_step(&p->cursor);
            continue;
        }
        fh_status status = read_word(p, ",;", &word);
        if (status) return status;
        if (fh_slice_is(word.text, "END_DATA_FORMAT")) return check_columns(p, begin);
        if (word.text.length == 0) return fail(p, word.place, "a column without a name");
        if (fh_slice_is(word.text, "BEGIN_DATA"))
            return fail(p, word.place,
                        "BEGIN_DATA inside the data format; expected END_DATA_FORMAT");
        fh_table_push_column(p->table, keep(p, &word));
        if ((status = check_stuck(p, word.place))) return status;
    }
    return fail(p, begin, "BEGIN_DATA_FORMAT without END_DATA_FORMAT; the file may be cut off");
}

/* --- Data ----------------------------------------------------------------------------------- */

static fh_status short_row(parser *p, fh_cursor place, size_t found)
{
    size_t wanted = p->table->column_count;
    return fail(p, place, "a row of %zu value%s; expected %zu, one a column", found,
                found == 1 ? "" : "s", wanted);
}

static fh_status push(parser *p, const token *word)
{
    fh_table_push_cell(p->table, keep(p, word));
    return check_stuck(p, word->place);
}

/* How many words are left on this line, the one at the cursor included; for messages. */
static size_t words_left(parser p)
{
    size_t n = 0;
    token word;
    p.error = NULL;
    while (find_word(&p.cursor) && read_word(&p, "", &word) == FH_OK) ++n;
    return n;
}

/* One line of values between blanks; *filled is how many the row at *start has so far. */
static fh_status read_blank_line(parser *p, fh_cursor *start, size_t *filled)
{
    size_t on_line = 0;
    bool fresh = *filled == 0;
    while (find_word(&p->cursor)) {
        token word;
        if (*filled == p->table->column_count)
            return fresh ? short_row(p, *start, on_line + words_left(*p))
                         : short_row(p, *start, *filled - on_line);
        fh_status status = read_word(p, "", &word);
        if (status) return status;
        if (*filled == 0) *start = word.place;
        if ((status = push(p, &word))) return status;
        ++*filled;
        ++on_line;
    }
    return FH_OK;
}

/* One value of a line with separators; blanks around it do not count. */
static fh_status read_field(parser *p, const char *separators, token *out)
{
    fh_cursor *c = &p->cursor;
    fh_cursor_skip_blanks(c);
    if (!fh_cursor_done(c) && *c->at == '"') return read_word(p, separators, out);
    *out = (token){.place = *c, .text.start = c->at};
    while (!fh_cursor_done(c) && !fh_cursor_line_end(c) && !strchr(separators, *c->at))
        fh_cursor_step(c);
    out->text = fh_slice_trim((fh_slice){out->text.start, (size_t)(c->at - out->text.start)});
    if (out->text.length > FH_TABLE_CELL)
        return fail(p, out->place, "a text of %zu bytes; expected at most %d", out->text.length,
                    (int)FH_TABLE_CELL);
    return FH_OK;
}

static fh_status read_separated_line(parser *p, fh_cursor *start, size_t *filled)
{
    const char separators[2] = {p->separator, 0};
    *start = p->cursor;
    for (*filled = 0;;) {
        token word;
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

static bool at_end_of_data(const parser *p)
{
    parser look = *p;
    token word;
    look.error = NULL;
    return read_word(&look, "", &word) == FH_OK && !word.quoted &&
           fh_slice_is(word.text, "END_DATA");
}

static fh_status read_data(parser *p, fh_cursor begin)
{
    fh_cursor start = begin;
    size_t filled = 0;
    if (!p->formatted) return fail(p, begin, "BEGIN_DATA without BEGIN_DATA_FORMAT before it");
    while (find_word_below(&p->cursor)) {
        if (at_end_of_data(p)) {
            if (filled) return short_row(p, start, filled);
            p->cursor.at += strlen("END_DATA");
            if (p->sets >= 0 && (size_t)p->sets != p->table->row_count)
                return fail(p, p->sets_place, "NUMBER_OF_SETS says %ld, and the table has %zu rows",
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
    return fail(p, begin, "BEGIN_DATA without END_DATA; the file may be cut off after row %zu",
                p->table->row_count);
}

/* --- Tables --------------------------------------------------------------------------------- */

static fh_status begin_table(parser *p)
{
    token word;
    p->table = fh_tables_add(p->tables);
    if (!p->table) return check_stuck(p, p->cursor);
    p->table->line = (uint32_t)p->cursor.line;
    p->formatted = false;
    p->fields = p->sets = -1;
    /* A lone word on the first line is the file identifier. */
    fh_cursor before = p->cursor;
    fh_status status = read_word(p, "", &word);
    if (status) return status;
    bool letter = word.text.length && (unsigned char)*word.text.start >= 'A';
    if (letter && !find_word(&p->cursor) && !fh_slice_is(word.text, "BEGIN_DATA_FORMAT") &&
        !fh_slice_is(word.text, "BEGIN_DATA"))
        p->table->type = keep(p, &word);
    else
        p->cursor = before;
    return check_stuck(p, before);
}

static fh_status read_keyword(parser *p, const token *name)
{
    token value;
    if (name->quoted || !is_name(name->text))
        return fail(p, name->place, "\"%.*s\"; expected a keyword, or BEGIN_DATA_FORMAT",
                    (int)(name->text.length < 40 ? name->text.length : 40), name->text.start);
    if (name->text.length > 4 && !memcmp(name->text.start, "END_", 4))
        return fail(p, name->place, "%.*s without its beginning", (int)name->text.length,
                    name->text.start);
    fh_status status = read_value(p, &value);
    if (status) return status;
    if (fh_slice_is(name->text, "KEYWORD")) return FH_OK; /* the writer declares anew */
    fh_cell kept = keep(p, name);
    fh_table_push_keyword(p->table, kept, keep(p, &value));
    return check_stuck(p, name->place);
}

/* One line of the header, or a section; *done after END_DATA. */
static fh_status read_statement(parser *p, bool *done)
{
    token name;
    fh_status status = read_word(p, "", &name);
    if (status) return status;
    if (fh_slice_is(name.text, "BEGIN_DATA_FORMAT")) return read_format(p, name.place);
    if (fh_slice_is(name.text, "BEGIN_DATA")) {
        *done = true;
        return read_data(p, name.place);
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

static fh_status read_table(parser *p)
{
    fh_cursor begin = p->cursor;
    bool done = false;
    fh_status status = begin_table(p);
    while (!status && !done) {
        if (!find_word_below(&p->cursor))
            return fail(p, begin,
                        "a table without BEGIN_DATA; expected BEGIN_DATA_FORMAT with the "
                        "column names and BEGIN_DATA with the rows");
        status = read_statement(p, &done);
    }
    return status;
}

fh_status fh_tables_read(const char *text, size_t length, fh_tables **out, fh_error *error)
{
    parser p = {.error = error};
    fh_slice body;
    fh_status status = fh_plain_text(text, length, &body, error);
    if (status) return status;
    p.tables = fh_tables_new();
    if (!p.tables) return fh_fail(error, FH_E_MEMORY, "out of memory");
    p.cursor = fh_cursor_of(body);
    if (!find_word_below(&p.cursor)) status = fail(&p, p.cursor, "no table; the file is empty");
    while (!status && find_word_below(&p.cursor)) status = read_table(&p);
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
        skip_comment(&c);
        if (!fh_cursor_done(&c)) fh_cursor_next_line(&c);
    }
    return false;
}
