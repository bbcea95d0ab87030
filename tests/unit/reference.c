#include "reference.h"

#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- Finding and reading the file ------------------------------------------------------------ */

static FILE *open_in(const char *folder, const char *name)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return fopen(path, "rb");
}

static FILE *find(const char *name)
{
    FILE *file = open_in("tests/data", name);
    const char *folder = getenv("FARHUE_REFERENCE");
    if (!file) file = open_in(folder && *folder ? folder : "../shared/reference", name);
    return file;
}

static char *read_all(FILE *file)
{
    size_t length = 0, room = 1 << 16;
    char *text = malloc(room + 1);
    assert_non_null(text);
    for (;;) {
        length += fread(text + length, 1, room - length, file);
        if (length < room) break;
        room *= 2;
        text = realloc(text, room + 1);
        assert_non_null(text);
    }
    fclose(file);
    text[length] = '\0';
    return text;
}

/* --- Splitting into fields ------------------------------------------------------------------- */

/* Cuts one field off *at, in place, and moves *at past its separator. Returns the separator: ','
   or '\n' (also at the end of the text). */
static char cut_field(char **at, const char **field)
{
    char *from = *at, *to = *at;
    *field = to;
    if (*from == '"') {
        from++;
        while (*from && !(from[0] == '"' && from[1] != '"')) {
            if (*from == '"') from++;
            *to++ = *from++;
        }
        if (*from == '"') from++;
    } else {
        while (*from && *from != ',' && *from != '\n') *to++ = *from++;
    }
    if (*from == '\r') from++;
    char separator = *from == ',' ? ',' : '\n';
    *at = *from ? from + 1 : from;
    if (to > *field && to[-1] == '\r') to--;
    *to = '\0';
    return separator;
}

static char *skip_comments(char *at)
{
    while (*at == '#' || *at == '\n' || *at == '\r') {
        if (*at != '#') {
            at++;
            continue;
        }
        at += strcspn(at, "\n");
    }
    return at;
}

static void split(reference *table)
{
    size_t room = 1024, count = 0;
    table->fields = malloc(room * sizeof *table->fields);
    assert_non_null(table->fields);
    for (char *at = skip_comments(table->text); *at; at = skip_comments(at)) {
        size_t start = count;
        char separator;
        do {
            if (count == room) {
                room *= 2;
                const char **more = realloc(table->fields, room * sizeof *more);
                assert_non_null(more);
                table->fields = more;
            }
            separator = cut_field(&at, &table->fields[count++]);
        } while (separator == ',');
        if (table->columns == 0) table->columns = count;
        if (count - start != table->columns)
            fail_msg("%s: data row %zu has %zu fields, expected %zu", table->name,
                     start / table->columns, count - start, table->columns);
    }
    if (table->columns == 0) fail_msg("%s: empty", table->name);
    table->rows = count / table->columns - 1;
}

/* The tables in use. A test that loads two and is skipped at the second never frees the first. */
enum { MOST_OPEN = 32 };
static reference in_use[MOST_OPEN];

static void remember(const reference *table)
{
    for (size_t i = 0; i < MOST_OPEN; i++) {
        if (in_use[i].text) continue;
        in_use[i] = *table;
        return;
    }
    fail_msg("%s: more than %d reference tables in use", table->name, MOST_OPEN);
}

static void forget(const char *text)
{
    for (size_t i = 0; i < MOST_OPEN; i++)
        if (in_use[i].text == text) in_use[i] = (reference){0};
}

static void skip_for_want_of(const char *name)
{
    for (size_t i = 0; i < MOST_OPEN; i++) {
        free(in_use[i].fields);
        free(in_use[i].text);
        in_use[i] = (reference){0};
    }
    print_message("# skipped: %s is not here; FARHUE_REFERENCE names its folder\n", name);
    skip();
}

reference reference_load(const char *name)
{
    reference table = {.name = name};
    FILE *file = find(name);
    if (!file) skip_for_want_of(name);
    table.text = read_all(file);
    split(&table);
    remember(&table);
    return table;
}

void reference_free(reference *table)
{
    if (table->text) forget(table->text);
    free(table->fields);
    free(table->text);
    *table = (reference){.name = table->name};
}

/* --- Fields ---------------------------------------------------------------------------------- */

size_t reference_column(const reference *table, const char *column)
{
    for (size_t i = 0; i < table->columns; i++)
        if (strcmp(table->fields[i], column) == 0) return i;
    fail_msg("%s: no column %s", table->name, column);
    return 0;
}

const char *reference_text_at(const reference *table, size_t row, size_t column)
{
    if (row >= table->rows || column >= table->columns)
        fail_msg("%s: no row %zu, column %zu", table->name, row, column);
    return table->fields[(row + 1) * table->columns + column];
}

double reference_number_at(const reference *table, size_t row, size_t column)
{
    const char *text = reference_text_at(table, row, column);
    char *end = NULL;
    double value = strtod(text, &end);
    if (end == text || *end != '\0')
        fail_msg("%s: data row %zu, column %s: '%s' is not a number", table->name, row + 1,
                 table->fields[column], text);
    return value;
}

const char *reference_text(const reference *table, size_t row, const char *column)
{
    return reference_text_at(table, row, reference_column(table, column));
}

double reference_number(const reference *table, size_t row, const char *column)
{
    return reference_number_at(table, row, reference_column(table, column));
}

int reference_has(const reference *table, size_t row, const char *column)
{
    return *reference_text(table, row, column) != '\0';
}

size_t reference_row(const reference *table, const char *column, const char *value)
{
    size_t index = reference_column(table, column);
    for (size_t row = 0; row < table->rows; row++)
        if (strcmp(reference_text_at(table, row, index), value) == 0) return row;
    fail_msg("%s: no row whose %s is %s", table->name, column, value);
    return 0;
}
