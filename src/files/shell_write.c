/* A shell to tables. */
#include "farhue/shell_file.h"

#include "base/memory.h"
#include "base/text.h"
#include "files/shell_record.h"

#include <string.h>

/* Ids must differ in a table: a look is "over BACKING" where its own id comes twice. */
static void name_looks(const fh_shell_record *record, fh_reading *look)
{
    for (size_t i = 0; i < record->count; ++i) {
        look[i] = record->look[i];
        fh_copy_text(look[i].method.backing, FH_ID, record->backing[i].id);
        bool twice = false;
        for (size_t j = 0; j < record->count; ++j)
            twice = twice || (j != i && strcmp(record->look[i].id, record->look[j].id) == 0);
        if (twice) fh_format(look[i].id, FH_ID, "over %.50s", record->backing[i].id);
    }
}

static fh_status put_readings(const fh_reading *readings, size_t count, const char *what,
                              const char *descriptor, fh_tables *tables)
{
    fh_table *table = fh_tables_add(tables);
    if (!table) return FH_E_MEMORY;
    fh_table_set_type(table, "CGATS.17");
    fh_table_set_keyword(table, "DESCRIPTOR", descriptor);
    fh_table_set_keyword(table, FH_SHELL_TABLE, what);
    return fh_library_to_table(readings, count, table);
}

static fh_status put_samples(const fh_shell_record *record, fh_tables *tables)
{
    if (record->count == 0) return FH_OK;
    fh_reading *copies = fh_allocate(2 * FH_SHELL_SAMPLES, sizeof *copies);
    if (!copies) return FH_E_MEMORY;
    fh_reading *look = copies, *backing = copies + FH_SHELL_SAMPLES;
    size_t count = 0;
    name_looks(record, look);
    for (size_t i = 0; i < record->count; ++i) { /* a backing may serve twice */
        bool there = false;
        for (size_t j = 0; j < count; ++j)
            there = there || strcmp(backing[j].id, record->backing[i].id) == 0;
        if (!there) backing[count++] = record->backing[i];
    }
    fh_status status =
        put_readings(look, record->count, "looks", "The shell over its backings", tables);
    if (!status) status = put_readings(backing, count, "backings", "What was behind it", tables);
    fh_free(copies);
    return status;
}

static fh_status put_curves(const fh_shell_record *record, const char *created, fh_tables *tables)
{
    const fh_shell *shell = &record->shell;
    fh_table *table = fh_tables_add(tables);
    if (!table) return FH_E_MEMORY;
    fh_table_set_type(table, "CGATS.17");
    fh_table_set_keyword(table, "DESCRIPTOR",
                         "Look of a part of reflectance R: A + B R / (1 - C R)");
    if (created) fh_table_set_keyword(table, "CREATED", created);
    fh_table_set_keyword(table, FH_SHELL_TABLE, "curves");
    if (shell->id[0]) fh_table_set_keyword(table, "SHELL_ID", shell->id);
    if (shell->name[0]) fh_table_set_keyword(table, "SHELL_NAME", shell->name);
    fh_table_set_keyword_number(table, FH_SHELL_INDEX, record->options.index);
    fh_table_set_keyword_number(table, FH_SHELL_INDEX_SIGMA, record->options.index_sigma);
    fh_table_set_keyword_number(table, FH_SHELL_NOISE, record->options.noise);
    fh_table_set_keyword_number(table, FH_SHELL_RATIO, record->wall_ratio);
    if (record->options.clear) fh_table_set_keyword(table, FH_SHELL_CLEAR_SHEET, "yes");
    if (shell->method.geometry)
        fh_table_set_keyword(table, "MEASUREMENT_GEOMETRY",
                             fh_geometry_name(shell->method.geometry));
    if (shell->method.specular)
        fh_table_set_keyword(table, "SPECULAR", fh_specular_name(shell->method.specular));
    size_t nm = fh_table_add_column(table, "NM"), A = fh_table_add_column(table, "CURVE_A");
    size_t B = fh_table_add_column(table, "CURVE_B"), C = fh_table_add_column(table, "CURVE_C");
    for (size_t i = 0; i < FH_BANDS; ++i) {
        size_t row = fh_table_add_row(table);
        fh_table_set_number(table, row, nm, fh_band_nm(i));
        fh_table_set_number(table, row, A, shell->curves.A.v[i]);
        fh_table_set_number(table, row, B, shell->curves.B.v[i]);
        fh_table_set_number(table, row, C, shell->curves.C.v[i]);
    }
    return FH_OK;
}

fh_status fh_shell_to_tables(const fh_shell_record *record, const char *created, fh_tables *tables)
{
    fh_status status = put_samples(record, tables);
    if (!status && record->has_transmittance)
        status = put_readings(&record->transmittance, 1, "transmittance",
                              "What passes through the shell alone", tables);
    if (!status) status = put_curves(record, created, tables);
    return status ? status : fh_tables_status(tables);
}
