/* Reading CSV: RFC 4180, with the separator that the header row has, and comment lines before it.
 *
 * Traps: a spreadsheet in a language with decimal commas writes semicolons; a quoted field may
 * hold line ends; a trailing empty line is no row. */
#include <string.h>

#include "base/error.h"
#include "files/names.h"
#include "files/plain.h"
#include "files/table.h"

typedef struct reader {
    fh_tables *tables;
    fh_table *table;
    fh_cursor cursor;
    fh_error *error;
    char separator;
} reader;

static fh_status fail(reader *r, fh_cursor place, const char *message)
{
    return fh_fail_at(r->error, FH_E_DATA, place.line, place.column, "%s", message);
}

static fh_status check_stuck(reader *r, fh_cursor place)
{
    fh_status status = r->tables->failed;
    if (status == FH_E_LIMIT)
        return fh_fail_at(r->error, status, place.line, place.column,
                          "more than can be read here; at most %d columns, %d values, %d bytes a "
                          "value",
                          (int)FH_TABLE_COLUMNS, (int)FH_TABLE_CELLS, (int)FH_TABLE_CELL);
    if (status) return fh_fail(r->error, status, "out of memory");
    return FH_OK;
}

static void step(fh_cursor *c)
{
    if (fh_cursor_line_end(c))
        fh_cursor_next_line(c);
    else
        fh_cursor_step(c);
}

/* Past empty lines and, before the header, comments; false at the end of the file. */
static bool find_line(fh_cursor *c, bool comments)
{
    while (!fh_cursor_done(c)) {
        fh_cursor look = *c;
        fh_cursor_skip_blanks(&look);
        bool comment = comments && !fh_cursor_done(&look) && *look.at == '#';
        if (comment)
            while (!fh_cursor_done(&look) && !fh_cursor_line_end(&look)) fh_cursor_step(&look);
        if (fh_cursor_done(&look)) {
            *c = look;
            return false;
        }
        if (!fh_cursor_line_end(&look)) return true;
        *c = look;
        fh_cursor_next_line(c);
    }
    return false;
}

/* The separator of the header row: the first of tab, semicolon, comma that it has outside quotes.
 */
static char find_separator(fh_cursor c)
{
    bool quoted = false, tab = false, semicolon = false;
    for (; !fh_cursor_done(&c) && (quoted || !fh_cursor_line_end(&c)); step(&c)) {
        if (*c.at == '"') quoted = !quoted;
        tab = tab || (!quoted && *c.at == '\t');
        semicolon = semicolon || (!quoted && *c.at == ';');
    }
    return tab ? '\t' : semicolon ? ';' : ',';
}

static void skip_blanks(reader *r)
{
    fh_cursor *c = &r->cursor;
    while (!fh_cursor_done(c) && (*c->at == ' ' || (*c->at == '\t' && r->separator != '\t')))
        fh_cursor_step(c);
}

static bool ends_field(const reader *r)
{
    const fh_cursor *c = &r->cursor;
    return fh_cursor_done(c) || fh_cursor_line_end(c) || *c->at == r->separator;
}

/* A quoted field; its doubled quotes become single ones in the pool. */
static fh_status read_quoted(reader *r, fh_cell *out)
{
    fh_cursor begin = r->cursor, *c = &r->cursor;
    bool doubled = false;
    fh_cursor_step(c);
    const char *start = c->at;
    for (;; step(c)) {
        if (fh_cursor_done(c))
            return fail(r, begin,
                        "a quote that is not closed; expected another \" before the end "
                        "of the file");
        if (*c->at != '"') continue;
        if (c->at + 1 == c->end || c->at[1] != '"') break;
        doubled = true;
        fh_cursor_step(c);
    }
    *out = fh_tables_keep(r->tables, (fh_slice){start, (size_t)(c->at - start)},
                          (uint32_t)begin.line, (uint32_t)begin.column, true);
    fh_cursor_step(c);
    skip_blanks(r);
    if (!ends_field(r))
        return fail(r, *c,
                    "text right after a closing quote; expected the separator, or two quotes "
                    "for a quote inside the text");
    if (!doubled || r->tables->failed) return FH_OK;
    char *from = r->tables->pool + out->at, *to = from;
    for (; *from; ++from) {
        *to++ = *from;
        if (*from == '"') ++from;
    }
    *to = '\0';
    return FH_OK;
}

static fh_status read_field(reader *r, fh_cell *out)
{
    skip_blanks(r);
    fh_cursor begin = r->cursor;
    if (!fh_cursor_done(&r->cursor) && *r->cursor.at == '"') {
        fh_status status = read_quoted(r, out);
        return status ? status : check_stuck(r, begin);
    }
    while (!ends_field(r)) fh_cursor_step(&r->cursor);
    fh_slice text = {begin.at, (size_t)(r->cursor.at - begin.at)};
    *out = fh_tables_keep(r->tables, fh_slice_trim(text), (uint32_t)begin.line,
                          (uint32_t)begin.column, false);
    return check_stuck(r, begin);
}

/* After a field: true when another follows on this line; past the line end otherwise. */
static bool another_field(reader *r)
{
    if (fh_cursor_done(&r->cursor)) return false;
    if (*r->cursor.at == r->separator) {
        fh_cursor_step(&r->cursor);
        return true;
    }
    fh_cursor_next_line(&r->cursor);
    return false;
}

static fh_status read_header(reader *r)
{
    fh_names names = fh_names_begin(true);
    fh_status status;
    do {
        fh_cell cell = {0};
        status = read_field(r, &cell);
        if (!status) {
            fh_table_push_column(r->table, cell);
            status = check_stuck(r, r->cursor);
        }
        if (!status && cell.at == 0)
            status = fh_fail_at(r->error, FH_E_DATA, cell.line, cell.column,
                                "a column without a name; expected a header row with column names");
    } while (!status && another_field(r));
    for (size_t i = 0; !status && i < r->table->column_count; ++i) {
        bool twice = false;
        fh_cell cell = r->table->columns[i];
        status = fh_names_add(&names, fh_tables_text(r->tables, cell), &twice);
        if (!status && twice)
            status = fh_fail_at(r->error, FH_E_DATA, cell.line, cell.column,
                                "column %s is there twice; expected each column once",
                                fh_tables_text(r->tables, cell));
    }
    fh_names_end(&names);
    return status;
}

static fh_status read_row(reader *r)
{
    fh_cursor begin = r->cursor;
    size_t count = 0, wanted = r->table->column_count;
    do {
        fh_cell cell = {0};
        fh_status status = read_field(r, &cell);
        if (!status) {
            fh_table_push_cell(r->table, cell);
            status = check_stuck(r, begin);
        }
        if (status) return status;
        ++count;
    } while (another_field(r));
    if (count == wanted) {
        ++r->table->row_count;
        return FH_OK;
    }
    return fh_fail_at(
        r->error, FH_E_DATA, begin.line, 0, "a row of %zu value%s; expected %zu, one a column%s",
        count, count == 1 ? "" : "s", wanted,
        count > wanted && r->separator == ',' ? " (decimal commas? write decimal points)" : "");
}

static fh_status read_all(reader *r)
{
    if (!find_line(&r->cursor, true))
        return fail(r, r->cursor, "no table; expected a header row with column names");
    r->separator = find_separator(r->cursor);
    r->table = fh_tables_add(r->tables);
    if (!r->table) return check_stuck(r, r->cursor);
    r->table->line = (uint32_t)r->cursor.line;
    fh_status status = read_header(r);
    while (!status && find_line(&r->cursor, false)) status = read_row(r);
    return status;
}

fh_status fh_csv_read(const char *text, size_t length, fh_tables **out, fh_error *error)
{
    reader r = {.error = error};
    fh_slice body;
    fh_status status = fh_plain_text(text, length, &body, error);
    if (status) return status;
    r.tables = fh_tables_new();
    if (!r.tables) return fh_fail(error, FH_E_MEMORY, "out of memory");
    r.cursor = fh_cursor_of(body);
    status = read_all(&r);
    if (status)
        fh_tables_free(r.tables);
    else
        *out = r.tables;
    return status;
}
