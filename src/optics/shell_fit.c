/* The shell from three or more backings: a bounded fit in every band, its report and its errors.
 *
 * Where little light passes, C is drawn to the prior below; with exact readings of a shell that
 * lets light pass it has no weight. */
#include "base/error.h"
#include "base/memory.h"
#include "farhue/difference.h"
#include "farhue/fresnel.h"
#include "optics/gain.h"
#include "optics/shell_work.h"

#include <math.h>
#include <string.h>

/* C of plastic walls lies between that of a clear sheet that absorbs (0.09) and of a milky one
 * (0.4) in shared/reference/shell_air_gap_monte_carlo.csv. */
static const fh_band_prior usual = {.C = 0.2, .sigma_C = 0.2};

fh_shell_options fh_shell_options_default(void)
{
    return (fh_shell_options){.noise = 0.0005, .index = FH_INDEX_PLASTIC};
}

static fh_status prepare(const fh_reading *reading, double noise, fh_shell_side *side)
{
    fh_mat3 factor;
    if (fh_mat3_cholesky(reading->random, &factor)) return FH_E_DATA;
    side->reading = reading;
    side->R = reading->reflectance;
    fh_spectrum_gain(&side->R, reading->condition, side->gain);
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double variance = noise * noise;
        for (int k = 0; k < 3; ++k) {
            double dR = 0.0;
            for (int c = 0; c < 3; ++c) dR += side->gain[c].v[i] * factor.m[c][k];
            variance += dR * dR;
        }
        side->sigma.v[i] = sqrt(variance);
    }
    return FH_OK;
}

/* Fit all bands but leave out one sample (leave = count: none). */
static void fit_bands(const fh_shell_work *work, size_t leave, fh_band_fit *band)
{
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double y[FH_SHELL_SAMPLES], rho[FH_SHELL_SAMPLES];
        double sigma_y[FH_SHELL_SAMPLES], sigma_rho[FH_SHELL_SAMPLES];
        size_t n = 0;
        for (size_t s = 0; s < work->count; ++s) {
            if (s == leave) continue;
            y[n] = work->look[s].R.v[i];
            rho[n] = work->backing[s].R.v[i];
            sigma_y[n] = work->look[s].sigma.v[i];
            sigma_rho[n++] = work->backing[s].sigma.v[i];
        }
        band[i] = fh_band_fit_of(y, rho, sigma_y, sigma_rho, n, usual);
    }
}

static fh_shell_curves curves_of(const fh_band_fit *band)
{
    fh_shell_curves curves;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        curves.A.v[i] = band[i].A;
        curves.B.v[i] = band[i].B;
        curves.C.v[i] = band[i].C;
    }
    return curves;
}

static double difference(const fh_spectrum *a, const fh_spectrum *b, const fh_weights *weights)
{
    return fh_de2000(fh_lab_of_spectrum(a, weights), fh_lab_of_spectrum(b, weights));
}

/* Predict each look from the other samples; needs three others. */
static fh_status leave_each_out(const fh_shell_work *work, const fh_weights *weights,
                                fh_shell_report *report)
{
    for (size_t s = 0; s < work->count; ++s) report->left_out[s] = -1.0;
    if (work->count < 4) return FH_OK;
    fh_band_fit *band = fh_allocate(FH_BANDS, sizeof *band);
    if (!band) return FH_E_MEMORY;
    for (size_t s = 0; s < work->count; ++s) {
        fit_bands(work, s, band);
        fh_shell_curves curves = curves_of(band);
        fh_spectrum look = fh_shell_look(&curves, &work->backing[s].R);
        report->left_out[s] = difference(&work->look[s].R, &look, weights);
    }
    fh_free(band);
    return FH_OK;
}

static void report_bands(const fh_shell_work *work, const fh_shell_curves *curves,
                         fh_shell_report *report)
{
    fh_spectrum reach = fh_shell_reach(curves);
    report->range = INFINITY;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        const fh_band_fit *band = &work->band[i];
        report->sigma_A.v[i] = sqrt(fmax(0.0, band->inverse[0][0]));
        report->sigma_B.v[i] = sqrt(fmax(0.0, band->inverse[1][1]));
        report->sigma_C.v[i] = sqrt(fmax(0.0, band->inverse[2][2]));
        report->bounded[i] = band->bounded;
        report->hidden[i] = reach.v[i] < FH_SHELL_HIDDEN;
        report->hidden_count += report->hidden[i] ? 1 : 0;
        double low = INFINITY, high = 0.0;
        for (size_t s = 0; s < work->count; ++s) {
            low = fmin(low, work->backing[s].R.v[i]);
            high = fmax(high, work->backing[s].R.v[i]);
        }
        report->range = fmin(report->range, high - low);
    }
}

static fh_status write_report(const fh_shell_work *work, const fh_shell *shell,
                              fh_shell_report *report)
{
    const fh_weights weights = fh_weights_of(fh_condition_default());
    memset(report, 0, sizeof *report);
    report->count = work->count;
    for (size_t s = 0; s < work->count; ++s) {
        fh_spectrum fitted = fh_shell_look(&shell->curves, &work->backing[s].R);
        report->residual[s] = fh_spectrum_distance(fitted, work->look[s].R);
        report->dE[s] = difference(&work->look[s].R, &fitted, &weights);
    }
    report_bands(work, &shell->curves, report);
    fh_spectrum grey = fh_spectrum_flat(0.2);
    fh_spectrum look = fh_shell_look(&shell->curves, &grey);
    double own = fh_xyz_of_spectrum(&shell->curves.A, &weights).Y;
    double all = fh_xyz_of_spectrum(&look, &weights).Y;
    report->share = all > 0.0 ? 1.0 - own / all : 0.0;
    return leave_each_out(work, &weights, report);
}

static fh_status fit(fh_shell_work *work, const fh_shell_sample *samples,
                     const fh_shell_options *options, fh_shell *shell, fh_error *error)
{
    shell->kind = FH_SHELL_FITTED;
    shell->method = samples[0].look->method;
    shell->index = options->index;
    for (size_t s = 0; s < work->count; ++s) {
        if (prepare(samples[s].look, options->noise, &work->look[s]) ||
            prepare(samples[s].backing, options->noise, &work->backing[s]))
            return fh_fail(error, FH_E_DATA,
                           "a covariance of '%s' or '%s' isn't positive "
                           "semi-definite; expected one that a measurement can "
                           "have",
                           samples[s].look->id, samples[s].backing->id);
        if (samples[s].look->origin == FH_ORIGIN_ESTIMATED ||
            samples[s].backing->origin == FH_ORIGIN_ESTIMATED)
            shell->estimated = true;
    }
    fit_bands(work, work->count, work->band);
    shell->curves = curves_of(work->band);
    return fh_shell_carry(work, shell, error);
}

fh_status fh_shell_fit(const fh_shell_sample *samples, size_t count,
                       const fh_shell_options *options, fh_shell *out, fh_shell_report *report,
                       fh_error *error)
{
    if (count < 3 || count > FH_SHELL_SAMPLES)
        return fh_fail(error, FH_E_ARGUMENT, "%zu backings; expected 3 to %d", count,
                       (int)FH_SHELL_SAMPLES);
    if (!(options->noise > 0.0) || !(options->index >= 1.0) || !isfinite(options->index))
        return fh_fail(error, FH_E_ARGUMENT,
                       "noise %g, index %g; expected a noise above 0 and an "
                       "index of at least 1",
                       options->noise, options->index);
    fh_status status = fh_shell_check(samples, count, error);
    if (status) return status;
    fh_shell_work *work = fh_allocate(1, sizeof *work);
    fh_shell *shell = fh_allocate(1, sizeof *shell);
    fh_shell_report *summary = fh_allocate(1, sizeof *summary);
    if (!work || !shell || !summary) {
        status = fh_fail(error, FH_E_MEMORY, "not enough memory for the shell");
    } else {
        work->count = count;
        status = fit(work, samples, options, shell, error);
        if (!status && write_report(work, shell, summary))
            status = fh_fail(error, FH_E_MEMORY, "not enough memory for the shell");
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
