/* Ties as files: round trip, and what is refused. */
#include "check.h"
#include "starve.h"

#include <string.h>

#include "farhue/spec_file.h"
#include "farhue/tie_file.h"

static fh_tie make_tie(void)
{
    fh_tie tie = {.id = "owner and helper",
                  .condition = {FH_ILLUMINANT_D50, FH_OBSERVER_2},
                  .kind = FH_TIE_AFFINE,
                  .shift = {{0.1, -0.2, 0.3}},
                  .objects = 6,
                  .before = 1.25,
                  .after = 0.5,
                  .from_count = 1,
                  .to_count = 2};
    tie.matrix = fh_mat3_diagonal(1.01, 0.99, 1.03);
    tie.matrix.m[0][2] = -0.015;
    tie.covariance = fh_mat3_diagonal(0.04, 0.09, 0.16);
    strcpy(tie.from[0], "instrument: \"helper\"");
    strcpy(tie.to[0].source, "instrument: owner");
    tie.to[0].covariance = fh_mat3_diagonal(0.25, 0.36, 0.49);
    tie.to[0].covariance.m[0][1] = tie.to[0].covariance.m[1][0] = 0.1;
    strcpy(tie.to[1].source, "chart: 24 patches");
    tie.to[1].covariance = fh_mat3_diagonal(0.01, 0.01, 0.01);
    return tie;
}

static void round_trip(void **state)
{
    (void)state;
    fh_tie tie = make_tie(), back;
    fh_text text = {0};
    fh_error error = {0};
    assert_int_equal(fh_tie_write(&tie, "2031-02-03", &text), FH_OK);
    if (fh_tie_read(text.bytes, text.length, &back, &error)) fail_msg("%s", error.message);
    assert_string_equal(back.id, tie.id);
    check(fh_condition_equal(back.condition, tie.condition));
    check(back.kind == tie.kind && back.objects == 6 && back.from_count == 1 && back.to_count == 2);
    check_all_close(&back.matrix.m[0][0], &tie.matrix.m[0][0], 9, 0.0);
    check_all_close(back.shift.v, tie.shift.v, 3, 0.0);
    check_all_close(&back.covariance.m[0][0], &tie.covariance.m[0][0], 9, 0.0);
    check_all_close(&back.to[0].covariance.m[0][0], &tie.to[0].covariance.m[0][0], 9, 0.0);
    assert_string_equal(back.from[0], tie.from[0]);
    assert_string_equal(back.to[1].source, tie.to[1].source);
    check_close(back.after, 0.5, 0.0);
    fh_text_free(&text);
}

/* The file with one keyword or cell changed and its check code put right. */
static void refuses(const char *keyword, const char *value, const char *message)
{
    fh_tie tie = make_tie(), back = {.objects = 77};
    fh_text text = {0}, again = {0};
    fh_tables *tables;
    char code[FH_CODE];
    fh_error error = {0};
    assert_int_equal(fh_tie_write(&tie, NULL, &text), FH_OK);
    assert_int_equal(fh_tables_read(text.bytes, text.length, &tables, NULL), FH_OK);
    fh_table *table = fh_tables_at(tables, 0);
    if (value) fh_table_set_keyword(table, keyword, value);
    else fh_table_remove_keyword(table, keyword);
    fh_tables_check_code(tables, code);
    fh_table_set_keyword(table, "CHECK_CODE", code);
    assert_int_equal(fh_tables_write(tables, &again), FH_OK);
    assert_int_equal(fh_tie_read(again.bytes, again.length, &back, &error), FH_E_DATA);
    if (!strstr(error.message, message)) fail_msg("found: %s", error.message);
    assert_int_equal(back.objects, 77);
    fh_text_free(&again);
    fh_text_free(&text);
    fh_tables_free(tables);
}

static void content_that_cannot_be(void **state)
{
    (void)state;
    refuses("TIE_KIND", "guess", "expected none, offset, matrix");
    refuses("TIE_CONDITION", "D65/10 A/10", "expected conditions");
    refuses("TIE_MATRIX_Y", "1 2", "expected three numbers");
    refuses("TIE_SHIFT", "1 2 3 4", "three numbers");
    refuses("TIE_OFFSET", NULL, "no TIE_OFFSET");
    refuses("TIE_COVARIANCE_A", "5 0.09 0", "not positive semi-definite");
    refuses("TIE_OBJECTS", "3", "expected a number from 4");
    refuses("FARHUE_FILE", "spec", "expected a tie");
    fh_tie back;
    fh_error error = {0};
    assert_int_equal(fh_tie_read("nothing", 7, &back, &error), FH_E_DATA);
}

static void survives_want_of_memory(void **state)
{
    (void)state;
    fh_tie tie = make_tie(), back;
    for (long n = 0;; ++n) {
        fh_text text = {0};
        starve_after(n);
        fh_status status = fh_tie_write(&tie, NULL, &text);
        if (!status) status = fh_tie_read(text.bytes, text.length, &back, NULL);
        bool starved = starve_end();
        fh_text_free(&text);
        if (!starved) break;
        assert_int_equal(status, FH_E_MEMORY);
    }
    assert_string_equal(back.id, tie.id);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(round_trip),
        cmocka_unit_test(content_that_cannot_be),
        cmocka_unit_test(survives_want_of_memory),
    };
    return cmocka_run_group_tests_name("tie_file", tests, NULL, NULL);
}
