/* The bounded fit of R = A + B ρ/(1 − C ρ) in one band.
 *
 * For a given C the form is linear in A and B, so C is searched alone and A, B solved for inside
 * (variable projection): the region A, B ≥ 0, A + B/(1 − C) ≤ 1 is a triangle, and the minimum is
 * its inner point or the best of its three edges. An error of a backing counts as an error of its
 * look, f′(ρ) times as large (effective variance), which takes a second pass.
 *
 * Trap: C shows only through the bend of the curve. Where little light passes, it comes from the
 * prior; without one the search would wander to a bound and throw A and B off. */
#include "optics/band_fit.h"

#include <math.h>

static const double greatest_C = 0.98;
enum { GRID = 24, GOLDEN = 50 };

typedef struct problem {
    const double *y, *rho;
    const double *weight;
    size_t count;
    fh_band_prior prior;
} problem;

typedef struct pair {
    double A, B, cost;
    bool edge;
} pair;

static double cost_of(const problem *p, double A, double B, double C)
{
    double pull = (C - p->prior.C) / p->prior.sigma_C, sum = pull * pull;
    for (size_t i = 0; i < p->count; ++i) {
        double error = p->y[i] - A - B * p->rho[i] / (1.0 - C * p->rho[i]);
        sum += p->weight[i] * error * error;
    }
    return sum;
}

static double cut(double x, double high)
{
    return x > 0.0 ? fmin(x, high) : 0.0;
}

static void try_edge(const problem *p, double A, double B, double C, pair *best)
{
    double cost = cost_of(p, A, B, C);
    if (cost < best->cost) *best = (pair){A, B, cost, true};
}

/* The best A and B for this C. */
static pair solve(const problem *p, double C)
{
    double w = 0, wg = 0, wgg = 0, wy = 0, wgy = 0, whh = 0, why = 0;
    const double q = 1.0 / (1.0 - C); /* of a perfect white part */
    for (size_t i = 0; i < p->count; ++i) {
        double g = p->rho[i] / (1.0 - C * p->rho[i]), weight = p->weight[i];
        w += weight;
        wg += weight * g;
        wgg += weight * g * g;
        wy += weight * p->y[i];
        wgy += weight * g * p->y[i];
        whh += weight * (g - q) * (g - q);
        why += weight * (g - q) * (p->y[i] - 1.0);
    }
    double det = w * wgg - wg * wg;
    if (det > 1e-14 * w * wgg) {
        double B = (w * wgy - wg * wy) / det, A = (wy - wg * B) / w;
        if (A >= 0.0 && B >= 0.0 && A + B * q <= 1.0)
            return (pair){A, B, cost_of(p, A, B, C), false};
    }
    pair best = {0.0, 0.0, INFINITY, true};
    try_edge(p, 0.0, wgg > 0.0 ? cut(wgy / wgg, 1.0 / q) : 0.0, C, &best);
    try_edge(p, cut(wy / w, 1.0), 0.0, C, &best);
    double B = whh > 0.0 ? cut(why / whh, 1.0 / q) : 0.0;
    try_edge(p, 1.0 - B * q, B, C, &best);
    return best;
}

static double search(const problem *p, double high)
{
    double best = 0.0, least = INFINITY;
    for (int i = 0; i <= GRID; ++i) {
        double C = high * i / GRID, cost = solve(p, C).cost;
        if (cost < least) {
            least = cost;
            best = C;
        }
    }
    const double golden = 0.61803398874989485;
    double a = fmax(0.0, best - high / GRID), b = fmin(high, best + high / GRID);
    double c = b - golden * (b - a), d = a + golden * (b - a);
    double cost_c = solve(p, c).cost, cost_d = solve(p, d).cost;
    for (int i = 0; i < GOLDEN; ++i) {
        if (cost_c < cost_d) {
            b = d;
            d = c;
            cost_d = cost_c;
            c = b - golden * (b - a);
            cost_c = solve(p, c).cost;
        } else {
            a = c;
            c = d;
            cost_c = cost_d;
            d = a + golden * (b - a);
            cost_d = solve(p, d).cost;
        }
    }
    return 0.5 * (a + b);
}

/* The inverse of a symmetric positive matrix; zero where it is singular. */
static void invert(double m[3][3], double inverse[3][3])
{
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) {
            int r0 = (j + 1) % 3, r1 = (j + 2) % 3, c0 = (i + 1) % 3, c1 = (i + 2) % 3;
            inverse[i][j] = m[r0][c0] * m[r1][c1] - m[r0][c1] * m[r1][c0];
        }
    double det = m[0][0] * inverse[0][0] + m[0][1] * inverse[1][0] + m[0][2] * inverse[2][0];
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) inverse[i][j] = det > 0.0 ? inverse[i][j] / det : 0.0;
}

/* Hold the solution to a bound: no movement along this normal. */
static void hold(double m[3][3], const double normal[3])
{
    double scale = 1e8 * (m[0][0] + m[1][1] + m[2][2]);
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) m[i][j] += scale * normal[i] * normal[j];
}

void fh_band_fit_slopes(const fh_band_fit *fit, double rho, double slope[3])
{
    double g = rho / (1.0 - fit->C * rho);
    slope[0] = 1.0;
    slope[1] = g;
    slope[2] = fit->B * g * g;
}

double fh_band_fit_weight(const fh_band_fit *fit, double rho, double sigma_y, double sigma_rho)
{
    double rest = 1.0 - fit->C * rho, steep = fit->B / (rest * rest) * sigma_rho;
    return 1.0 / (sigma_y * sigma_y + steep * steep);
}

static void spread(const problem *p, double high, fh_band_fit *fit)
{
    double m[3][3] = {{0}}, slope[3];
    for (size_t s = 0; s < p->count; ++s) {
        fh_band_fit_slopes(fit, p->rho[s], slope);
        for (int i = 0; i < 3; ++i)
            for (int j = 0; j < 3; ++j) m[i][j] += p->weight[s] * slope[i] * slope[j];
    }
    m[2][2] += 1.0 / (p->prior.sigma_C * p->prior.sigma_C);
    const double q = 1.0 / (1.0 - fit->C), near = 1e-9;
    if (fit->A <= near) hold(m, (const double[3]){1, 0, 0});
    if (fit->B <= near) hold(m, (const double[3]){0, 1, 0});
    if (fit->C <= 1e-6 || fit->C >= high - 1e-6) hold(m, (const double[3]){0, 0, 1});
    if (fit->A + fit->B * q >= 1.0 - near) {
        double size = sqrt(1.0 + q * q + fit->B * fit->B * q * q * q * q);
        hold(m, (const double[3]){1.0 / size, q / size, fit->B * q * q / size});
    }
    invert(m, fit->inverse);
}

fh_band_fit fh_band_fit_of(const double *y, const double *rho, const double *sigma_y,
                           const double *sigma_rho, size_t count, fh_band_prior prior)
{
    enum { MOST = 32 };
    double weight[MOST], high = greatest_C;
    if (count > MOST) count = MOST;
    for (size_t i = 0; i < count; ++i) {
        weight[i] = 1.0 / (sigma_y[i] * sigma_y[i] + sigma_rho[i] * sigma_rho[i]);
        if (rho[i] > 1.0) high = fmin(high, greatest_C / rho[i]);
    }
    problem p = {y, rho, weight, count, prior};
    fh_band_fit fit = {.absorption = -1.0, .scattering = -1.0, .model_C = prior.C};
    for (int pass = 0; pass < 3; ++pass) {
        fit.C = search(&p, high);
        pair best = solve(&p, fit.C);
        fit.A = best.A;
        fit.B = best.B;
        fit.bounded = best.edge || fit.C <= 1e-6 || fit.C >= high - 1e-6;
        for (size_t i = 0; i < count; ++i)
            weight[i] = fh_band_fit_weight(&fit, rho[i], sigma_y[i], sigma_rho[i]);
    }
    spread(&p, high, &fit);
    return fit;
}

void fh_band_fit_move(const fh_band_fit *fit, double rho, double sigma_y, double sigma_rho,
                      double dy, double drho, double move[3])
{
    double slope[3], rest = 1.0 - fit->C * rho;
    fh_band_fit_slopes(fit, rho, slope);
    double error =
        (dy - fit->B / (rest * rest) * drho) * fh_band_fit_weight(fit, rho, sigma_y, sigma_rho);
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) move[i] += fit->inverse[i][j] * slope[j] * error;
}
