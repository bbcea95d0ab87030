/* How often the chart is found, and whether it is ever found in the wrong place without a warning:
 * 200 rendered scenes. The figures stand in docs/accuracy.md. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "farhue/find.h"
#include "reference.h"
#include "scene.h"

int main(void)
{
    enum { SCENES = 200 };
    reference table = reference_load("chart24_published.csv");
    fh_chart *chart;
    if (fh_chart_new(4, 6, (fh_condition){FH_ILLUMINANT_D50, FH_OBSERVER_2}, &chart)) return 1;
    fh_lab *lab = chart->editions[0].lab;
    for (size_t i = 0; i < 24; ++i)
        lab[i] = (fh_lab){reference_number(&table, i, "Lpre"), reference_number(&table, i, "apre"),
                          reference_number(&table, i, "bpre")};
    int present = 0, found = 0, right = 0, warned = 0, wrong = 0, phantom = 0;
    for (uint64_t seed = 0; seed < SCENES; ++seed) {
        scene s = scene_render(chart, lab, seed);
        fh_pixels pixels = fh_pixels_packed(s.rgb, s.width, s.height, 3, 8);
        fh_found place;
        fh_error error = {0};
        fh_status status = fh_chart_find(&pixels, chart, NULL, NULL, &place, &error);
        double worst = HUGE_VAL;
        if (status == FH_OK) {
            worst = 0;
            for (int k = 0; k < 4; ++k)
                worst = fmax(worst, hypot(place.corners[k].x - s.corners[k].x,
                                          place.corners[k].y - s.corners[k].y));
            worst /= s.pitch;
        }
        bool good = worst < 0.1;
        present += s.present;
        found += s.present && status == FH_OK;
        right += s.present && good;
        warned += s.present && status == FH_OK && !good && place.warning[0];
        wrong += s.present && status == FH_OK && !good && !place.warning[0];
        phantom += !s.present && status == FH_OK && !place.doubtful;
        if ((s.present && !good) || (!s.present && status == FH_OK))
            printf("scene %3d: %zu x %zu, pitch %.0f, %zu covered: %s (%.2f pitches off)\n",
                   (int)seed, s.width, s.height, s.pitch, s.covered,
                   status ? error.message : place.warning, worst);
        scene_free(&s);
    }
    printf("%d scenes with a chart: found %d, within a tenth of the pitch %d (%.1f %%), "
           "off but warned %d, off without a warning %d\n",
           present, found, right, 100.0 * right / present, warned, wrong);
    printf("%d scenes with another board: taken for the chart without doubt %d\n", SCENES - present,
           phantom);
    fh_chart_free(chart);
    reference_free(&table);
    return wrong || phantom || right * 100 < 95 * present;
}
