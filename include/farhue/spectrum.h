/* A spectrum on the working grid: 380–730 nm by 10 nm.
 *
 * Reflectance and transmittance are factors: 0 black, 1 the perfect diffuser or no loss. */
#ifndef FARHUE_SPECTRUM_H
#define FARHUE_SPECTRUM_H

#include "farhue/status.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_BANDS = 36, FH_FIRST_NM = 380, FH_STEP_NM = 10, FH_LAST_NM = 730 };

/* v[i] belongs to (380 + 10 i) nm. */
typedef struct fh_spectrum {
    double v[FH_BANDS];
} fh_spectrum;

/* The same value in every band. */
FH_API fh_spectrum fh_spectrum_flat(double value);

/* Wavelength of a band, nm. */
FH_API double fh_band_nm(size_t band);

/* a + factor × b, band by band. */
FH_API fh_spectrum fh_spectrum_add(fh_spectrum a, fh_spectrum b, double factor);

/* Largest |a − b| over the bands. */
FH_API double fh_spectrum_distance(fh_spectrum a, fh_spectrum b);

/* Bring other samplings to the working grid.
 * nm: count wavelengths in ascending order; values: as many samples. Sprague interpolation for at
 * least 6 equidistant points [CIE15], a monotone cubic [Fritsch1980] else. Where the data do not
 * reach, the end value is held; *held (may be NULL) then counts the grid bands that hold an end.
 * No bandpass correction. FH_E_ARGUMENT: fewer than 2 points, not ascending, a value that is not
 * finite, or no overlap with the grid. */
FH_API fh_status fh_spectrum_resample(const double *nm, const double *values, size_t count,
                                      fh_spectrum *out, size_t *held);

#ifdef __cplusplus
}
#endif
#endif
