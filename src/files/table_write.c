/* Writing tables: table text and CSV. */
#include <string.h>

#include "base/memory.h"
#include "files/table.h"

bool fh_table_standard_keyword(const char *name)
{
    static const char *const standard[] = {"ORIGINATOR",
                                           "DESCRIPTOR",
                                           "FILE_DESCRIPTOR",
                                           "TABLE_DESCRIPTOR",
                                           "TABLE_NAME",
                                           "CREATED",
                                           "MANUFACTURER",
                                           "MANUFACTURE",
                                           "PROD_DATE",
                                           "SERIAL",
                                           "MATERIAL",
                                           "INSTRUMENTATION",
                                           "MEASUREMENT_SOURCE",
                                           "MEASUREMENT_GEOMETRY",
                                           "DIFFUSE_GEOMETRY",
                                           "FILTER",
                                           "POLARIZATION",
                                           "PRINT_CONDITIONS",
                                           "SAMPLE_BACKING",
                                           "WEIGHTING_FUNCTION",
                                           "COMPUTATIONAL_PARAMETER",
                                           "TARGET_TYPE",
                                           "COLORANT",
                                           "CHISQ_DOF"};
    for (size_t i = 0; i < sizeof standard / sizeof *standard; ++i)
        if (strcmp(name, standard[i]) == 0) return true;
    return false;
}

/* Text between two marks, each mark inside it doubled. */
static void put_quoted(fh_buffer *out, const char *text)
{
    fh_buffer_text(out, "\"");
    for (const char *quote; (quote = strchr(text, '"')); text = quote + 1) {
        fh_buffer_add(out, (fh_slice){text, (size_t)(quote - text) + 1});
        fh_buffer_text(out, "\"");
    }
    fh_buffer_text(out, text);
    fh_buffer_text(out, "\"");
}

/* A word that any reader of the format takes as it is: letters first, then letters and digits. */
static bool is_plain_word(const char *text)
{
    const char *c = text;
    for (; *c; ++c) {
        bool letter = (*c >= 'A' && *c <= 'Z') || (*c >= 'a' && *c <= 'z') || *c == '_';
        bool other = (*c >= '0' && *c <= '9') || *c == '.' || *c == '-' || *c == '/';
        if (!letter && (c == text || !other)) return false;
    }
    return c > text;
}

/* A word that would end or begin a part of the table where it stands bare. */
static bool is_boundary(const char *text)
{
    static const char *const words[] = {"BEGIN_DATA", "END_DATA", "BEGIN_DATA_FORMAT",
                                        "END_DATA_FORMAT"};
    for (size_t i = 0; i < sizeof words / sizeof *words; ++i)
        if (fh_slice_is_fold(fh_slice_of(text), words[i])) return true;
    return false;
}

static void put_value(fh_buffer *out, const char *text, bool quoted)
{
    double number;
    quoted = quoted || is_boundary(text);
    if (!quoted && (is_plain_word(text) || fh_parse_number(fh_slice_of(text), &number)))
        fh_buffer_text(out, text);
    else
        put_quoted(out, text);
}

static void put_header(fh_buffer *out, const fh_table *table, bool first)
{
    const char *type = fh_table_type(table);
    if (*type || first) {
        fh_buffer_text(out, *type ? type : "CGATS.17");
        fh_buffer_text(out, "\n");
    }
    for (size_t i = 0; i < table->keyword_count; ++i) {
        const char *name = fh_table_keyword_name(table, i);
        bool declared = fh_table_standard_keyword(name);
        for (size_t k = 0; k < i && !declared; ++k)
            declared = strcmp(fh_table_keyword_name(table, k), name) == 0;
        if (!declared) {
            fh_buffer_text(out, "KEYWORD ");
            put_quoted(out, name);
            fh_buffer_text(out, "\n");
        }
        fh_buffer_text(out, name);
        fh_buffer_text(out, " ");
        put_value(out, fh_table_keyword_value(table, i), table->keywords[i].value.quoted);
        fh_buffer_text(out, "\n");
    }
}

static void put_data(fh_buffer *out, const fh_table *table)
{
    fh_buffer_format(out, "NUMBER_OF_FIELDS %zu\nBEGIN_DATA_FORMAT\n", table->column_count);
    for (size_t i = 0; i < table->column_count; ++i) {
        if (i) fh_buffer_text(out, "\t");
        put_value(out, fh_table_column_name(table, i), false);
    }
    fh_buffer_format(out, "%sEND_DATA_FORMAT\nNUMBER_OF_SETS %zu\nBEGIN_DATA\n",
                     table->column_count ? "\n" : "", table->row_count);
    for (size_t row = 0; row < table->row_count; ++row) {
        for (size_t i = 0; i < table->column_count; ++i) {
            if (i) fh_buffer_text(out, "\t");
            put_value(out, fh_table_text(table, row, i),
                      table->cells[row * table->column_count + i].quoted);
        }
        fh_buffer_text(out, "\n");
    }
    fh_buffer_text(out, "END_DATA\n");
}

static fh_status finish(fh_buffer *buffer, fh_text *out)
{
    if (buffer->failed || !buffer->text) {
        fh_buffer_free(buffer);
        return FH_E_MEMORY;
    }
    *out = (fh_text){buffer->text, buffer->length, buffer->capacity};
    return FH_OK;
}

static bool is_line(const char *text)
{
    return fh_utf8_is_line(fh_slice_of(text));
}

/* Whether table text can hold what the table holds: it has no way to write a line break, readers
 * refuse what controls a terminal, and a column cannot be called what ends the columns' names. */
static bool is_writable(const fh_table *table)
{
    for (size_t i = 0; i < table->keyword_count; ++i)
        if (!is_line(fh_table_keyword_value(table, i))) return false;
    for (size_t i = 0; i < table->column_count; ++i)
        if (!is_line(fh_table_column_name(table, i)) || is_boundary(fh_table_column_name(table, i)))
            return false;
    for (size_t row = 0; row < table->row_count; ++row)
        for (size_t i = 0; i < table->column_count; ++i)
            if (!is_line(fh_table_text(table, row, i))) return false;
    return true;
}

fh_status fh_tables_write(const fh_tables *tables, fh_text *out)
{
    fh_buffer buffer = {0};
    if (tables->failed) return tables->failed;
    for (size_t i = 0; i < tables->count; ++i)
        if (!is_writable(tables->items[i])) return FH_E_DATA;
    fh_buffer_text(&buffer, "");
    for (size_t i = 0; i < tables->count; ++i) {
        if (i) fh_buffer_text(&buffer, "\n");
        put_header(&buffer, tables->items[i], i == 0);
        put_data(&buffer, tables->items[i]);
    }
    return finish(&buffer, out);
}

static void put_csv(fh_buffer *out, const char *text, bool quoted)
{
    bool number_like = *text && strspn(text, "0123456789+-.eE") == strlen(text);
    size_t length = strlen(text);
    bool edges = length && (text[0] == ' ' || text[length - 1] == ' ' || text[0] == '#' ||
                            strncmp(text, "BEGIN_DATA", 10) == 0);
    if (strpbrk(text, ",;\"\t\r\n") || edges || (quoted && number_like))
        put_quoted(out, text);
    else
        fh_buffer_text(out, text);
}

fh_status fh_csv_write(const fh_table *table, fh_text *out)
{
    fh_buffer buffer = {0};
    if (table->list->failed) return table->list->failed;
    for (size_t i = 0; i < table->column_count; ++i) {
        if (i) fh_buffer_text(&buffer, ",");
        put_csv(&buffer, fh_table_column_name(table, i), false);
    }
    fh_buffer_text(&buffer, "\n");
    for (size_t row = 0; row < table->row_count; ++row) {
        for (size_t i = 0; i < table->column_count; ++i) {
            if (i) fh_buffer_text(&buffer, ",");
            put_csv(&buffer, fh_table_text(table, row, i),
                    table->cells[row * table->column_count + i].quoted);
        }
        fh_buffer_text(&buffer, "\n");
    }
    return finish(&buffer, out);
}
