/* The same plastic, thicker or thinner.
 *
 * Absorption and scattering grow with the thickness; the faces stay. In every band the two are
 * found for which exact transport gives the shell's looks over 0.04 and 0.88, and transport says
 * how the curves change; a clear band goes by the sheet model, which is exact for it. What three or
 * more backings say beyond that is kept: as a difference of A (shrunk as B shrinks) and C, as a
 * ratio of B. The modes move with B and A.
 *
 * Trap: the sheet model's own scattering is no constant of the material where light is scattered
 * forward; carried to twice the thickness by it, a frosted wall is off by up to 2.6 ΔE00. */
#include "base/memory.h"
#include "optics/sheet_fit.h"
#include "optics/transport.h"

#include <math.h>
#include <string.h>

/* Below this scattering a band counts as clear. */
static const double clear_limit = 1e-4;

typedef struct problem {
    fh_transport *transport;
    const fh_shell_curves *curves;
    size_t band;
} problem;

static const double part[2] = {0.04, 0.88};

static double look(double A, double B, double C, double rho)
{
    return A + B * rho / (1.0 - C * rho);
}

/* How far transport's looks are from the shell's. */
static void miss(const fh_shell_curves *c, size_t band, const fh_sheet_band *found, double error[2])
{
    for (int k = 0; k < 2; ++k)
        error[k] = look(found->A, found->B, found->C, part[k]) -
                   look(c->A.v[band], c->B.v[band], c->C.v[band], part[k]);
}

/* The unknowns are logarithms, so that both stay above 0; absorption may reach 0 itself. */
static const double least_absorption = 1e-3;

static void unknowns(double absorption, double scattering, double x[2])
{
    x[0] = log(absorption + least_absorption);
    x[1] = log(scattering);
}

static void values(const double x[2], double *absorption, double *scattering)
{
    *absorption = fmax(exp(x[0]) - least_absorption, 0.0);
    *scattering = exp(x[1]);
}

/* Derivatives of the looks by the unknowns, from the sheet model. */
static void slopes(const fh_sheet *sheet, const fh_shell_curves *c, size_t band, const double x[2],
                   double J[2][2])
{
    const double h = 1e-4;
    for (int j = 0; j < 2; ++j) {
        double low[2], high[2], at[2], a, s;
        for (int side = 0; side < 2; ++side) {
            memcpy(at, x, sizeof at);
            at[j] += side ? h : -h;
            values(at, &a, &s);
            fh_sheet_band found = fh_sheet_band_of(sheet, a, s);
            miss(c, band, &found, side ? high : low);
        }
        for (int k = 0; k < 2; ++k) J[k][j] = (high[k] - low[k]) / (2.0 * h);
    }
}

/* Newton's step by the current slopes, no longer than a factor of 2; false when they are flat. */
static bool newton(double J[2][2], const double error[2], double step[2])
{
    double det = J[0][0] * J[1][1] - J[0][1] * J[1][0];
    if (!(fabs(det) > 1e-12)) return false;
    step[0] = -(J[1][1] * error[0] - J[0][1] * error[1]) / det;
    step[1] = -(J[0][0] * error[1] - J[1][0] * error[0]) / det;
    double length = hypot(step[0], step[1]), most = log(2.0);
    for (int j = 0; length > most && j < 2; ++j) step[j] *= most / length;
    return isfinite(step[0]) && isfinite(step[1]);
}

/* Absorption and scattering for which transport has the shell's looks: Broyden's method, which
 * begins with the sheet model's slopes and learns from every step. Keeps the best. */
static void solve(const problem *p, const fh_sheet *sheet, double *absorption, double *scattering)
{
    double x[2], J[2][2], error[2] = {0, 0}, step[2] = {0, 0}, best = HUGE_VAL;
    unknowns(*absorption, *scattering, x);
    slopes(sheet, p->curves, p->band, x, J);
    for (int round = 0; round < 15; ++round) {
        double a, s, before[2] = {error[0], error[1]};
        values(x, &a, &s);
        fh_sheet_band found = fh_transport_band(p->transport, a, s);
        miss(p->curves, p->band, &found, error);
        double size = hypot(error[0], error[1]);
        if (size < best) {
            best = size;
            *absorption = a;
            *scattering = s;
        }
        if (size < 1e-6) return;
        if (round > 0) {
            double square = step[0] * step[0] + step[1] * step[1];
            for (int k = 0; k < 2; ++k) {
                double off = error[k] - before[k] - J[k][0] * step[0] - J[k][1] * step[1];
                for (int j = 0; j < 2; ++j) J[k][j] += off * step[j] / square;
            }
        }
        if (!newton(J, error, step)) return;
        x[0] = fmax(x[0] + step[0], log(least_absorption));
        x[1] = fmin(fmax(x[1] + step[1], log(1e-5)), log(FH_SHEET_LARGEST));
        x[0] = fmin(x[0], log(FH_SHEET_LARGEST));
    }
}

/* The curves of one band before and after. */
static void carry_band(const problem *p, const fh_sheet *sheet, const fh_shell *shell, double ratio,
                       fh_sheet_band *before, fh_sheet_band *after)
{
    double absorption = shell->absorption.v[p->band], scattering = shell->scattering.v[p->band];
    if (scattering < clear_limit) {
        *before = fh_sheet_band_of(sheet, absorption, scattering);
        *after = fh_sheet_band_of(sheet, ratio * absorption, ratio * scattering);
        return;
    }
    solve(p, sheet, &absorption, &scattering);
    *before = fh_transport_band(p->transport, absorption, scattering);
    *after = fh_transport_band(p->transport, ratio * absorption, ratio * scattering);
}

static double ratio_of(double now, double before)
{
    return before > 1e-12 ? now / before : 0.0;
}

static void set_band(fh_shell *shell, size_t i, const fh_sheet_band *before,
                     const fh_sheet_band *after)
{
    double B_ratio = ratio_of(after->B, before->B), A_ratio = ratio_of(after->A, before->A);
    double A = after->A, B = after->B, C = after->C;
    if (shell->kind == FH_SHELL_FITTED) {
        A += (shell->curves.A.v[i] - before->A) * fmin(B_ratio, 1.0);
        B = shell->curves.B.v[i] * B_ratio;
        C += shell->curves.C.v[i] - before->C;
    }
    A = fmin(fmax(A, 0.0), 1.0);
    C = fmin(fmax(C, 0.0), 0.98);
    shell->curves.A.v[i] = A;
    shell->curves.C.v[i] = C;
    shell->curves.B.v[i] = fmin(B, (1.0 - A) * (1.0 - C));
    for (size_t j = 0; j < shell->mode_count; ++j) {
        shell->mode[j].step.A.v[i] *= fmax(A_ratio, B_ratio);
        shell->mode[j].step.B.v[i] *= B_ratio;
    }
}

static void carry(fh_shell *shell, const fh_shell *from, fh_transport *transport,
                  const fh_sheet *sheet, double ratio)
{
    problem p = {transport, &from->curves, 0};
    for (p.band = 0; p.band < FH_BANDS; ++p.band) {
        fh_sheet_band before, after;
        carry_band(&p, sheet, from, ratio, &before, &after);
        set_band(shell, p.band, &before, &after);
        shell->absorption.v[p.band] *= ratio;
        shell->scattering.v[p.band] *= ratio;
    }
    if (shell->method.thickness_mm > 0.0) shell->method.thickness_mm *= ratio;
}

fh_status fh_shell_thickness(const fh_shell *shell, double ratio, fh_shell *out)
{
    if (!(ratio > 0.0) || !(ratio <= 20.0)) return FH_E_ARGUMENT;
    fh_sheet sheet;
    if (!shell->modelled ||
        fh_sheet_of(shell->index, shell->method.geometry, shell->method.specular, &sheet))
        return FH_E_DATA;
    fh_transport *transport = fh_transport_new(&sheet);
    fh_shell *copy = fh_allocate(1, sizeof *copy);
    fh_status status = transport && copy ? FH_OK : FH_E_MEMORY;
    if (!status) {
        *copy = *shell;
        carry(copy, shell, transport, &sheet, ratio);
    }
    if (!status) *out = *copy;
    fh_free(copy);
    fh_transport_free(transport);
    return status;
}
