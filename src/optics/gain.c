/* A measured spectrum whose uncertainty is known only as a Lab covariance: the errors of an
 * instrument (level, offset, slope, wavelength scale) are smooth in wavelength, so the spectrum is
 * taken to move by three smooth shapes, scaled so that the Lab moves as stated.
 *
 * The shapes are a long-pass and a short-pass logistic step and what is left between, each times
 * R (1 − R), the slope of the logit, so that nothing leaves 0–1. With J = dLab/dXYZ and W the
 * weights: gain = Φ (J W Φ)⁻¹. Own construction, no source. */
#include "optics/gain.h"

#include <math.h>

static double shape(int which, double nm)
{
    double low = 1.0 / (1.0 + exp((nm - 490.0) / 12.0));
    double high = 1.0 / (1.0 + exp((585.0 - nm) / 12.0));
    return which == 0 ? low : which == 1 ? 1.0 - low - high : high;
}

void fh_spectrum_gain(const fh_spectrum *reflectance, fh_condition condition, fh_spectrum gain[3])
{
    const fh_weights weights = fh_weights_of(condition);
    fh_spectrum phi[3];
    fh_mat3 moved;
    for (int k = 0; k < 3; ++k) {
        for (size_t i = 0; i < FH_BANDS; ++i) {
            double R = reflectance->v[i];
            phi[k].v[i] = shape(k, fh_band_nm(i)) * fmax(R * (1.0 - R), 0.01);
        }
        fh_xyz step = fh_xyz_of_spectrum(&phi[k], &weights);
        moved.m[0][k] = step.X;
        moved.m[1][k] = step.Y;
        moved.m[2][k] = step.Z;
    }
    fh_mat3 J = fh_lab_jacobian(fh_xyz_of_spectrum(reflectance, &weights), weights.white);
    fh_mat3 back = fh_mat3_diagonal(0, 0, 0);
    (void)fh_mat3_inverse(fh_mat3_multiply(J, moved), &back); /* regular: shapes don't overlap */
    for (int c = 0; c < 3; ++c)
        for (size_t i = 0; i < FH_BANDS; ++i)
            gain[c].v[i] = phi[0].v[i] * back.m[0][c] + phi[1].v[i] * back.m[1][c] +
                           phi[2].v[i] * back.m[2][c];
}
