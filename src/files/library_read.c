/* Files of readings: tables into libraries. */
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "files/layout.h"
#include "files/names.h"
#include "files/notes.h"

void fh_library_free(fh_library *library)
{
    fh_free(library->readings);
    fh_text_free(&library->notes);
    *library = (fh_library){0};
}

const fh_reading *fh_library_find(const fh_library *library, const char *id)
{
    for (size_t i = 0; i < library->count; ++i)
        if (strcmp(library->readings[i].id, id) == 0) return &library->readings[i];
    return NULL;
}

bool fh_library_in_table(const fh_table *table)
{
    static const fh_property colours[] = {FH_P_LAB_L, FH_P_XYZ_X, FH_P_SRGB};
    size_t wavelengths = 0;
    for (size_t i = 0; i < sizeof colours / sizeof *colours; ++i)
        if (fh_table_column(table, fh_property_name(colours[i])) != FH_NONE) return true;
    for (size_t i = 0; i < fh_table_columns(table); ++i) {
        fh_slice prefix;
        double nm;
        wavelengths += fh_wavelength_name(fh_table_column_name(table, i), &prefix, &nm);
    }
    return wavelengths >= 3 || fh_table_column(table, "SPECTRAL_NM") != FH_NONE ||
           fh_table_column(table, "L*") != FH_NONE || fh_table_column(table, "L") != FH_NONE ||
           fh_table_column(table, "X") != FH_NONE;
}

/* --- Notes ---------------------------------------------------------------------------------- */

/* What was seen while reading, to be said once a table. */
typedef struct tally {
    size_t held, glowing, apart, screen;
    double first_nm, last_nm; /* of the spectrum that holds most bands */
    bool ranges_differ;       /* others reach further, or elsewhere */
    double most_apart;
    size_t strange;       /* rows whose geometry isn't known, and the first such word */
    const char *geometry; /* of the table */
    bool unnamed;
} tally;

static void add_notes(fh_library *library, const fh_layout *layout, const tally *seen)
{
    if (seen->unnamed) fh_note(&library->notes, "no column SAMPLE_ID: the rows are numbered from 1");
    if (seen->held)
        fh_note(&library->notes, "%s %g to %g nm; %zu band%s beyond %s the value at the end",
                seen->ranges_differ ? "the shortest spectrum covers" : "the spectra cover",
                seen->first_nm, seen->last_nm, seen->held, seen->held == 1 ? "" : "s",
                seen->held == 1 ? "them holds" : "them hold");
    if (seen->glowing)
        fh_note(&library->notes, "%zu reading%s above a reflectance of 1: fluorescent or glossy?",
             seen->glowing, seen->glowing == 1 ? " is" : "s are");
    if (seen->apart)
        fh_note(&library->notes,
             "Lab beside the spectra differs from what they give by up to ΔE00 %.2f; the spectra are "
             "used",
             seen->most_apart);
    if (seen->strange)
        fh_note(&library->notes,
                "the geometry '%.40s' isn't known: %zu reading%s as without one; expected 45/0, "
                "8/d, 8:di, 8:de or photo",
                seen->geometry, seen->strange, seen->strange == 1 ? " counts" : "s count");
    if (seen->screen)
        fh_note(&library->notes,
             "%zu colour%s known as sRGB only: taken with a standard deviation of 4 in L*, 5 in a* "
             "and b*",
             seen->screen, seen->screen == 1 ? " is" : "s are");
    if (layout->ignored[0]) fh_note(&library->notes, "nothing is read from the columns %s", layout->ignored);
}

/* In a table of pairs each row has wavelengths of its own. */
static void count_range(const fh_row_findings *found, tally *seen)
{
    if (!(found->last_nm > 0)) return;
    if (seen->last_nm > 0 && (found->first_nm != seen->first_nm || found->last_nm != seen->last_nm))
        seen->ranges_differ = true;
    if (found->held <= seen->held && seen->last_nm > 0) return;
    seen->held = found->held;
    seen->first_nm = found->first_nm;
    seen->last_nm = found->last_nm;
}

static void count_notes(const fh_layout *layout, const fh_reading *reading,
                        const fh_row_findings *found, tally *seen)
{
    bool glow = false;
    count_range(found, seen);
    (void)fh_reading_check(reading, &glow, NULL);
    seen->glowing += glow;
    seen->apart += found->apart > 0.5;
    if (found->apart > seen->most_apart) seen->most_apart = found->apart;
    seen->unnamed = layout->place[FH_P_ID].column == FH_NONE;
    seen->screen += found->screen;
    if (found->strange && !seen->strange++) seen->geometry = found->strange;
}

/* --- Tables --------------------------------------------------------------------------------- */

static fh_status check_ids(const fh_library *library, size_t first, const fh_layout *layout,
                           fh_error *error)
{
    fh_names names = fh_names_begin(false);
    fh_status status = FH_OK;
    for (size_t i = 0; i < library->count && !status; ++i) {
        bool twice = false;
        status = fh_names_add(&names, library->readings[i].id, &twice);
        if (status) {
            status = fh_fail(error, status, "out of memory");
        } else if (twice) {
            char message[FH_ERROR_MESSAGE];
            fh_format(message, sizeof message, "id %s is there twice; expected each id once",
                      library->readings[i].id);
            status = fh_table_fail(layout->table, i >= first ? i - first : FH_NONE,
                                   layout->place[FH_P_ID].column, error, FH_E_DATA, message);
        }
    }
    fh_names_end(&names);
    return status;
}

static fh_status read_rows(fh_library *library, const fh_layout *layout, double *scratch,
                           fh_error *error)
{
    size_t first = library->count, rows = fh_table_rows(layout->table);
    tally seen = {0};
    for (size_t row = 0; row < rows; ++row) {
        fh_row_findings found;
        fh_reading *to = &library->readings[first + row];
        fh_status status = fh_layout_row(layout, row, scratch, to, &found, error);
        if (status) return status;
        count_notes(layout, to, &found, &seen);
    }
    library->count += rows;
    fh_status status = check_ids(library, first, layout, error);
    if (status)
        library->count = first;
    else
        add_notes(library, layout, &seen);
    return status;
}

fh_status fh_library_add_table(fh_library *library, const fh_table *table,
                               const fh_library_defaults *defaults, fh_error *error)
{
    fh_layout layout;
    size_t rows = fh_table_rows(table);
    if (!fh_library_in_table(table))
        return fh_table_fail(
            table, FH_NONE, FH_NONE, error, FH_E_DATA,
            "no colour columns; expected LAB_L LAB_A LAB_B, XYZ_X XYZ_Y XYZ_Z, SRGB "
            "or wavelengths such as SPECTRAL_NM380");
    if (rows > FH_LIBRARY_MAX - library->count)
        return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_LIMIT,
                             "too many readings; expected at most 50000");
    fh_status status = fh_layout_of(table, defaults, &layout, error);
    double *scratch = status ? NULL : fh_allocate(2 * layout.spectral.count, sizeof *scratch);
    fh_reading *bigger =
        status ? NULL : fh_reallocate(library->readings, library->count + rows + 1, sizeof *bigger);
    if (bigger) library->readings = bigger;
    if (!status && (!scratch || !bigger)) status = fh_fail(error, FH_E_MEMORY, "out of memory");
    if (!status) status = read_rows(library, &layout, scratch, error);
    fh_free(scratch);
    fh_layout_end(&layout);
    return status;
}

fh_status fh_library_read(const char *text, size_t length, const fh_library_defaults *defaults,
                          fh_library *out, fh_error *error)
{
    fh_tables *tables = NULL;
    fh_library library = {0};
    size_t read = 0;
    fh_status status = fh_tables_recognise(text, length)
                           ? fh_tables_read(text, length, &tables, error)
                           : fh_csv_read(text, length, &tables, error);
    if (status) return status;
    for (size_t i = 0; i < fh_tables_count(tables) && !status; ++i) {
        if (!fh_library_in_table(fh_tables_at(tables, i))) continue;
        status = fh_library_add_table(&library, fh_tables_at(tables, i), defaults, error);
        ++read;
    }
    if (!status && !read) /* says what is missing */
        status = fh_library_add_table(&library, fh_tables_at(tables, 0), defaults, error);
    fh_tables_free(tables);
    if (status)
        fh_library_free(&library);
    else
        *out = library;
    return status;
}
