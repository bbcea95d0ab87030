/* The likeliest reflectance of a Lab colour: docs/method.md, "Estimated spectrum".
 *
 * With logit l = mean + A u, A Aᵀ the prior covariance, minimise
 *
 *   |u|² + |W R(l) − XYZ|² / σ²,      R = 1 / (1 + e⁻ˡ)
 *
 * by Levenberg–Marquardt while σ falls from 1 to 1e-8 (of Y = 100) [Levenberg1944]. Plain
 * Gauss–Newton steps overshoot wherever R is near 0 or 1 and fail on a good share of saturated
 * colours. With H = d(W R)/du (3 × 36) and S = (1 + μ) σ² I + H Hᵀ a step is
 *
 *   δ = −(u − Hᵀ S⁻¹ H u) / (1 + μ) − Hᵀ S⁻¹ (W R − XYZ)
 *
 * which stays accurate for the smallest σ; the normal equations would not. At the end the posterior
 * of l given XYZ is C − C Jᵀ (J C Jᵀ)⁻¹ J C, with J = dXYZ/dl. */
#include "farhue/estimate.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/linear.h"
#include "base/memory.h"
#include "colour/prior.h"

enum { N = FH_BANDS };

static const double logit_limit = 20.0;

typedef struct solver {
    const fh_prior *prior;
    const fh_weights *weights;
    double covariance[N * N], factor[N * N];
    double u[N], trial[N];
    fh_spectrum logit, reflectance;
    double wanted[3], gap[3]; /* XYZ, and how far the curve is off */
    double h[3][N];           /* d XYZ / d u */
} solver;

static double logistic(double l)
{
    return l >= 0.0 ? 1.0 / (1.0 + exp(-l)) : exp(l) / (1.0 + exp(l));
}

static const double *row_of(const fh_weights *w, size_t axis)
{
    return axis == 0 ? w->x.v : axis == 1 ? w->y.v : w->z.v;
}

static fh_status prepare(solver *s, const fh_prior *prior, const fh_weights *weights)
{
    s->prior = prior;
    s->weights = weights;
    fh_prior_covariance(prior, s->covariance);
    memcpy(s->factor, s->covariance, sizeof s->factor);
    return fh_cholesky(s->factor, N);
}

/* Curve and XYZ of u. Returns |u|² + |gap|²/σ². */
static double evaluate(solver *s, const double *u, double sigma)
{
    double cost = 0.0;
    for (size_t i = 0; i < N; ++i) {
        double l = s->prior->mean;
        for (size_t k = 0; k <= i; ++k) l += s->factor[i * N + k] * u[k];
        s->logit.v[i] = l;
        s->reflectance.v[i] = logistic(l);
        cost += u[i] * u[i];
    }
    for (size_t axis = 0; axis < 3; ++axis) {
        const double *row = row_of(s->weights, axis);
        double sum = -s->wanted[axis];
        for (size_t i = 0; i < N; ++i) sum += row[i] * s->reflectance.v[i];
        s->gap[axis] = sum;
        cost += sum * sum / (sigma * sigma);
    }
    return cost;
}

/* H at the curve that was evaluated last. */
static void set_slopes(solver *s)
{
    for (size_t axis = 0; axis < 3; ++axis) {
        const double *row = row_of(s->weights, axis);
        double *h = s->h[axis];
        memset(h, 0, sizeof s->h[axis]);
        for (size_t i = 0; i < N; ++i) {
            const double slope = row[i] * s->reflectance.v[i] * (1.0 - s->reflectance.v[i]);
            for (size_t k = 0; k <= i; ++k) h[k] += slope * s->factor[i * N + k];
        }
    }
}

/* S⁻¹ b for a 3 × 3 S = H Hᵀ + add I, in place; false when singular. */
static bool solve3(const solver *s, double add, double *b, size_t count)
{
    double m[9];
    for (size_t i = 0; i < 3; ++i)
        for (size_t j = 0; j < 3; ++j) {
            double dot = i == j ? add : 0.0;
            for (size_t k = 0; k < N; ++k) dot += s->h[i][k] * s->h[j][k];
            m[3 * i + j] = dot;
        }
    if (fh_cholesky(m, 3)) return false;
    for (size_t c = 0; c < count; ++c) fh_cholesky_solve(m, 3, b + 3 * c);
    return true;
}

/* trial = u + δ. False when none can be computed. *promised: the cost that the linear model sees
 * there. */
static bool step(solver *s, double sigma, double damping, double *promised)
{
    double b[6];
    for (size_t axis = 0; axis < 3; ++axis) {
        b[axis] = 0.0;
        for (size_t k = 0; k < N; ++k) b[axis] += s->h[axis][k] * s->u[k];
        b[3 + axis] = s->gap[axis];
    }
    const double a = 1.0 + damping;
    if (!solve3(s, a * sigma * sigma, b, 2)) return false;
    double cost = 0.0, gap[3] = {s->gap[0], s->gap[1], s->gap[2]};
    for (size_t k = 0; k < N; ++k) {
        double along = 0.0, back = 0.0;
        for (size_t axis = 0; axis < 3; ++axis) {
            along += s->h[axis][k] * b[axis];
            back += s->h[axis][k] * b[3 + axis];
        }
        const double delta = -(s->u[k] - along) / a - back;
        s->trial[k] = s->u[k] + delta;
        cost += s->trial[k] * s->trial[k];
        for (size_t axis = 0; axis < 3; ++axis) gap[axis] += s->h[axis][k] * delta;
    }
    for (size_t axis = 0; axis < 3; ++axis) cost += gap[axis] * gap[axis] / (sigma * sigma);
    *promised = cost;
    return true;
}

/* Minimise at one σ; s->u in and out. The damping follows how well the linear model keeps its
 * promises [Nielsen1999]; it also calms the zigzag that comes from the curvature which Gauss–Newton
 * leaves out. */
static void descend(solver *s, double sigma, int rounds, double enough)
{
    double damping = 0.0, raise = 2.0, promised;
    double cost = evaluate(s, s->u, sigma);
    set_slopes(s);
    while (rounds-- > 0 && step(s, sigma, damping, &promised)) {
        const double next = evaluate(s, s->trial, sigma);
        const double kept = (cost - next) / (cost - promised);
        if (next < cost) {
            const bool done = cost - next < enough * cost && kept > 0.5;
            memcpy(s->u, s->trial, sizeof s->u);
            set_slopes(s);
            cost = next;
            if (done) return;
        } else {
            evaluate(s, s->u, sigma);
            if (!(cost - promised > 1e-13 * cost)) return;
        }
        if (kept > 0.25) {
            const double swing = 2.0 * kept - 1.0;
            damping *= fmin(3.0, fmax(1.0 / 3.0, 1.0 - swing * swing * swing));
            if (damping < 0.01) damping = 0.0;
            raise = 2.0;
        } else {
            damping = fmax(0.3, damping * raise);
            raise *= 2.0;
        }
    }
}

/* Run σ down. True when the curve has the colour. */
static bool solve(solver *s)
{
    memset(s->u, 0, sizeof s->u);
    for (int k = 0; k <= 8; ++k)
        descend(s, pow(10.0, -k), k == 8 ? 200 : 60, k == 8 ? 1e-12 : 1e-3);
    evaluate(s, s->u, 1.0);
    const double worst = fmax(fabs(s->gap[0]), fmax(fabs(s->gap[1]), fabs(s->gap[2])));
    return worst < 5e-7;
}

/* t = C Jᵀ with J = dXYZ/dlogit, and the triangle of J C Jᵀ. False when singular. */
static bool carry(const solver *s, const fh_spectrum *reflectance, double t[3][N], double m[9])
{
    double j[3][N];
    for (size_t axis = 0; axis < 3; ++axis)
        for (size_t i = 0; i < N; ++i) {
            const double r = fmin(1.0 - 1e-9, fmax(1e-9, reflectance->v[i]));
            j[axis][i] = row_of(s->weights, axis)[i] * r * (1.0 - r);
        }
    for (size_t axis = 0; axis < 3; ++axis)
        for (size_t i = 0; i < N; ++i) {
            t[axis][i] = 0.0;
            for (size_t k = 0; k < N; ++k) t[axis][i] += s->covariance[i * N + k] * j[axis][k];
        }
    for (size_t a = 0; a < 3; ++a)
        for (size_t b = 0; b < 3; ++b) {
            m[3 * a + b] = 0.0;
            for (size_t i = 0; i < N; ++i) m[3 * a + b] += j[a][i] * t[b][i];
        }
    return fh_cholesky(m, 3) == FH_OK;
}

static void set_gain(fh_estimate *e, double t[3][N], const double m[9])
{
    fh_mat3 to_xyz;
    const fh_xyz xyz = fh_xyz_of_lab(e->lab, e->weights.white);
    if (fh_mat3_inverse(fh_lab_jacobian(xyz, e->weights.white), &to_xyz)) return;
    for (size_t axis = 0; axis < 3; ++axis) {
        double b[3] = {to_xyz.m[0][axis], to_xyz.m[1][axis], to_xyz.m[2][axis]};
        fh_cholesky_solve(m, 3, b);
        for (size_t i = 0; i < N; ++i)
            e->gain[axis].v[i] = t[0][i] * b[0] + t[1][i] * b[1] + t[2][i] * b[2];
    }
}

/* Posterior covariance in place of the prior one. */
static void condition_on_xyz(double *covariance, double t[3][N], const double m[9])
{
    for (size_t i = 0; i < N; ++i) {
        double b[3] = {t[0][i], t[1][i], t[2][i]};
        fh_cholesky_solve(m, 3, b);
        for (size_t k = 0; k < N; ++k)
            covariance[i * N + k] -= b[0] * t[0][k] + b[1] * t[1][k] + b[2] * t[2][k];
    }
}

/* The open directions that show most: Cholesky's factor of the posterior, the band with the most
 * visible variance first, cut after FH_ESTIMATE_MODES columns. */
static void set_modes(fh_estimate *e, double *covariance, double spread)
{
    double shows[N];
    for (size_t i = 0; i < N; ++i) {
        const double r = e->reflectance.v[i],
                     light = e->weights.x.v[i] + e->weights.y.v[i] + e->weights.z.v[i];
        shows[i] = fabs(light) * r * (1.0 - r);
    }
    e->mode_count = 0;
    for (size_t mode = 0; mode < FH_ESTIMATE_MODES; ++mode) {
        size_t pivot = 0;
        double most = 0.0;
        for (size_t i = 0; i < N; ++i) {
            const double visible = shows[i] * shows[i] * covariance[i * N + i];
            if (visible > most) {
                most = visible;
                pivot = i;
            }
        }
        const double variance = covariance[pivot * N + pivot];
        if (!(variance > 1e-12)) return;
        double column[N];
        for (size_t i = 0; i < N; ++i) column[i] = covariance[i * N + pivot] / sqrt(variance);
        for (size_t i = 0; i < N; ++i) {
            e->mode[mode].v[i] = spread * column[i];
            for (size_t k = 0; k < N; ++k) covariance[i * N + k] -= column[i] * column[k];
        }
        e->mode_count = mode + 1;
    }
}

/* Fill gain and modes around e->reflectance; spoils s->covariance. */
static void finish(solver *s, fh_estimate *e, bool with_modes)
{
    double t[3][N], m[9];
    if (!carry(s, &e->reflectance, t, m)) return;
    set_gain(e, t, m);
    if (!with_modes) return;
    condition_on_xyz(s->covariance, t, m);
    set_modes(e, s->covariance, s->prior->spread);
}

static fh_status refuse(fh_lab lab, const fh_weights *weights, fh_lab *nearest, fh_error *error)
{
    fh_lab near;
    fh_status status = fh_nearest_possible(lab, weights, &near);
    if (status) return fh_fail(error, status, "%s", fh_status_text(status));
    if (nearest) *nearest = near;
    return fh_fail(error, FH_E_IMPOSSIBLE,
                   "no reflectance can have the colour L* %.2f, a* %.2f, b* %.2f; the nearest "
                   "possible is %.2f, %.2f, %.2f",
                   lab.L, lab.a, lab.b, near.L, near.a, near.b);
}

fh_status fh_estimate_under(const fh_prior *prior, fh_lab lab, const fh_weights *weights,
                            fh_estimate *out, fh_lab *nearest, fh_error *error)
{
    if (!isfinite(lab.L) || !isfinite(lab.a) || !isfinite(lab.b))
        return fh_fail(error, FH_E_ARGUMENT, "a colour value is not a finite number");
    solver *s = fh_allocate(1, sizeof *s);
    if (!s) return fh_fail(error, FH_E_MEMORY, "%s", fh_status_text(FH_E_MEMORY));
    const fh_xyz xyz = fh_xyz_of_lab(lab, weights->white);
    s->wanted[0] = xyz.X;
    s->wanted[1] = xyz.Y;
    s->wanted[2] = xyz.Z;
    const bool found = prepare(s, prior, weights) == FH_OK && solve(s);
    if (found) {
        fh_estimate e = {.lab = lab, .weights = *weights, .reflectance = s->reflectance};
        for (size_t i = 0; i < N; ++i)
            e.logit.v[i] = fmin(logit_limit, fmax(-logit_limit, s->logit.v[i]));
        finish(s, &e, true);
        *out = e;
    }
    fh_free(s);
    return found ? FH_OK : refuse(lab, weights, nearest, error);
}

fh_status fh_estimate_around(const fh_prior *prior, const fh_spectrum *reflectance,
                             const fh_weights *weights, bool with_modes, fh_estimate *out)
{
    solver *s = fh_allocate(1, sizeof *s);
    if (!s) return FH_E_MEMORY;
    fh_status status = prepare(s, prior, weights);
    if (status == FH_OK) {
        fh_estimate e = {.lab = fh_lab_of_spectrum(reflectance, weights),
                         .weights = *weights,
                         .reflectance = *reflectance};
        for (size_t i = 0; i < N; ++i) {
            const double edge = logistic(-logit_limit);
            const double r = fmin(1.0 - edge, fmax(edge, reflectance->v[i]));
            e.logit.v[i] = log(r / (1.0 - r));
        }
        finish(s, &e, with_modes);
        *out = e;
    }
    fh_free(s);
    return status;
}

fh_status fh_estimate_spectrum(fh_lab lab, const fh_weights *weights, fh_estimate *out,
                               fh_lab *nearest, fh_error *error)
{
    const fh_prior prior = fh_prior_standard();
    return fh_estimate_under(&prior, lab, weights, out, nearest, error);
}
