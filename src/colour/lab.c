/* CIELAB and CIE LCh [CIE15], with the exact fractions (6/29)³ and 24/116. */
#include "farhue/colour.h"

#include <math.h>

static const double pi = 3.14159265358979323846;

static double f_of(double t)
{
    const double limit = (24.0 / 116.0) * (24.0 / 116.0) * (24.0 / 116.0);
    return t > limit ? cbrt(t) : (841.0 / 108.0) * t + 16.0 / 116.0;
}

static double f_inverse(double f)
{
    return f > 24.0 / 116.0 ? f * f * f : (108.0 / 841.0) * (f - 16.0 / 116.0);
}

static double f_slope(double t)
{
    const double limit = (24.0 / 116.0) * (24.0 / 116.0) * (24.0 / 116.0);
    double root = cbrt(t);
    return t > limit ? 1.0 / (3.0 * root * root) : 841.0 / 108.0;
}

fh_lab fh_lab_of_xyz(fh_xyz xyz, fh_xyz white)
{
    double fx = f_of(xyz.X / white.X), fy = f_of(xyz.Y / white.Y), fz = f_of(xyz.Z / white.Z);
    return (fh_lab){116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)};
}

fh_xyz fh_xyz_of_lab(fh_lab lab, fh_xyz white)
{
    double fy = (lab.L + 16.0) / 116.0;
    return (fh_xyz){white.X * f_inverse(fy + lab.a / 500.0), white.Y * f_inverse(fy),
                    white.Z * f_inverse(fy - lab.b / 200.0)};
}

fh_mat3 fh_lab_jacobian(fh_xyz xyz, fh_xyz white)
{
    double sx = f_slope(xyz.X / white.X) / white.X, sy = f_slope(xyz.Y / white.Y) / white.Y,
           sz = f_slope(xyz.Z / white.Z) / white.Z;
    return (fh_mat3){{{0, 116.0 * sy, 0}, {500.0 * sx, -500.0 * sy, 0}, {0, 200.0 * sy, -200.0 * sz}}};
}

fh_lab fh_lab_of_spectrum(const fh_spectrum *reflectance, const fh_weights *weights)
{
    return fh_lab_of_xyz(fh_xyz_of_spectrum(reflectance, weights), weights->white);
}

fh_lch fh_lch_of_lab(fh_lab lab)
{
    double C = hypot(lab.a, lab.b);
    double h = C > 0.0 ? atan2(lab.b, lab.a) * 180.0 / pi : 0.0;
    if (h < 0.0) h += 360.0;
    if (h >= 360.0) h = 0.0; /* a tiny negative angle rounds up to 360 */
    return (fh_lch){lab.L, C, h};
}

fh_lab fh_lab_of_lch(fh_lch lch)
{
    double h = lch.h * pi / 180.0;
    return (fh_lab){lch.L, lch.C * cos(h), lch.C * sin(h)};
}
