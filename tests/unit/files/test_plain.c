/* Every reader of text refuses what could control a terminal or pass one name off as another, with
 * line and column, wherever in the file it stands. */
#include "check.h"

#include <stdio.h>
#include <string.h>

#include "files/plain.h"
#include "farhue/chart_file.h"
#include "farhue/job.h"
#include "farhue/library.h"
#include "farhue/paints.h"
#include "farhue/spec_file.h"
#include "farhue/tie_file.h"

/* --- The readers ---------------------------------------------------------------------------- */

typedef fh_status (*reader)(const char *text, size_t length, fh_error *error);

static fh_status read_tables(const char *text, size_t length, fh_error *error)
{
    fh_tables *tables = NULL;
    fh_status status = fh_tables_read(text, length, &tables, error);
    fh_tables_free(tables);
    return status;
}

static fh_status read_csv(const char *text, size_t length, fh_error *error)
{
    fh_tables *tables = NULL;
    fh_status status = fh_csv_read(text, length, &tables, error);
    fh_tables_free(tables);
    return status;
}

static fh_status read_library(const char *text, size_t length, fh_error *error)
{
    fh_library library = {0};
    fh_status status = fh_library_read(text, length, NULL, &library, error);
    fh_library_free(&library);
    return status;
}

static fh_status read_chart(const char *text, size_t length, fh_error *error)
{
    fh_chart *chart = NULL;
    fh_status status = fh_chart_read(text, length, &chart, error);
    fh_chart_free(chart);
    return status;
}

static fh_status read_spec(const char *text, size_t length, fh_error *error)
{
    fh_spec *spec = NULL;
    fh_status status = fh_spec_read(text, length, &spec, NULL, error);
    fh_spec_free(spec);
    return status;
}

static fh_status read_reply(const char *text, size_t length, fh_error *error)
{
    fh_reply *reply = NULL;
    fh_status status = fh_reply_read(text, length, &reply, error);
    fh_reply_free(reply);
    return status;
}

static fh_status read_tie(const char *text, size_t length, fh_error *error)
{
    fh_tie tie;
    return fh_tie_read(text, length, &tie, error);
}

static fh_status read_paints(const char *text, size_t length, fh_error *error)
{
    fh_paints paints = {0};
    fh_status status = fh_paints_read(text, length, NULL, &paints, NULL, NULL, error);
    fh_paints_free(&paints);
    return status;
}

static fh_status read_job(const char *text, size_t length, fh_error *error)
{
    fh_text part = {0};
    fh_status status = fh_job_part(text, length, "part", &part, error);
    fh_text_free(&part);
    return status;
}

/* --- Characters ----------------------------------------------------------------------------- */

static const char *const bad[] = {
    "\x01",         "\x07",         "\x08",         "\x0B",         "\x1B[31m",
    "\x7F",         "\xC2\x80",     "\xC2\x9B",     "\xC2\x9F",     /* C1 */
    "\xE2\x80\xAA", "\xE2\x80\xAE", "\xE2\x81\xA6", "\xE2\x81\xA9", /* directions */
    "\x9B",         "\xC3",         "\xED\xA0\x80",                 /* no UTF-8 */
};
/* Next to them: U+00A0, U+2029, U+202F, U+2065, U+206A, é, a wide and a combining one. */
static const char *const good[] = {"\t",           "~",        "\xC2\xA0",     "\xE2\x80\xA9",
                                   "\xE2\x80\xAF", "\xC3\xA9", "\xE2\x81\xA5", "\xE2\x81\xAA",
                                   "\xE8\x89\xB2", "e\xCC\x81"};

/* A file with a text in its identifier, a comment, a keyword's value, a column, a name. */
static const char *const files[] = {
    "CGATS%s\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\na 1\nEND_DATA\n",
    "CGATS.17\n# \xC3\xA4%s\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\na "
    "1\nEND_DATA\n",
    "CGATS.17\nJOB \"part%s\"\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\na "
    "1\nEND_DATA\n",
    "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L\"%s\"\nEND_DATA_FORMAT\nBEGIN_DATA\na "
    "1\nEND_DATA\n",
    "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\n\"\xC3\xA4%s\" "
    "1\nEND_DATA\n",
    "id,name,L,a,b,condition\n\"a\",\"\xC3\xA4%s\",50,0,0,D65/10\n",
};

/* Where the text that %s stands for begins, in lines and characters. */
static void place_in(const char *file, size_t *line, size_t *column)
{
    *line = *column = 1;
    for (const char *at = file, *end = strstr(file, "%s"); at < end; ++at) {
        if (*at == '\n')
            ++*line, *column = 1;
        else
            *column += ((unsigned char)*at & 0xC0) != 0x80;
    }
}

static void readers_refuse(void **state)
{
    (void)state;
    const reader readers[] = {read_tables, read_csv, read_library, read_chart, read_spec,
                              read_reply,  read_tie, read_paints,  read_job};
    for (size_t r = 0; r < sizeof readers / sizeof *readers; ++r)
        for (size_t f = 0; f < sizeof files / sizeof *files; ++f)
            for (size_t i = 0; i < sizeof bad / sizeof *bad; ++i) {
                char text[512], before[256];
                size_t line, column, prefix = (size_t)(strstr(files[f], "%s") - files[f]);
                fh_error error = {0};
                memcpy(before, files[f], prefix);
                before[prefix] = '\0';
                snprintf(text, sizeof text, "%s%s%s", before, bad[i], files[f] + prefix + 2);
                place_in(files[f], &line, &column);
                assert_int_equal(readers[r](text, strlen(text), &error), FH_E_DATA);
                if (error.line != line || error.column != column)
                    fail_msg("reader %zu, file %zu, text %zu: %zu:%zu: %s", r, f, i, error.line,
                             error.column, error.message);
                check(fh_utf8_is_line(fh_slice_of(error.message)));
            }
}

static void others_pass(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof good / sizeof *good; ++i) {
        char text[256];
        fh_library library = {0};
        fh_error error = {0};
        snprintf(text, sizeof text, "id,name,L,a,b,condition\na,\"x%sx\",50,0,0,D65/10\n", good[i]);
        if (fh_library_read(text, strlen(text), NULL, &library, &error))
            fail_msg("%zu: %s", i, error.message);
        check(strlen(library.readings[0].name) == strlen(good[i]) + 2);
        fh_library_free(&library);
    }
}

/* What cannot be read again is not written. */
static void writer_refuses(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; ++i)
        for (int where = 0; where < 3; ++where) {
            fh_tables *tables = fh_tables_new();
            fh_table *table = fh_tables_add(tables);
            fh_text text = {0};
            fh_table_add_column(table, where == 0 ? bad[i] : "NAME");
            fh_table_set_text(table, fh_table_add_row(table), 0, where == 1 ? bad[i] : "x");
            fh_table_set_keyword(table, "DESCRIPTOR", where == 2 ? bad[i] : "x");
            assert_int_equal(fh_tables_write(tables, &text), FH_E_DATA);
            assert_null(text.bytes);
            fh_tables_free(tables);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readers_refuse),
        cmocka_unit_test(others_pass),
        cmocka_unit_test(writer_refuses),
    };
    return cmocka_run_group_tests_name("plain", tests, NULL, NULL);
}
