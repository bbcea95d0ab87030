/* A shell from tables: readings are fitted again, curves alone are taken as they are.
 *
 * The curves in a file may come from another version or have been edited; where they give looks
 * that differ from the fit's by more than 0.002, a note says so and the fit is used. */
#include "farhue/shell_file.h"

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"
#include "files/layout.h"
#include "files/notes.h"
#include "files/shell_record.h"

#include <math.h>
#include <string.h>

fh_shell_record *fh_shell_record_new(void)
{
    fh_shell_record *record = fh_allocate(1, sizeof *record);
    if (!record) return NULL;
    record->options = fh_shell_options_default();
    record->wall_ratio = 1.0;
    record->shell.index = -1.0;
    record->shell.method = fh_method_unknown();
    return record;
}

void fh_shell_record_free(fh_shell_record *record)
{
    if (record) fh_text_free(&record->notes);
    fh_free(record);
}

/* Notes of another reader, whole lines; as with fh_note, want of memory is no failure. */
static void pass_notes(fh_shell_record *record, const fh_text *notes)
{
    fh_sink sink = fh_sink_to_text(&record->notes);
    if (notes->length) (void)sink.write(sink.user, notes->bytes, notes->length);
}

fh_status fh_shell_record_fit(fh_shell_record *record, fh_error *error)
{
    fh_shell_sample sample[FH_SHELL_SAMPLES];
    for (size_t i = 0; i < record->count; ++i)
        sample[i] = (fh_shell_sample){&record->look[i], &record->backing[i]};
    fh_shell_options options = record->options;
    options.transmittance = record->has_transmittance ? &record->transmittance : NULL;
    fh_shell *shell = fh_allocate(1, sizeof *shell);
    if (!shell) return fh_fail(error, FH_E_MEMORY, "%s", fh_status_text(FH_E_MEMORY));
    fh_status status = fh_shell_fit(sample, record->count, &options, shell, &record->report, error);
    if (!status && record->wall_ratio != 1.0) {
        status = fh_shell_thickness(shell, record->wall_ratio, shell);
        if (status)
            fh_fail(error, status,
                    "a wall of %g times the thickness; expected above 0 and at most 20",
                    record->wall_ratio);
    }
    if (!status) {
        memcpy(shell->id, record->shell.id, sizeof shell->id);
        memcpy(shell->name, record->shell.name, sizeof shell->name);
        record->shell = *shell;
    }
    fh_free(shell);
    return status;
}

static const char *part_of(const fh_table *table)
{
    const char *part = fh_table_keyword(table, FH_SHELL_TABLE);
    return part ? part : "";
}

static const fh_table *find(const fh_tables *tables, const char *part)
{
    for (size_t i = 0; i < fh_tables_count(tables); ++i)
        if (fh_slice_is_fold(fh_slice_of(part_of(fh_tables_at(tables, i))), part))
            return fh_tables_at(tables, i);
    return NULL;
}

bool fh_shell_in_tables(const fh_tables *tables)
{
    return find(tables, "curves") || find(tables, "looks") || find(tables, "transmittance");
}

static fh_status read_library(const fh_table *table, fh_library *out, fh_shell_record *record,
                              fh_error *error)
{
    fh_status status = fh_library_add_table(out, table, NULL, error);
    if (!status) pass_notes(record, &out->notes);
    return status;
}

/* Each look with the backing that it names. */
static fh_status join(fh_shell_record *record, const fh_table *table, const fh_library *looks,
                      const fh_library *backings, fh_error *error)
{
    char message[FH_ERROR_MESSAGE];
    if (looks->count > FH_SHELL_SAMPLES) {
        fh_format(message, sizeof message, "%zu looks of a shell; expected at most %d",
                  looks->count, (int)FH_SHELL_SAMPLES);
        return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_LIMIT, message);
    }
    for (size_t i = 0; i < looks->count; ++i) {
        const fh_reading *look = &looks->readings[i];
        const fh_reading *backing = fh_library_find(backings, look->method.backing);
        if (!backing) {
            fh_format(
                message, sizeof message,
                "the look '%s' was taken over '%s', which is not among the backings; expected "
                "SAMPLE_BACKING to name one of them",
                look->id, look->method.backing);
            return fh_table_fail(table, i, FH_NONE, error, FH_E_DATA, message);
        }
        record->look[i] = *look;
        record->backing[i] = *backing;
    }
    record->count = looks->count;
    return FH_OK;
}

static fh_status read_samples(const fh_tables *tables, fh_shell_record *record, fh_error *error)
{
    const fh_table *looks = find(tables, "looks"), *backings = find(tables, "backings");
    const fh_table *through = find(tables, "transmittance");
    fh_library look = {0}, backing = {0}, passed = {0};
    fh_status status = FH_OK;
    if (looks && !backings)
        status = fh_table_fail(looks, FH_NONE, FH_NONE, error, FH_E_DATA,
                               "looks of a shell without a table of its backings");
    if (looks && !status) status = read_library(looks, &look, record, error);
    if (looks && !status) status = read_library(backings, &backing, record, error);
    if (looks && !status) status = join(record, looks, &look, &backing, error);
    if (through && !status) status = read_library(through, &passed, record, error);
    if (through && !status && passed.count != 1)
        status = fh_table_fail(through, FH_NONE, FH_NONE, error, FH_E_DATA,
                               "several transmittances of one shell; expected one");
    if (through && !status) {
        record->transmittance = passed.readings[0];
        record->has_transmittance = true;
    }
    fh_library_free(&look);
    fh_library_free(&backing);
    fh_library_free(&passed);
    return status;
}

static fh_status read_options(const fh_table *table, fh_shell_record *record, fh_error *error)
{
    const char *clear = fh_table_keyword(table, FH_SHELL_CLEAR_SHEET);
    const char *id = fh_table_keyword(table, "SHELL_ID"),
               *name = fh_table_keyword(table, "SHELL_NAME");
    fh_status status =
        fh_table_keyword_number(table, FH_SHELL_INDEX, &record->options.index, error);
    if (!status)
        status = fh_table_keyword_number(table, FH_SHELL_INDEX_SIGMA, &record->options.index_sigma,
                                         error);
    if (!status)
        status = fh_table_keyword_number(table, FH_SHELL_NOISE, &record->options.noise, error);
    if (!status)
        status = fh_table_keyword_number(table, FH_SHELL_RATIO, &record->wall_ratio, error);
    if (status) return status;
    record->options.clear = clear && fh_slice_is_fold(fh_slice_of(clear), "yes");
    if (id) fh_copy_text(record->shell.id, FH_ID, id);
    if (name) fh_copy_text(record->shell.name, FH_NAME, name);
    return FH_OK;
}

static fh_status read_column(const fh_table *table, const char *name, const double *nm,
                             double *values, fh_spectrum *out, fh_error *error)
{
    const size_t column = fh_table_column(table, name), rows = fh_table_rows(table);
    char message[FH_ERROR_MESSAGE];
    fh_format(message, sizeof message, "the curves of a shell have no column %s", name);
    if (column == FH_NONE) return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA, message);
    for (size_t row = 0; row < rows; ++row) {
        fh_status status = fh_table_number(table, row, column, &values[row], error);
        if (status) return status;
    }
    if (fh_spectrum_resample(nm, values, rows, out, NULL))
        return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                             "the curves' wavelengths don't serve; expected at least 2 in "
                             "ascending order within 380-730 nm");
    return FH_OK;
}

static fh_status check_bounds(const fh_table *table, const fh_shell_curves *curves, fh_error *error)
{
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double A = curves->A.v[i], B = curves->B.v[i], C = curves->C.v[i];
        if (A >= 0.0 && B >= 0.0 && C >= 0.0 && C < 1.0 && A + B / (1.0 - C) <= 1.0 + 1e-6)
            continue;
        char message[FH_ERROR_MESSAGE];
        fh_format(
            message, sizeof message,
            "no shell has A %.4f, B %.4f, C %.4f (%.0f nm); expected A, B at least 0, C from 0 "
            "to below 1 and A + B/(1 - C) at most 1",
            A, B, C, fh_band_nm(i));
        return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA, message);
    }
    return FH_OK;
}

static fh_status read_curves(const fh_table *table, fh_shell_curves *out, fh_error *error)
{
    const size_t rows = fh_table_rows(table), column = fh_table_column(table, "NM");
    if (column == FH_NONE)
        return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                             "the curves of a shell have no column NM");
    double *nm = fh_allocate(rows, sizeof *nm), *values = fh_allocate(rows, sizeof *values);
    fh_status status = FH_OK;
    if (!nm || !values) status = fh_fail(error, FH_E_MEMORY, "%s", fh_status_text(FH_E_MEMORY));
    for (size_t row = 0; !status && row < rows; ++row)
        status = fh_table_number(table, row, column, &nm[row], error);
    fh_shell_curves curves;
    if (!status) status = read_column(table, "CURVE_A", nm, values, &curves.A, error);
    if (!status) status = read_column(table, "CURVE_B", nm, values, &curves.B, error);
    if (!status) status = read_column(table, "CURVE_C", nm, values, &curves.C, error);
    if (!status) status = check_bounds(table, &curves, error);
    if (!status) *out = curves;
    fh_free(nm);
    fh_free(values);
    return status;
}

/* Largest difference of the looks of a black, a grey and a white part. */
static double apart(const fh_shell_curves *a, const fh_shell_curves *b)
{
    double most = 0.0;
    for (int k = 0; k <= 2; ++k) {
        fh_spectrum part = fh_spectrum_flat(0.5 * k);
        fh_spectrum one = fh_shell_look(a, &part), two = fh_shell_look(b, &part);
        most = fmax(most, fh_spectrum_distance(one, two));
    }
    return most;
}

/* How curves that were given without readings were seen. */
static fh_status take_geometry(const fh_table *table, fh_shell_record *record, fh_error *error)
{
    fh_method *method = &record->shell.method;
    const char *geometry = fh_table_keyword(table, "MEASUREMENT_GEOMETRY");
    const char *said = fh_table_keyword(table, "SPECULAR");
    if (geometry && !fh_geometry_of(geometry, &method->geometry, &method->specular))
        fh_note(&record->notes,
                "the geometry '%.40s' isn't known: the shell counts as without one; expected 45/0, "
                "8/d, 8:di, 8:de or photo",
                geometry);
    for (int s = FH_SPECULAR_EXCLUDED; said && s <= FH_SPECULAR_INCLUDED; ++s) {
        if (!fh_slice_is_fold(fh_slice_of(said), fh_specular_name((fh_specular)s))) continue;
        if (method->specular != FH_SPECULAR_UNKNOWN && method->specular != (fh_specular)s)
            return fh_table_fail_keyword(table, "SPECULAR", error, FH_E_DATA,
                                         "SPECULAR contradicts the geometry; expected one of them");
        method->specular = (fh_specular)s;
    }
    return FH_OK;
}

static fh_status take_curves(const fh_table *table, fh_shell_record *record, bool fitted,
                             fh_error *error)
{
    fh_shell_curves curves;
    fh_status status = read_curves(table, &curves, error);
    if (status) return status;
    if (!fitted) {
        record->shell.kind = FH_SHELL_GIVEN;
        record->shell.curves = curves;
        return take_geometry(table, record, error);
    }
    double off = apart(&curves, &record->shell.curves);
    if (off <= 0.002) return FH_OK;
    fh_note(&record->notes,
            "the curves in the file differ from the fit of its readings (looks by up to %.4f); the "
            "fit is used",
            off);
    return FH_OK;
}

static fh_status read_all(const fh_tables *tables, fh_shell_record *record, fh_error *error)
{
    const fh_table *curves = find(tables, "curves");
    fh_status status = curves ? read_options(curves, record, error) : FH_OK;
    if (!status) status = read_samples(tables, record, error);
    bool fitted = record->count > 0 || record->has_transmittance;
    if (!status && fitted) status = fh_shell_record_fit(record, error);
    if (!status && curves) status = take_curves(curves, record, fitted, error);
    return status;
}

fh_status fh_shell_read(const fh_tables *tables, fh_shell_record **out, fh_error *error)
{
    *out = NULL;
    if (!fh_shell_in_tables(tables))
        return fh_fail(error, FH_E_DATA,
                       "no shell; expected tables with the keyword SHELL_TABLE, as "
                       "`farhue shell` writes them");
    fh_shell_record *record = fh_shell_record_new();
    if (!record) return fh_fail(error, FH_E_MEMORY, "%s", fh_status_text(FH_E_MEMORY));
    fh_status status = read_all(tables, record, error);
    if (status)
        fh_shell_record_free(record);
    else
        *out = record;
    return status;
}
