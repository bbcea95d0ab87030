/* The prior of reflectance curves: logit R(λ) = mean + level + line + Matérn 5/2 process + random
 * walk [Rasmussen2006, equation 4.17]:
 *
 *   k(r) = σ² (1 + √5 r/ℓ + 5 r²/(3 ℓ²)) exp(−√5 r/ℓ)
 *
 * The level is almost free: the Lab fixes it. The line and the Matérn process are what curves of
 * pigments and dyes look like; the walk allows the edges that the process is too smooth for. The
 * walk enters as σ² (36 − |i − j|)/2, which differs from a walk that starts at one end only in its
 * level, so that both ends of the grid are treated alike.
 *
 * The few numbers were set by hand against the measured curves that docs/accuracy.md lists; only
 * their ratios matter for the curve, their common size for its uncertainty. */
#include "colour/prior.h"

#include <math.h>
#include <stdlib.h>

fh_prior fh_prior_standard(void)
{
    return (fh_prior){.mean = 0.0,
                      .constant = 2.0,
                      .slope = 0.95,
                      .smooth = 0.7,
                      .length = 40.0,
                      .walk = 0.1,
                      .spread = 0.75};
}

fh_prior fh_prior_smoothest(void)
{
    return (fh_prior){.mean = 0.0, .constant = 100.0, .length = 1.0, .walk = 0.3, .spread = 1.0};
}

static double matern(double distance)
{
    const double r = sqrt(5.0) * distance;
    return (1.0 + r + r * r / 3.0) * exp(-r);
}

void fh_prior_covariance(const fh_prior *prior, double *covariance)
{
    const double level = prior->constant * prior->constant, line = prior->slope * prior->slope,
                 smooth = prior->smooth * prior->smooth, walk = prior->walk * prior->walk;
    double by_distance[FH_BANDS];
    for (int d = 0; d < FH_BANDS; ++d)
        by_distance[d] =
            level + smooth * matern(FH_STEP_NM * d / prior->length) + walk * 0.5 * (FH_BANDS - d);
    for (int i = 0; i < FH_BANDS; ++i)
        for (int j = 0; j < FH_BANDS; ++j) {
            const double s = 2.0 * i / (FH_BANDS - 1) - 1.0, t = 2.0 * j / (FH_BANDS - 1) - 1.0;
            covariance[i * FH_BANDS + j] = by_distance[abs(i - j)] + line * s * t;
        }
}
