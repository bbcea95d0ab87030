/* CIEDE2000 [ISO11664-6], in the notation and with the branch rules of [Sharma2005]; equation
 * numbers are theirs.
 *
 * Traps: hue angles exactly opposite have no defined mean: comparing |h2' − h1'| with 180 is done
 * with 1e-9 degree of slack, so that arctangents of different platforms agree (their pair 14).
 * The mean hue is a true jump there, and at 0/360. With a zero chroma the mean hue is the sum. */
#include "farhue/difference.h"

#include <assert.h>
#include <math.h>

static const double pi = 3.14159265358979323846;

static double radians(double degrees)
{
    return degrees * (pi / 180.0);
}

static double square(double x)
{
    return x * x;
}

static double seventh(double x)
{
    double cubed = x * x * x;
    return cubed * cubed * x;
}

/* L', C', h' of one colour (eqs. 5–7). */
struct prime {
    double L, C, h;
};

static struct prime prime_of(fh_lab lab, double G)
{
    double a = (1.0 + G) * lab.a;
    double C = hypot(a, lab.b), h = 0.0;
    if (C > 0.0) {
        h = atan2(lab.b, a) * (180.0 / pi);
        if (h < 0.0) h += 360.0;
    }
    return (struct prime){lab.L, C, h};
}

/* Δh' in degrees (eq. 10) and the mean hue (eq. 14). */
static double hue_step(const struct prime *p, const struct prime *q, double *mean)
{
    const double half = 180.0 + 1e-9;
    double step = q->h - p->h, sum = p->h + q->h;
    if (p->C * q->C == 0.0) {
        *mean = sum;
        return 0.0;
    }
    if (fabs(step) <= half) {
        *mean = sum / 2.0;
        return step;
    }
    *mean = sum < 360.0 ? (sum + 360.0) / 2.0 : (sum - 360.0) / 2.0;
    return step > 0.0 ? step - 360.0 : step + 360.0;
}

fh_difference fh_de2000_parts(fh_lab reference, fh_lab sample, fh_factors k)
{
    assert(k.kL > 0.0 && k.kC > 0.0 && k.kH > 0.0);
    const double pow25_7 = 6103515625.0;
    double C_mean_7 = seventh((hypot(reference.a, reference.b) + hypot(sample.a, sample.b)) / 2.0);
    double G = 0.5 * (1.0 - sqrt(C_mean_7 / (C_mean_7 + pow25_7)));
    struct prime p = prime_of(reference, G), q = prime_of(sample, G);

    double h_mean, dh = hue_step(&p, &q, &h_mean);
    double dL = q.L - p.L, dC = q.C - p.C;
    double dH = 2.0 * sqrt(p.C * q.C) * sin(radians(dh) / 2.0);

    double L_mean = (p.L + q.L) / 2.0, C_mean = (p.C + q.C) / 2.0;
    double T = 1.0 - 0.17 * cos(radians(h_mean - 30.0)) + 0.24 * cos(radians(2.0 * h_mean)) +
               0.32 * cos(radians(3.0 * h_mean + 6.0)) - 0.20 * cos(radians(4.0 * h_mean - 63.0));
    double dtheta = 30.0 * exp(-square((h_mean - 275.0) / 25.0));
    double C7 = seventh(C_mean);
    double RC = 2.0 * sqrt(C7 / (C7 + pow25_7));
    double SL = 1.0 + 0.015 * square(L_mean - 50.0) / sqrt(20.0 + square(L_mean - 50.0));
    double SC = 1.0 + 0.045 * C_mean, SH = 1.0 + 0.015 * C_mean * T;
    double RT = -sin(radians(2.0 * dtheta)) * RC;

    fh_difference d = {.dL = dL / (k.kL * SL), .dC = dC / (k.kC * SC), .dH = dH / (k.kH * SH)};
    d.rotation = RT * d.dC * d.dH;
    double sum = square(d.dL) + square(d.dC) + square(d.dH) + d.rotation;
    d.dE = sum < 0.0 ? 0.0 : sqrt(sum); /* rounding; a NaN is carried on */
    return d;
}

double fh_de2000(fh_lab reference, fh_lab sample)
{
    return fh_de2000_parts(reference, sample, (fh_factors){1, 1, 1}).dE;
}
