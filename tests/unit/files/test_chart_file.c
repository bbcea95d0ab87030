/* Charts in files. swatches/chart24.txt is what the built-in chart writes, with a head of comments;
   FARHUE_WRITE_DATA=1 writes it anew. */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/chart_file.h"
#include "files.h"

static const char FILE_NAME[] = "swatches/chart24.txt";

static void expect_same(const fh_chart *a, const fh_chart *b)
{
    assert_int_equal(a->rows, b->rows);
    assert_int_equal(a->columns, b->columns);
    assert_int_equal(a->edition_count, b->edition_count);
    assert_true(fh_condition_equal(a->condition, b->condition));
    check_close(a->spread, b->spread, 0);
    for (size_t i = 0; i < a->count; i++) {
        assert_string_equal(a->chips[i].id, b->chips[i].id);
        assert_string_equal(a->chips[i].name, b->chips[i].name);
        assert_int_equal(a->chips[i].has_spectrum, b->chips[i].has_spectrum);
        check_all_close(a->chips[i].reflectance.v, b->chips[i].reflectance.v, FH_BANDS, 0);
        for (size_t e = 0; e < a->edition_count; e++) {
            check_close(a->editions[e].lab[i].L, b->editions[e].lab[i].L, 0);
            check_close(a->editions[e].lab[i].a, b->editions[e].lab[i].a, 0);
            check_close(a->editions[e].lab[i].b, b->editions[e].lab[i].b, 0);
        }
    }
}

static void test_shipped_chart(void **state)
{
    (void)state;
    fh_chart *built_in = NULL, *shipped = NULL;
    fh_text text = {0};
    fh_error error = {0};
    assert_int_equal(fh_chart_24(&built_in), FH_OK);
    assert_int_equal(fh_chart_write(built_in, &text), FH_OK);
    if (getenv("FARHUE_WRITE_DATA")) {
        FILE *file = fopen(FILE_NAME, "wb");
        assert_non_null(file);
        assert_int_equal(fwrite(text.bytes, 1, text.length, file), text.length);
        fclose(file);
    }
    size_t size;
    char *bytes = file_bytes(FILE_NAME, &size);
    assert_non_null(bytes);
    assert_int_equal(size, text.length);
    assert_memory_equal(bytes, text.bytes, size);
    if (fh_chart_read(bytes, size, &shipped, &error))
        fail_msg("%zu: %s", error.line, error.message);
    expect_same(shipped, built_in);
    assert_string_equal(shipped->editions[1].name, "second edition, white L* 95.2");
    free(bytes);
    fh_text_free(&text);
    fh_chart_free(shipped);
    fh_chart_free(built_in);
}

#define HEAD "CGATS.17\nDESCRIPTOR \"mine\"\n"
#define D50 "WEIGHTING_FUNCTION \"ILLUMINANT, D50\"\nWEIGHTING_FUNCTION \"OBSERVER, 2 degree\"\n"
#define LAYOUT "CHART_ROWS 1\nCHART_COLUMNS 2\n"
#define FORMAT "BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n"
#define DATA "BEGIN_DATA\nA 50 0 0\nB 60 10 -5.5\nEND_DATA\n"

static void test_a_chart_by_hand(void **state)
{
    (void)state;
    fh_chart *chart = NULL;
    fh_error error = {0};
    const char text[] = HEAD D50 LAYOUT FORMAT DATA;
    if (fh_chart_read(text, strlen(text), &chart, &error)) fail_msg("%s", error.message);
    assert_int_equal(chart->count, 2);
    assert_string_equal(chart->name, "mine");
    assert_string_equal(chart->chips[1].id, "B");
    check_close(chart->editions[0].lab[1].b, -5.5, 0);
    check(!chart->chips[0].has_spectrum);
    assert_int_equal(chart->condition.illuminant, FH_ILLUMINANT_D50);
    fh_chart_free(chart);
}

static void test_bad_charts(void **state)
{
    (void)state;
    const struct {
        const char *text, *says;
    } cases[] = {
        {HEAD D50 FORMAT DATA, "CHART_ROWS"},
        {HEAD D50 "CHART_ROWS 2\nCHART_COLUMNS 2\n" FORMAT DATA,
         "so 4 patches, and this table has 2"},
        {HEAD D50 "CHART_ROWS 0\nCHART_COLUMNS 2\n" FORMAT DATA, "whole number"},
        {HEAD D50 "CHART_ROWS 1.5\nCHART_COLUMNS 2\n" FORMAT DATA, "whole number"},
        {HEAD D50 "CHART_ROWS 41\nCHART_COLUMNS 2\n" FORMAT DATA, "whole number"},
        {HEAD LAYOUT FORMAT DATA, "condition"},
        {HEAD D50 LAYOUT FORMAT "BEGIN_DATA\nA 50 0 0\nA 60 10 -5\nEND_DATA\n", "A"},
        {HEAD D50 LAYOUT "EDITION_SPREAD -1\n" FORMAT DATA, "spread"},
        {HEAD D50 LAYOUT FORMAT DATA HEAD D50 LAYOUT FORMAT DATA, "EDITION"},
        {HEAD D50 LAYOUT "EDITION one\n" FORMAT DATA HEAD D50 LAYOUT "EDITION two\n" FORMAT
                         "BEGIN_DATA\nB 50 0 0\nA 60 10 -5\nEND_DATA\n",
         "same ids"},
        {HEAD D50 LAYOUT "EDITION one\n" FORMAT DATA HEAD D50 LAYOUT FORMAT DATA, "spectra"},
        {HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID WEIGHT\nEND_DATA_FORMAT\nBEGIN_DATA\nA 1\nEND_DATA\n",
         "no colours"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        fh_chart *chart = NULL;
        fh_error error = {0};
        const fh_status status =
            fh_chart_read(cases[i].text, strlen(cases[i].text), &chart, &error);
        if (status != FH_E_DATA || !strstr(error.message, cases[i].says))
            fail_msg("case %zu: status %d, '%s'", i, (int)status, error.message);
        assert_null(chart);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_shipped_chart),
        cmocka_unit_test(test_a_chart_by_hand),
        cmocka_unit_test(test_bad_charts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
