/* Colour spaces: XYZ, CIELAB, LCh, sRGB, chromatic adaptation.
 *
 * XYZ in percent (Y = 100 for the perfect diffuser). The white is always an argument. */
#ifndef FARHUE_COLOUR_H
#define FARHUE_COLOUR_H

#include "farhue/condition.h"

#ifdef __cplusplus
extern "C" {
#endif

/* CIE 1976 L*a*b*. */
typedef struct fh_lab {
    double L, a, b;
} fh_lab;

/* Lightness, chroma, hue angle in degrees, 0 ≤ h < 360 (0 for a neutral). */
typedef struct fh_lch {
    double L, C, h;
} fh_lch;

/* Linear light or encoded signal of the sRGB primaries, 0–1 inside the gamut. */
typedef struct fh_rgb {
    double r, g, b;
} fh_rgb;

/* CIELAB of tristimulus values, exact fractions of [CIE15]. Defined for all finite XYZ. */
FH_API fh_lab fh_lab_of_xyz(fh_xyz xyz, fh_xyz white);
FH_API fh_xyz fh_xyz_of_lab(fh_lab lab, fh_xyz white);

/* d(L,a,b)/d(X,Y,Z) at xyz. */
FH_API fh_mat3 fh_lab_jacobian(fh_xyz xyz, fh_xyz white);

/* CIELAB of a reflectance under a condition. */
FH_API fh_lab fh_lab_of_spectrum(const fh_spectrum *reflectance, const fh_weights *weights);

/* Chroma and hue angle in degrees, and back. */
FH_API fh_lch fh_lch_of_lab(fh_lab lab);
FH_API fh_lab fh_lab_of_lch(fh_lch lch);

/* The white of sRGB: D65, 2 degrees, x = 0.3127, y = 0.3290 [IEC61966]. */
FH_API fh_xyz fh_srgb_white(void);

/* Linear sRGB and XYZ relative to fh_srgb_white [IEC61966]; no clipping. */
FH_API fh_rgb fh_srgb_of_xyz(fh_xyz xyz);
FH_API fh_xyz fh_xyz_of_srgb(fh_rgb linear);

/* The sRGB transfer curve, one channel; odd beyond 0 so that nothing is clipped. */
FH_API double fh_srgb_encode(double linear);
FH_API double fh_srgb_decode(double encoded);

/* Screen colour of a D65/2 (or, for display only, D65/10) Lab: encoded sRGB. *inside (may be
 * NULL) tells whether it lies in the gamut; outside it the value is clipped to it. */
FH_API fh_rgb fh_screen_of_lab(fh_lab lab, bool *inside);

/* The Bradford matrix that takes XYZ from one white to another [ICC2022]. For pictures and
 * cross-checks, never to carry a measured colour to another condition. */
FH_API fh_mat3 fh_bradford(fh_xyz from, fh_xyz to);

#ifdef __cplusplus
}
#endif
#endif
