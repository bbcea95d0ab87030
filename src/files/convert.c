#include "farhue/convert.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/interpolate.h"
#include "base/memory.h"
#include "files/layout.h"
#include "files/table.h"

enum { MOST_POINTS = 1000 };

static fh_status no_memory(fh_error *error)
{
    return fh_fail(error, FH_E_MEMORY, "out of memory");
}

/* A list with one new table of the same type. */
static fh_table *begin(const fh_table *from, fh_tables **list)
{
    *list = fh_tables_new();
    fh_table *to = *list ? fh_tables_add(*list) : NULL;
    if (to) fh_table_set_type(to, fh_table_type(from));
    return to;
}

static fh_status end(fh_tables *list, fh_status status, fh_tables **out, fh_error *error)
{
    if (!status && list && fh_tables_status(list) == FH_E_LIMIT)
        status = fh_fail(error, FH_E_LIMIT,
                         "the converted table would be too large; at most %d columns, %d keywords, "
                         "%d values",
                         (int)FH_TABLE_COLUMNS, (int)FH_TABLE_KEYWORDS, (int)FH_TABLE_CELLS);
    if (!status && (!list || fh_tables_status(list))) status = no_memory(error);
    if (status)
        fh_tables_free(list);
    else
        *out = list;
    return status;
}

static void copy_keywords(const fh_table *from, fh_table *to)
{
    for (size_t i = 0; i < from->keyword_count; ++i) {
        const char *value = fh_table_keyword_value(from, i);
        fh_cell kept =
            fh_tables_keep(to->list, fh_slice_of(value), 0, 0, from->keywords[i].value.quoted);
        fh_cell name =
            fh_tables_keep(to->list, fh_slice_of(fh_table_keyword_name(from, i)), 0, 0, false);
        fh_table_push_keyword(to, name, kept);
    }
}

/* A cell as it stands: text stays text, a number keeps its digits. */
static void copy_cell(const fh_table *from, size_t row, size_t column, fh_table *to, size_t to_row,
                      size_t to_column)
{
    if (fh_tables_status(to->list)) return;
    fh_cell cell = from->cells[row * from->column_count + column];
    fh_cell kept =
        fh_tables_keep(to->list, fh_slice_of(fh_tables_text(from->list, cell)), 0, 0, cell.quoted);
    to->cells[to_row * to->column_count + to_column] = kept;
}

static bool is_spectral(const fh_layout *layout, size_t column)
{
    for (size_t i = 0; i < layout->spectral.count && !layout->spectral.pairs; ++i)
        if (layout->spectral.value_column[i] == column) return true;
    return false;
}

static const char *family_of(const fh_layout *layout)
{
    return layout->spectral.scale == 1 ? "SPECTRAL_DEC" : "SPECTRAL_PCT";
}

static void add_wavelength(fh_table *to, const char *family, double nm)
{
    char name[64], number[32];
    fh_shortest_number(number, sizeof number, nm);
    fh_format(name, sizeof name, "%s%s", family, number);
    fh_table_add_column(to, name);
}

/* --- Keywords into columns ------------------------------------------------------------------ */

enum { MOST_ADDED = FH_P_COUNT + 7 * FH_SHARED_FILE };

/* What keywords say: a value for the empty cells of a column, or for a column to add. */
typedef struct added {
    size_t count;
    const char *name[MOST_ADDED], *value[MOST_ADDED];
    size_t column[MOST_ADDED]; /* of the old table, FH_NONE for one to add */
} added;

static void add(added *list, const fh_place *place)
{
    if (!place->keyword) return;
    list->name[list->count] = place->name;
    list->column[list->count] = place->column;
    list->value[list->count++] = place->keyword;
}

static void collect(const fh_layout *layout, const char *condition, added *list)
{
    for (int i = 0; i < FH_P_COUNT; ++i) add(list, &layout->place[i]);
    for (size_t n = 0; n < FH_SHARED_FILE; ++n) {
        if (!layout->shared[n].present) continue;
        add(list, &layout->shared[n].source);
        for (size_t i = 0; i < 6; ++i) add(list, &layout->shared[n].part[i]);
    }
    if (!layout->has_condition || layout->place[FH_P_CONDITION].keyword) return;
    list->name[list->count] = "CONDITION";
    list->column[list->count] = layout->place[FH_P_CONDITION].column;
    list->value[list->count++] = condition;
}

static size_t count_lost(const fh_table *table, const added *list)
{
    size_t lost = 0;
    for (size_t i = 0; i < table->keyword_count; ++i) {
        fh_slice name = fh_slice_of(fh_table_keyword_name(table, i));
        bool kept =
            fh_slice_is_fold(name, "WEIGHTING_FUNCTION") || fh_slice_is_fold(name, "SPECTRAL_UNIT");
        for (size_t k = 0; k < list->count && !kept; ++k)
            kept = fh_slice_is_fold(name, list->name[k]);
        lost += !kept;
    }
    return lost;
}

/* Pairs of wavelength and value can be columns when all rows have the same wavelengths. */
static fh_status check_pairs(const fh_layout *layout, double *nm, fh_error *error)
{
    const fh_spectral_place *place = &layout->spectral;
    for (size_t row = 0; row < layout->table->row_count && place->pairs; ++row)
        for (size_t i = 0; i < place->count; ++i) {
            double value;
            fh_status status =
                fh_table_number(layout->table, row, place->nm_column[i], &value, error);
            if (status) return status;
            if (row == 0)
                nm[i] = value;
            else if (nm[i] < value || nm[i] > value)
                return fh_table_fail(
                    layout->table, row, place->nm_column[i], error, FH_E_DATA,
                    "another wavelength than in the first row; such spectra cannot "
                    "be columns");
        }
    for (size_t i = 0; i < place->count && !place->pairs; ++i) nm[i] = place->nm[i];
    return FH_OK;
}

/* What becomes of each column: its spectral index, FH_NONE for another one, count for the
 * wavelength of a pair, which goes into the name. */
static void index_columns(const fh_layout *layout, size_t *index)
{
    const fh_spectral_place *place = &layout->spectral;
    for (size_t i = 0; i < layout->table->column_count; ++i) index[i] = FH_NONE;
    for (size_t i = 0; i < place->count; ++i) {
        index[place->value_column[i]] = i;
        if (place->pairs) index[place->nm_column[i]] = place->count;
    }
}

/* An empty cell of a column whose keyword holds for the row. */
static void fill_empty(const fh_table *from, size_t row, size_t column, const added *list,
                       fh_table *to, size_t to_column)
{
    if (*fh_table_text(from, row, column)) return;
    for (size_t i = 0; i < list->count; ++i)
        if (list->column[i] == column) fh_table_set_text(to, row, to_column, list->value[i]);
}

static void put_columns(const fh_layout *layout, const added *list, const double *nm, size_t *index,
                        fh_table *to)
{
    const fh_table *from = layout->table;
    const size_t spectral = layout->spectral.count;
    index_columns(layout, index);
    for (size_t i = 0; i < from->column_count; ++i) {
        if (index[i] == FH_NONE)
            fh_table_add_column(to, fh_table_column_name(from, i));
        else if (index[i] < spectral)
            add_wavelength(to, family_of(layout), nm[index[i]]);
    }
    size_t first_added = fh_table_columns(to);
    for (size_t i = 0; i < list->count; ++i)
        if (list->column[i] == FH_NONE) fh_table_add_column(to, list->name[i]);
    for (size_t row = 0; row < from->row_count; ++row) {
        size_t column = 0, at = first_added;
        fh_table_add_row(to);
        for (size_t i = 0; i < from->column_count; ++i) {
            if (index[i] != FH_NONE && index[i] >= spectral) continue;
            copy_cell(from, row, i, to, row, column);
            fill_empty(from, row, i, list, to, column++);
        }
        for (size_t i = 0; i < list->count; ++i)
            if (list->column[i] == FH_NONE) fh_table_set_text(to, row, at++, list->value[i]);
    }
}

fh_status fh_convert_to_columns(const fh_table *table, const fh_library_defaults *defaults,
                                fh_tables **out, size_t *lost, fh_error *error)
{
    fh_layout *layout = fh_allocate(1, sizeof *layout);
    added *list = fh_allocate(1, sizeof *list);
    double *nm = fh_allocate(table->column_count + 1, sizeof *nm);
    size_t *index = fh_allocate(table->column_count + 1, sizeof *index);
    fh_tables *tables = NULL;
    char condition[FH_CONDITION_TEXT];
    bool room = layout && list && nm && index;
    fh_status status = room ? fh_layout_of(table, defaults, layout, error) : no_memory(error);
    if (!status) status = check_pairs(layout, nm, error);
    if (!status) {
        fh_condition_text(layout->condition, condition);
        collect(layout, condition, list);
        fh_table *to = begin(table, &tables);
        if (to) put_columns(layout, list, nm, index, to);
    }
    status = end(tables, status, out, error);
    if (!status && lost) *lost = count_lost(table, list);
    if (layout) fh_layout_end(layout);
    fh_free(layout);
    fh_free(list);
    fh_free(nm);
    fh_free(index);
    return status;
}

/* --- A table that says all ------------------------------------------------------------------ */

static void put_said(const fh_layout *layout, const fh_library_defaults *defaults, fh_table *to)
{
    const fh_table *from = layout->table;
    if (layout->has_condition && !fh_table_keyword(from, "WEIGHTING_FUNCTION")) {
        char text[48];
        fh_format(text, sizeof text, "ILLUMINANT, %s",
                  fh_illuminant_name(layout->condition.illuminant));
        fh_table_add_keyword(to, "WEIGHTING_FUNCTION", text);
        fh_format(text, sizeof text, "OBSERVER, %d degree",
                  layout->condition.observer == FH_OBSERVER_2 ? 2 : 10);
        fh_table_add_keyword(to, "WEIGHTING_FUNCTION", text);
    }
    bool unsaid = layout->spectral.count && !layout->spectral.pairs &&
                  !fh_table_keyword(from, "SPECTRAL_UNIT");
    if (unsaid && defaults && defaults->unit)
        fh_table_set_keyword(to, "SPECTRAL_UNIT",
                             layout->spectral.scale == 1 ? "factor" : "percent");
}

fh_status fh_convert_complete(const fh_table *table, const fh_library_defaults *defaults,
                              fh_tables **out, fh_error *error)
{
    fh_layout *layout = fh_allocate(1, sizeof *layout);
    fh_tables *tables = NULL;
    fh_status status = layout ? fh_layout_of(table, defaults, layout, error) : no_memory(error);
    fh_table *to = status ? NULL : begin(table, &tables);
    if (to) {
        copy_keywords(table, to);
        put_said(layout, defaults, to);
        for (size_t i = 0; i < table->column_count; ++i)
            fh_table_add_column(to, fh_table_column_name(table, i));
        for (size_t row = 0; row < table->row_count; ++row) {
            fh_table_add_row(to);
            for (size_t i = 0; i < table->column_count; ++i) copy_cell(table, row, i, to, row, i);
        }
    }
    status = end(tables, status, out, error);
    if (layout) fh_layout_end(layout);
    fh_free(layout);
    return status;
}

/* --- Another sampling ----------------------------------------------------------------------- */

static size_t point_count(fh_sampling s)
{
    return (size_t)floor((s.last - s.first) / s.step + 1e-9) + 1;
}

static fh_status check_sampling(const fh_layout *layout, fh_sampling s, fh_error *error)
{
    const fh_spectral_place *place = &layout->spectral;
    bool sound = s.step > 0 && s.first >= 200 && s.last <= 2500 && s.last > s.first &&
                 (s.last - s.first) / s.step < MOST_POINTS;
    if (!sound)
        return fh_fail(error, FH_E_DATA,
                       "a sampling from %g to %g nm by %g; expected ascending "
                       "wavelengths within 200 to 2500 nm, at most %d of them",
                       s.first, s.last, s.step, (int)MOST_POINTS);
    if (place->count < 2 || place->pairs)
        return fh_table_fail(layout->table, FH_NONE, FH_NONE, error, FH_E_DATA,
                             "no wavelength columns to interpolate");
    if (s.first < place->nm[0] - 1e-9 || s.last > place->nm[place->count - 1] + 1e-9)
        return fh_fail(error, FH_E_DATA,
                       "a sampling from %g to %g nm, and the spectra cover %g to %g; expected one "
                       "within what was measured",
                       s.first, s.last, place->nm[0], place->nm[place->count - 1]);
    return FH_OK;
}

static bool equidistant(const double *nm, size_t count)
{
    double step = (nm[count - 1] - nm[0]) / (double)(count - 1);
    for (size_t i = 1; i < count; ++i)
        if (fabs(nm[i] - nm[0] - step * (double)i) > 1e-6 * step) return false;
    return count >= FH_SPRAGUE_MIN;
}

static double interpolate(const double *nm, const double *values, size_t count, double x)
{
    if (x <= nm[0]) return values[0];
    if (x >= nm[count - 1]) return values[count - 1];
    if (!equidistant(nm, count)) return fh_monotone_cubic(nm, values, count, x);
    double position = (x - nm[0]) / (nm[count - 1] - nm[0]) * (double)(count - 1);
    double whole = round(position); /* a measured point stays as it is */
    if (fabs(position - whole) < 1e-9) return values[(size_t)whole];
    return fh_sprague(values, count, position);
}

/* One row's spectrum; cells that are all empty stay empty. */
static fh_status resample_row(const fh_layout *layout, size_t row, fh_sampling s, double *values,
                              fh_table *to, size_t first, fh_error *error)
{
    const fh_spectral_place *place = &layout->spectral;
    size_t empty = 0;
    for (size_t i = 0; i < place->count; ++i)
        empty += *fh_table_text(layout->table, row, place->value_column[i]) == '\0';
    if (empty == place->count) return FH_OK;
    for (size_t i = 0; i < place->count; ++i) {
        fh_status status =
            fh_table_number(layout->table, row, place->value_column[i], &values[i], error);
        if (status) return status;
    }
    for (size_t i = 0; i < point_count(s); ++i)
        fh_table_set_number(
            to, row, first + i,
            interpolate(place->nm, values, place->count, s.first + s.step * (double)i));
    return FH_OK;
}

static fh_status put_sampled(const fh_layout *layout, const fh_library_defaults *defaults,
                             fh_sampling s, fh_table *to, fh_error *error)
{
    const fh_table *from = layout->table;
    double *values = fh_allocate(layout->spectral.count, sizeof *values);
    fh_status status = values ? FH_OK : no_memory(error);
    copy_keywords(from, to);
    put_said(layout, defaults, to);
    for (size_t i = 0; i < from->column_count; ++i)
        if (!is_spectral(layout, i)) fh_table_add_column(to, fh_table_column_name(from, i));
    size_t first = fh_table_columns(to);
    for (size_t i = 0; i < point_count(s); ++i)
        add_wavelength(to, layout->spectral.family, s.first + s.step * (double)i);
    for (size_t row = 0; row < from->row_count && !status; ++row) {
        fh_table_add_row(to);
        size_t column = 0;
        for (size_t i = 0; i < from->column_count; ++i)
            if (!is_spectral(layout, i)) copy_cell(from, row, i, to, row, column++);
        status = resample_row(layout, row, s, values, to, first, error);
    }
    fh_free(values);
    return status;
}

fh_status fh_convert_sampling(const fh_table *table, const fh_library_defaults *defaults,
                              fh_sampling sampling, fh_tables **out, fh_error *error)
{
    fh_layout *layout = fh_allocate(1, sizeof *layout);
    fh_tables *tables = NULL;
    fh_status status = layout ? fh_layout_of(table, defaults, layout, error) : no_memory(error);
    if (!status) status = check_sampling(layout, sampling, error);
    fh_table *to = status ? NULL : begin(table, &tables);
    if (to) status = put_sampled(layout, defaults, sampling, to, error);
    status = end(tables, status, out, error);
    if (layout) fh_layout_end(layout);
    fh_free(layout);
    return status;
}
