/* Charts from and to table text. The colours of a table are read as any library's are; the layout,
 * the editions and the spectra come on top. */
#include "farhue/chart_file.h"

#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"

enum { TABLES = FH_CHART_EDITIONS + 1 };

/* The tables of a file that hold colours. */
typedef struct part {
    const fh_table *table;
    const char *edition; /* NULL: without */
    fh_library library;
} part;

typedef struct parts {
    part items[TABLES];
    size_t count, editions;
} parts;

static fh_status collect(const fh_tables *tables, parts *all, fh_error *error)
{
    for (size_t i = 0; i < fh_tables_count(tables); i++) {
        const fh_table *table = fh_tables_at(tables, i);
        if (!fh_library_in_table(table)) continue;
        if (all->count == TABLES)
            return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_LIMIT,
                                 "one table of colours too many; expected at most four editions "
                                 "and their spectra");
        part *p = &all->items[all->count];
        p->table = table;
        p->edition = fh_table_keyword(table, "EDITION");
        const fh_status status = fh_library_add_table(&p->library, table, NULL, error);
        if (status != FH_OK) return status;
        all->count++;
        all->editions += p->edition != NULL;
    }
    if (all->count == 0)
        return fh_fail(error, FH_E_DATA, "the file holds no colours; expected a table of patches");
    return FH_OK;
}

/* A keyword as a whole number from 1 to most; 0 where it is absent. */
static fh_status read_side(const fh_table *table, const char *name, size_t *out, fh_error *error)
{
    double value = 0.0;
    const fh_status status = fh_table_keyword_number(table, name, &value, error);
    if (status != FH_OK) return status;
    if (fh_table_keyword(table, name) &&
        !(value >= 1.0 && value <= FH_CHART_SIDE && value == (double)(size_t)value))
        return fh_table_fail_keyword(table, name, error, FH_E_DATA,
                                     "not a number of patches; expected a whole number from 1 to "
                                     "40");
    *out = (size_t)value;
    return FH_OK;
}

static fh_status read_layout(const parts *all, size_t *rows, size_t *columns, fh_error *error)
{
    const fh_table *table = all->items[0].table;
    fh_status status = read_side(table, "CHART_ROWS", rows, error);
    if (status == FH_OK) status = read_side(table, "CHART_COLUMNS", columns, error);
    if (status == FH_OK && (*rows == 0 || *columns == 0))
        status = fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                               "the table does not say how its patches lie; expected the keywords "
                               "CHART_ROWS and CHART_COLUMNS");
    for (size_t i = 0; status == FH_OK && i < all->count; i++) {
        char text[160];
        if (all->items[i].library.count == *rows * *columns) continue;
        fh_format(text, sizeof text,
                  "the chart has %zu rows of %zu, so %zu patches, and this table has %zu", *rows,
                  *columns, *rows * *columns, all->items[i].library.count);
        status = fh_table_fail(all->items[i].table, FH_NONE, FH_NONE, error, FH_E_DATA, text);
    }
    return status;
}

static fh_status fail_reading(const part *p, size_t row, fh_error *error, const char *format)
{
    char text[200];
    fh_format(text, sizeof text, "patch %s %s", p->library.readings[row].id, format);
    return fh_table_fail(p->table, row, FH_NONE, error, FH_E_DATA, text);
}

static fh_status fill_edition(fh_chart *chart, size_t edition, const part *p, const part *first,
                              fh_error *error)
{
    for (size_t i = 0; i < chart->count; i++) {
        const fh_reading *r = &p->library.readings[i];
        if (strcmp(r->id, first->library.readings[i].id) != 0)
            return fail_reading(p, i, error,
                                "stands where the first edition has another; expected the same "
                                "ids in the same order");
        if (!fh_condition_equal(r->condition, chart->condition))
            return fail_reading(p, i, error,
                                "has another condition than the first patch; expected one "
                                "condition for all editions");
        chart->editions[edition].lab[i] = r->lab;
        if (r->origin == FH_ORIGIN_SPECTRUM && !chart->chips[i].has_spectrum) {
            chart->chips[i].has_spectrum = true;
            chart->chips[i].reflectance = r->reflectance;
        }
    }
    return FH_OK;
}

static fh_status fill_spectra(fh_chart *chart, const part *p, fh_error *error)
{
    for (size_t i = 0; i < chart->count; i++) {
        const fh_reading *r = fh_library_find(&p->library, chart->chips[i].id);
        if (!r || r->origin != FH_ORIGIN_SPECTRUM)
            return fh_table_fail(p->table, FH_NONE, FH_NONE, error, FH_E_DATA,
                                 "a table without EDITION beside editions gives the spectra of all "
                                 "patches; one is missing here");
        chart->chips[i].has_spectrum = true;
        chart->chips[i].reflectance = r->reflectance;
    }
    return FH_OK;
}

static bool is_edition(const parts *all, const part *p)
{
    return all->editions == 0 || p->edition != NULL;
}

static fh_status fill(fh_chart *chart, const parts *all, const part *first, fh_error *error)
{
    const char *name = fh_table_keyword(all->items[0].table, "DESCRIPTOR");
    const char *source = fh_table_keyword(all->items[0].table, "ORIGINATOR");
    fh_copy_text(chart->name, sizeof chart->name, name ? name : "chart");
    fh_copy_text(chart->source, sizeof chart->source, source ? source : "");
    for (size_t i = 0; i < chart->count; i++) {
        fh_copy_text(chart->chips[i].id, FH_ID, first->library.readings[i].id);
        fh_copy_text(chart->chips[i].name, FH_NAME, first->library.readings[i].name);
    }
    fh_status status =
        fh_table_keyword_number(first->table, "EDITION_SPREAD", &chart->spread, error);
    if (status == FH_OK && !(chart->spread >= 0.0 && chart->spread <= 10.0))
        status = fh_table_fail_keyword(first->table, "EDITION_SPREAD", error, FH_E_DATA,
                                       "not a spread; expected a ΔE00 from 0 to 10");
    size_t edition = 0;
    for (size_t i = 0; status == FH_OK && i < all->count; i++) {
        const part *p = &all->items[i];
        if (!is_edition(all, p)) continue;
        if (edition > 0) status = fh_chart_add_edition(chart, "");
        if (status != FH_OK) return fh_fail(error, status, "the chart has too many editions");
        fh_copy_text(chart->editions[edition].name, FH_NAME, p->edition ? p->edition : "");
        status = fill_edition(chart, edition++, p, first, error);
    }
    for (size_t i = 0; status == FH_OK && i < all->count; i++)
        if (!is_edition(all, &all->items[i])) status = fill_spectra(chart, &all->items[i], error);
    return status;
}

static fh_status build(const parts *all, fh_chart **out, fh_error *error)
{
    size_t rows = 0, columns = 0;
    fh_status status = read_layout(all, &rows, &columns, error);
    if (status != FH_OK) return status;
    const part *first = NULL;
    for (size_t i = 0; !first; i++)
        if (is_edition(all, &all->items[i])) first = &all->items[i];
    if (all->editions == 0 && all->count > 1)
        return fh_table_fail(all->items[1].table, FH_NONE, FH_NONE, error, FH_E_DATA,
                             "a second table of colours without EDITION; expected a name for each");
    fh_chart *chart = NULL;
    status = fh_chart_new(rows, columns, first->library.readings[0].condition, &chart);
    if (status != FH_OK)
        return fh_fail(error, status, "a chart of %zu x %zu patches is not read", rows, columns);
    status = fill(chart, all, first, error);
    if (status == FH_OK)
        *out = chart;
    else
        fh_chart_free(chart);
    return status;
}

fh_status fh_chart_read(const char *text, size_t length, fh_chart **out, fh_error *error)
{
    fh_tables *tables = NULL;
    fh_status status = fh_tables_read(text, length, &tables, error);
    if (status != FH_OK) return status;
    parts *all = fh_allocate(1, sizeof *all);
    if (all) {
        status = collect(tables, all, error);
        if (status == FH_OK) status = build(all, out, error);
        for (size_t i = 0; i < TABLES; i++) fh_library_free(&all->items[i].library);
    } else {
        status = fh_fail(error, FH_E_MEMORY, "out of memory");
    }
    fh_free(all);
    fh_tables_free(tables);
    return status;
}

/* --- Writing ---------------------------------------------------------------------------------- */

static fh_status write_part(const fh_chart *chart, fh_tables *tables, const fh_edition *edition,
                            fh_reading *readings)
{
    for (size_t i = 0; i < chart->count; i++) {
        fh_reading *r = &readings[i];
        *r = fh_reading_blank();
        fh_copy_text(r->id, sizeof r->id, chart->chips[i].id);
        fh_copy_text(r->name, sizeof r->name, chart->chips[i].name);
        r->condition = chart->condition;
        if (edition) {
            r->lab = edition->lab[i];
        } else {
            const fh_weights weights = fh_weights_of(r->condition);
            r->origin = FH_ORIGIN_SPECTRUM;
            r->reflectance = chart->chips[i].reflectance;
            r->lab = fh_lab_of_spectrum(&r->reflectance, &weights);
        }
    }
    fh_table *table = fh_tables_add(tables);
    if (!table) return FH_E_MEMORY;
    fh_table_set_keyword(table, "DESCRIPTOR", chart->name);
    if (chart->source[0]) fh_table_set_keyword(table, "ORIGINATOR", chart->source);
    fh_table_set_keyword_number(table, "CHART_ROWS", (double)chart->rows);
    fh_table_set_keyword_number(table, "CHART_COLUMNS", (double)chart->columns);
    if (edition) {
        fh_table_set_keyword(table, "EDITION", edition->name);
        fh_table_set_keyword_number(table, "EDITION_SPREAD", chart->spread);
    }
    return fh_library_to_table(readings, chart->count, table);
}

fh_status fh_chart_write(const fh_chart *chart, fh_text *out)
{
    fh_tables *tables = fh_tables_new();
    fh_reading *readings = fh_allocate(chart->count, sizeof *readings);
    fh_status status = tables && readings ? FH_OK : FH_E_MEMORY;
    bool spectra = true;
    for (size_t i = 0; i < chart->count; i++) spectra = spectra && chart->chips[i].has_spectrum;
    for (size_t e = 0; status == FH_OK && e < chart->edition_count; e++)
        status = write_part(chart, tables, &chart->editions[e], readings);
    if (status == FH_OK && spectra) status = write_part(chart, tables, NULL, readings);
    if (status == FH_OK) status = fh_tables_write(tables, out);
    fh_free(readings);
    fh_tables_free(tables);
    return status;
}
