#include "check.h"

#include "exact.h"
#include "farhue/shell_file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A record over three greys; two looks have the same id, as readings of one shell do. */
static fh_shell_record *made(void)
{
    fh_shell_record *record = fh_shell_record_new();
    check(record != NULL);
    const double grey[3] = {0.04, 0.35, 0.88};
    static const char *const names[3] = {"black", "grey", "white"};
    fh_shell_curves truth = {.A = fh_spectrum_flat(0.03), .C = fh_spectrum_flat(0.12)};
    truth.B = exact_part(5);
    for (int b = 0; b < 3; ++b) {
        fh_spectrum backing = fh_spectrum_flat(grey[b]);
        record->backing[b] = exact_reading(names[b], backing);
        record->look[b] = exact_reading(b == 2 ? "hood" : "shell", fh_shell_look(&truth, &backing));
        record->look[b].random = fh_mat3_diagonal(0.04, 0.01, 0.02);
        record->look[b].method.geometry = record->backing[b].method.geometry = FH_GEOMETRY_45_0;
        check(fh_reading_add_shared(&record->look[b], "instrument: one",
                                    fh_mat3_diagonal(0.1, 0.1, 0.1)) == FH_OK);
    }
    record->count = 3;
    strcpy(record->shell.id, "hood");
    fh_error error = {0};
    if (fh_shell_record_fit(record, &error)) fail_msg("fit: %s", error.message);
    return record;
}

static fh_text written(const fh_shell_record *record)
{
    fh_text text = {0};
    fh_tables *tables = fh_tables_new();
    check(fh_shell_to_tables(record, "2026-05-01", tables) == FH_OK);
    check(fh_tables_write(tables, &text) == FH_OK);
    fh_tables_free(tables);
    return text;
}

static fh_status read_back(const char *bytes, size_t length, fh_shell_record **out, fh_error *error)
{
    fh_tables *tables = NULL;
    fh_status status = fh_tables_read(bytes, length, &tables, error);
    if (!status) status = fh_shell_read(tables, out, error);
    fh_tables_free(tables);
    return status;
}

/* What is written reads the same: readings, curves, modes with their streams. */
static void round_trip(void **state)
{
    (void)state;
    fh_shell_record *record = made(), *back = NULL;
    fh_text text = written(record);
    fh_error error = {0};
    if (read_back(text.bytes, text.length, &back, &error)) fail_msg("read: %s", error.message);
    check(back->count == 3 && strcmp(back->shell.id, "hood") == 0);
    check(strcmp(back->look[0].id, "over black") == 0); /* "shell" came twice */
    check(strcmp(back->look[2].id, "hood") == 0);
    check_close(fh_spectrum_distance(back->shell.curves.A, record->shell.curves.A), 0, 1e-9);
    check_close(fh_spectrum_distance(back->shell.curves.B, record->shell.curves.B), 0, 1e-9);
    check_close(fh_spectrum_distance(back->shell.curves.C, record->shell.curves.C), 0, 1e-9);
    check(back->shell.mode_count == record->shell.mode_count);
    check(back->shell.method.geometry == FH_GEOMETRY_45_0);
    check(back->notes.length == 0);
    fh_text again = written(back);
    fh_shell_record_free(back);
    if (read_back(again.bytes, again.length, &back, &error)) fail_msg("again: %s", error.message);
    fh_shell_record_free(back);
    fh_text_free(&again);
    fh_text_free(&text);
    fh_shell_record_free(record);
}

static void curves_that_were_edited(void **state)
{
    (void)state;
    fh_shell_record *record = made(), *back = NULL;
    record->shell.curves.A = fh_spectrum_add(record->shell.curves.A, fh_spectrum_flat(0.01), 1);
    fh_text text = written(record);
    check(read_back(text.bytes, text.length, &back, NULL) == FH_OK);
    check(back->notes.length > 0 && strstr(back->notes.bytes, "differ from the fit"));
    check_close(back->shell.curves.A.v[3], 0.03, 5e-4);
    fh_shell_record_free(back);
    fh_shell_record_free(record);
    fh_text_free(&text);
}

/* Own requirement: curves alone state a geometry by any of its names, and one that isn't known is
 * noted. */
static void geometry_of_curves(void **state)
{
    (void)state;
    static const struct {
        const char *words;
        fh_geometry geometry;
        fh_specular specular;
        bool noted, refused;
    } cases[] = {
        {"MEASUREMENT_GEOMETRY \"de:8\"", FH_GEOMETRY_8_D, FH_SPECULAR_EXCLUDED, false, false},
        {"MEASUREMENT_GEOMETRY \"8/d\"\nSPECULAR \"included\"", FH_GEOMETRY_8_D,
         FH_SPECULAR_INCLUDED, false, false},
        {"MEASUREMENT_GEOMETRY \"ball\"", FH_GEOMETRY_UNKNOWN, FH_SPECULAR_UNKNOWN, true, false},
        {"MEASUREMENT_GEOMETRY \"de:8\"\nSPECULAR \"included\"", FH_GEOMETRY_UNKNOWN,
         FH_SPECULAR_UNKNOWN, false, true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; ++i) {
        char text[512];
        fh_shell_record *back = NULL;
        fh_error error = {0};
        int length = snprintf(text, sizeof text,
                              "CGATS.17\nSHELL_TABLE \"curves\"\n%s\nBEGIN_DATA_FORMAT\nNM CURVE_A "
                              "CURVE_B CURVE_C\nEND_DATA_FORMAT\nBEGIN_DATA\n380 0.1 0.2 0.1\n730 "
                              "0.1 0.4 0.1\nEND_DATA\n",
                              cases[i].words);
        const fh_status status = read_back(text, (size_t)length, &back, &error);
        assert_int_equal(status, cases[i].refused ? FH_E_DATA : FH_OK);
        if (cases[i].refused) {
            check(strstr(error.message, "contradicts the geometry") && error.line == 4);
            continue;
        }
        check(back->shell.method.geometry == cases[i].geometry);
        check(back->shell.method.specular == cases[i].specular);
        check(cases[i].noted == (back->notes.length > 0));
        fh_shell_record_free(back);
    }
}

static void curves_alone(void **state)
{
    (void)state;
    static const char good[] = "CGATS.17\nSHELL_TABLE \"curves\"\nNUMBER_OF_FIELDS 4\n"
                               "BEGIN_DATA_FORMAT\nNM CURVE_A CURVE_B CURVE_C\nEND_DATA_FORMAT\n"
                               "NUMBER_OF_SETS 2\nBEGIN_DATA\n380 0.1 0.2 0.1\n730 0.1 0.4 0.1\n"
                               "END_DATA\n";
    fh_shell_record *back = NULL;
    fh_error error = {0};
    if (read_back(good, sizeof good - 1, &back, &error)) fail_msg("%s", error.message);
    check(back->shell.kind == FH_SHELL_GIVEN && back->count == 0);
    check_close(back->shell.curves.A.v[10], 0.1, 1e-12);
    check_between(back->shell.curves.B.v[18], 0.25, 0.35);
    fh_shell_record_free(back);
    char bad[sizeof good];
    memcpy(bad, good, sizeof good);
    memcpy(strstr(bad, "0.2 0.1"), "0.9 0.1", 7);
    back = NULL;
    check(read_back(bad, sizeof bad - 1, &back, &error) == FH_E_DATA);
    check(back == NULL && strstr(error.message, "no shell has A"));
    memcpy(bad, good, sizeof good);
    memcpy(strstr(bad, "CURVE_B"), "CURVE_X", 7);
    check(read_back(bad, sizeof bad - 1, &back, &error) == FH_E_DATA);
    memcpy(bad, good, sizeof good);
    memcpy(strstr(bad, "curves"), "nought", 6);
    check(read_back(bad, sizeof bad - 1, &back, &error) == FH_E_DATA);
    check(strstr(error.message, "SHELL_TABLE"));
}

static void look_without_its_backing(void **state)
{
    (void)state;
    fh_shell_record *record = made(), *back = NULL;
    fh_text text = written(record);
    fh_error error = {0};
    char *row = strstr(text.bytes, "SHELL_TABLE \"backings\"");
    check(row != NULL);
    char *id = strstr(strstr(row, "BEGIN_DATA\n"), "grey");
    memcpy(id, "gray", 4);
    check(read_back(text.bytes, text.length, &back, &error) == FH_E_DATA);
    check(back == NULL && strstr(error.message, "not among the backings"));
    fh_shell_record_free(record);
    fh_text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(round_trip),
        cmocka_unit_test(curves_that_were_edited),
        cmocka_unit_test(geometry_of_curves),
        cmocka_unit_test(curves_alone),
        cmocka_unit_test(look_without_its_backing),
    };
    return cmocka_run_group_tests_name("files/shell_file", tests, NULL, NULL);
}
