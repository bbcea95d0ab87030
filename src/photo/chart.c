/* The chart as a value: layout, patches, editions, and its colours under another condition. */
#include "farhue/chart.h"

#include <assert.h>

#include "base/memory.h"
#include "base/text.h"

fh_status fh_chart_new(size_t rows, size_t columns, fh_condition condition, fh_chart **out)
{
    if (rows == 0 || columns == 0 || rows > FH_CHART_SIDE || columns > FH_CHART_SIDE ||
        rows * columns > FH_CHART_PATCHES)
        return FH_E_ARGUMENT;
    fh_chart *chart = fh_allocate(1, sizeof *chart);
    if (!chart) return FH_E_MEMORY;
    chart->rows = rows;
    chart->columns = columns;
    chart->count = rows * columns;
    chart->condition = condition;
    chart->spread = 1.0;
    chart->chips = fh_allocate(chart->count, sizeof *chart->chips);
    if (!chart->chips || fh_chart_add_edition(chart, "") != FH_OK) {
        fh_chart_free(chart);
        return FH_E_MEMORY;
    }
    *out = chart;
    return FH_OK;
}

fh_status fh_chart_add_edition(fh_chart *chart, const char *name)
{
    if (chart->edition_count == FH_CHART_EDITIONS) return FH_E_LIMIT;
    fh_lab *lab = fh_allocate(chart->count, sizeof *lab);
    if (!lab) return FH_E_MEMORY;
    fh_edition *edition = &chart->editions[chart->edition_count++];
    fh_copy_text(edition->name, sizeof edition->name, name);
    edition->lab = lab;
    return FH_OK;
}

void fh_chart_free(fh_chart *chart)
{
    if (!chart) return;
    for (size_t e = 0; e < chart->edition_count; e++) fh_free(chart->editions[e].lab);
    fh_free(chart->chips);
    fh_free(chart);
}

fh_status fh_chart_lab(const fh_chart *chart, size_t edition, fh_condition condition, fh_lab *out)
{
    assert(edition < chart->edition_count);
    const fh_lab *own = chart->editions[edition].lab;
    const bool same = fh_condition_equal(condition, chart->condition);
    for (size_t i = 0; !same && i < chart->count; i++)
        if (!chart->chips[i].has_spectrum) return FH_E_IMPOSSIBLE;
    const fh_weights from = same ? (fh_weights){0} : fh_weights_of(chart->condition);
    const fh_weights to = same ? (fh_weights){0} : fh_weights_of(condition);
    for (size_t i = 0; i < chart->count; i++) {
        out[i] = own[i];
        if (same) continue;
        const fh_lab there = fh_lab_of_spectrum(&chart->chips[i].reflectance, &to);
        const fh_lab here = fh_lab_of_spectrum(&chart->chips[i].reflectance, &from);
        out[i].L += there.L - here.L;
        out[i].a += there.a - here.a;
        out[i].b += there.b - here.b;
    }
    return FH_OK;
}
