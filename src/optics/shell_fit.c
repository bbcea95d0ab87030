/* A shell from its readings: prepares them, fits every band, carries the errors, judges. */
#include "base/error.h"
#include "base/memory.h"
#include "farhue/fresnel.h"
#include "optics/gain.h"
#include "optics/shell_work.h"

#include <math.h>

fh_shell_options fh_shell_options_default(void)
{
    return (fh_shell_options){.noise = 0.001, .index = FH_INDEX_PLASTIC, .index_sigma = 0.04};
}

/* Spectrum and gain of a Lab alone (or of a spectrum that was estimated), with what is open. */
static fh_status prepare_estimate(const fh_reading *reading, fh_shell_side *side, fh_error *error)
{
    fh_estimate *estimate = fh_allocate(1, sizeof *estimate);
    if (!estimate) return fh_fail(error, FH_E_MEMORY, "not enough memory for the shell");
    fh_status status = fh_estimate_of_reading(reading, estimate, error);
    if (!status) {
        side->R = estimate->reflectance;
        side->open_count = estimate->mode_count;
        for (size_t i = 0; i < FH_BANDS; ++i) {
            double steep = side->R.v[i] * (1.0 - side->R.v[i]);
            for (int c = 0; c < 3; ++c) side->gain[c].v[i] = steep * estimate->gain[c].v[i];
            for (size_t k = 0; k < side->open_count; ++k)
                side->open[k].v[i] = steep * estimate->mode[k].v[i];
        }
    }
    fh_free(estimate);
    return status;
}

/* The Lab covariance of noise that is independent from band to band. */
static fh_mat3 noise_covariance(const fh_spectrum *R, fh_condition condition, double noise)
{
    const fh_weights w = fh_weights_of(condition);
    fh_mat3 xyz = fh_mat3_diagonal(0, 0, 0);
    for (size_t i = 0; i < FH_BANDS; ++i) {
        const double row[3] = {w.x.v[i], w.y.v[i], w.z.v[i]};
        for (int a = 0; a < 3; ++a)
            for (int b = 0; b < 3; ++b) xyz.m[a][b] += noise * noise * row[a] * row[b];
    }
    return fh_mat3_carry(fh_lab_jacobian(fh_xyz_of_spectrum(R, &w), w.white), xyz);
}

static fh_status prepare(const fh_reading *reading, double noise, fh_shell_side *side,
                         fh_error *error)
{
    fh_mat3 factor;
    if (fh_mat3_cholesky(reading->random, &factor))
        return fh_fail(error, FH_E_DATA,
                       "the covariance of '%s' isn't positive semi-definite; "
                       "expected one that a measurement can have",
                       reading->id);
    side->reading = reading;
    side->random = reading->random;
    if (reading->origin != FH_ORIGIN_SPECTRUM) {
        fh_status status = prepare_estimate(reading, side, error);
        if (status) return status;
    } else {
        side->R = reading->reflectance;
        fh_spectrum_gain(&side->R, reading->condition, side->gain);
        const fh_mat3 *stated = &reading->random;
        if (stated->m[0][0] + stated->m[1][1] + stated->m[2][2] <= 0.0)
            side->random = noise_covariance(&side->R, reading->condition, noise);
    }
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double variance = noise * noise;
        for (int k = 0; k < 3; ++k) {
            double dR = 0.0;
            for (int c = 0; c < 3; ++c) dR += side->gain[c].v[i] * factor.m[c][k];
            variance += dR * dR;
        }
        for (size_t k = 0; k < side->open_count; ++k)
            variance += side->open[k].v[i] * side->open[k].v[i];
        side->sigma.v[i] = sqrt(variance);
    }
    return FH_OK;
}

static bool is_estimated(const fh_reading *reading)
{
    return reading->origin != FH_ORIGIN_SPECTRUM;
}

static fh_status prepare_all(fh_shell_work *work, const fh_shell_sample *samples,
                             const fh_shell_options *options, fh_shell *shell, fh_error *error)
{
    const fh_reading *first = options->transmittance;
    for (size_t s = 0; s < work->count; ++s) {
        fh_status status = prepare(samples[s].look, options->noise, &work->look[s], error);
        if (!status) status = prepare(samples[s].backing, options->noise, &work->backing[s], error);
        if (status) return status;
        if (is_estimated(samples[s].look) || is_estimated(samples[s].backing))
            shell->estimated = true;
    }
    if (options->transmittance) {
        fh_status status =
            prepare(options->transmittance, options->noise, &work->transmittance, error);
        if (status) return status;
        work->has_transmittance = true;
        if (is_estimated(options->transmittance)) shell->estimated = true;
    }
    shell->method = work->count > 0 ? samples[0].look->method : first->method;
    size_t known = work->count + (work->has_transmittance ? 1 : 0);
    shell->kind = work->count >= 3 ? FH_SHELL_FITTED : FH_SHELL_SHEET;
    if (known == 1 || (known == 2 && options->clear)) shell->kind = FH_SHELL_CLEAR;
    work->kind = shell->kind;
    work->clear = shell->kind == FH_SHELL_CLEAR || options->clear;
    return FH_OK;
}

/* Fit once more with the index one standard uncertainty higher: what it is off by, the curves are.
 * Three backings don't need the index where light passes. */
static fh_status step_index(fh_shell_work *work, const fh_shell *shell, double sigma)
{
    if (shell->kind == FH_SHELL_FITTED || sigma <= 0.0) return FH_OK;
    const fh_sheet sheet = work->sheet;
    fh_band_fit *band = fh_allocate(FH_BANDS, sizeof *band);
    if (!band) return FH_E_MEMORY;
    fh_status status =
        fh_sheet_of(sheet.index + sigma, sheet.geometry, sheet.specular, &work->sheet);
    if (!status) status = fh_shell_bands(work, work->count, band);
    work->sheet = sheet;
    if (!status) {
        fh_shell_curves moved = fh_shell_curves_of(band);
        work->index_step.A = fh_spectrum_add(moved.A, shell->curves.A, -1.0);
        work->index_step.B = fh_spectrum_add(moved.B, shell->curves.B, -1.0);
        work->index_step.C = fh_spectrum_add(moved.C, shell->curves.C, -1.0);
        work->has_index_step = true;
    }
    fh_free(band);
    return status;
}

static fh_status fit(fh_shell_work *work, const fh_shell_sample *samples,
                     const fh_shell_options *options, fh_shell *shell, fh_error *error)
{
    fh_status status = prepare_all(work, samples, options, shell, error);
    if (status) return status;
    if (fh_sheet_of(options->index, shell->method.geometry, shell->method.specular, &work->sheet))
        return fh_fail(error, FH_E_DATA,
                       "readings at 45:0 with the specular component included; "
                       "such an instrument can't see it");
    status = fh_shell_bands(work, work->count, work->band);
    if (status)
        return fh_fail(error, status, "the shell can't be fitted (%s)", fh_status_text(status));
    shell->index = options->index;
    shell->curves = fh_shell_curves_of(work->band);
    shell->modelled = true;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        shell->absorption.v[i] = work->band[i].absorption;
        shell->scattering.v[i] = work->band[i].scattering;
    }
    status = step_index(work, shell, options->index_sigma);
    if (status)
        return fh_fail(error, status, "the shell can't be fitted (%s)", fh_status_text(status));
    return fh_shell_carry(work, shell, error);
}

static fh_status check_options(size_t count, const fh_shell_options *options, fh_error *error)
{
    if (count > FH_SHELL_SAMPLES || (count == 0 && !options->transmittance))
        return fh_fail(error, FH_E_ARGUMENT, "%zu backings; expected 1 to %d, or a transmittance",
                       count, (int)FH_SHELL_SAMPLES);
    if (!(options->noise > 0.0) || !isfinite(options->noise))
        return fh_fail(error, FH_E_ARGUMENT, "a noise of %g; expected a number above 0",
                       options->noise);
    if (!(options->index >= 1.0) || !(options->index <= 4.0))
        return fh_fail(error, FH_E_ARGUMENT,
                       "a refractive index of %g; expected 1 to 4 (acrylic "
                       "1.49, polycarbonate 1.586)",
                       options->index);
    if (!(options->index_sigma >= 0.0) || !(options->index_sigma <= 1.0))
        return fh_fail(error, FH_E_ARGUMENT, "an index uncertain by %g; expected 0 to 1",
                       options->index_sigma);
    return FH_OK;
}

fh_status fh_shell_fit(const fh_shell_sample *samples, size_t count,
                       const fh_shell_options *options, fh_shell *out, fh_shell_report *report,
                       fh_error *error)
{
    fh_status status = check_options(count, options, error);
    if (!status) status = fh_shell_check(samples, count, options, error);
    if (status) return status;
    fh_shell_work *work = fh_allocate(1, sizeof *work);
    fh_shell *shell = fh_allocate(1, sizeof *shell);
    fh_shell_report *summary = fh_allocate(1, sizeof *summary);
    if (!work || !shell || !summary) {
        status = fh_fail(error, FH_E_MEMORY, "not enough memory for the shell");
    } else {
        work->count = count;
        status = fit(work, samples, options, shell, error);
        if (!status && report) {
            status = fh_shell_judge(work, shell, summary);
            if (status)
                fh_fail(error, status, "the shell can't be judged (%s)", fh_status_text(status));
        }
    }
    if (!status) {
        *out = *shell;
        if (report) *report = *summary;
    }
    fh_free(work);
    fh_free(shell);
    fh_free(summary);
    return status;
}
