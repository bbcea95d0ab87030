/* The same plastic, thicker or thinner.
 *
 * Absorption and scattering grow with the thickness; the faces stay. What the fitted curves differ
 * from the model's at the measured thickness is kept: as a difference for A and C, as a ratio for
 * B, and the modes move with the ratio of B and of A. */
#include "farhue/sheet.h"

#include <math.h>

static double ratio_of(double now, double before)
{
    return before > 1e-12 ? now / before : 0.0;
}

static void rescale(fh_shell *shell, const fh_shell_curves *before, const fh_shell_curves *after)
{
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double B_ratio = ratio_of(after->B.v[i], before->B.v[i]);
        double A_ratio = ratio_of(after->A.v[i], before->A.v[i]);
        double C = after->C.v[i] + shell->curves.C.v[i] - before->C.v[i];
        shell->curves.C.v[i] = fmin(fmax(C, 0.0), 0.98);
        shell->curves.A.v[i] =
            fmax(0.0, after->A.v[i] + (shell->curves.A.v[i] - before->A.v[i]) * B_ratio);
        shell->curves.B.v[i] =
            fmin(shell->curves.B.v[i] * B_ratio,
                 fmax(0.0, (1.0 - shell->curves.A.v[i]) * (1.0 - shell->curves.C.v[i])));
        for (size_t j = 0; j < shell->mode_count; ++j) {
            shell->mode[j].step.A.v[i] *= fmax(A_ratio, B_ratio);
            shell->mode[j].step.B.v[i] *= B_ratio;
        }
    }
}

fh_status fh_shell_thickness(const fh_shell *shell, double ratio, fh_shell *out)
{
    if (!(ratio > 0.0) || !(ratio <= 20.0)) return FH_E_ARGUMENT;
    fh_sheet sheet;
    if (!shell->modelled ||
        fh_sheet_of(shell->index, shell->method.geometry, shell->method.specular, &sheet))
        return FH_E_DATA;
    fh_shell_curves before = fh_sheet_curves(&sheet, &shell->absorption, &shell->scattering, NULL);
    *out = *shell;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        out->absorption.v[i] *= ratio;
        out->scattering.v[i] *= ratio;
    }
    fh_shell_curves after = fh_sheet_curves(&sheet, &out->absorption, &out->scattering, NULL);
    rescale(out, &before, &after);
    if (out->method.thickness_mm > 0.0) out->method.thickness_mm *= ratio;
    return FH_OK;
}
