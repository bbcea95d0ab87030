/* The neutral row tells how a file is coded: ln Y against ln (stored value) is a line of slope 1
 * for linear data and of about 2.2 for sRGB, whatever the exposure. */
#include <math.h>

#include "farhue/chart.h"

double fh_neutral_exponent(const fh_chart *chart, const fh_patch *patches)
{
    const double grey = 6.0;
    const fh_xyz white = fh_weights_of(chart->condition).white;
    double n = 0.0, x = 0.0, y = 0.0, xx = 0.0, xy = 0.0;
    for (size_t i = 0; i < chart->count; i++) {
        const fh_lab lab = chart->editions[0].lab[i];
        const double code = patches[i].code.g;
        if (hypot(lab.a, lab.b) > grey || patches[i].clipped > 0.02) continue;
        if (code < 0.01 || patches[i].code_sd.g > 0.15 * code) continue;
        const double u = log(code), v = log(fh_xyz_of_lab(lab, white).Y);
        n += 1.0, x += u, y += v, xx += u * u, xy += u * v;
    }
    const double spread = n * xx - x * x;
    if (n < 3.0 || spread < 1e-6) return 0.0;
    return (n * xy - x * y) / spread;
}
