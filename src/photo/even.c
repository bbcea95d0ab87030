/* Flat field: a photo of a plain white sheet, in the place of chart and part, is a map of the
 * light. Its grain, the sheet's own tint and its exposure drop out: what counts is its light here
 * over its light on average, channel by channel. */
#include "farhue/pixels.h"

static double ratio(double average, double here)
{
    return here > 0.0 ? average / here : 1.0;
}

static fh_rgb times(fh_rgb a, fh_rgb b)
{
    return (fh_rgb){a.r * b.r, a.g * b.g, a.b * b.b};
}

void fh_patch_flatten(fh_patch *patch, const fh_patch *sheet, fh_rgb average)
{
    const fh_rgb by = {ratio(average.r, sheet->mean.r), ratio(average.g, sheet->mean.g),
                       ratio(average.b, sheet->mean.b)};
    patch->mean = times(patch->mean, by);
    patch->sd = times(patch->sd, by);
    patch->plain = times(patch->plain, by);
}
