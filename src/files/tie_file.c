/* A tie: keywords for the correction, one row for each shared source that corrected readings get. */
#include <string.h>

#include "base/error.h"
#include "base/text.h"
#include "farhue/spec_file.h"
#include "farhue/tie_file.h"
#include "files/values.h"

static const char *const row_names[2][3] = {
    {"TIE_MATRIX_X", "TIE_MATRIX_Y", "TIE_MATRIX_Z"},
    {"TIE_COVARIANCE_L", "TIE_COVARIANCE_A", "TIE_COVARIANCE_B"},
};

static const char *const parts[6] = {"VAR_L", "COV_LA", "COV_LB", "VAR_A", "COV_AB", "VAR_B"};
static const int part_row[6] = {0, 0, 0, 1, 1, 2}, part_column[6] = {0, 1, 2, 1, 2, 2};

static void put_matrix(fh_table *table, int which, const fh_mat3 *m)
{
    for (int i = 0; i < 3; ++i) fh_value_put_three(table, row_names[which][i], m->m[i]);
}

static fh_status get_matrix(const fh_table *table, int which, fh_mat3 *m, fh_error *error)
{
    for (int i = 0; i < 3; ++i) {
        fh_status status = fh_value_get_three(table, row_names[which][i], m->m[i], error);
        if (status) return status;
    }
    return FH_OK;
}

static void put_sources(const fh_tie *tie, fh_table *table)
{
    for (size_t i = 0; i < tie->from_count; ++i)
        fh_table_add_keyword(table, "TIE_FROM", tie->from[i]);
    fh_table_add_column(table, "SOURCE");
    for (int k = 0; k < 6; ++k) fh_table_add_column(table, parts[k]);
    for (size_t i = 0; i < tie->to_count; ++i) {
        size_t row = fh_table_add_row(table);
        fh_table_set_text(table, row, 0, tie->to[i].source);
        for (size_t k = 0; k < 6; ++k)
            fh_table_set_number(table, row, k + 1,
                                tie->to[i].covariance.m[part_row[k]][part_column[k]]);
    }
}

fh_status fh_tie_write(const fh_tie *tie, const char *created, fh_text *out)
{
    char code[FH_CODE];
    fh_tables *tables;
    fh_table *table = fh_value_begin("tie", &tables);
    if (!table) return FH_E_MEMORY;
    fh_table_set_keyword(table, "CHECK_CODE", "");
    fh_value_put_text(table, "CREATED", created ? created : "");
    fh_table_set_keyword(table, "TIE_ID", tie->id);
    fh_value_put_conditions(table, "TIE_CONDITION", &tie->condition, 1);
    fh_table_set_keyword(table, "TIE_KIND", fh_tie_kind_text(tie->kind));
    fh_value_put_three(table, "TIE_OFFSET", tie->offset.v);
    put_matrix(table, 0, &tie->matrix);
    fh_value_put_three(table, "TIE_SHIFT", tie->shift.v);
    put_matrix(table, 1, &tie->covariance);
    fh_table_set_keyword_number(table, "TIE_OBJECTS", (double)tie->objects);
    fh_table_set_keyword_number(table, "TIE_BEFORE", tie->before);
    fh_table_set_keyword_number(table, "TIE_AFTER", tie->after);
    put_sources(tie, table);
    fh_status status = fh_tables_status(tables);
    if (!status) {
        fh_tables_check_code(tables, code);
        fh_table_set_keyword(table, "CHECK_CODE", code);
        status = fh_tables_write(tables, out);
    }
    fh_tables_free(tables);
    return status;
}

static fh_status get_kind(const fh_table *table, fh_tie *tie, fh_error *error)
{
    char text[32];
    fh_status status = fh_value_get_text(table, "TIE_KIND", text, sizeof text, error);
    for (int kind = 0; !status && kind < FH_TIE_KINDS; ++kind)
        if (strcmp(text, fh_tie_kind_text((fh_tie_kind)kind)) == 0) {
            tie->kind = (fh_tie_kind)kind;
            return FH_OK;
        }
    return status ? status
                  : fh_table_fail_keyword(table, "TIE_KIND", error, FH_E_DATA,
                                          "no such TIE_KIND; expected none, offset, matrix or "
                                          "matrix with shift");
}

static fh_status get_from(const fh_table *table, fh_tie *tie, fh_error *error)
{
    for (size_t i = 0; i < fh_table_keyword_count(table); ++i) {
        if (strcmp(fh_table_keyword_name(table, i), "TIE_FROM") != 0) continue;
        if (tie->from_count == FH_SHARED_MAX ||
            !fh_copy_text(tie->from[tie->from_count++], FH_SOURCE,
                          fh_table_keyword_value(table, i)))
            return fh_table_fail_keyword(table, "TIE_FROM", error, FH_E_DATA,
                                         "too many sources, or a name too long; expected at most "
                                         "6 of 63 bytes");
    }
    return FH_OK;
}

static fh_status get_to(const fh_table *table, fh_tie *tie, fh_error *error)
{
    fh_mat3 factor;
    size_t source = fh_table_column(table, "SOURCE"), column[6];
    for (int k = 0; k < 6; ++k) {
        column[k] = fh_table_column(table, parts[k]);
        if (source == FH_NONE || column[k] == FH_NONE)
            return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                                 "a column is missing; expected SOURCE, VAR_L, COV_LA, COV_LB, "
                                 "VAR_A, COV_AB, VAR_B");
    }
    for (size_t row = 0; row < fh_table_rows(table); ++row) {
        fh_shared one = {.source = ""};
        for (int k = 0; k < 6; ++k) {
            double value = 0.0;
            fh_status status = fh_table_number(table, row, column[k], &value, error);
            if (status) return status;
            one.covariance.m[part_row[k]][part_column[k]] = value;
            one.covariance.m[part_column[k]][part_row[k]] = value;
        }
        if (row == FH_SHARED_MAX || fh_mat3_cholesky(one.covariance, &factor) ||
            !fh_copy_text(one.source, FH_SOURCE, fh_table_text(table, row, source)))
            return fh_table_fail(table, row, source, error, FH_E_DATA,
                                 "too many sources, a name too long, or a covariance that is not "
                                 "positive semi-definite");
        tie->to[tie->to_count++] = one;
    }
    return FH_OK;
}

static fh_status get_tie(const fh_tables *tables, fh_tie *tie, fh_error *error)
{
    size_t one;
    double objects = 0.0;
    fh_mat3 factor;
    if (strcmp(fh_tables_kind(tables), "tie") != 0)
        return fh_fail(error, FH_E_DATA,
                       "no FARHUE_FILE keyword with the value tie; expected a tie that farhue "
                       "wrote");
    fh_status status = fh_tables_verify(tables, NULL, error);
    if (status) return status;
    const fh_table *table = fh_tables_at(tables, 0);
    status = fh_value_get_text(table, "TIE_ID", tie->id, FH_ID, error);
    if (!status)
        status = fh_value_get_conditions(table, "TIE_CONDITION", &tie->condition, 1, &one, error);
    if (!status) status = get_kind(table, tie, error);
    if (!status) status = fh_value_get_three(table, "TIE_OFFSET", tie->offset.v, error);
    if (!status) status = get_matrix(table, 0, &tie->matrix, error);
    if (!status) status = fh_value_get_three(table, "TIE_SHIFT", tie->shift.v, error);
    if (!status) status = get_matrix(table, 1, &tie->covariance, error);
    if (!status)
        status = fh_value_get_number(table, "TIE_OBJECTS", FH_TIE_LEAST, FH_TIE_MOST, &objects,
                                     error);
    if (!status) status = fh_value_get_number(table, "TIE_BEFORE", 0, 1000, &tie->before, error);
    if (!status) status = fh_value_get_number(table, "TIE_AFTER", 0, 1000, &tie->after, error);
    if (!status) status = get_from(table, tie, error);
    if (!status) status = get_to(table, tie, error);
    if (status) return status;
    tie->objects = (size_t)objects;
    if (fh_mat3_cholesky(tie->covariance, &factor))
        return fh_table_fail_keyword(table, "TIE_COVARIANCE_L", error, FH_E_DATA,
                                     "a covariance that is not positive semi-definite");
    for (int kind = 0; kind < FH_TIE_KINDS; ++kind) tie->tried[kind] = -1.0;
    return FH_OK;
}

fh_status fh_tie_read(const char *text, size_t length, fh_tie *out, fh_error *error)
{
    fh_tables *tables;
    fh_tie tie = {.id = ""};
    fh_status status = fh_tables_read(text, length, &tables, error);
    if (status) return status;
    status = get_tie(tables, &tie, error);
    fh_tables_free(tables);
    if (!status) *out = tie;
    return status;
}
