/* Specs and replies as files: round trips, and every way in which a file may be wrong. */
#include "check.h"
#include "exact.h"
#include "starve.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "farhue/spec_file.h"

static fh_shell shell;

static fh_mat3 sigma(double s)
{
    return fh_mat3_diagonal(s * s, s * s, s * s);
}

static fh_spec *make_spec(bool with_shell)
{
    fh_reading part = exact_reading("dial ring", exact_part(5));
    part.random = sigma(0.2);
    part.repeats = 3;
    part.method.geometry = FH_GEOMETRY_45_0;
    part.method.gloss = 12.5;
    assert_int_equal(fh_reading_add_shared(&part, "instrument: Ondrel workshop", sigma(0.5)), FH_OK);
    shell = (fh_shell){.kind = FH_SHELL_GIVEN, .method = fh_method_unknown(), .index = -1};
    for (int i = 0; i < FH_BANDS; ++i) {
        shell.curves.A.v[i] = 0.01;
        shell.curves.B.v[i] = 0.3 + 0.01 * i;
        shell.curves.C.v[i] = 0.1;
    }
    static fh_target target;
    fh_target_init(&target, &part, with_shell ? &shell : NULL);
    target.tolerance = 1.5;
    target.aimed = true;
    fh_spec *spec;
    assert_int_equal(fh_spec_new(&target, &spec, NULL), FH_OK);
    strcpy(spec->title, "Ondrel tide clock, dial ring");
    strcpy(spec->owner, "The owner; \"quoted\"");
    strcpy(spec->created, "2031-02-03");
    strcpy(spec->deadline, "2031-03-01");
    strcpy(spec->caution[0], "Sand wet; wear a mask.");
    spec->caution_count = 1;
    return spec;
}

static fh_text written(fh_spec *spec)
{
    fh_text text = {0};
    assert_int_equal(fh_spec_write(spec, NULL, &text), FH_OK);
    return text;
}

static void round_trip(void **state)
{
    (void)state;
    for (int with_shell = 0; with_shell < 2; ++with_shell) {
        fh_spec *spec = make_spec(with_shell), *back;
        spec->shell_mm = 2.5;
        spec->gap_mm = 0;
        fh_text text = written(spec);
        fh_error error = {0};
        if (fh_spec_read(text.bytes, text.length, &back, NULL, &error))
            fail_msg("%zu:%zu %s", error.line, error.column, error.message);
        assert_string_equal(back->title, spec->title);
        assert_string_equal(back->owner, spec->owner);
        assert_string_equal(back->created, "2031-02-03");
        assert_string_equal(back->deadline, "2031-03-01");
        assert_string_equal(back->code, spec->code);
        assert_string_equal(back->caution[0], spec->caution[0]);
        assert_string_equal(back->part.id, "dial ring");
        assert_string_equal(back->part.shared[0].source, "instrument: Ondrel workshop");
        check(back->aimed && back->light_count == 3 && back->caution_count == 1);
        check(fh_condition_equal(back->light[2], spec->light[2]));
        check_close(back->tolerance, 1.5, 0.0);
        check_close(back->part.lab.b, spec->part.lab.b, 1e-9);
        check_close(back->part.random.m[1][1], 0.04, 1e-12);
        check_close(back->part.shared[0].covariance.m[2][2], 0.25, 1e-12);
        check_close(back->part.method.gloss, 12.5, 0.0);
        check(back->part.repeats == 3 && back->part.origin == FH_ORIGIN_SPECTRUM);
        check_all_close(back->part.reflectance.v, spec->part.reflectance.v, FH_BANDS, 1e-12);
        /* own requirement: how the shell is built goes along, a gap of 0 (contact) as well */
        check_close(fh_spec_shell_mm(back), with_shell ? 2.5 : -1, 0.0);
        check_close(fh_spec_gap_mm(back), with_shell ? 0 : -1, 0.0);
        check_close(back->told.safe, spec->told.safe, 0.0);
        check_all_close(back->told.high, spec->told.high, 3, 0.0);
        check(back->told.polar == spec->told.polar && back->told.capped == spec->told.capped);
        assert_int_equal(back->shell != NULL, with_shell);
        if (with_shell)
            check_all_close(back->shell->curves.B.v, shell.curves.B.v, FH_BANDS, 1e-6);
        /* what was read is written the same */
        fh_text again = written(back);
        assert_int_equal(again.length, text.length);
        assert_memory_equal(again.bytes, text.bytes, text.length);
        fh_text_free(&again);
        fh_text_free(&text);
        fh_spec_free(spec);
        fh_spec_free(back);
    }
}

/* A spec by a measured look carries that look. */
static void by_look(void **state)
{
    (void)state;
    fh_spec *spec = make_spec(true), *back;
    spec->by_look = true;
    spec->look = exact_reading("assembled", exact_part(5));
    spec->look.random = sigma(0.7);
    fh_text text = written(spec);
    fh_error error = {0};
    if (fh_spec_read(text.bytes, text.length, &back, NULL, &error)) fail_msg("%s", error.message);
    check(back->by_look && back->shell);
    assert_string_equal(back->look.id, "assembled");
    check_close(back->look.lab.b, spec->look.lab.b, 1e-9);
    check_close(back->look.random.m[2][2], 0.49, 1e-12);
    fh_target target;
    assert_int_equal(fh_spec_target(back, &target, &error), FH_OK);
    check(target.by_look);
    fh_spec_free(back);
    fh_text_free(&text);
    fh_spec_free(spec);
}

/* Own requirement: a spec that does not say how its shell is built reads as before; what the
 * shell's readings say counts then, else it is not known. */
static void not_said_how_built(void **state)
{
    (void)state;
    fh_spec *spec = make_spec(true), *back;
    fh_text text = written(spec);
    fh_error error = {0};
    assert_null(strstr(text.bytes, "SHELL_MM"));
    assert_null(strstr(text.bytes, "SHELL_GAP_MM"));
    if (fh_spec_read(text.bytes, text.length, &back, NULL, &error)) fail_msg("%s", error.message);
    check(back->shell_mm < 0 && back->gap_mm < 0);
    check(fh_spec_shell_mm(back) < 0 && fh_spec_gap_mm(back) < 0);
    back->shell->method.thickness_mm = 2;
    check_close(fh_spec_shell_mm(back), 2, 0.0);
    fh_spec_free(back);
    fh_text_free(&text);
    fh_spec_free(spec);
}

/* A copy of text with one piece replaced. */
static char *with(const char *text, const char *piece, const char *by)
{
    const char *at = strstr(text, piece);
    assert_non_null(at);
    size_t before = (size_t)(at - text);
    char *out = test_malloc(strlen(text) + strlen(by) + 1);
    memcpy(out, text, before);
    strcpy(out + before, by);
    strcat(out, at + strlen(piece));
    return out;
}

static void refuses(const char *text, const char *piece, const char *by, const char *message)
{
    char *wrong = with(text, piece, by);
    fh_spec *spec = NULL;
    fh_error error = {0};
    assert_int_equal(fh_spec_read(wrong, strlen(wrong), &spec, NULL, &error), FH_E_DATA);
    if (!strstr(error.message, message)) fail_msg("found: %s", error.message);
    check(spec == NULL);
    test_free(wrong);
}

/* Every value is under the check code: a changed digit is found, a changed blank or line ending
 * is not a change. */
static void check_code(void **state)
{
    (void)state;
    fh_spec *spec = make_spec(true), *back;
    fh_text text = written(spec);
    refuses(text.bytes, "TOLERANCE_SEEN 1.5", "TOLERANCE_SEEN 1.4", "the content has");
    refuses(text.bytes, "2031-03-01", "2031-04-01", "the content has");
    refuses(text.bytes, "\nCHECK_CODE", "\nX_CODE", "no CHECK_CODE");
    refuses(text.bytes, "0.33", "0.34", "the content has");

    char *crlf = test_malloc(2 * text.length + 1);
    size_t used = 0;
    for (size_t i = 0; i < text.length; ++i) {
        if (text.bytes[i] == '\n') crlf[used++] = '\r';
        crlf[used++] = text.bytes[i];
    }
    fh_error error = {0};
    if (fh_spec_read(crlf, used, &back, NULL, &error)) fail_msg("%s", error.message);
    assert_string_equal(back->code, spec->code);
    fh_spec_free(back);
    test_free(crlf);
    fh_text_free(&text);
    fh_spec_free(spec);
}

/* A file whose check code is right, but whose content cannot be. */
static void refuses_changed(const char *text, const char *piece, const char *by,
                            const char *message)
{
    char *changed = with(text, piece, by);
    fh_tables *tables;
    fh_text again = {0};
    char code[FH_CODE];
    assert_int_equal(fh_tables_read(changed, strlen(changed), &tables, NULL), FH_OK);
    fh_tables_check_code(tables, code);
    fh_table_set_keyword(fh_tables_at(tables, 0), "CHECK_CODE", code);
    assert_int_equal(fh_tables_write(tables, &again), FH_OK);
    fh_spec *spec = NULL;
    fh_error error = {0};
    check(fh_spec_read(again.bytes, again.length, &spec, NULL, &error) != FH_OK);
    if (!strstr(error.message, message)) fail_msg("found: %s", error.message);
    check(spec == NULL);
    fh_text_free(&again);
    fh_tables_free(tables);
    test_free(changed);
}

static void content_that_cannot_be(void **state)
{
    (void)state;
    fh_spec *spec = make_spec(false);
    fh_text text = written(spec);
    const char *t = text.bytes;
    refuses_changed(t, "TOLERANCE_SEEN 1.5", "TOLERANCE_SEEN 0", "expected a number from");
    refuses_changed(t, "TOLERANCE_SEEN 1.5", "TOLERANCE_SEEN -1", "expected a number from");
    refuses_changed(t, "D65/10 A/10 LED-B1/10", "D65/10 A/10 D65/10", "twice");
    refuses_changed(t, "D65/10 A/10 LED-B1/10", "D65/10 B/10", "expected conditions");
    refuses_changed(t, "D65/10 A/10 LED-B1/10", "", "expected a condition");
    refuses_changed(t, "SHELL \"no\"", "SHELL \"yes\"", "expected tables");
    refuses_changed(t, "SHELL \"no\"", "SHELL \"perhaps\"", "expected yes or no");
    refuses_changed(t, "SHELL \"no\"", "SHELL \"no\"\nSHELL_GAP_MM -1", "from 0 to 1000");
    refuses_changed(t, "SHELL \"no\"", "SHELL \"no\"\nSHELL_MM thin", "expected a number");
    refuses_changed(t, "AIMED \"yes\"", "AIMED \"yes\"\nBY_LOOK \"yes\"", "expected a table with");
    refuses_changed(t, "FARHUE_FILE \"spec\"", "FARHUE_FILE \"reply\"", "expected a spec");
    refuses_changed(t, "\nBOX_LOW", "\nBOX_LOWER", "no BOX_LOW");
    fh_spec *none = NULL;
    fh_error error = {0};
    assert_int_equal(fh_spec_read("hello", 5, &none, NULL, &error), FH_E_DATA);
    assert_int_equal(fh_spec_read("", 0, &none, NULL, &error), FH_E_DATA);
    check(none == NULL);
    fh_text_free(&text);
    fh_spec_free(spec);
}

static void replies(void **state)
{
    (void)state;
    fh_spec *spec = make_spec(false);
    fh_text text = written(spec), answer = {0};
    fh_reply *reply, *back;
    assert_int_equal(fh_reply_new(spec, 2, &reply), FH_OK);
    reply->readings[0] = exact_reading("coupon 1", exact_part(6));
    reply->readings[1] = exact_reading("coupon 2", exact_part(7));
    reply->decision = FH_MEASURE_AGAIN;
    reply->p_within = 0.41;
    reply->seen = 1.9;
    strcpy(reply->helper, "the helper");
    strcpy(reply->note, "second coat still wet");
    assert_int_equal(fh_reply_write(reply, &answer), FH_OK);
    fh_error error = {0};
    if (fh_reply_read(answer.bytes, answer.length, &back, &error)) fail_msg("%s", error.message);
    assert_string_equal(back->answers, spec->code);
    assert_string_equal(back->note, "second coat still wet");
    assert_int_equal(back->count, 2);
    assert_int_equal(back->decision, FH_MEASURE_AGAIN);
    check_close(back->p_within, 0.41, 0.0);
    assert_string_equal(back->readings[1].id, "coupon 2");
    assert_int_equal(fh_reply_answers(back, spec, &error), FH_OK);
    strcpy(spec->code, "0000-0000");
    assert_int_equal(fh_reply_answers(back, spec, &error), FH_E_DATA);
    check(strstr(error.message, "expected 0000-0000") != NULL);
    /* a reply is no spec */
    fh_spec *none = NULL;
    assert_int_equal(fh_spec_read(answer.bytes, answer.length, &none, NULL, &error), FH_E_DATA);
    assert_int_equal(fh_reply_new(spec, 0, &reply), FH_E_ARGUMENT);
    fh_reply_free(back);
    fh_reply_free(reply);
    fh_text_free(&answer);
    fh_text_free(&text);
    fh_spec_free(spec);
}

static void survives_want_of_memory(void **state)
{
    (void)state;
    fh_spec *spec = make_spec(true), *back = NULL;
    fh_text text = written(spec);
    for (long n = 0;; ++n) {
        starve_after(n);
        fh_status status = fh_spec_read(text.bytes, text.length, &back, NULL, NULL);
        if (!starve_end()) break;
        assert_int_equal(status, FH_E_MEMORY);
        check(back == NULL);
    }
    check(back != NULL);
    fh_spec_free(back);
    for (long n = 0;; ++n) {
        fh_text again = {0};
        starve_after(n);
        fh_status status = fh_spec_write(spec, NULL, &again);
        bool starved = starve_end();
        fh_text_free(&again);
        if (!starved) break;
        assert_int_equal(status, FH_E_MEMORY);
    }
    fh_text_free(&text);
    fh_spec_free(spec);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(round_trip),
        cmocka_unit_test(not_said_how_built),
        cmocka_unit_test(by_look),
        cmocka_unit_test(check_code),
        cmocka_unit_test(content_that_cannot_be),
        cmocka_unit_test(replies),
        cmocka_unit_test(survives_want_of_memory),
    };
    return cmocka_run_group_tests_name("spec_file", tests, NULL, NULL);
}
