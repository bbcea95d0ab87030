/* Table text: what lcms2 writes reads the same here and the reverse; every error with its place. */
#include "check.h"

#include <lcms2.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/table.h"
#include "starve.h"

static fh_tables *read(const char *text)
{
    fh_tables *tables = NULL;
    fh_error error = {0};
    if (fh_tables_read(text, strlen(text), &tables, &error))
        fail_msg("%zu:%zu: %s", error.line, error.column, error.message);
    return tables;
}

static void refuses(const char *text, size_t line, size_t column, const char *message)
{
    fh_tables *tables = NULL;
    fh_error error = {0};
    fh_status status = fh_tables_read(text, strlen(text), &tables, &error);
    if (status != FH_E_DATA || error.line != line || error.column != column ||
        !strstr(error.message, message))
        fail_msg("found %d at %zu:%zu: %s; expected %zu:%zu: %s", status, error.line, error.column,
                 error.message, line, column, message);
    assert_null(tables);
}

/* --- A cross-check: lcms2's reader and writer ------------------------------------------------- */

static const char *const ids[] = {"0012", "12a",       "A1",
                                  "1",    "dial ring", "caf\xC3\xA9 \xE2\x84\x96 7"};
static const double values[] = {50.25, -0.125, 1e-7, 100, 0.1, -12.3456789};
enum { ROWS = 6 };

static void test_lcms_writes(void **state)
{
    (void)state;
    char text[8192] = {0};
    cmsUInt32Number size = sizeof text;
    cmsHANDLE it8 = cmsIT8Alloc(NULL);
    cmsIT8SetSheetType(it8, "CGATS.17");
    cmsIT8SetPropertyStr(it8, "ORIGINATOR", "someone");
    cmsIT8SetPropertyStr(it8, "DESCRIPTOR", "a table, with commas; and 2 words");
    cmsIT8SetPropertyDbl(it8, "NUMBER_OF_FIELDS", 2);
    cmsIT8SetPropertyDbl(it8, "NUMBER_OF_SETS", ROWS);
    cmsIT8SetDataFormat(it8, 0, "SAMPLE_ID");
    cmsIT8SetDataFormat(it8, 1, "LAB_L");
    cmsIT8DefineDblFormat(it8, "%.10g");
    for (int i = 0; i < ROWS; ++i) {
        cmsIT8SetDataRowCol(it8, i, 0, ids[i]);
        cmsIT8SetDataRowColDbl(it8, i, 1, values[i]);
    }
    assert_true(cmsIT8SaveToMem(it8, text, &size));
    cmsIT8Free(it8);
    fh_tables *tables = NULL;
    fh_error error = {0};
    if (fh_tables_read(text, strlen(text), &tables, &error))
        fail_msg("%zu:%zu: %s\n%s", error.line, error.column, error.message, text);
    fh_table *t = fh_tables_at(tables, 0);
    assert_int_equal(fh_tables_count(tables), 1);
    assert_string_equal(fh_table_type(t), "CGATS.17");
    assert_string_equal(fh_table_keyword(t, "originator"), "someone");
    assert_string_equal(fh_table_keyword(t, "DESCRIPTOR"), "a table, with commas; and 2 words");
    assert_int_equal(fh_table_rows(t), ROWS);
    for (size_t i = 0; i < ROWS; ++i) {
        double value;
        assert_string_equal(fh_table_text(t, i, 0), ids[i]);
        assert_int_equal(fh_table_number(t, i, 1, &value, NULL), FH_OK);
        check_close(value, values[i], 1e-9);
    }
    fh_tables_free(tables);
}

/* Two tables; every id in quotes where lcms2 would take it for a number. */
static void test_lcms_reads(void **state)
{
    (void)state;
    fh_text text = {0};
    fh_tables *tables = fh_tables_new();
    for (int n = 0; n < 2; ++n) {
        fh_table *t = fh_tables_add(tables);
        fh_table_set_keyword(t, "ORIGINATOR", n ? "second" : "first");
        fh_table_set_keyword(t, "FARHUE_THING", "own keyword");
        fh_table_add_column(t, "SAMPLE_ID");
        fh_table_add_column(t, "LAB_L");
        for (size_t i = 0; i < ROWS; ++i) {
            size_t row = fh_table_add_row(t);
            fh_table_set_text(t, row, 0, ids[i]);
            fh_table_set_number(t, row, 1, values[i] + n);
        }
    }
    assert_int_equal(fh_tables_write(tables, &text), FH_OK);
    assert_int_equal(text.length, strlen(text.bytes));
    fh_tables_free(tables);
    cmsHANDLE it8 = cmsIT8LoadFromMem(NULL, text.bytes, (cmsUInt32Number)text.length);
    if (!it8) fail_msg("lcms2 does not read\n%s", text.bytes);
    assert_int_equal(cmsIT8TableCount(it8), 2);
    for (int n = 0; n < 2; ++n) {
        cmsIT8SetTable(it8, (cmsUInt32Number)n);
        assert_string_equal(cmsIT8GetProperty(it8, "ORIGINATOR"), n ? "second" : "first");
        assert_string_equal(cmsIT8GetProperty(it8, "FARHUE_THING"), "own keyword");
        check_close(cmsIT8GetPropertyDbl(it8, "NUMBER_OF_SETS"), ROWS, 0);
        for (int i = 0; i < ROWS; ++i) {
            assert_string_equal(cmsIT8GetDataRowCol(it8, i, 0), ids[i]);
            check_close(cmsIT8GetDataRowColDbl(it8, i, 1), values[i] + n, 1e-12);
        }
    }
    cmsIT8Free(it8);
    fh_text_free(&text);
}

/* A locale with a decimal comma really in force. */
static bool set_comma_locale(void)
{
    static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "nl_NL.UTF-8"};
    char folder[] = "/tmp/farhue-locale-XXXXXX", command[256];
    for (size_t i = 0; i < 4; ++i)
        if (setlocale(LC_ALL, names[i])) return true;
    if (!mkdtemp(folder)) return false;
    snprintf(command, sizeof command, "localedef -i de_DE -f UTF-8 %s/de_DE.UTF-8 2>/dev/null",
             folder);
    bool set = system(command) == 0 && setenv("LOCPATH", folder, 1) == 0 &&
               setlocale(LC_ALL, "de_DE.UTF-8") != NULL;
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command) == 0 && set;
}

static void test_comma_locale(void **state)
{
    (void)state;
    char half[8];
    fh_text text = {0};
    if (!set_comma_locale()) {
        print_message("no locale with a decimal comma, and localedef failed\n");
        skip();
    }
    snprintf(half, sizeof half, "%.1f", 0.5);
    assert_string_equal(half, "0,5"); /* it is in force */
    fh_tables *tables = read("BEGIN_DATA_FORMAT\nA B\nEND_DATA_FORMAT\nBEGIN_DATA\n1.5 -2.25e-3\n"
                             "END_DATA\n");
    double a, b;
    fh_status bad;
    assert_int_equal(fh_table_number(fh_tables_at(tables, 0), 0, 0, &a, NULL), FH_OK);
    assert_int_equal(fh_table_number(fh_tables_at(tables, 0), 0, 1, &b, NULL), FH_OK);
    fh_table_set_number(fh_tables_at(tables, 0), 0, 0, 0.1);
    fh_table_set_text(fh_tables_at(tables, 0), 0, 1, "1,5");
    bad = fh_table_number(fh_tables_at(tables, 0), 0, 1, &b, NULL);
    assert_int_equal(fh_tables_write(tables, &text), FH_OK);
    setlocale(LC_ALL, "C");
    check_close(a, 1.5, 0);
    check_close(b, -2.25e-3, 0);
    assert_int_equal(bad, FH_E_DATA);
    assert_non_null(strstr(text.bytes, "\n0.1\t\"1,5\"\n"));
    fh_text_free(&text);
    fh_tables_free(tables);
}

/* --- Reading -------------------------------------------------------------------------------- */

static void test_forms(void **state)
{
    (void)state;
    static const char *const texts[] = {
        "CGATS.17\nORIGINATOR \"x\"\nBEGIN_DATA_FORMAT\nID L\nEND_DATA_FORMAT\n"
        "NUMBER_OF_SETS 2\nBEGIN_DATA\n007 1\n\"a b\" 2\nEND_DATA\n",
        "\xEF\xBB\xBF# comment\r\nORIGINATOR x # really\r\nBEGIN_DATA_FORMAT ID\tL "
        "END_DATA_FORMAT\r\nBEGIN_DATA\r\n007\t1\r\n\r\n\"a b\"\t2\r\nEND_DATA",
        "ORIGINATOR x\rBEGIN_DATA_FORMAT\rID,L\rEND_DATA_FORMAT\rBEGIN_DATA\r007,1\ra b , 2\r"
        "END_DATA\r",
        "KEYWORD \"ORIGINATOR\"\nORIGINATOR x\nNUMBER_OF_FIELDS 2\nBEGIN_DATA_FORMAT\nID\nL\n"
        "END_DATA_FORMAT\nBEGIN_DATA\n007\n1\n\"a b\"\n2\nEND_DATA\n",
        "ORIGINATOR x\nBEGIN_DATA_FORMAT\nID;L\nEND_DATA_FORMAT\nBEGIN_DATA\n007;1\n\"a b\";2\n"
        "END_DATA\n",
    };
    for (size_t i = 0; i < sizeof texts / sizeof *texts; ++i) {
        fh_tables *tables = read(texts[i]);
        fh_table *t = fh_tables_at(tables, 0);
        double value = 0;
        assert_int_equal(fh_tables_count(tables), 1);
        assert_string_equal(fh_table_keyword(t, "ORIGINATOR"), "x");
        assert_int_equal(fh_table_keyword_count(t), 1);
        assert_int_equal(fh_table_rows(t), 2);
        assert_int_equal(fh_table_column(t, "l"), 1);
        assert_int_equal(fh_table_column(t, "M"), FH_NONE);
        assert_string_equal(fh_table_text(t, 0, 0), "007");
        assert_string_equal(fh_table_text(t, 1, 0), "a b");
        assert_int_equal(fh_table_find(t, 0, "a b"), 1);
        assert_int_equal(fh_table_find(t, 0, "7"), FH_NONE);
        assert_int_equal(fh_table_number(t, 1, 1, &value, NULL), FH_OK);
        check_close(value, 2, 0);
        fh_tables_free(tables);
    }
}

static void test_several_tables(void **state)
{
    (void)state;
    fh_tables *tables =
        read("CGATS.17\nNAME one\nBEGIN_DATA_FORMAT\nA\nEND_DATA_FORMAT\nBEGIN_DATA\n"
             "1\n2\nEND_DATA\n\nCGATS.17\nNAME two\nNAME three\nBEGIN_DATA_FORMAT\nB C\n"
             "END_DATA_FORMAT\nBEGIN_DATA\n\"\" \"say \"\"so\"\"\"\nEND_DATA\n"
             "NAME last\nBEGIN_DATA_FORMAT\nEND_DATA_FORMAT\nBEGIN_DATA\nEND_DATA\n");
    assert_int_equal(fh_tables_count(tables), 3);
    fh_table *two = fh_tables_at(tables, 1);
    assert_int_equal(fh_table_rows(fh_tables_at(tables, 0)), 2);
    assert_string_equal(fh_table_type(two), "CGATS.17");
    assert_int_equal(fh_table_keyword_count(two), 2);
    assert_string_equal(fh_table_keyword_value(two, 1), "three");
    assert_string_equal(fh_table_text(two, 0, 0), "");
    assert_string_equal(fh_table_text(two, 0, 1), "say \"so\"");
    assert_string_equal(fh_table_keyword(fh_tables_at(tables, 2), "NAME"), "last");
    fh_tables_free(tables);
}

static void test_written_and_read_again(void **state)
{
    (void)state;
    static const double numbers[] = {0.1, 1.0 / 3, 1e-300, -1e300, 123456789.123456789, 5e-324, 0};
    static const char *const texts[] = {"",         " ",    "\"",   "a\"\"b",       "#no comment",
                                        "END_DATA", "1e5",  "0x12", "\xE2\x82\xAC", "a\tb",
                                        "'",        "a,b;c"};
    fh_text first = {0}, second = {0};
    fh_tables *tables = fh_tables_new();
    fh_table *t = fh_tables_add(tables);
    fh_table_set_keyword(t, "DESCRIPTOR", "");
    fh_table_add_keyword(t, "OWN", "a \"quote\"");
    fh_table_add_keyword(t, "OWN", "twice");
    fh_table_set_keyword_number(t, "OWN_NUMBER", 0.1);
    fh_table_add_column(t, "TEXT");
    fh_table_add_column(t, "NUMBER");
    for (size_t i = 0; i < 12; ++i) {
        size_t row = fh_table_add_row(t);
        fh_table_set_text(t, row, 0, texts[i]);
        fh_table_set_number(t, row, 1, numbers[i % 7]);
    }
    assert_int_equal(fh_tables_write(tables, &first), FH_OK);
    fh_tables_free(tables);
    tables = read(first.bytes);
    t = fh_tables_at(tables, 0);
    for (size_t i = 0; i < 12; ++i) {
        double value = NAN;
        assert_string_equal(fh_table_text(t, i, 0), texts[i]);
        assert_int_equal(fh_table_number(t, i, 1, &value, NULL), FH_OK);
        assert_true(value == numbers[i % 7]);
    }
    double own = 0;
    assert_string_equal(fh_table_keyword(t, "OWN"), "a \"quote\"");
    assert_int_equal(fh_table_keyword_number(t, "OWN_NUMBER", &own, NULL), FH_OK);
    check_close(own, 0.1, 0);
    assert_int_equal(fh_tables_write(tables, &second), FH_OK);
    assert_string_equal(first.bytes, second.bytes);
    assert_non_null(
        strstr(first.bytes, "KEYWORD \"OWN\"\nOWN \"a \"\"quote\"\"\"\nOWN \"twice\"\n"));
    assert_null(strstr(first.bytes, "KEYWORD \"DESCRIPTOR\""));
    fh_text_free(&first);
    fh_text_free(&second);
    fh_tables_free(tables);
}

/* --- Errors --------------------------------------------------------------------------------- */

#define HEAD "BEGIN_DATA_FORMAT\nID L\nEND_DATA_FORMAT\nBEGIN_DATA\n"

static void test_refused(void **state)
{
    (void)state;
    refuses("", 1, 1, "the file is empty");
    refuses("# only a comment\n", 2, 1, "the file is empty");
    refuses("CGATS.17\nORIGINATOR x\n", 1, 1, "without BEGIN_DATA");
    refuses("BEGIN_DATA_FORMAT\nID L\n", 1, 1, "without END_DATA_FORMAT");
    refuses("BEGIN_DATA\n1\nEND_DATA\n", 1, 1, "without BEGIN_DATA_FORMAT");
    refuses(HEAD "a 1\n", 4, 1, "cut off after row 1");
    refuses(HEAD "a 1\nb\nc 2\nEND_DATA\n", 6, 1, "a row of 1 value; expected 2");
    refuses(HEAD "a 1\nb 2 3\nEND_DATA\n", 6, 1, "a row of 3 values; expected 2");
    refuses(HEAD "a 1\nb\nEND_DATA\n", 6, 1, "a row of 1 value; expected 2");
    refuses("NUMBER_OF_SETS 2\n" HEAD "a 1\nEND_DATA\n", 1, 1, "says 2, and the table has 1 rows");
    refuses("NUMBER_OF_FIELDS 3\n" HEAD "a 1\nEND_DATA\n", 2, 1, "says 3, and 2 columns");
    refuses("NUMBER_OF_SETS two\n" HEAD "a 1\nEND_DATA\n", 1, 16, "expected a whole number");
    refuses("NUMBER_OF_SETS -1\n" HEAD "a 1\nEND_DATA\n", 1, 16, "expected a whole number");
    refuses("BEGIN_DATA_FORMAT\nID ID\nEND_DATA_FORMAT\n", 2, 4, "column ID is there twice");
    refuses(HEAD "\"a 1\nEND_DATA\n", 5, 1, "not closed");
    refuses(HEAD "\"a\"b 1\nEND_DATA\n", 5, 4, "right after a closing quote");
    refuses("X \"a\" b\n" HEAD "END_DATA\n", 1, 7, "after a value in quotes");
    refuses("END_DATA x\n", 1, 1, "END_DATA without its beginning");
    refuses("50.2 3.1 4\n", 1, 1, "expected a keyword") /* no table at all */;
    refuses("$x 3.1 4\n", 1, 1, "expected a keyword");
    refuses(HEAD "\xE4 1\nEND_DATA\n", 5, 1, "not UTF-8");
    refuses(HEAD "\xC3\xA4\x1B 1\nEND_DATA\n", 5, 2, "control character");
    refuses(HEAD "\xE2\x80\xAEx 1\nEND_DATA\n", 5, 1, "direction");
    refuses("BEGIN_DATA_FORMAT\nID,L;M\nEND_DATA_FORMAT\n", 2, 5, "commas and semicolons");
}

static void number_refused(const char *cell, size_t column, const char *message)
{
    char text[256];
    double value = 7;
    fh_error error = {0};
    snprintf(text, sizeof text, HEAD "\xC3\xA9\xC3\xA9 %s\nEND_DATA\n", cell);
    fh_tables *tables = read(text);
    assert_int_equal(fh_table_number(fh_tables_at(tables, 0), 0, 1, &value, &error), FH_E_DATA);
    assert_int_equal(error.line, 5);
    assert_int_equal(error.column, column);
    if (!strstr(error.message, message)) fail_msg("%s", error.message);
    check_close(value, 7, 0);
    fh_tables_free(tables);
}

static void test_numbers_refused(void **state)
{
    (void)state;
    number_refused("50,2", 4, "decimal comma");
    number_refused("nan", 4, "expected a number");
    number_refused("inf", 4, "expected a number");
    number_refused("0x10", 4, "expected a number");
    number_refused("\"\"", 4, "empty");
    number_refused("1e999", 4, "expected a number");
    number_refused("12;", 4, "expected a number");
}

static void test_limits(void **state)
{
    (void)state;
    size_t columns = FH_TABLE_COLUMNS + 1;
    char *text = malloc(columns * 8 + 100), *at = text;
    fh_tables *tables = NULL;
    fh_error error = {0};
    at += sprintf(at, "BEGIN_DATA_FORMAT\n");
    for (size_t i = 0; i < columns; ++i) at += sprintf(at, "C%zu ", i);
    assert_int_equal(fh_tables_read(text, strlen(text), &tables, &error), FH_E_LIMIT);
    assert_int_equal(error.line, 2);
    free(text);
    text = malloc(FH_TABLE_CELL + 100);
    at = text + sprintf(text, "X \"");
    memset(at, 'x', FH_TABLE_CELL + 1);
    strcpy(at + FH_TABLE_CELL + 1, "\"\n");
    assert_int_equal(fh_tables_read(text, strlen(text), &tables, &error), FH_E_DATA);
    assert_non_null(strstr(error.message, "at most 16384"));
    free(text);
}

static void test_starved(void **state)
{
    (void)state;
    const char text[] = "X \"a\"\n" HEAD "a 1\nb 2\nEND_DATA\nX b\n" HEAD "c 3\nEND_DATA\n";
    for (long n = 0;; ++n) {
        fh_tables *tables = NULL;
        fh_error error = {0};
        starve_after(n);
        fh_status status = fh_tables_read(text, sizeof text - 1, &tables, &error);
        bool starved = starve_end();
        if (!starved) {
            assert_int_equal(status, FH_OK);
            fh_tables_free(tables);
            break;
        }
        assert_int_equal(status, FH_E_MEMORY);
        assert_null(tables);
    }
}

static void test_recognise(void **state)
{
    (void)state;
    const char table[] = "CGATS.17\r\n  BEGIN_DATA_FORMAT", csv[] = "id,L,a,b\nBEGIN,1,2,3\n";
    assert_true(fh_tables_recognise(table, sizeof table - 1));
    assert_false(fh_tables_recognise(csv, sizeof csv - 1));
    assert_false(fh_tables_recognise("", 0));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_lcms_writes),    cmocka_unit_test(test_lcms_reads),
        cmocka_unit_test(test_comma_locale),   cmocka_unit_test(test_forms),
        cmocka_unit_test(test_several_tables), cmocka_unit_test(test_written_and_read_again),
        cmocka_unit_test(test_refused),        cmocka_unit_test(test_numbers_refused),
        cmocka_unit_test(test_limits),         cmocka_unit_test(test_starved),
        cmocka_unit_test(test_recognise),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
