/* sRGB [IEC61966]: primaries and D65 white as the standard prints them, transfer curve with the
 * standard's constants (0.04045, 0.0031308). The matrix is derived from the primaries rather
 * than copied with four decimals, so that both directions are exact inverses. */
#include "farhue/colour.h"

#include <math.h>

fh_xyz fh_srgb_white(void)
{
    return (fh_xyz){100.0 * 0.3127 / 0.3290, 100.0, 100.0 * (1.0 - 0.3127 - 0.3290) / 0.3290};
}

/* Linear sRGB → XYZ: columns are the primaries, scaled so that (1,1,1) is the white. */
static fh_mat3 rgb_to_xyz(void)
{
    static const double x[3] = {0.64, 0.30, 0.15}, y[3] = {0.33, 0.60, 0.06};
    fh_xyz white = fh_srgb_white();
    fh_mat3 primaries, inverse = {{{0}}};
    for (int i = 0; i < 3; ++i) {
        primaries.m[0][i] = x[i] / y[i];
        primaries.m[1][i] = 1.0;
        primaries.m[2][i] = (1.0 - x[i] - y[i]) / y[i];
    }
    (void)fh_mat3_inverse(primaries, &inverse); /* constants: never singular */
    fh_vec3 scale = fh_mat3_apply(inverse, (fh_vec3){{white.X, white.Y, white.Z}});
    return fh_mat3_multiply(primaries, fh_mat3_diagonal(scale.v[0], scale.v[1], scale.v[2]));
}

fh_rgb fh_srgb_of_xyz(fh_xyz xyz)
{
    fh_mat3 inverse = {{{0}}};
    (void)fh_mat3_inverse(rgb_to_xyz(), &inverse);
    fh_vec3 rgb = fh_mat3_apply(inverse, (fh_vec3){{xyz.X, xyz.Y, xyz.Z}});
    return (fh_rgb){rgb.v[0], rgb.v[1], rgb.v[2]};
}

fh_xyz fh_xyz_of_srgb(fh_rgb linear)
{
    fh_vec3 xyz = fh_mat3_apply(rgb_to_xyz(), (fh_vec3){{linear.r, linear.g, linear.b}});
    return (fh_xyz){xyz.v[0], xyz.v[1], xyz.v[2]};
}

double fh_srgb_encode(double linear)
{
    double v = fabs(linear);
    double encoded = v <= 0.0031308 ? 12.92 * v : 1.055 * pow(v, 1.0 / 2.4) - 0.055;
    return copysign(encoded, linear);
}

double fh_srgb_decode(double encoded)
{
    double v = fabs(encoded);
    double linear = v <= 0.04045 ? v / 12.92 : pow((v + 0.055) / 1.055, 2.4);
    return copysign(linear, encoded);
}

static double clip(double v, bool *inside)
{
    const double slack = 1e-6; /* rounding at the gamut's surface is no clipping */
    if (!(v >= -slack && v <= 1.0 + slack)) *inside = false;
    return v > 1.0 ? 1.0 : v > 0.0 ? v : 0.0;
}

fh_rgb fh_screen_of_lab(fh_lab lab, bool *inside)
{
    fh_rgb linear = fh_srgb_of_xyz(fh_xyz_of_lab(lab, fh_srgb_white()));
    bool within = true;
    fh_rgb screen = {fh_srgb_encode(clip(linear.r, &within)),
                     fh_srgb_encode(clip(linear.g, &within)),
                     fh_srgb_encode(clip(linear.b, &within))};
    if (inside) *inside = within;
    return screen;
}
