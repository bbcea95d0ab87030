/* From measured patches to a calibration. Order: judge the patches, choose edition and model, name
 * what still does not fit, then leave out each patch in turn, with the choice of the model made
 * again without it, which is what the error on an unknown colour is worth. */
#include "farhue/calibration.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/difference.h"
#include "photo/predict.h"
#include "photo/select.h"
#include "photo/terms.h"
#include "photo/trust.h"

const char *fh_exclusion_text(fh_exclusion reason)
{
    static const char *const text[] = {"used", "clipped", "textured", "does not fit", "covered"};
    return text[reason];
}

fh_calibration *fh_calibration_new(void)
{
    return fh_allocate(1, sizeof(fh_calibration));
}

void fh_calibration_free(fh_calibration *calibration)
{
    fh_free(calibration);
}

fh_point fh_chart_place(const fh_chart *chart, double column, double row)
{
    const double half = chart->columns > 1 ? ((double)chart->columns - 1.0) / 2.0 : 1.0;
    return (fh_point){column / half - 1.0, (row - ((double)chart->rows - 1.0) / 2.0) / half};
}

/* --- Small statistics ----------------------------------------------------------------------- */

static void mean_and_max(const fh_calibration *c, const double *error, double *mean, double *max)
{
    double sum = 0.0, most = 0.0;
    for (size_t i = 0; i < c->count; i++) {
        if (!(c->known[i].weight > 0.0)) continue;
        sum += error[i];
        most = fmax(most, error[i]);
    }
    *mean = c->used > 0 ? sum / (double)c->used : 0.0;
    if (max) *max = most;
}

/* The value below which `share` of the used patches lie, by counting. */
static double quantile(const fh_calibration *c, const double *error, double share)
{
    double best = HUGE_VAL;
    for (size_t i = 0; i < c->count; i++) {
        size_t below = 0;
        if (!(c->known[i].weight > 0.0)) continue;
        for (size_t k = 0; k < c->count; k++)
            below += c->known[k].weight > 0.0 && error[k] <= error[i];
        if ((double)below >= share * (double)c->used) best = fmin(best, error[i]);
    }
    return best < HUGE_VAL ? best : 0.0;
}

static void count_used(fh_calibration *c)
{
    c->used = 0;
    for (size_t i = 0; i < c->count; i++) c->used += c->known[i].weight > 0.0;
}

/* --- The yardstick --------------------------------------------------------------------------- */

/* Plain 3 × 3 in D50/2, or in the chart's own condition where it has no spectra. */
static fh_status yardstick(const fh_chart *chart, const fh_patch *patches, fh_calibration *c,
                           fh_known *work, fh_lab *lab)
{
    fh_condition d50 = {FH_ILLUMINANT_D50, FH_OBSERVER_2};
    c->plain_mean = HUGE_VAL;
    for (size_t e = 0; e < chart->edition_count; e++) {
        double error[FH_CHART_PATCHES], mean, max;
        fh_correction fit;
        if (fh_chart_lab(chart, e, d50, lab) != FH_OK) {
            d50 = chart->condition;
            if (fh_chart_lab(chart, e, d50, lab) != FH_OK) return FH_E_IMPOSSIBLE;
        }
        for (size_t i = 0; i < c->count; i++) {
            work[i] = c->known[i];
            work[i].rgb = patches[i].plain;
            work[i].lab = lab[i];
        }
        const fh_status status = fh_correction_plain(work, c->count, d50, &fit);
        if (status != FH_OK) return status;
        for (size_t i = 0; i < c->count; i++)
            error[i] = fh_de2000(lab[i], fh_correction_lab(&fit, work[i].rgb, work[i].at));
        mean_and_max(c, error, &mean, &max);
        if (!(mean < c->plain_mean)) continue;
        c->plain_mean = mean;
        c->plain_max = max;
        for (size_t i = 0; i < c->count; i++) {
            const double kept = work[i].weight;
            work[i].weight = 0.0;
            error[i] = 0.0;
            if (kept > 0.0 && fh_correction_plain(work, c->count, d50, &fit) == FH_OK)
                error[i] = fh_de2000(lab[i], fh_correction_lab(&fit, work[i].rgb, work[i].at));
            work[i].weight = kept;
        }
        mean_and_max(c, error, &c->plain_left_out_mean, NULL);
    }
    return FH_OK;
}

/* --- Edition and model ------------------------------------------------------------------------ */

static fh_status fit_edition(fh_calibration *c, const fh_lab *lab, fh_correction *fit,
                             double *score)
{
    for (size_t i = 0; i < c->count; i++) c->known[i].lab = lab[i];
    if (!c->plain) return fh_select_model(c->known, c->count, c->condition, fit, score);
    double error[FH_CHART_PATCHES];
    const fh_status status = fh_correction_plain(c->known, c->count, c->condition, fit);
    if (status != FH_OK) return status;
    for (size_t i = 0; i < c->count; i++)
        error[i] = fh_de2000(lab[i], fh_correction_lab(fit, c->known[i].rgb, c->known[i].at));
    mean_and_max(c, error, score, NULL);
    return FH_OK;
}

static fh_status choose_edition(const fh_chart *chart, long wanted, fh_calibration *c, fh_lab *lab)
{
    double best = HUGE_VAL, second = HUGE_VAL;
    fh_status status = FH_OK;
    for (size_t e = 0; status == FH_OK && e < chart->edition_count; e++) {
        fh_correction fit;
        double score = 0.0;
        if (wanted >= 0 && (size_t)wanted != e) continue;
        status = fh_chart_lab(chart, e, c->condition, lab);
        if (status == FH_OK) status = fit_edition(c, lab, &fit, &score);
        if (status != FH_OK) break;
        if (score < best) {
            second = best;
            best = score;
            c->edition = e;
            c->correction = fit;
        } else {
            second = fmin(second, score);
        }
    }
    if (status != FH_OK) return status;
    c->edition_odds = second < HUGE_VAL && best > 0.0 ? second / best : 1.0;
    status = fh_chart_lab(chart, c->edition, c->condition, lab);
    for (size_t i = 0; status == FH_OK && i < c->count; i++) c->known[i].lab = lab[i];
    return status;
}

/* --- Leaving out ------------------------------------------------------------------------------ */

static fh_status leave_out(fh_calibration *c, fh_known *work, fh_progress progress, void *user)
{
    for (size_t i = 0; i < c->count; i++) {
        fh_lab lab;
        if (progress && !progress(user, (double)i / (double)c->count)) return FH_E_STOPPED;
        const double kept = c->known[i].weight;
        c->known[i].weight = 0.0;
        const fh_status status = fh_predict_colour(c, c->known, &c->known[i], NULL, work, &lab);
        c->known[i].weight = kept;
        if (status != FH_OK) return status;
        c->left_out[i] = fh_de2000(c->known[i].lab, lab);
    }
    mean_and_max(c, c->left_out, &c->left_out_mean, NULL);
    c->left_out_high = quantile(c, c->left_out, 0.95);
    return FH_OK;
}

/* Name what the robust fit itself finds far off: more than 5 times the median and 10 ΔE00. */
static bool name_misfits(fh_calibration *c)
{
    double error[FH_CHART_PATCHES];
    for (size_t i = 0; i < c->count; i++)
        error[i] = fh_de2000(c->known[i].lab,
                             fh_correction_lab(&c->correction, c->known[i].rgb, c->known[i].at));
    const double limit = fmax(10.0, 5.0 * quantile(c, error, 0.5));
    bool any = false;
    for (size_t i = 0; i < c->count; i++) {
        if (!(c->known[i].weight > 0.0) || error[i] <= limit) continue;
        c->known[i].weight = 0.0;
        c->exclusion[i] = FH_PATCH_MISFIT;
        any = true;
    }
    return any;
}

/* --- Few chips -------------------------------------------------------------------------------- */

/* What so few chips have been worth, root mean square of ΔE00 over the other patches of six real
 * photos (one grey: 4.6–8.2; two or three neutrals with a tone: 4.1–7.8; six: 3.2–7.1; nothing at
 * all: 8.2–13.6). Rounded up, since a photo may be worse than those. */
static double experience_of(size_t chips)
{
    return chips == 0 ? 13.0 : chips == 1 ? 9.0 : chips < 6 ? 7.0 : chips < 12 ? 5.0 : 0.0;
}

void fh_calibrate_none(fh_condition condition, fh_calibration *out)
{
    memset(out, 0, sizeof *out);
    out->condition = condition;
    out->correction = fh_correction_blank(condition);
    out->correction.model.form = FH_FORM_GAINS;
    out->experience = experience_of(0);
    const fh_mat3 adapt = fh_bradford(fh_srgb_white(), out->correction.white);
    for (int k = 0; k < 3; k++) {
        const fh_xyz unit = fh_xyz_of_srgb((fh_rgb){k == 0, k == 1, k == 2});
        const fh_vec3 x = fh_mat3_apply(adapt, (fh_vec3){{unit.X, unit.Y, unit.Z}});
        for (int c = 0; c < 3; c++) out->correction.m[c][k] = x.v[c];
    }
}

/* --- All together ----------------------------------------------------------------------------- */

static fh_status check_used(fh_calibration *c, bool few, fh_error *error)
{
    count_used(c);
    if (few && c->used > 0) return FH_OK;
    if (few)
        return fh_fail(error, FH_E_DATA,
                       "no chip can be used (%zu given): the place of each must be even, neither "
                       "clipped nor black, and wholly on the chip; expected one chip at least",
                       c->count);
    if (c->used < FH_LEAST_USED || 2 * c->used < c->count)
        return fh_fail(error, FH_E_DATA,
                       "only %zu of %zu patches of the chart can be used; expected at least half: "
                       "check the corners, cover nothing, avoid shadows and glare",
                       c->used, c->count);
    return FH_OK;
}

static fh_status judge(const fh_chart *chart, const fh_patch *patches,
                       const fh_calibrate_options *options, fh_calibration *c, fh_lab *lab,
                       fh_error *error)
{
    for (size_t i = 0; i < c->count; i++) {
        c->known[i].rgb = c->plain ? patches[i].plain : patches[i].mean;
        c->known[i].at = options->places ? options->places[i]
                                         : fh_chart_place(chart, (double)(i % chart->columns),
                                                          (double)(i / chart->columns));
    }
    fh_trust_alone(patches, c->count, c->known, c->exclusion);
    if (c->plain)
        for (size_t i = 0; i < c->count; i++)
            if (c->exclusion[i] == FH_PATCH_TEXTURED) {
                c->exclusion[i] = FH_PATCH_USED;
                c->known[i].weight = 1.0;
            }
    const fh_status status = fh_chart_lab(chart, 0, c->condition, lab);
    if (status != FH_OK)
        return fh_fail(error, status,
                       "the chart has no spectra, so its colours are known for its own condition "
                       "only; ask for that one");
    for (size_t i = 0; i < c->count; i++) c->known[i].lab = lab[i];
    if (!c->plain && fh_trust_consensus(c->known, c->count, c->condition, c->exclusion) != FH_OK)
        return fh_fail(error, FH_E_MEMORY, "out of memory");
    return check_used(c, options->few, error);
}

static fh_status run(const fh_chart *chart, const fh_patch *patches,
                     const fh_calibrate_options *options, fh_calibration *c, fh_lab *lab,
                     fh_known *work, fh_progress progress, void *user, fh_error *error)
{
    fh_status status = judge(chart, patches, options, c, lab, error);
    if (status != FH_OK) return status;
    status = choose_edition(chart, options->edition, c, lab);
    if (status == FH_OK && !c->plain && name_misfits(c)) {
        status = check_used(c, options->few, error);
        if (status != FH_OK) return status;
        status = choose_edition(chart, options->edition, c, lab);
    }
    if (options->few) c->experience = experience_of(c->used);
    if (status == FH_OK) status = yardstick(chart, patches, c, work, lab);
    if (status == FH_E_DATA && options->few) status = FH_OK; /* too few for a 3 × 3 */
    if (status == FH_OK && c->used > 1) status = leave_out(c, work, progress, user);
    if (status != FH_OK)
        return fh_fail(error, status, "the patches of the chart give no correction (%s)",
                       fh_status_text(status));
    for (size_t i = 0; i < c->count; i++)
        c->fitted[i] = fh_de2000(
            c->known[i].lab, fh_correction_lab(&c->correction, c->known[i].rgb, c->known[i].at));
    mean_and_max(c, c->fitted, &c->fitted_mean, &c->fitted_max);
    return FH_OK;
}

fh_status fh_calibrate(const fh_chart *chart, const fh_patch *patches,
                       const fh_calibrate_options *options, fh_progress progress, void *user,
                       fh_calibration *out, fh_error *error)
{
    if (options->edition >= (long)chart->edition_count)
        return fh_fail(error, FH_E_ARGUMENT, "the chart has %zu editions; number %ld is asked for",
                       chart->edition_count, options->edition + 1);
    fh_calibration *c = fh_calibration_new();
    fh_lab *lab = fh_allocate(chart->count, sizeof *lab);
    fh_known *work = fh_allocate(chart->count, sizeof *work);
    fh_status status = FH_E_MEMORY;
    if (c && lab && work) {
        c->condition = options->condition;
        c->plain = options->plain;
        c->count = chart->count;
        c->spread = chart->spread;
        status = run(chart, patches, options, c, lab, work, progress, user, error);
        if (status == FH_OK) *out = *c;
    } else {
        fh_fail(error, status, "out of memory");
    }
    fh_calibration_free(c);
    fh_free(lab);
    fh_free(work);
    return status;
}
