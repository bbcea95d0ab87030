/* What a fitted shell has to say for itself. */
#include "base/memory.h"
#include "farhue/difference.h"
#include "optics/shell_work.h"

#include <math.h>
#include <string.h>

static double difference(const fh_spectrum *a, const fh_spectrum *b, const fh_weights *weights)
{
    return fh_de2000(fh_lab_of_spectrum(a, weights), fh_lab_of_spectrum(b, weights));
}

/* Predict each look from the other samples; needs three others, or two for the sheet model. */
static fh_status leave_each_out(const fh_shell_work *work, const fh_weights *weights,
                                fh_shell_report *report)
{
    fh_band_fit *band = fh_allocate(FH_BANDS, sizeof *band);
    if (!band) return FH_E_MEMORY;
    fh_status status = FH_OK;
    for (size_t s = 0; s < work->count; ++s) {
        report->left_out[s] = -1.0;
        if (work->count < 3 || status) continue;
        status = fh_shell_bands(work, s, band);
        if (status) continue;
        fh_shell_curves curves = fh_shell_curves_of(band);
        fh_spectrum look = fh_shell_look(&curves, &work->backing[s].R);
        report->left_out[s] = difference(&work->look[s].R, &look, weights);
    }
    fh_free(band);
    return status;
}

static void judge_samples(const fh_shell_work *work, const fh_shell *shell,
                          const fh_weights *weights, fh_shell_report *report)
{
    fh_shell_curves model =
        fh_sheet_curves(&work->sheet, &shell->absorption, &shell->scattering, NULL);
    for (size_t s = 0; s < work->count; ++s) {
        const fh_spectrum *backing = &work->backing[s].R;
        fh_spectrum fitted = fh_shell_look(&shell->curves, backing);
        report->residual[s] = fh_spectrum_distance(fitted, work->look[s].R);
        report->dE[s] = difference(&work->look[s].R, &fitted, weights);
        fitted = fh_shell_look(&model, backing);
        report->model_dE[s] = difference(&work->look[s].R, &fitted, weights);
        double blue = 0.0, middle = 0.0; /* 430–450 nm against 500–600 nm */
        for (size_t i = 5; i <= 7; ++i) blue += backing->v[i] / 3.0;
        for (size_t i = 12; i <= 22; ++i) middle += backing->v[i] / 11.0;
        report->glowing[s] = middle > 0.5 && blue > middle + 0.02;
    }
}

/* Condition of the normal equations in A, B·, C scaled to what each does to a look. */
static double condition_of(const fh_band_fit *band)
{
    double a = sqrt(fmax(0.0, band->inverse[0][0])), b = sqrt(fmax(0.0, band->inverse[1][1]));
    double c = sqrt(fmax(0.0, band->inverse[2][2])) * band->B;
    double low = fmin(a, b), high = fmax(fmax(a, b), c);
    return low > 0.0 ? high / low : 1.0;
}

static void judge_bands(const fh_shell_work *work, const fh_shell_curves *curves,
                        fh_shell_report *report)
{
    fh_spectrum reach = fh_shell_reach(curves);
    report->range = work->count > 0 ? HUGE_VAL : 0.0;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        const fh_band_fit *band = &work->band[i];
        report->sigma_A.v[i] = sqrt(fmax(0.0, band->inverse[0][0]));
        report->sigma_B.v[i] = sqrt(fmax(0.0, band->inverse[1][1]));
        report->sigma_C.v[i] = sqrt(fmax(0.0, band->inverse[2][2]));
        report->condition.v[i] = condition_of(band);
        report->bounded[i] = band->bounded;
        report->hidden[i] = reach.v[i] < FH_SHELL_HIDDEN;
        report->hidden_count += report->hidden[i] ? 1 : 0;
        double low = INFINITY, high = 0.0;
        for (size_t s = 0; s < work->count; ++s) {
            low = fmin(low, work->backing[s].R.v[i]);
            high = fmax(high, work->backing[s].R.v[i]);
        }
        if (work->count > 0) report->range = fmin(report->range, high - low);
    }
}

/* Largest standard uncertainty of a look over parts of 0.05 to 0.95, mean over the bands, after one
 * more backing (negative: none) has been read as well as the others. The gain of one reading is
 * the rank-one update of the covariance. */
static double sigma_look(const fh_shell_work *work, double more)
{
    double sum = 0.0;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        const fh_band_fit *band = &work->band[i];
        double g[3], p[3], along[3] = {0, 0, 0}, gain = 0.0, worst = 0.0;
        if (more >= 0.0) {
            double sigma = work->count > 0 ? work->look[0].sigma.v[i] : 0.0005;
            fh_band_fit_slopes(band, more, g);
            for (int r = 0; r < 3; ++r)
                for (int c = 0; c < 3; ++c) along[r] += band->inverse[r][c] * g[c];
            double variance = g[0] * along[0] + g[1] * along[1] + g[2] * along[2];
            gain = 1.0 / (variance + sigma * sigma);
        }
        for (int k = 1; k <= 19; k += 3) {
            fh_band_fit_slopes(band, 0.05 * k, p);
            double before = 0.0, cross = 0.0;
            for (int r = 0; r < 3; ++r) {
                cross += p[r] * along[r];
                for (int c = 0; c < 3; ++c) before += p[r] * band->inverse[r][c] * p[c];
            }
            worst = fmax(worst, before - gain * cross * cross);
        }
        sum += sqrt(worst) / FH_BANDS;
    }
    return sum;
}

static void judge_next(const fh_shell_work *work, fh_shell_report *report)
{
    static const double offered[] = {0.04, 0.2, 0.35, 0.5, 0.9};
    report->sigma_look = sigma_look(work, -1.0);
    report->next_sigma = INFINITY;
    for (size_t k = 0; k < sizeof offered / sizeof *offered; ++k) {
        double sigma = sigma_look(work, offered[k]);
        if (sigma >= report->next_sigma) continue;
        report->next_sigma = sigma;
        report->next_backing = offered[k];
    }
    report->next_like = work->count;
    for (size_t s = 0; s < work->count; ++s) { /* within a tenth, in the middle of the spectrum */
        double level = 0.0;
        for (size_t i = 12; i <= 22; ++i) level += work->backing[s].R.v[i] / 11.0;
        if (fabs(level - report->next_backing) < 0.1) report->next_like = s;
    }
}

/* A head that lights a port of radius a lights a part at distance d behind it, and sees it, less.
 */
static void judge_gap(const fh_shell_work *work, fh_shell_report *report)
{
    for (size_t s = 0; s < work->count; ++s) {
        const fh_method *m = &work->look[s].reading->method;
        if (m->geometry == FH_GEOMETRY_PHOTO || m->port_mm <= 0.0 || m->gap_mm <= 0.0) continue;
        double a = 0.5 * m->port_mm, d = m->gap_mm;
        report->gap_loss = fmax(report->gap_loss, 1.0 - a * a / (a * a + d * d));
    }
}

fh_status fh_shell_judge(const fh_shell_work *work, const fh_shell *shell, fh_shell_report *report)
{
    const fh_weights weights = fh_weights_of(fh_condition_default());
    memset(report, 0, sizeof *report);
    report->count = work->count;
    judge_samples(work, shell, &weights, report);
    judge_bands(work, &shell->curves, report);
    judge_next(work, report);
    judge_gap(work, report);
    fh_spectrum part = fh_spectrum_flat(0.2);
    fh_spectrum look = fh_shell_look(&shell->curves, &part);
    double own = fh_xyz_of_spectrum(&shell->curves.A, &weights).Y;
    double all = fh_xyz_of_spectrum(&look, &weights).Y;
    report->share = all > 0.0 ? 1.0 - own / all : 0.0;
    return leave_each_out(work, &weights, report);
}
