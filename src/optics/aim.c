/* The inner part behind a wanted look: the estimated spectrum of docs/method.md, with the shell
 * between the curve and its colour.
 *
 * With the logit reflectance l = mean + A u, A Aᵀ the prior covariance of the estimate, minimise
 *
 *   |u|² + |Lab(look(R)) − wanted|²/σ² + Σ (look_i − measured_i)²/σ_R²,   R = 1/(1 + e⁻ˡ)
 *
 * by Levenberg–Marquardt while σ falls from 3 to 0.001; the last sum only for a measured look.
 * Where no part can have that look the minimum is the part that comes nearest in ΔE*ab. The inverse
 * of the normal matrix is the covariance of u: what errors, and bands that don't show, leave open.
 */
#include "farhue/aim.h"

#include "base/error.h"
#include "base/linear.h"
#include "base/memory.h"
#include "base/text.h"
#include "colour/prior.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"

#include <math.h>
#include <string.h>

enum { N = FH_BANDS };

static const double last_sigma = 1e-3;
static const double sigma_R = 0.002; /* of a measured look, before its Lab is met exactly */

typedef struct solver {
    const fh_shell_curves *curves;
    fh_weights weights;
    const fh_spectrum *measured; /* NULL: Lab alone */
    fh_lab wanted;
    double mean;
    double factor[N * N]; /* lower triangle A */
    double u[N], trial[N], gradient[N], scratch[N];
    double normal[N * N], work[N * N];
    fh_spectrum inner, seen;
    double gap[3];   /* Lab of seen − wanted */
    double h[3][N];  /* d gap / d u */
    double slope[N]; /* d look / d l, band by band */
} solver;

static double evaluate(solver *s, const double *u, double sigma)
{
    double cost = 0.0;
    for (size_t i = 0; i < N; ++i) {
        double l = s->mean;
        for (size_t k = 0; k <= i; ++k) l += s->factor[i * N + k] * u[k];
        s->inner.v[i] = 1.0 / (1.0 + exp(-fmin(fmax(l, -30.0), 30.0)));
        cost += u[i] * u[i];
    }
    s->seen = fh_shell_look(s->curves, &s->inner);
    fh_lab lab = fh_lab_of_spectrum(&s->seen, &s->weights);
    s->gap[0] = lab.L - s->wanted.L;
    s->gap[1] = lab.a - s->wanted.a;
    s->gap[2] = lab.b - s->wanted.b;
    for (int c = 0; c < 3; ++c) cost += s->gap[c] * s->gap[c] / (sigma * sigma);
    for (size_t i = 0; s->measured && i < N; ++i) {
        double off = (s->seen.v[i] - s->measured->v[i]) / sigma_R;
        cost += off * off;
    }
    return cost;
}

/* Slopes at the curve that was evaluated last: of the look by l, of Lab by u. */
static void set_slopes(solver *s)
{
    fh_spectrum through = fh_shell_slope(s->curves, &s->inner);
    fh_mat3 J = fh_lab_jacobian(fh_xyz_of_spectrum(&s->seen, &s->weights), s->weights.white);
    memset(s->h, 0, sizeof s->h);
    for (size_t i = 0; i < N; ++i) {
        s->slope[i] = through.v[i] * s->inner.v[i] * (1.0 - s->inner.v[i]);
        const double w[3] = {s->weights.x.v[i], s->weights.y.v[i], s->weights.z.v[i]};
        for (int c = 0; c < 3; ++c) {
            double lab = (J.m[c][0] * w[0] + J.m[c][1] * w[1] + J.m[c][2] * w[2]) * s->slope[i];
            for (size_t k = 0; k <= i; ++k) s->h[c][k] += lab * s->factor[i * N + k];
        }
    }
}

/* Normal matrix and half gradient of the cost at u. */
static void set_normal(solver *s, double sigma)
{
    const double w = 1.0 / (sigma * sigma), v = 1.0 / (sigma_R * sigma_R);
    memset(s->normal, 0, sizeof s->normal);
    for (size_t k = 0; k < N; ++k) {
        s->normal[k * N + k] = 1.0;
        s->gradient[k] = s->u[k];
        for (int c = 0; c < 3; ++c) {
            s->gradient[k] += w * s->h[c][k] * s->gap[c];
            for (size_t j = 0; j <= k; ++j) s->normal[k * N + j] += w * s->h[c][k] * s->h[c][j];
        }
    }
    for (size_t i = 0; s->measured && i < N; ++i) {
        double off = s->seen.v[i] - s->measured->v[i];
        for (size_t k = 0; k <= i; ++k) {
            double d = s->slope[i] * s->factor[i * N + k];
            s->gradient[k] += v * d * off;
            for (size_t j = 0; j <= k; ++j)
                s->normal[k * N + j] += v * d * s->slope[i] * s->factor[i * N + j];
        }
    }
}

/* Minimise at one σ from s->u. */
static void descend(solver *s, double sigma, int rounds)
{
    double cost = evaluate(s, s->u, sigma), damping = 1e-3;
    set_slopes(s);
    while (rounds-- > 0) {
        set_normal(s, sigma);
        bool moved = false;
        for (int attempt = 0; attempt < 12 && !moved; ++attempt) {
            memcpy(s->work, s->normal, sizeof s->work);
            for (size_t k = 0; k < N; ++k) s->work[k * N + k] *= 1.0 + damping;
            memcpy(s->scratch, s->gradient, sizeof s->scratch);
            if (fh_cholesky(s->work, N) == FH_OK) {
                fh_cholesky_solve(s->work, N, s->scratch);
                for (size_t k = 0; k < N; ++k) s->trial[k] = s->u[k] - s->scratch[k];
                double next = evaluate(s, s->trial, sigma);
                if (next < cost) {
                    moved = true;
                    memcpy(s->u, s->trial, sizeof s->u);
                    if (cost - next < 1e-9 * cost) rounds = 0;
                    cost = next;
                }
            }
            damping = moved ? fmax(damping / 6.0, 1e-12) : damping * 8.0;
        }
        evaluate(s, s->u, sigma);
        set_slopes(s);
        if (!moved) return;
    }
}

/* Covariance of the inner Lab that u's covariance (the inverse of the normal matrix) gives, and the
 * gain of the inner Lab by the Lab of the look. */
static fh_status open_errors(solver *s, fh_mat3 *open, fh_mat3 *gain)
{
    set_normal(s, last_sigma);
    memcpy(s->work, s->normal, sizeof s->work);
    if (fh_cholesky(s->work, N)) return FH_E_DATA;
    fh_mat3 J = fh_lab_jacobian(fh_xyz_of_spectrum(&s->inner, &s->weights), s->weights.white);
    double g[3][N], solved[3][N];
    memset(g, 0, sizeof g);
    for (size_t i = 0; i < N; ++i) {
        double steep = s->inner.v[i] * (1.0 - s->inner.v[i]);
        const double w[3] = {s->weights.x.v[i], s->weights.y.v[i], s->weights.z.v[i]};
        for (int c = 0; c < 3; ++c) {
            double lab = (J.m[c][0] * w[0] + J.m[c][1] * w[1] + J.m[c][2] * w[2]) * steep;
            for (size_t k = 0; k <= i; ++k) g[c][k] += lab * s->factor[i * N + k];
        }
    }
    memcpy(solved, g, sizeof solved);
    for (int c = 0; c < 3; ++c) fh_cholesky_solve(s->work, N, solved[c]);
    for (int c = 0; c < 3; ++c)
        for (int d = 0; d < 3; ++d) {
            open->m[c][d] = gain->m[c][d] = 0.0;
            for (size_t k = 0; k < N; ++k) {
                open->m[c][d] += g[c][k] * solved[d][k];
                gain->m[c][d] += solved[c][k] * s->h[d][k] / (last_sigma * last_sigma);
            }
        }
    for (int c = 0; c < 3; ++c) /* rounding */
        for (int d = 0; d < c; ++d)
            open->m[c][d] = open->m[d][c] = 0.5 * (open->m[c][d] + open->m[d][c]);
    return FH_OK;
}

/* Covariance of the look's Lab that the shell's own errors give at this part. */
static fh_mat3 shell_errors(const solver *s, const fh_shell *shell)
{
    fh_mat3 J = fh_lab_jacobian(fh_xyz_of_spectrum(&s->seen, &s->weights), s->weights.white);
    fh_mat3 sum = fh_mat3_diagonal(0, 0, 0);
    for (size_t j = 0; j < shell->mode_count; ++j) {
        const fh_shell_curves *step = &shell->mode[j].step;
        fh_spectrum moved;
        for (size_t i = 0; i < N; ++i) {
            double g = s->inner.v[i] / (1.0 - shell->curves.C.v[i] * s->inner.v[i]);
            moved.v[i] =
                step->A.v[i] + step->B.v[i] * g + shell->curves.B.v[i] * g * g * step->C.v[i];
        }
        fh_xyz xyz = fh_xyz_of_spectrum(&moved, &s->weights);
        fh_vec3 lab = fh_mat3_apply(J, (fh_vec3){{xyz.X, xyz.Y, xyz.Z}});
        for (int c = 0; c < 3; ++c)
            for (int d = 0; d < 3; ++d) sum.m[c][d] += lab.v[c] * lab.v[d];
    }
    return sum;
}

static fh_status finish(solver *s, const fh_shell *shell, const fh_reading *look, fh_aim *out)
{
    fh_mat3 open, gain;
    fh_status status = open_errors(s, &open, &gain);
    if (status) return status;
    fh_aim aim = {.inner = fh_reading_blank(), .seen = s->seen};
    aim.inner.condition = look->condition;
    aim.inner.origin = FH_ORIGIN_ESTIMATED;
    aim.inner.basis = FH_BASIS_LOOK;
    aim.inner.reflectance = s->inner;
    aim.inner.lab = fh_lab_of_spectrum(&s->inner, &s->weights);
    aim.inner.method = look->method;
    fh_copy_text(aim.inner.id, sizeof aim.inner.id, look->id);
    fh_copy_text(aim.inner.note, sizeof aim.inner.note, "worked back from the look");
    fh_mat3 random = fh_mat3_add(look->random, shell_errors(s, shell));
    aim.inner.random = fh_mat3_carry(gain, random);
    char source[FH_SOURCE];
    fh_format(source, sizeof source, "%s%.50s", s->measured ? FH_SOURCE_LOOK : FH_SOURCE_AIM,
              look->id);
    status = fh_reading_add_shared(&aim.inner, source, open);
    for (size_t i = 0; i < look->shared_count && !status; ++i)
        status = fh_reading_add_shared(&aim.inner, look->shared[i].source,
                                       fh_mat3_carry(gain, look->shared[i].covariance));
    if (status) return status;
    aim.open = sqrt(open.m[0][0] + open.m[1][1] + open.m[2][2]);
    aim.reached = fh_lab_of_spectrum(&s->seen, &s->weights);
    aim.dE = fh_de2000(look->lab, aim.reached);
    aim.possible = aim.dE < 0.01;
    *out = aim;
    return FH_OK;
}

static fh_status solve(solver *s, const fh_shell *shell, const fh_reading *look, fh_aim *out)
{
    const fh_prior prior = fh_prior_standard();
    s->curves = &shell->curves;
    s->weights = fh_weights_of(look->condition);
    s->measured = look->origin == FH_ORIGIN_SPECTRUM ? &look->reflectance : NULL;
    s->wanted = look->lab;
    s->mean = prior.mean;
    fh_prior_covariance(&prior, s->factor);
    fh_status status = fh_cholesky(s->factor, N);
    if (status) return status;
    static const double sigma[] = {3.0, 1.0, 0.3, 0.1, 0.03, 0.01, 0.003};
    for (size_t k = 0; k < sizeof sigma / sizeof *sigma; ++k) descend(s, sigma[k], 20);
    descend(s, last_sigma, 100);
    return finish(s, shell, look, out);
}

fh_status fh_aim_at(const fh_shell *shell, const fh_reading *look, fh_aim *out, fh_error *error)
{
    if (look->condition.illuminant >= FH_ILLUMINANT_COUNT)
        return fh_fail(error, FH_E_DATA,
                       "the look '%s' is given under a lamp from a file; expected "
                       "a standard illuminant",
                       look->id);
    if (!isfinite(look->lab.L) || !isfinite(look->lab.a) || !isfinite(look->lab.b))
        return fh_fail(error, FH_E_DATA, "the look '%s' has no finite Lab", look->id);
    fh_spectrum reach = fh_shell_reach(&shell->curves);
    double most = 0.0;
    for (size_t i = 0; i < N; ++i) most = fmax(most, reach.v[i]);
    if (most < FH_SHELL_HIDDEN)
        return fh_fail(error, FH_E_IMPOSSIBLE,
                       "the shell is opaque: from a black to a white part "
                       "its look changes by %.4f at most",
                       most);
    solver *s = fh_allocate(1, sizeof *s);
    if (!s) return fh_fail(error, FH_E_MEMORY, "%s", fh_status_text(FH_E_MEMORY));
    fh_status status = solve(s, shell, look, out);
    fh_free(s);
    if (status)
        return fh_fail(error, status, "the inner part can't be worked back (%s)",
                       fh_status_text(status));
    return FH_OK;
}
