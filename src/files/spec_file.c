/* A spec: a table with what is asked for, whose one row is the bare target; and, with a shell,
 * the shell's tables after it. */
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"
#include "farhue/library.h"
#include "farhue/spec_file.h"
#include "files/values.h"

/* --- Writing ---------------------------------------------------------------------------------- */

/* What people are told of the tolerance. */
static void put_told(fh_table *table, const fh_tolerance *told, bool shell)
{
    char sentence[FH_SENTENCE];
    const double bare[3] = {told->bare.L, told->bare.a, told->bare.b};
    fh_tolerance_sentence(told, shell, sentence);
    fh_table_set_keyword(table, "TOLERANCE_TOLD", sentence);
    fh_value_put_three(table, "BARE_LAB", bare);
    fh_table_set_keyword_number(table, "BARE_SAFE", told->safe);
    fh_value_put_three(table, "BARE_TIGHTEST", told->tightest.v);
    fh_table_set_keyword_number(table, "BARE_FORGIVING", told->forgiving);
    fh_value_put_three(table, "BARE_LOOSEST", told->loosest.v);
    fh_value_put_flag(table, "BARE_CAPPED", told->capped);
    fh_table_set_keyword_number(table, "PIGMENTS_SHOW", told->pigments);
    fh_table_set_keyword(table, "BOX_AXES", told->polar ? "L C H" : "L a b");
    fh_value_put_three(table, "BOX_LOW", told->low);
    fh_value_put_three(table, "BOX_HIGH", told->high);
}

static fh_status put_spec(const fh_spec *spec, fh_table *table)
{
    fh_table_set_type(table, "CGATS.17");
    fh_table_set_keyword(table, "FARHUE_FILE", "spec");
    fh_table_set_keyword(table, "CHECK_CODE", "");
    fh_value_put_text(table, "DESCRIPTOR", spec->title);
    fh_value_put_text(table, "ORIGINATOR", spec->owner);
    fh_value_put_text(table, "CREATED", spec->created);
    fh_value_put_text(table, "DEADLINE", spec->deadline);
    fh_value_put_flag(table, "AIMED", spec->aimed);
    if (spec->by_look) fh_value_put_flag(table, "BY_LOOK", true);
    fh_value_put_conditions(table, "BARE_CONDITION", &spec->condition, 1);
    fh_value_put_conditions(table, "LIGHTS", spec->light, spec->light_count);
    fh_table_set_keyword_number(table, "TOLERANCE_SEEN", spec->tolerance);
    fh_value_put_flag(table, "SHELL", spec->shell != NULL);
    if (spec->shell && spec->shell_mm >= 0)
        fh_table_set_keyword_number(table, "SHELL_MM", spec->shell_mm);
    if (spec->shell && spec->gap_mm >= 0)
        fh_table_set_keyword_number(table, "SHELL_GAP_MM", spec->gap_mm);
    put_told(table, &spec->told, spec->shell != NULL);
    for (size_t i = 0; i < spec->caution_count; ++i)
        fh_table_add_keyword(table, "CAUTION", spec->caution[i]);
    return fh_library_to_table(&spec->part, 1, table);
}

/* Set the check code and turn the tables into text. */
static fh_status finish(fh_tables *tables, char code[FH_CODE], fh_text *out)
{
    fh_tables_check_code(tables, code);
    fh_table_set_keyword(fh_tables_at(tables, 0), "CHECK_CODE", code);
    return fh_tables_write(tables, out);
}

static fh_status put_look(const fh_spec *spec, fh_tables *tables)
{
    fh_table *table = fh_tables_add(tables);
    if (!table) return FH_E_MEMORY;
    fh_table_set_type(table, "CGATS.17");
    fh_table_set_keyword(table, "SPEC_TABLE", "look");
    return fh_library_to_table(&spec->look, 1, table);
}

static fh_status put_shell(const fh_spec *spec, const fh_shell_record *shell, fh_tables *tables)
{
    if (shell) return fh_shell_to_tables(shell, NULL, tables);
    fh_shell_record *curves = fh_shell_record_new();
    if (!curves) return FH_E_MEMORY;
    curves->shell = *spec->shell;
    fh_status status = fh_shell_to_tables(curves, NULL, tables);
    fh_shell_record_free(curves);
    return status;
}

fh_status fh_spec_write(fh_spec *spec, const fh_shell_record *shell, fh_text *out)
{
    char code[FH_CODE];
    fh_tables *tables = fh_tables_new();
    fh_table *table = tables ? fh_tables_add(tables) : NULL;
    fh_status status = table ? put_spec(spec, table) : FH_E_MEMORY;
    if (!status && spec->by_look) status = put_look(spec, tables);
    if (!status && spec->shell) status = put_shell(spec, shell, tables);
    if (!status) status = fh_tables_status(tables);
    if (!status) status = finish(tables, code, out);
    fh_tables_free(tables);
    if (!status) memcpy(spec->code, code, sizeof spec->code);
    return status;
}

/* --- Reading ---------------------------------------------------------------------------------- */

static fh_status get_told(const fh_table *table, fh_tolerance *told, fh_error *error)
{
    double bare[3];
    char axes[8];
    fh_status status = fh_value_get_three(table, "BARE_LAB", bare, error);
    if (!status) status = fh_value_get_number(table, "BARE_SAFE", 0, 1000, &told->safe, error);
    if (!status) status = fh_value_get_three(table, "BARE_TIGHTEST", told->tightest.v, error);
    if (!status) status = fh_value_get_number(table, "BARE_FORGIVING", 0, 1000, &told->forgiving, error);
    if (!status) status = fh_value_get_three(table, "BARE_LOOSEST", told->loosest.v, error);
    if (!status) status = fh_value_get_flag(table, "BARE_CAPPED", &told->capped, error);
    if (!status) status = fh_value_get_number(table, "PIGMENTS_SHOW", 0, 1000, &told->pigments, error);
    if (!status) status = fh_value_get_text(table, "BOX_AXES", axes, sizeof axes, error);
    if (!status) status = fh_value_get_three(table, "BOX_LOW", told->low, error);
    if (!status) status = fh_value_get_three(table, "BOX_HIGH", told->high, error);
    if (status) return status;
    told->bare = (fh_lab){bare[0], bare[1], bare[2]};
    told->polar = strcmp(axes, "L C H") == 0;
    for (int i = 0; i < 3; ++i)
        if (told->low[i] > 0 || told->high[i] < 0)
            return fh_table_fail_keyword(table, "BOX_LOW", error, FH_E_DATA,
                                         "the box does not hold the target; expected BOX_LOW at "
                                         "most 0 and BOX_HIGH at least 0 on each axis");
    return FH_OK;
}

static fh_status get_cautions(const fh_table *table, fh_spec *spec, fh_error *error)
{
    for (size_t i = 0; i < fh_table_keyword_count(table); ++i) {
        if (strcmp(fh_table_keyword_name(table, i), "CAUTION") != 0) continue;
        const char *text = fh_table_keyword_value(table, i);
        if (spec->caution_count == FH_SPEC_CAUTIONS ||
            !fh_copy_text(spec->caution[spec->caution_count++], FH_CAUTION_TEXT, text))
            return fh_table_fail_keyword(table, "CAUTION", error, FH_E_LIMIT,
                                         "too many cautions, or one too long; expected at most 8 "
                                         "of 399 bytes");
    }
    return FH_OK;
}

/* How the shell is built, where it is stated. */
static fh_status get_built(const fh_table *table, fh_spec *spec, fh_error *error)
{
    fh_status status = FH_OK;
    spec->shell_mm = spec->gap_mm = -1;
    if (fh_table_keyword(table, "SHELL_MM"))
        status = fh_value_get_number(table, "SHELL_MM", 0, FH_BUILT_MM_MAX, &spec->shell_mm, error);
    if (!status && fh_table_keyword(table, "SHELL_GAP_MM"))
        status =
            fh_value_get_number(table, "SHELL_GAP_MM", 0, FH_BUILT_MM_MAX, &spec->gap_mm, error);
    return status;
}

static fh_status get_asked(const fh_table *table, fh_spec *spec, bool *shell, fh_error *error)
{
    size_t one;
    fh_status status = fh_value_get_text(table, "DESCRIPTOR", spec->title, FH_NAME, error);
    if (!status) status = fh_value_get_text(table, "ORIGINATOR", spec->owner, FH_NAME, error);
    if (!status) status = fh_value_get_text(table, "CREATED", spec->created, FH_DATE, error);
    if (!status) status = fh_value_get_text(table, "DEADLINE", spec->deadline, FH_DATE, error);
    if (!status) status = fh_value_get_flag(table, "AIMED", &spec->aimed, error);
    if (!status)
        status = fh_value_get_conditions(table, "BARE_CONDITION", &spec->condition, 1, &one, error);
    if (!status)
        status = fh_value_get_conditions(table, "LIGHTS", spec->light, FH_LIGHTS_MAX,
                                   &spec->light_count, error);
    if (!status)
        status = fh_value_get_number(table, "TOLERANCE_SEEN", 1e-3, 50, &spec->tolerance, error);
    if (!status) status = fh_value_get_flag(table, "SHELL", shell, error);
    if (!status) status = get_built(table, spec, error);
    if (!status) status = get_told(table, &spec->told, error);
    spec->told.seen = spec->tolerance;
    spec->told.condition = spec->condition;
    return status ? status : get_cautions(table, spec, error);
}

/* The one reading of a table. */
static fh_status get_one(const fh_table *table, fh_reading *out, fh_error *error)
{
    fh_library library = {0};
    fh_status status = fh_library_add_table(&library, table, NULL, error);
    if (!status && library.count != 1)
        status = fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                               "no colour, or several; expected one, the bare target or its look");
    if (!status) *out = library.readings[0];
    fh_library_free(&library);
    return status;
}

static fh_status get_look(const fh_tables *tables, fh_spec *spec, fh_error *error)
{
    const fh_table *first = fh_tables_at(tables, 0);
    if (!fh_table_keyword(first, "BY_LOOK")) return FH_OK;
    fh_status status = fh_value_get_flag(first, "BY_LOOK", &spec->by_look, error);
    if (status || !spec->by_look) return status;
    for (size_t i = 1; i < fh_tables_count(tables); ++i) {
        const fh_table *table = fh_tables_at(tables, i);
        const char *what = fh_table_keyword(table, "SPEC_TABLE");
        if (what && strcmp(what, "look") == 0) return get_one(table, &spec->look, error);
    }
    return fh_table_fail_keyword(first, "BY_LOOK", error, FH_E_DATA,
                                 "the spec says that the look was measured; expected a table with "
                                 "SPEC_TABLE \"look\"");
}

static fh_status get_shell(const fh_tables *tables, fh_spec *spec, fh_shell_record **record,
                           fh_error *error)
{
    if (!fh_shell_in_tables(tables))
        return fh_table_fail_keyword(fh_tables_at(tables, 0), "SHELL", error, FH_E_DATA,
                                     "the spec says that it has a shell; expected tables with its "
                                     "readings or curves");
    fh_status status = fh_shell_read(tables, record, error);
    if (status) return status;
    spec->shell = fh_allocate(1, sizeof *spec->shell);
    if (!spec->shell) return fh_fail(error, FH_E_MEMORY, "not enough memory");
    *spec->shell = (*record)->shell;
    return FH_OK;
}

static fh_status get_spec(const fh_tables *tables, fh_spec *spec, fh_shell_record **record,
                          fh_error *error)
{
    bool shell = false;
    fh_target target;
    if (strcmp(fh_tables_kind(tables), "spec") != 0)
        return fh_fail(error, FH_E_DATA,
                       "no FARHUE_FILE keyword with the value spec; expected a spec that farhue "
                       "wrote");
    fh_status status = fh_tables_verify(tables, spec->code, error);
    if (!status) status = get_asked(fh_tables_at(tables, 0), spec, &shell, error);
    if (!status) status = get_one(fh_tables_at(tables, 0), &spec->part, error);
    if (!status) status = get_look(tables, spec, error);
    if (!status && shell) status = get_shell(tables, spec, record, error);
    return status ? status : fh_spec_target(spec, &target, error);
}

fh_status fh_spec_read(const char *text, size_t length, fh_spec **out, fh_shell_record **shell,
                       fh_error *error)
{
    fh_tables *tables;
    fh_shell_record *record = NULL;
    fh_status status = fh_tables_read(text, length, &tables, error);
    if (status) return status;
    fh_spec *spec = fh_allocate(1, sizeof *spec);
    status = spec ? get_spec(tables, spec, &record, error)
                  : fh_fail(error, FH_E_MEMORY, "not enough memory");
    if (status) {
        fh_spec_free(spec);
    } else {
        *out = spec;
        if (shell) {
            *shell = record;
            record = NULL;
        }
    }
    fh_shell_record_free(record);
    fh_tables_free(tables);
    return status;
}
