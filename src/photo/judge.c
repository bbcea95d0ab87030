/* Warnings with figures. The limits are common practice, no source, but for the clipping (where a
 * mean begins to shift) and the range (beyond it the correction is an extrapolation). */
#include <math.h>
#include <stdarg.h>

#include "base/text.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "farhue/light.h"

const char *fh_fault_name(fh_fault fault)
{
    static const char *const name[FH_FAULT_COUNT] = {
        "clipped", "misfit", "uneven", "mixed",  "blur", "noise", "poor",
        "size",    "range",  "glow",   "patchy", "far",  "place",
    };
    return fault < FH_FAULT_COUNT ? name[fault] : "unknown";
}

static void warn(fh_warnings *out, fh_fault fault, double value, double limit, const char *format,
                 ...) FH_PRINTF(5, 6);

static void warn(fh_warnings *out, fh_fault fault, double value, double limit, const char *format,
                 ...)
{
    if (out->count == FH_WARNINGS) {
        out->missed++;
        return;
    }
    fh_warning *w = &out->items[out->count++];
    w->fault = fault;
    w->value = value;
    w->limit = limit;
    va_list list;
    va_start(list, format);
    fh_format_list(w->text, sizeof w->text, format, list);
    va_end(list);
}

/* --- The photo -------------------------------------------------------------------------------- */

static void judge_patches(const fh_calibration *c, const fh_chart *chart, const fh_patch *patches,
                          fh_warnings *out)
{
    char list[96] = "";
    size_t misfits = 0, length = 0;
    for (size_t i = 0; i < c->count; i++) {
        const char *id = chart->chips[i].id;
        if (c->exclusion[i] == FH_PATCH_USED) continue;
        if (c->exclusion[i] == FH_PATCH_CLIPPED) {
            warn(out, FH_FAULT_CLIPPED, patches[i].clipped, 0.02,
                 "patch %s is clipped (%.0f %% of its pixels at the top of the scale); expose one "
                 "step less",
                 id, 100.0 * patches[i].clipped);
            continue;
        }
        misfits++;
        if (length + 12 < sizeof list)
            length +=
                fh_format(list + length, sizeof list - length, "%s%.8s", length ? ", " : "", id);
    }
    if (misfits > 0)
        warn(out, FH_FAULT_MISFIT, (double)misfits, 0.0,
             misfits == 1 ? "%zu of %zu patches does not fit and is left out (patch %s): shadow, "
                            "glare, dirt, or something lies on it"
                          : "%zu of %zu patches do not fit and are left out (patches %s): shadow, "
                            "glare, dirt, or something lies on them",
             misfits, c->count, list);
}

static void judge_light(const fh_calibration *c, fh_warnings *out)
{
    fh_light light;
    if (fh_light_of(c, &light) != FH_OK) return;
    const double fall = hypot(light.across, light.down);
    const double colour = hypot(light.colour_across, light.colour_down);
    const double limit = fmax(0.15, 4.0 * light.error);
    const double colour_limit = fmax(0.10, 4.0 * light.colour_error);
    if (fall > limit)
        warn(out, FH_FAULT_UNEVEN, fall, limit,
             "the light changes by %.0f %% across the chart (left to right %+.0f %%, top to bottom "
             "%+.0f %%); turn the set-up or move the lamp further off",
             100.0 * fall, 100.0 * light.across, 100.0 * light.down);
    if (colour > colour_limit)
        warn(out, FH_FAULT_MIXED, colour, colour_limit,
             "the colour of the light changes by %.0f %% (red against blue) across the chart; use "
             "one kind of light only",
             100.0 * colour);
}

static double relative(double a, double b)
{
    return b > 0.0 ? fabs(a - b) / b : 0.0;
}

static double middle(double *v, size_t n)
{
    for (size_t i = 1; i < n; i++)
        for (size_t k = i; k > 0 && v[k - 1] > v[k]; k--) {
            const double t = v[k];
            v[k] = v[k - 1], v[k - 1] = t;
        }
    return n > 0 ? v[n / 2] : 0.0;
}

static void judge_sharpness(const fh_calibration *c, const fh_patch *patches, const fh_patch *rims,
                            fh_warnings *out)
{
    double change[FH_CHART_PATCHES], noise[FH_CHART_PATCHES];
    size_t n = 0;
    for (size_t i = 0; i < c->count; i++) {
        if (c->exclusion[i] != FH_PATCH_USED) continue;
        change[n] = rims ? relative(rims[i].plain.g, patches[i].plain.g) : 0.0;
        noise[n++] = patches[i].mean.g > 0.0 ? patches[i].sd.g / patches[i].mean.g : 0.0;
    }
    const double blur = middle(change, n), grain = middle(noise, n);
    if (blur > 0.03)
        warn(out, FH_FAULT_BLUR, blur, 0.03,
             "the rims of the patches differ from their centres by %.0f %%: the photo is blurred, "
             "too small, or the corners are off",
             100.0 * blur);
    if (grain > 0.10)
        warn(out, FH_FAULT_NOISE, grain, 0.10,
             "the pixels of a patch scatter by %.0f %%: noise; use more light and a tripod",
             100.0 * grain);
}

void fh_judge_photo(const fh_calibration *calibration, const fh_chart *chart,
                    const fh_patch *patches, const fh_patch *rims, fh_warnings *out)
{
    judge_patches(calibration, chart, patches, out);
    judge_light(calibration, out);
    judge_sharpness(calibration, patches, rims, out);
    if (calibration->left_out_mean > 5.0)
        warn(out, FH_FAULT_POOR, calibration->left_out_mean, 5.0,
             "a patch that the correction has not seen comes out %.1f ΔE00 off on average: the "
             "photo is no good for measuring",
             calibration->left_out_mean);
}

/* --- A spot ----------------------------------------------------------------------------------- */

static double typical_count(const fh_calibration *c, const fh_patch *patches)
{
    double sum = 0.0;
    for (size_t i = 0; i < c->count; i++) sum += (double)patches[i].count;
    return sum / (double)c->count;
}

static void judge_colour(const fh_calibration *c, const fh_spot_result *result, fh_warnings *out)
{
    if (c->used >= 6 && (!result->inside || result->nearest > 25.0))
        warn(out, FH_FAULT_RANGE, result->nearest, 25.0,
             "its colour lies outside the chart's range (nearest patch %.0f ΔE00 away): the "
             "correction is extrapolated",
             result->nearest);
    const fh_weights weights = fh_weights_of(c->condition);
    fh_lab nearest;
    if (fh_nearest_possible(result->lab, &weights, &nearest) != FH_OK) return;
    const double beyond = fh_de2000(result->lab, nearest);
    if (beyond > 1.0)
        warn(out, FH_FAULT_GLOW, beyond, 1.0,
             "no reflecting surface has its colour (%.1f ΔE00 beyond the limit): fluorescence or "
             "glare",
             beyond);
}

void fh_judge_spot(const fh_calibration *calibration, const fh_patch *patches, const fh_patch *spot,
                   fh_point at, const fh_spot_result *result, fh_warnings *out)
{
    const fh_calibration *c = calibration;
    const double typical = c->count > 0 ? typical_count(c, patches) : (double)spot->count;
    const double size = (double)spot->count / fmax(1.0, typical);
    if (spot->clipped > 0.001)
        warn(out, FH_FAULT_CLIPPED, spot->clipped, 0.001,
             "%.1f %% of its pixels are clipped: glare, or too much exposure",
             100.0 * spot->clipped);
    if (spot->count < FH_PATCH_PIXELS / 2 && (size > 30.0 || size < 1.0 / 30.0))
        warn(out, FH_FAULT_SIZE, size, size > 1.0 ? 30.0 : 1.0 / 30.0,
             "it is %.2g times the area of a patch's window: blur and stray light differ", size);
    if (spot->uneven > 0.06)
        warn(out, FH_FAULT_PATCHY, spot->uneven, 0.06,
             "its quarters differ by %.0f %% in light: not one colour, or uneven light",
             100.0 * spot->uneven);
    else if (spot->kept < 0.85)
        warn(out, FH_FAULT_PATCHY, spot->kept, 0.85,
             "%.0f %% of its pixels are unlike the rest and were left out",
             100.0 * (1.0 - spot->kept));
    const double noise =
        sqrt(fmax(0.0, result->random.m[0][0] + result->random.m[1][1] + result->random.m[2][2]));
    if (noise > 1.0)
        warn(out, FH_FAULT_NOISE, noise, 1.0,
             "the grain of its pixels leaves the mean uncertain by %.1f; take a larger area",
             noise);
    const fh_correction *fit = &c->correction;
    const double light = 1.0 + fit->sx * at.x + fit->sy * at.y;
    if (fit->model.slope && (hypot(at.x, at.y) > 4.0 || light < 0.6 || light > 1.6))
        warn(out, FH_FAULT_FAR, hypot(at.x, at.y), 4.0,
             "it is far from the chart (%.1f half widths), and the light there is guessed from the "
             "slope across the chart",
             hypot(at.x, at.y));
    judge_colour(c, result, out);
}
