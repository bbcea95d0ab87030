/* The chart that is there without a file: the common 24 patches with both editions. */
#include "base/text.h"
#include "farhue/chart.h"
#include "photo/tables/chart24_tables.h"

static void fill(fh_chart *chart)
{
    static const char *const edition[2] = {"first edition, white L* 96.5",
                                           "second edition, white L* 95.2"};
    fh_copy_text(chart->name, sizeof chart->name, "24 patches");
    fh_copy_text(chart->source, sizeof chart->source,
                 "published figures: Lab of two editions of the chart (D50/2); average "
                 "spectra of 30 charts, D. Pascale 2006, revised 2012");
    for (size_t e = 0; e < 2; e++)
        fh_copy_text(chart->editions[e].name, sizeof chart->editions[e].name, edition[e]);
    for (size_t i = 0; i < chart->count; i++) {
        fh_chip *chip = &chart->chips[i];
        fh_format(chip->id, sizeof chip->id, "%zu", i + 1);
        fh_copy_text(chip->name, sizeof chip->name, fh_chart24_name[i]);
        chip->has_spectrum = true;
        for (size_t band = 0; band < FH_BANDS; band++)
            chip->reflectance.v[band] = fh_chart24_reflectance[i][band];
        for (size_t e = 0; e < 2; e++) {
            const double *lab = fh_chart24_lab[e][i];
            chart->editions[e].lab[i] = (fh_lab){lab[0], lab[1], lab[2]};
        }
    }
}

fh_status fh_chart_24(fh_chart **out)
{
    const fh_condition d50 = {FH_ILLUMINANT_D50, FH_OBSERVER_2};
    fh_chart *chart = NULL;
    fh_status status = fh_chart_new(4, 6, d50, &chart);
    if (status == FH_OK) status = fh_chart_add_edition(chart, "");
    if (status != FH_OK) {
        fh_chart_free(chart);
        return status;
    }
    fill(chart);
    *out = chart;
    return FH_OK;
}
