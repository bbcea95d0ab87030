/* The older formulas: ΔE*ab [CIE15], CIE94 [CIE116], CMC(l:c) [BS6923].
 * CIE94 and CMC take their weights from the reference's chroma and hue: not symmetric. */
#include <assert.h>
#include <math.h>

#include "farhue/difference.h"

static const double pi = 3.14159265358979323846;

static double square(double x)
{
    return x * x;
}

/* ΔL, ΔC and ΔH² of a pair. */
struct parts {
    double L, C, H2, C_reference;
};

static struct parts parts_of(fh_lab reference, fh_lab sample)
{
    struct parts p;
    p.C_reference = hypot(reference.a, reference.b);
    p.L = sample.L - reference.L;
    p.C = hypot(sample.a, sample.b) - p.C_reference;
    p.H2 = square(sample.a - reference.a) + square(sample.b - reference.b) - square(p.C);
    if (p.H2 < 0.0) p.H2 = 0.0; /* rounding */
    return p;
}

double fh_de1976(fh_lab reference, fh_lab sample)
{
    return sqrt(square(sample.L - reference.L) + square(sample.a - reference.a) +
                square(sample.b - reference.b));
}

static double de1994(fh_lab reference, fh_lab sample, double kL, double K1, double K2)
{
    struct parts p = parts_of(reference, sample);
    double SC = 1.0 + K1 * p.C_reference, SH = 1.0 + K2 * p.C_reference;
    return sqrt(square(p.L / kL) + square(p.C / SC) + p.H2 / square(SH));
}

double fh_de1994_graphic(fh_lab reference, fh_lab sample)
{
    return de1994(reference, sample, 1.0, 0.045, 0.015);
}

double fh_de1994_textile(fh_lab reference, fh_lab sample)
{
    return de1994(reference, sample, 2.0, 0.048, 0.014);
}

double fh_decmc(fh_lab reference, fh_lab sample, double l, double c)
{
    assert(l > 0.0 && c > 0.0);
    struct parts p = parts_of(reference, sample);
    double L1 = reference.L, C1 = p.C_reference, C4 = square(square(C1));
    double h = fh_lch_of_lab(reference).h;
    double F = sqrt(C4 / (C4 + 1900.0));
    double T = h >= 164.0 && h <= 345.0 ? 0.56 + fabs(0.2 * cos((h + 168.0) * pi / 180.0))
                                        : 0.36 + fabs(0.4 * cos((h + 35.0) * pi / 180.0));
    double SL = L1 < 16.0 ? 0.511 : 0.040975 * L1 / (1.0 + 0.01765 * L1);
    double SC = 0.0638 * C1 / (1.0 + 0.0131 * C1) + 0.638;
    double SH = SC * (F * T + 1.0 - F);
    return sqrt(square(p.L / (l * SL)) + square(p.C / (c * SC)) + p.H2 / square(SH));
}
