/* The yellowness index of two readings: colour/yellowness.c, with its uncertainty by the law of
 * propagation [JCGM100] from that of the difference of the readings. */
#include <math.h>

#include "cli/yellowing.h"
#include "farhue/appearance.h"
#include "farhue/words.h"

static bool index_of(fh_lab lab, fh_condition condition, double *out)
{
    if (condition.illuminant >= FH_ILLUMINANT_COUNT) return false; /* a lamp from a file */
    const fh_weights weights = fh_weights_of(condition);
    return fh_yellowness(fh_xyz_of_lab(lab, weights.white), condition, out) == FH_OK;
}

/* The index is meant for what is nearly white or colourless; yellowed plastic goes from there
 * through yellow to orange brown. Where to draw the line: common practice, no source. */
static bool is_apt(fh_lab lab)
{
    const fh_lch lch = fh_lch_of_lab(lab);
    return lab.L >= 20.0 && (lch.C <= 12.0 || (lch.h >= 50.0 && lch.h <= 110.0));
}

/* Standard uncertainty of the difference of the two indices. */
static double doubt(const fh_reading *first, const fh_reading *second)
{
    enum { AXES = 3 };
    const double step = 1e-3;
    const fh_lab at = second->lab;
    const fh_lab moved[AXES][2] = {{{at.L - step, at.a, at.b}, {at.L + step, at.a, at.b}},
                                   {{at.L, at.a - step, at.b}, {at.L, at.a + step, at.b}},
                                   {{at.L, at.a, at.b - step}, {at.L, at.a, at.b + step}}};
    double slope[AXES], variance = 0.0;
    fh_mat3 covariance;
    if (fh_reading_difference_covariance(first, second, &covariance)) return NAN;
    for (int i = 0; i < AXES; ++i) {
        double low, high;
        if (!index_of(moved[i][0], second->condition, &low) ||
            !index_of(moved[i][1], second->condition, &high))
            return NAN;
        slope[i] = (high - low) / (2.0 * step);
    }
    for (int i = 0; i < AXES; ++i)
        for (int k = 0; k < AXES; ++k) variance += slope[i] * covariance.m[i][k] * slope[k];
    return sqrt(fmax(0.0, variance));
}

cli_yellowing cli_yellowing_of(const fh_reading *first, const fh_reading *second)
{
    cli_yellowing y = {0};
    y.known = fh_condition_equal(first->condition, second->condition) &&
              index_of(first->lab, first->condition, &y.yi[0]) &&
              index_of(second->lab, second->condition, &y.yi[1]);
    if (!y.known) return y;
    y.half = 1.96 * doubt(first, second);
    if (!isfinite(y.half)) y.half = 0.0;
    y.apt = is_apt(first->lab) && is_apt(second->lab);
    if (y.apt) y.words = fh_words_of_yellowing(y.yi[1] - y.yi[0]);
    return y;
}

bool cli_yellowing_open(const cli_yellowing *y)
{
    return y->known && y->half > fabs(y->yi[1] - y->yi[0]);
}
