/* The colour of a spot by a calibration, and what it is worth. */
#include <math.h>

#include "base/memory.h"
#include "farhue/difference.h"
#include "photo/metric.h"
#include "photo/predict.h"
#include "photo/select.h"

/* The patches of a chart are more like each other than a strange surface is like them: its error
 * is larger by this factor, and GLOSS is a share of white (both from tests/study/study_photo.c). */
static const double STRANGER = 1.4, GLOSS = 0.004;

/* Of the ΔE00 between a spot and a chip beside it, a camera gets this much wrong (same study). */
static const double NEAR_CHIP = 0.7;

fh_status fh_predict_colour(const fh_calibration *c, const fh_known *known, const fh_known *asked,
                            const fh_correction *given, fh_known *work, fh_lab *out)
{
    fh_correction fit;
    fh_status status;
    if (c->plain) {
        status = fh_correction_plain(known, c->count, c->condition, &fit);
        if (status == FH_OK) *out = fh_correction_lab(&fit, asked->rgb, asked->at);
        return status;
    }
    if (given && c->used < FH_LEAST_USED) {
        *out = fh_correction_lab(given, asked->rgb, asked->at);
        return FH_OK;
    }
    if (given)
        fit = *given;
    else if ((status = fh_select_model(known, c->count, c->condition, &fit, NULL)) != FH_OK)
        return status;
    const fh_lab near = fh_correction_lab(&fit, asked->rgb, asked->at);
    status = fh_fit_near(fit.model, known, c->count, c->condition, near, work, &fit);
    if (status == FH_OK) *out = fh_correction_lab(&fit, asked->rgb, asked->at);
    return status;
}

/* Root mean square of the left-out errors, patches near the colour counting more; experience counts
 * as much as six patches. */
static double expected_error(const fh_calibration *c, fh_lab lab)
{
    double weight = c->experience > 0.0 ? 6.0 : 0.0;
    double sum = weight * c->experience * c->experience;
    for (size_t i = 0; i < c->count; i++) {
        if (!(c->known[i].weight > 0.0) || c->used < 2) continue;
        const double d = fh_de2000(lab, c->known[i].lab) / 20.0;
        const double w = 0.1 + exp(-0.5 * d * d);
        sum += w * c->left_out[i] * c->left_out[i];
        weight += w;
    }
    return fmax(1.0, STRANGER * sqrt(sum / weight));
}

/* What a spot mirrors of its surroundings differs from what the chart does by some GLOSS of white:
 * hardly seen in light colours, a great deal in dark ones. */
static fh_mat3 gloss_covariance(const fh_calibration *c, fh_lab lab)
{
    const fh_xyz white = c->correction.white;
    const fh_mat3 jacobian = fh_lab_jacobian(fh_xyz_of_lab(lab, white), white);
    const fh_vec3 g =
        fh_mat3_apply(jacobian, (fh_vec3){{GLOSS * white.X, GLOSS * white.Y, GLOSS * white.Z}});
    fh_mat3 out;
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 3; k++) out.m[i][k] = g.v[i] * g.v[k];
    return out;
}

static void place_among_patches(const fh_calibration *c, fh_lab lab, fh_spot_result *out)
{
    double darkest = HUGE_VAL, lightest = -HUGE_VAL, chroma = 0.0;
    const fh_lch lch = fh_lch_of_lab(lab);
    out->nearest = HUGE_VAL;
    for (size_t i = 0; i < c->count; i++) {
        if (!(c->known[i].weight > 0.0)) continue;
        const fh_lch patch = fh_lch_of_lab(c->known[i].lab);
        const double turn = fabs(remainder(patch.h - lch.h, 360.0));
        const double away = fh_de2000(lab, c->known[i].lab);
        if (away < out->nearest) {
            out->nearest = away;
            out->nearest_patch = i;
        }
        darkest = fmin(darkest, patch.L);
        lightest = fmax(lightest, patch.L);
        if (turn < 60.0) chroma = fmax(chroma, patch.C);
    }
    out->inside = lab.L > darkest - 5.0 && lab.L < lightest + 3.0 && lch.C < chroma + 10.0;
}

/* Light to Lab by differences, to carry the noise of the pixels. */
static fh_mat3 noise_covariance(const fh_correction *fit, const fh_patch *patch, fh_point at)
{
    const double mean[3] = {patch->mean.r, patch->mean.g, patch->mean.b};
    const double sd[3] = {patch->sd.r, patch->sd.g, patch->sd.b};
    const fh_lab here = fh_correction_lab(fit, patch->mean, at);
    /* A decoder mixes neighbours: of 16 pixels one counts as independent. */
    const double n = fmax(1.0, patch->kept * (double)patch->count / 16.0);
    fh_mat3 jacobian, light = fh_mat3_diagonal(0.0, 0.0, 0.0);
    for (int k = 0; k < 3; k++) {
        const double h = 1e-4 + 1e-3 * fabs(mean[k]);
        double moved[3] = {mean[0], mean[1], mean[2]};
        moved[k] += h;
        const fh_lab there = fh_correction_lab(fit, (fh_rgb){moved[0], moved[1], moved[2]}, at);
        jacobian.m[0][k] = (there.L - here.L) / h;
        jacobian.m[1][k] = (there.a - here.a) / h;
        jacobian.m[2][k] = (there.b - here.b) / h;
        light.m[k][k] = sd[k] * sd[k] / n;
    }
    return fh_mat3_carry(jacobian, light);
}

fh_status fh_calibration_spot(const fh_calibration *calibration, const fh_patch *patch, fh_point at,
                              fh_spot_result *out)
{
    const fh_calibration *c = calibration;
    const fh_known asked = {.rgb = patch->mean, .at = at};
    fh_known *work = fh_allocate(c->count, sizeof *work);
    if (!work) return FH_E_MEMORY;
    fh_spot_result spot = {0};
    const fh_status status =
        fh_predict_colour(c, c->known, &asked, &c->correction, work, &spot.lab);
    fh_free(work);
    if (status != FH_OK) return status;
    spot.random = noise_covariance(&c->correction, patch, at);
    place_among_patches(c, spot.lab, &spot);
    spot.expected = expected_error(c, spot.lab);
    /* Close to a chip, the difference to it is all that the camera can get wrong. */
    if (c->experience > 0.0 && c->used > 0)
        spot.expected = fmin(spot.expected, hypot(1.0, NEAR_CHIP * spot.nearest));
    spot.shared =
        fh_mat3_add(fh_covariance_of_de(spot.lab, spot.expected), gloss_covariance(c, spot.lab));
    *out = spot;
    return FH_OK;
}
