/* Newton's method in three unknowns, halving the step while it does not improve. The Jacobian is
 *   d Lab_c / d x_k = Σ_i (∂Lab_c/∂XYZ · w_i) R_i (1 − R_i) gain_k,i. */
#include "match/near.h"

#include <math.h>

static double logistic(double l)
{
    return 1.0 / (1.0 + exp(-l));
}

/* A measured value beyond the logistic's reach keeps its excess. */
static fh_spectrum reflectance_at(const fh_estimate *estimate, fh_vec3 x)
{
    fh_spectrum r;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double logit = estimate->logit.v[i];
        for (size_t k = 0; k < 3; ++k) logit += estimate->gain[k].v[i] * x.v[k];
        r.v[i] = estimate->reflectance.v[i] + logistic(logit) - logistic(estimate->logit.v[i]);
    }
    return r;
}

static fh_vec3 miss(const fh_spectrum *r, const fh_weights *weights, fh_lab wanted)
{
    fh_lab lab = fh_lab_of_spectrum(r, weights);
    return (fh_vec3){{wanted.L - lab.L, wanted.a - lab.a, wanted.b - lab.b}};
}

static double norm(fh_vec3 x)
{
    return sqrt(x.v[0] * x.v[0] + x.v[1] * x.v[1] + x.v[2] * x.v[2]);
}

static fh_mat3 jacobian(const fh_estimate *estimate, const fh_spectrum *r,
                        const fh_weights *weights)
{
    fh_mat3 to_xyz = {{{0}}};
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double slope = r->v[i] * (1.0 - r->v[i]);
        const double w[3] = {weights->x.v[i], weights->y.v[i], weights->z.v[i]};
        for (size_t c = 0; c < 3; ++c)
            for (size_t k = 0; k < 3; ++k)
                to_xyz.m[c][k] += w[c] * slope * estimate->gain[k].v[i];
    }
    return fh_mat3_multiply(
        fh_lab_jacobian(fh_xyz_of_spectrum(r, weights), weights->white), to_xyz);
}

fh_status fh_near_colour(const fh_estimate *estimate, fh_vec3 offset, fh_spectrum *out)
{
    const fh_weights *weights = &estimate->weights;
    fh_vec3 x = {{0, 0, 0}};
    fh_spectrum r = reflectance_at(estimate, x);
    fh_lab start = fh_lab_of_spectrum(&r, weights);
    fh_lab wanted = {start.L + offset.v[0], start.a + offset.v[1], start.b + offset.v[2]};
    fh_vec3 left = miss(&r, weights, wanted);
    for (int round = 0; round < 30; ++round) {
        double before = norm(left);
        if (before < 1e-8) {
            *out = r;
            return FH_OK;
        }
        fh_mat3 inverse;
        if (fh_mat3_inverse(jacobian(estimate, &r, weights), &inverse)) return FH_E_IMPOSSIBLE;
        fh_vec3 step = fh_mat3_apply(inverse, left);
        double factor = 1.0;
        for (;;) {
            fh_vec3 next = x;
            for (int k = 0; k < 3; ++k) next.v[k] += factor * step.v[k];
            fh_spectrum try = reflectance_at(estimate, next);
            fh_vec3 remains = miss(&try, weights, wanted);
            if (norm(remains) < before) {
                x = next, r = try, left = remains;
                break;
            }
            factor *= 0.5;
            if (factor < 1e-3) return FH_E_IMPOSSIBLE;
        }
    }
    return FH_E_IMPOSSIBLE;
}
