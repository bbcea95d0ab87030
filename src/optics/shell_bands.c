/* A, B, C of every band, by the kind of shell.
 *
 * The sheet model is fitted in every case. With three or more backings it only says where C would
 * be: the standard deviation below is what it was off by in the exact shells of
 * shared/reference (0.01 to 0.03), doubled; it grows where the model doesn't fit the readings. */
#include "optics/sheet_fit.h"
#include "optics/shell_work.h"

#include <math.h>
#include <string.h>

static const double model_sigma_C = 0.05;

typedef struct band_data {
    double y[FH_SHELL_SAMPLES], rho[FH_SHELL_SAMPLES];
    double sigma_y[FH_SHELL_SAMPLES], sigma_rho[FH_SHELL_SAMPLES];
    double sigma[FH_SHELL_SAMPLES]; /* of the look, its backing's error included */
    size_t count;
    double transmittance, sigma_T;
} band_data;

static band_data data_of(const fh_shell_work *work, size_t leave, size_t i)
{
    band_data d = {.transmittance = -1.0, .sigma_T = 1.0};
    for (size_t s = 0; s < work->count; ++s) {
        if (s == leave) continue;
        size_t n = d.count++;
        d.y[n] = work->look[s].R.v[i];
        d.rho[n] = work->backing[s].R.v[i];
        d.sigma_y[n] = work->look[s].sigma.v[i];
        d.sigma_rho[n] = work->backing[s].sigma.v[i];
        d.sigma[n] = hypot(d.sigma_y[n], d.sigma_rho[n]);
    }
    if (work->has_transmittance) {
        d.transmittance = work->transmittance.R.v[i];
        d.sigma_T = work->transmittance.sigma.v[i];
    }
    return d;
}

/* d(A, B, C, T) by absorption or scattering, forward where it is near 0. */
static void derivative(const fh_sheet *sheet, double absorption, double scattering, bool scatter,
                       double out[4])
{
    double x = scatter ? scattering : absorption, h = 1e-4 * (x + 0.01);
    double low = x > h ? x - h : x, high = x + h;
    fh_sheet_band a = scatter ? fh_sheet_band_of(sheet, absorption, low)
                              : fh_sheet_band_of(sheet, low, scattering);
    fh_sheet_band b = scatter ? fh_sheet_band_of(sheet, absorption, high)
                              : fh_sheet_band_of(sheet, high, scattering);
    out[0] = (b.A - a.A) / (high - low);
    out[1] = (b.B - a.B) / (high - low);
    out[2] = (b.C - a.C) / (high - low);
    out[3] = (b.T - a.T) / (high - low);
}

/* Normal equations of absorption and scattering, m, and their inverse; a parameter at 0 is held. */
static void invert_pair(double m[2][2], const bool held[2], double inverse[2][2])
{
    memset(inverse, 0, 4 * sizeof(double));
    double det = m[0][0] * m[1][1] - m[0][1] * m[1][0];
    if (!held[0] && !held[1] && det > 1e-12 * m[0][0] * m[1][1]) {
        inverse[0][0] = m[1][1] / det;
        inverse[1][1] = m[0][0] / det;
        inverse[0][1] = inverse[1][0] = -m[0][1] / det;
    } else if (!held[0] && m[0][0] > 0.0) {
        inverse[0][0] = 1.0 / m[0][0];
    } else if (!held[1] && m[1][1] > 0.0) {
        inverse[1][1] = 1.0 / m[1][1];
    }
}

/* How the sheet's curves move with the readings: inverse = D N⁻¹ Dᵀ, D = d(A,B,C)/d(pair). */
static void spread(const fh_sheet *sheet, const band_data *d, bool clear, fh_band_fit *fit)
{
    double D[2][4] = {{0}}, m[2][2] = {{0}}, n[2][2];
    for (int k = 0; k < (clear ? 1 : 2); ++k)
        derivative(sheet, fit->absorption, fit->scattering, k == 1, D[k]);
    for (size_t s = 0; s < d->count; ++s) {
        double slope[3], moved[2];
        double w = fh_band_fit_weight(fit, d->rho[s], d->sigma_y[s], d->sigma_rho[s]);
        fh_band_fit_slopes(fit, d->rho[s], slope);
        for (int k = 0; k < 2; ++k)
            moved[k] = slope[0] * D[k][0] + slope[1] * D[k][1] + slope[2] * D[k][2];
        for (int k = 0; k < 2; ++k)
            for (int l = 0; l < 2; ++l) m[k][l] += w * moved[k] * moved[l];
    }
    const double w = d->transmittance >= 0.0 ? 1.0 / (d->sigma_T * d->sigma_T) : 0.0;
    for (int k = 0; k < 2; ++k)
        for (int l = 0; l < 2; ++l) m[k][l] += w * D[k][3] * D[l][3];
    bool held[2] = {fit->absorption < 1e-6, clear || fit->scattering < 1e-6};
    invert_pair(m, held, n);
    for (int i = 0; i < 3; ++i) {
        fit->transmitted[i] = 0.0;
        for (int k = 0; k < 2; ++k)
            for (int l = 0; l < 2; ++l) fit->transmitted[i] += D[k][i] * n[k][l] * D[l][3] * w;
        for (int j = 0; j < 3; ++j) {
            fit->inverse[i][j] = 0.0;
            for (int k = 0; k < 2; ++k)
                for (int l = 0; l < 2; ++l) fit->inverse[i][j] += D[k][i] * n[k][l] * D[l][j];
        }
    }
    fit->bounded = held[0] || (!clear && held[1]);
}

static fh_status fit_sheet(const fh_shell_work *work, const fh_sheet_grid *grid, const band_data *d,
                           fh_band_fit *fit, double *misfit)
{
    fh_sheet_data data = {d->y,       d->rho,     d->sigma, d->count, d->transmittance,
                          d->sigma_T, work->clear};
    double absorption, scattering;
    fh_status status = fh_sheet_fit_band(&work->sheet, grid, &data, &absorption, &scattering);
    if (status) return status;
    fh_sheet_band band = fh_sheet_band_of(&work->sheet, absorption, scattering);
    *fit = (fh_band_fit){.A = band.A,
                         .B = band.B,
                         .C = band.C,
                         .absorption = absorption,
                         .scattering = scattering,
                         .model_C = band.C};
    *misfit = 0.0;
    for (size_t s = 0; s < d->count; ++s) {
        double look = band.A + band.B * d->rho[s] / (1.0 - band.C * d->rho[s]);
        *misfit = fmax(*misfit, fabs(look - d->y[s]));
    }
    return FH_OK;
}

static fh_status fit_band(const fh_shell_work *work, const fh_sheet_grid *grid, size_t leave,
                          size_t i, fh_band_fit *out)
{
    band_data d = data_of(work, leave, i);
    fh_band_fit sheet;
    double misfit;
    fh_status status = fit_sheet(work, grid, &d, &sheet, &misfit);
    if (status) return status;
    if (d.count < 3) {
        *out = sheet;
        spread(&work->sheet, &d, work->clear, out);
        /* At 45°:0° a milky white may send a little more to the eye than a perfect diffuser (0.4 %
         * at an index of 1.5); a shell's curves keep to its bound all the same. */
        out->A = fmin(out->A, 1.0);
        out->B = fmin(out->B, (1.0 - out->A) * (1.0 - out->C));
        return FH_OK;
    }
    fh_band_prior prior = {.C = sheet.C, .sigma_C = model_sigma_C * (1.0 + 100.0 * misfit)};
    *out = fh_band_fit_of(d.y, d.rho, d.sigma_y, d.sigma_rho, d.count, prior);
    out->absorption = sheet.absorption;
    out->scattering = sheet.scattering;
    return FH_OK;
}

fh_status fh_shell_bands(const fh_shell_work *work, size_t leave, fh_band_fit *band)
{
    fh_sheet_grid *grid = fh_sheet_grid_new(&work->sheet);
    if (!grid) return FH_E_MEMORY;
    fh_status status = FH_OK;
    for (size_t i = 0; !status && i < FH_BANDS; ++i)
        status = fit_band(work, grid, leave, i, &band[i]);
    fh_sheet_grid_free(grid);
    return status;
}

fh_shell_curves fh_shell_curves_of(const fh_band_fit *band)
{
    fh_shell_curves curves;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        curves.A.v[i] = band[i].A;
        curves.B.v[i] = band[i].B;
        curves.C.v[i] = band[i].C;
    }
    return curves;
}
