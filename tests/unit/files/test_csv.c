/* CSV: RFC 4180 and what spreadsheets make of it. */
#include "check.h"

#include <string.h>

#include "farhue/table.h"
#include "starve.h"

static fh_tables *read(const char *text)
{
    fh_tables *tables = NULL;
    fh_error error = {0};
    if (fh_csv_read(text, strlen(text), &tables, &error))
        fail_msg("%zu:%zu: %s", error.line, error.column, error.message);
    assert_int_equal(fh_tables_count(tables), 1);
    return tables;
}

static void refuses(const char *text, size_t line, size_t column, const char *message)
{
    fh_tables *tables = NULL;
    fh_error error = {0};
    fh_status status = fh_csv_read(text, strlen(text), &tables, &error);
    if (status != FH_E_DATA || error.line != line || error.column != column ||
        !strstr(error.message, message))
        fail_msg("found %d at %zu:%zu: %s; expected %zu:%zu: %s", status, error.line, error.column,
                 error.message, line, column, message);
}

static void test_forms(void **state)
{
    (void)state;
    static const char *const texts[] = {
        "id,L\n007,1.5\n\"a, \"\"b\"\"\",2\n",
        "\xEF\xBB\xBF# comment\r\n\r\nid;L\r\n007;1.5\r\n\"a, \"\"b\"\"\";2\r\n\r\n",
        "id\tL\r007\t1.5\r\"a, \"\"b\"\"\"\t2",
        " \"id\" , L \n 007 , 1.5\n \"a, \"\"b\"\"\" , 2 \n",
    };
    for (size_t i = 0; i < sizeof texts / sizeof *texts; ++i) {
        fh_tables *tables = read(texts[i]);
        fh_table *t = fh_tables_at(tables, 0);
        double value = 0;
        assert_int_equal(fh_table_columns(t), 2);
        assert_string_equal(fh_table_column_name(t, 0), "id");
        assert_int_equal(fh_table_rows(t), 2);
        assert_string_equal(fh_table_text(t, 0, 0), "007");
        assert_string_equal(fh_table_text(t, 1, 0), "a, \"b\"");
        assert_int_equal(fh_table_number(t, 0, 1, &value, NULL), FH_OK);
        check_close(value, 1.5, 0);
        fh_tables_free(tables);
    }
}

static void test_line_end_in_a_field(void **state)
{
    (void)state;
    fh_tables *tables = read("a,b\n\"1\n2\",3\nx,y\n");
    fh_table *t = fh_tables_at(tables, 0);
    double value;
    fh_error error = {0};
    assert_string_equal(fh_table_text(t, 0, 0), "1\n2");
    assert_int_equal(fh_table_number(t, 1, 1, &value, &error), FH_E_DATA);
    assert_int_equal(error.line, 4);
    assert_int_equal(error.column, 3);
    fh_text out = {0}; /* table text has no way to write it */
    assert_int_equal(fh_tables_write(tables, &out), FH_E_DATA);
    assert_null(out.bytes);
    fh_tables_free(tables);
}

/* Cells that say what ends a table stay cells. */
static void test_cells_like_boundaries(void **state)
{
    (void)state;
    fh_tables *tables = read("a,b\nEND_DATA,begin_data\nEND_DATA_FORMAT,x\n"), *again = NULL;
    fh_text out = {0};
    assert_int_equal(fh_tables_write(tables, &out), FH_OK);
    assert_int_equal(fh_tables_read(out.bytes, out.length, &again, NULL), FH_OK);
    const fh_table *t = fh_tables_at(again, 0);
    assert_int_equal(fh_table_rows(t), 2);
    assert_string_equal(fh_table_text(t, 0, 0), "END_DATA");
    assert_string_equal(fh_table_text(t, 0, 1), "begin_data");
    assert_string_equal(fh_table_text(t, 1, 0), "END_DATA_FORMAT");
    fh_tables_free(again);
    fh_text_free(&out);
    fh_tables_free(tables);
}

static void test_round_trip(void **state)
{
    (void)state;
    const char text[] = "id,note,L\n\"007\",\"a, \"\"b\"\"\",1.5\n\"#x\",\" y \",-0.25\nplain,,\n";
    fh_text out = {0};
    fh_tables *tables = read(text);
    assert_int_equal(fh_csv_write(fh_tables_at(tables, 0), &out), FH_OK);
    assert_string_equal(out.bytes, text);
    fh_text_free(&out);
    /* and as table text, and back */
    fh_text table = {0};
    fh_tables *again = NULL;
    assert_int_equal(fh_tables_write(tables, &table), FH_OK);
    assert_int_equal(fh_tables_read(table.bytes, table.length, &again, NULL), FH_OK);
    assert_int_equal(fh_csv_write(fh_tables_at(again, 0), &out), FH_OK);
    assert_non_null(strstr(out.bytes, "\"#x\",\" y \",-0.25\n"));
    fh_text_free(&out);
    fh_text_free(&table);
    fh_tables_free(tables);
    fh_tables_free(again);
}

static void test_refused(void **state)
{
    (void)state;
    refuses("", 1, 1, "no table");
    refuses("# c\n\n", 3, 1, "no table");
    refuses("a,,b\n1,2,3\n", 1, 3, "without a name");
    refuses("a,A\n1,2\n", 1, 3, "twice");
    refuses("a,b\n1\n", 2, 0, "a row of 1 value; expected 2");
    refuses("a,b\n1,50,2\n", 2, 0, "a row of 3 values; expected 2, one a column (decimal commas?");
    refuses("a,b\n\"1,2\n", 2, 1, "not closed");
    refuses("a,b\n\"1\"2,3\n", 2, 4, "right after a closing quote");
    refuses("a,b\n1,\xFF\n", 2, 3, "not UTF-8");
}

static void test_starved(void **state)
{
    (void)state;
    for (long n = 0;; ++n) {
        fh_tables *tables = NULL;
        starve_after(n);
        fh_status status = fh_csv_read("a,b\n1,2\n", 8, &tables, NULL);
        if (!starve_end()) {
            assert_int_equal(status, FH_OK);
            fh_tables_free(tables);
            break;
        }
        assert_int_equal(status, FH_E_MEMORY);
        assert_null(tables);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_forms),      cmocka_unit_test(test_line_end_in_a_field),
        cmocka_unit_test(test_cells_like_boundaries),
        cmocka_unit_test(test_round_trip), cmocka_unit_test(test_refused),
        cmocka_unit_test(test_starved),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
