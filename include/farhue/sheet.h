/* A plastic wall in air: from what the plastic absorbs and scatters to the look through it.
 *
 * The beam of the instrument, and the fan of light that enters from the part behind, go straight:
 * Fresnel at each face, mirror reflections, attenuation by absorption + scattering. What they lose
 * to scattering, half up and half down, feeds two diffuse fluxes between the faces. Two numbers a
 * band, both without a unit: absorption μa d and scattering μs′ d (reduced), d the thickness. */
#ifndef FARHUE_SHEET_H
#define FARHUE_SHEET_H

#include "farhue/shell.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_SHEET_RAYS = 32 };

/* A beam on its way through the faces: its cosine inside, what a face throws back. */
typedef struct fh_sheet_ray {
    double cosine, mirror, weight;
} fh_sheet_ray;

/* The faces and the instrument, made once and used for all bands. */
typedef struct fh_sheet {
    double index;
    fh_geometry geometry;
    fh_specular specular;
    double inner;                    /* what a face throws back of diffuse light inside */
    double toward;                   /* share of diffuse light inside that leaves to the eye */
    fh_sheet_ray beam, eye;          /* the lamp's beam; the instrument's, for 45°:0° */
    fh_sheet_ray fan[FH_SHEET_RAYS]; /* diffuse light from the part, weights sum to 1 */
} fh_sheet;

/* FH_GEOMETRY_PHOTO and FH_GEOMETRY_UNKNOWN count as 45°:0°; specular unknown counts as excluded.
 * FH_E_ARGUMENT: index below 1 or not finite; specular included with 45°:0° (no such instrument
 * sees it). */
FH_API fh_status fh_sheet_of(double index, fh_geometry geometry, fh_specular specular,
                             fh_sheet *out);

/* One band: the shell's curves, and the total transmittance of a beam along the normal. */
typedef struct fh_sheet_band {
    double A, B, C, T;
} fh_sheet_band;

/* absorption and scattering are finite and ≥ 0 (asserted). */
FH_API fh_sheet_band fh_sheet_band_of(const fh_sheet *sheet, double absorption, double scattering);

/* All bands; transmittance may be NULL. */
FH_API fh_shell_curves fh_sheet_curves(const fh_sheet *sheet, const fh_spectrum *absorption,
                                       const fh_spectrum *scattering, fh_spectrum *transmittance);

#ifdef __cplusplus
}
#endif
#endif
