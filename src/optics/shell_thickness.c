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
#include "base/fit.h"
#include "base/memory.h"
#include "optics/sheet_fit.h"
#include "optics/transport.h"

#include <math.h>

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

static void residuals(void *user, const double *x, double *error)
{
    const problem *p = user;
    const fh_shell_curves *c = p->curves;
    fh_sheet_band found = fh_transport_band(p->transport, x[0] * x[0], x[1] * x[1]);
    for (int k = 0; k < 2; ++k)
        error[k] = look(found.A, found.B, found.C, part[k]) -
                   look(c->A.v[p->band], c->B.v[p->band], c->C.v[p->band], part[k]);
}

/* The curves of one band before and after. */
static fh_status carry_band(problem *p, const fh_sheet *sheet, const fh_shell *shell, double ratio,
                            fh_sheet_band *before, fh_sheet_band *after)
{
    double absorption = shell->absorption.v[p->band], scattering = shell->scattering.v[p->band];
    if (scattering < clear_limit) {
        *before = fh_sheet_band_of(sheet, absorption, scattering);
        *after = fh_sheet_band_of(sheet, ratio * absorption, ratio * scattering);
        return FH_OK;
    }
    const double lower[2] = {0, 0};
    const double upper[2] = {sqrt(FH_SHEET_LARGEST), sqrt(FH_SHEET_LARGEST)};
    fh_fit_problem fit = {.rows = 2,
                          .columns = 2,
                          .residuals = residuals,
                          .user = p,
                          .lower = lower,
                          .upper = upper,
                          .tolerance = 1e-7};
    double x[2] = {sqrt(fmax(absorption, 1e-4)), sqrt(scattering)};
    fh_status status = fh_fit_nonlinear(&fit, x, NULL, NULL);
    if (status) return status;
    *before = fh_transport_band(p->transport, x[0] * x[0], x[1] * x[1]);
    *after = fh_transport_band(p->transport, ratio * x[0] * x[0], ratio * x[1] * x[1]);
    return FH_OK;
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

static fh_status carry(fh_shell *shell, const fh_shell *from, fh_transport *transport,
                       const fh_sheet *sheet, double ratio)
{
    problem p = {transport, &from->curves, 0};
    for (p.band = 0; p.band < FH_BANDS; ++p.band) {
        fh_sheet_band before, after;
        fh_status status = carry_band(&p, sheet, from, ratio, &before, &after);
        if (status) return status;
        set_band(shell, p.band, &before, &after);
        shell->absorption.v[p.band] *= ratio;
        shell->scattering.v[p.band] *= ratio;
    }
    if (shell->method.thickness_mm > 0.0) shell->method.thickness_mm *= ratio;
    return FH_OK;
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
        status = carry(copy, shell, transport, &sheet, ratio);
    }
    if (!status) *out = *copy;
    fh_free(copy);
    fh_transport_free(transport);
    return status;
}
