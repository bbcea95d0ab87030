/* The 24-patch chart of the reference figures, for tests. */
#ifndef FARHUE_TESTS_CHART24_H
#define FARHUE_TESTS_CHART24_H

#include "farhue/chart.h"
#include "reference.h"

/* Published Lab of the first (0) and second (1) edition, D50/2, and the average of
   30 charts as spectra. Skips where the figures are missing. */
static inline fh_chart *chart24(void)
{
    reference published = reference_load("chart24_published.csv");
    reference spectra = reference_load("chart24_spectra_average30_10nm.csv");
    fh_chart *chart = NULL;
    const fh_condition d50 = {FH_ILLUMINANT_D50, FH_OBSERVER_2};
    assert_int_equal(fh_chart_new(4, 6, d50, &chart), FH_OK);
    assert_int_equal(fh_chart_add_edition(chart, "after"), FH_OK);
    for (size_t i = 0; i < 24; i++) {
        chart->editions[0].lab[i] = (fh_lab){reference_number(&published, i, "Lpre"),
                                             reference_number(&published, i, "apre"),
                                             reference_number(&published, i, "bpre")};
        chart->editions[1].lab[i] = (fh_lab){reference_number(&published, i, "Lpost"),
                                             reference_number(&published, i, "apost"),
                                             reference_number(&published, i, "bpost")};
        chart->chips[i].has_spectrum = true;
        for (size_t band = 0; band < FH_BANDS; band++)
            chart->chips[i].reflectance.v[band] = reference_number_at(&spectra, band, i + 1);
    }
    reference_free(&published);
    reference_free(&spectra);
    return chart;
}

#endif
