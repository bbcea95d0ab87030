/* Tables converted without becoming readings: what stays, and every way to fail. */
#include "check.h"
#include "starve.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "farhue/convert.h"

static fh_tables *read(const char *text)
{
    fh_tables *tables = NULL;
    fh_error error = {0};
    if (fh_tables_read(text, strlen(text), &tables, &error)) fail_msg("%s", error.message);
    return tables;
}

#define HEAD "CGATS.17\nWEIGHTING_FUNCTION \"D65/10\"\nORIGINATOR \"somebody\"\n"

static const char spectra[] = HEAD
    "SPECTRAL_UNIT \"percent\"\nREPEATS 3\nBEGIN_DATA_FORMAT\nSAMPLE_ID NAME SPECTRAL_NM400 "
    "SPECTRAL_NM500 SPECTRAL_NM600 SPECTRAL_NM700\nEND_DATA_FORMAT\nBEGIN_DATA\n007 sand 10 20 "
    "40.50 80\nnone \"no curve\" \"\" \"\" \"\" \"\"\nEND_DATA\n";

static const char pairs[] =
    HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_PCT "
         "SPECTRAL_NM SPECTRAL_PCT\n"
         "END_DATA_FORMAT\nBEGIN_DATA\na 400 10 500 20 600 30\nb 400 11 %s 21 600 31\nEND_DATA\n";

/* Figures keep their digits, keywords become columns, and the others are counted. */
static void keywords_become_columns(void **state)
{
    (void)state;
    fh_tables *from = read(spectra), *to = NULL;
    size_t lost = 99;
    fh_text csv = {0};
    assert_int_equal(fh_convert_to_columns(fh_tables_at(from, 0), NULL, &to, &lost, NULL), FH_OK);
    assert_int_equal(lost, 1); /* ORIGINATOR */
    assert_int_equal(fh_csv_write(fh_tables_at(to, 0), &csv), FH_OK);
    assert_string_equal(
        csv.bytes, "SAMPLE_ID,NAME,SPECTRAL_PCT400,SPECTRAL_PCT500,SPECTRAL_PCT600,SPECTRAL_PCT700,"
                   "REPEATS,CONDITION\n007,sand,10,20,40.50,80,\"3\",D65/10\nnone,no "
                   "curve,,,,,\"3\",D65/10\n");
    fh_text_free(&csv);
    fh_tables_free(to);
    fh_tables_free(from);
}

/* A measured point stays as it is, a row without a curve stays without. */
static void another_sampling(void **state)
{
    (void)state;
    fh_tables *from = read(spectra), *to = NULL;
    const fh_sampling by_50 = {400, 700, 50};
    assert_int_equal(fh_convert_sampling(fh_tables_at(from, 0), NULL, by_50, &to, NULL), FH_OK);
    const fh_table *t = fh_tables_at(to, 0);
    assert_int_equal(fh_table_columns(t), 2 + 7);
    double value = 0;
    const double measured[4] = {10, 20, 40.5, 80};
    for (size_t i = 0; i < 4; ++i) {
        assert_int_equal(fh_table_number(t, 0, 2 + 2 * i, &value, NULL), FH_OK);
        check_close(value, measured[i], 0);
        assert_string_equal(fh_table_text(t, 1, 2 + 2 * i), "");
    }
    assert_int_equal(fh_table_number(t, 0, 3, &value, NULL), FH_OK);
    check_between(value, 10, 20); /* monotone between its neighbours: too few points for Sprague */
    fh_tables_free(to);
    fh_tables_free(from);
}

static const fh_sampling by_10 = {400, 700, 10};

typedef struct call {
    const fh_table *table;
    const fh_library_defaults *defaults;
    fh_sampling sampling;
    int which;
} call;

static fh_status run(const call *c, fh_tables **out, size_t *lost, fh_error *error)
{
    return c->which == 0   ? fh_convert_to_columns(c->table, c->defaults, out, lost, error)
           : c->which == 1 ? fh_convert_complete(c->table, c->defaults, out, error)
                           : fh_convert_sampling(c->table, c->defaults, c->sampling, out, error);
}

/* Fails so, in words, and leaves the outputs alone. */
static void fails(const call *c, fh_status status, const char *words)
{
    fh_tables *untouched = fh_tables_new(), *out = untouched;
    size_t lost = 99;
    fh_error error = {0};
    fh_status found = run(c, &out, &lost, &error);
    if (found != status || !strstr(error.message, words)) fail_msg("%d: %s", found, error.message);
    assert_int_equal(error.status, status);
    check(out == untouched && lost == 99);
    fh_tables_free(untouched);
}

static void samplings_that_are_none(void **state)
{
    (void)state;
    fh_tables *from = read(spectra), *lab = read(HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A "
                                                      "LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\na 1 2 "
                                                      "3\nEND_DATA\n");
    const fh_sampling none[] = {{400, 700, 0},   {400, 700, -10},       {400, 700, (double)NAN},
                                {700, 400, 10},  {400, 700, 0.1},       {100, 700, 10},
                                {400, 3000, 10}, {(double)NAN, 700, 10}};
    for (size_t i = 0; i < sizeof none / sizeof *none; ++i)
        fails(&(call){fh_tables_at(from, 0), NULL, none[i], 2}, FH_E_DATA, "expected ascending");
    fails(&(call){fh_tables_at(from, 0), NULL, {390, 700, 10}, 2}, FH_E_DATA, "cover 400 to 700");
    fails(&(call){fh_tables_at(lab, 0), NULL, by_10, 2}, FH_E_DATA, "no wavelength columns");
    fh_tables_free(lab);
    fh_tables_free(from);
}

static void pairs_that_differ(void **state)
{
    (void)state;
    char text[512];
    const char *second[] = {"510", "five"}, *words[] = {"another wavelength", "\"five\""};
    for (int i = 0; i < 2; ++i) {
        snprintf(text, sizeof text, pairs, second[i]);
        fh_tables *from = read(text);
        fails(&(call){fh_tables_at(from, 0), NULL, by_10, 0}, FH_E_DATA, words[i]);
        fh_tables_free(from);
    }
}

static void a_condition_that_is_none(void **state)
{
    (void)state;
    fh_tables *from = read("CGATS.17\nWEIGHTING_FUNCTION \"moonlight\"\nBEGIN_DATA_FORMAT\n"
                           "SAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\na 1 2 3\n"
                           "END_DATA\n");
    for (int which = 0; which < 3; ++which)
        fails(&(call){fh_tables_at(from, 0), NULL, by_10, which}, FH_E_DATA, "no known condition");
    fh_tables_free(from);
}

/* A table that is full has no room for one column more: that is no lack of memory. */
static void too_large(void **state)
{
    (void)state;
    fh_tables *tables = fh_tables_new();
    fh_table *table = fh_tables_add(tables);
    fh_table_set_keyword(table, "WEIGHTING_FUNCTION", "D65/10");
    const char *const names[] = {"SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B"};
    for (int i = 0; i < FH_TABLE_COLUMNS; ++i) {
        char name[32];
        if (i < 4)
            fh_format(name, sizeof name, "%s", names[i]);
        else
            fh_format(name, sizeof name, "OWN%dX", i); /* a wavelength would end in digits */
        fh_table_add_column(table, name);
    }
    assert_int_equal(fh_tables_status(tables), FH_OK);
    fails(&(call){table, NULL, by_10, 0}, FH_E_LIMIT, "at most 2048 columns");
    fh_tables_free(tables);
}

/* Every allocation fails in turn. */
static void memory_runs_out(void **state)
{
    (void)state;
    fh_tables *from = read(spectra);
    for (int which = 0; which < 3; ++which)
        for (long n = 0;; ++n) {
            const call c = {fh_tables_at(from, 0), NULL, {400, 700, 50}, which};
            fh_tables *out = NULL;
            size_t lost = 99;
            fh_error error = {0};
            starve_after(n);
            fh_status status = run(&c, &out, &lost, &error);
            if (!starve_end()) {
                assert_int_equal(status, FH_OK);
                fh_tables_free(out);
                break;
            }
            assert_int_equal(status, FH_E_MEMORY);
            check(out == NULL && lost == 99);
        }
    fh_tables_free(from);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keywords_become_columns),  cmocka_unit_test(another_sampling),
        cmocka_unit_test(samplings_that_are_none),  cmocka_unit_test(pairs_that_differ),
        cmocka_unit_test(a_condition_that_is_none), cmocka_unit_test(too_large),
        cmocka_unit_test(memory_runs_out),
    };
    return cmocka_run_group_tests_name("convert", tests, NULL, NULL);
}
