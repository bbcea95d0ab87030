/* Kubelka–Munk theory in closed form [Kubelka1948].
 *
 * With κ = K X, σ = S X, β = b S X = √(κ (κ + 2σ)) and t = tanh β / β:
 *
 *   R0 = σ t / ((κ + σ) t + 1)        T = sech β / ((κ + σ) t + 1)
 *   R  = R0 + T² ρ / (1 − R0 ρ)       R∞ = S / (S + K + √(K (K + 2S)))
 *
 * These are Kubelka's hyperbolic forms divided by cosh β, so that nothing overflows, and t → 1 at
 * β → 0 gives both limits: T = 1/(1 + σ) for K = 0, T = e^−κ for S = 0.
 *
 * Inverse: R (1 − R0 ρ) = R0 + (T² − R0²) ρ is linear in R0 and T² − R0², so two backings fix both,
 * whatever they are. Then, with a R0 = q = (1 + R0² − T²)/2 and b R0 = p = √(q² − R0²):
 *   β = arsinh(p/T),  σ = β R0/p,  κ = β (q − R0)/p. */
#include "farhue/body.h"

#include <assert.h>
#include <math.h>

fh_body fh_body_of(fh_body_pair pair)
{
    const double kappa = pair.KX, sigma = pair.SX;
    assert(kappa >= 0.0 && sigma >= 0.0 && isfinite(kappa) && isfinite(sigma));
    double beta = sqrt(kappa) * sqrt(kappa + 2.0 * sigma);
    double t = beta > 1e-8 ? tanh(beta) / beta : 1.0;
    double decay = exp(-beta);
    double sech = 2.0 * decay / (1.0 + decay * decay);
    double below = (kappa + sigma) * t + 1.0;
    return (fh_body){.R0 = sigma * t / below, .T = sech / below};
}

double fh_body_over(fh_body body, double backing)
{
    double between = 1.0 - body.R0 * backing;
    return between > 0.0 ? body.R0 + body.T * body.T * backing / between : body.R0;
}

double fh_body_thick(double K, double S)
{
    assert(K >= 0.0 && S >= 0.0);
    if (S <= 0.0) return 0.0;
    double ratio = K / S;
    return 1.0 / (1.0 + ratio + sqrt(ratio) * sqrt(ratio + 2.0));
}

double fh_body_ratio(double R_inf)
{
    assert(R_inf > 0.0 && R_inf <= 1.0);
    return (1.0 - R_inf) * (1.0 - R_inf) / (2.0 * R_inf);
}

fh_layer fh_body_layer(const fh_spectrum *K, const fh_spectrum *S, double thickness_mm)
{
    fh_layer layer;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        fh_body body = fh_body_of((fh_body_pair){K->v[i] * thickness_mm, S->v[i] * thickness_mm});
        layer.R_top.v[i] = layer.R_bottom.v[i] = body.R0;
        layer.T_down.v[i] = layer.T_up.v[i] = body.T;
    }
    return layer;
}

static bool share(double x)
{
    return x >= 0.0 && x <= 1.0;
}

fh_status fh_body_between(double R_a, double backing_a, double R_b, double backing_b, fh_body *out)
{
    if (!share(backing_a) || !share(backing_b) || backing_a == backing_b) return FH_E_ARGUMENT;
    if (!share(R_a) || !share(R_b)) return FH_E_IMPOSSIBLE;
    double left_a = 1.0 + R_a * backing_a, left_b = 1.0 + R_b * backing_b;
    double det = left_a * backing_b - left_b * backing_a;
    if (!(fabs(det) > 1e-14)) return FH_E_IMPOSSIBLE;
    double R0 = (R_a * backing_b - R_b * backing_a) / det;
    double T2 = (left_a * R_b - left_b * R_a) / det + R0 * R0;
    const double rounding = 1e-12;
    if (!(R0 >= -rounding) || !(T2 >= -rounding)) return FH_E_IMPOSSIBLE;
    fh_body body = {fmax(R0, 0.0), sqrt(fmax(T2, 0.0))};
    if (!(body.R0 + body.T <= 1.0 + 1e-9)) return FH_E_IMPOSSIBLE;
    *out = body;
    return FH_OK;
}

fh_status fh_body_invert(fh_body body, fh_body_pair *out)
{
    const double R0 = body.R0, T = body.T;
    if (!(R0 >= 0.0) || !(T > 0.0) || !(R0 + T <= 1.0 + 1e-9)) return FH_E_IMPOSSIBLE;
    double q = 0.5 * (1.0 + R0 * R0 - T * T);
    double above = fmax(q - R0, 0.0); /* ((1 − R0)² − T²)/2 */
    double p = sqrt(above * (q + R0));
    double slope = p > 1e-9 * T ? asinh(p / T) / p : 1.0 / T; /* β/p */
    *out = (fh_body_pair){.KX = slope * above, .SX = slope * R0};
    return FH_OK;
}

fh_status fh_body_from_thick(double R, double backing, double R_inf, fh_body_pair *out)
{
    if (!share(R) || !share(backing) || !(R_inf > 0.0) || !(R_inf < 1.0)) return FH_E_ARGUMENT;
    if (!((R > backing && R < R_inf) || (R < backing && R > R_inf))) return FH_E_IMPOSSIBLE;
    /* Kubelka's 1948 form with R∞: 2 b S X = ln of the ratio of distances from R∞ and 1/R∞. */
    double b = 0.5 * (1.0 / R_inf - R_inf);
    double far = (1.0 - R_inf * R) * (R_inf - backing);
    double near = (1.0 - R_inf * backing) * (R_inf - R);
    double SX = log(far / near) / (2.0 * b);
    *out = (fh_body_pair){.KX = SX * fh_body_ratio(R_inf), .SX = SX};
    return FH_OK;
}
