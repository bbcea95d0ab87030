/* Fresnel reflection of a smooth dielectric face.
 *
 * Directional: the mean of the two polarisations. Diffuse from outside: Walsh's closed formula as
 * printed in [Judd1942]; from inside by the reciprocity of radiance, 1 − (1 − r)/n².
 *
 * Trap: Walsh's formula cancels as n tends to 1 (a division by (n⁴ − 1)²), so below 1.1 the
 * integral ∫ r(μ) 2μ dμ is taken instead, with x = √μ to smooth the steep rise at grazing angles.
 */
#include "farhue/fresnel.h"

#include "optics/quadrature.h"

#include <assert.h>
#include <math.h>

/* c1: cosine on the side of incidence; c2: on the other; m: index there over index here. */
static double reflectance(double c1, double c2, double m)
{
    double s = (c1 - m * c2) / (c1 + m * c2);
    double p = (m * c1 - c2) / (m * c1 + c2);
    return 0.5 * (s * s + p * p);
}

double fh_fresnel_refract(double index, double cosine_outside)
{
    double sine2 = (1.0 - cosine_outside * cosine_outside) / (index * index);
    return sqrt(fmax(0.0, 1.0 - sine2));
}

double fh_fresnel_outside(double index, double cosine_outside)
{
    assert(index >= 1.0);
    if (index == 1.0) return 0.0;
    if (cosine_outside <= 0.0) return 1.0;
    return reflectance(cosine_outside, fh_fresnel_refract(index, cosine_outside), index);
}

double fh_fresnel_inside(double index, double cosine_inside)
{
    assert(index >= 1.0);
    if (index == 1.0) return 0.0;
    double sine2 = (1.0 - cosine_inside * cosine_inside) * index * index;
    if (sine2 >= 1.0) return 1.0;
    return reflectance(cosine_inside, sqrt(1.0 - sine2), 1.0 / index);
}

static double integrated(double index)
{
    double sum = 0.0;
    for (int i = 0; i < FH_GAUSS; ++i) {
        double mu = fh_gauss_node[i] * fh_gauss_node[i];
        sum += fh_gauss_weight[i] * 4.0 * mu * fh_gauss_node[i] * fh_fresnel_outside(index, mu);
    }
    return sum;
}

double fh_fresnel_diffuse_outside(double index)
{
    assert(index >= 1.0 && isfinite(index));
    if (index < 1.1) return integrated(index);
    const double n = index, n2 = n * n, n4 = n2 * n2;
    return 0.5 + (n - 1.0) * (3.0 * n + 1.0) / (6.0 * (n + 1.0) * (n + 1.0)) +
           n2 * (n2 - 1.0) * (n2 - 1.0) / ((n2 + 1.0) * (n2 + 1.0) * (n2 + 1.0)) *
               log((n - 1.0) / (n + 1.0)) -
           2.0 * n2 * n * (n2 + 2.0 * n - 1.0) / ((n2 + 1.0) * (n4 - 1.0)) +
           8.0 * n4 * (n4 + 1.0) / ((n2 + 1.0) * (n4 - 1.0) * (n4 - 1.0)) * log(n);
}

double fh_fresnel_diffuse_inside(double index)
{
    return 1.0 - (1.0 - fh_fresnel_diffuse_outside(index)) / (index * index);
}
