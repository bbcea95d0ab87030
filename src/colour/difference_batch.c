/* CIEDE2000 of many colours against one, in float. The same steps as difference.c, which is the
 * reference that a test holds this to; equation numbers there. */
#include <math.h>

#include "farhue/difference.h"

static const float pi_f = 3.14159265f;

static float seventh(float x)
{
    float cubed = x * x * x;
    return cubed * cubed * x;
}

/* One pair. hr in radians. */
static float de2000(float L1, float a1, float b1, float C1, float L2, float a2, float b2)
{
    const float pow25_7 = 6103515625.0f, turn = 2.0f * pi_f;
    float C_mean_7 = seventh((C1 + sqrtf(a2 * a2 + b2 * b2)) * 0.5f);
    float G = 0.5f * (1.0f - sqrtf(C_mean_7 / (C_mean_7 + pow25_7)));
    float a1p = (1.0f + G) * a1, a2p = (1.0f + G) * a2;
    float C1p = sqrtf(a1p * a1p + b1 * b1), C2p = sqrtf(a2p * a2p + b2 * b2);
    float h1 = C1p > 0.0f ? atan2f(b1, a1p) : 0.0f, h2 = C2p > 0.0f ? atan2f(b2, a2p) : 0.0f;
    if (h1 < 0.0f) h1 += turn;
    if (h2 < 0.0f) h2 += turn;

    float dh = h2 - h1, h_mean = (h1 + h2) * 0.5f;
    if (C1p * C2p <= 0.0f) {
        dh = 0.0f;
        h_mean = h1 + h2;
    } else if (fabsf(dh) > pi_f) {
        dh += dh > 0.0f ? -turn : turn;
        h_mean += h_mean < pi_f ? pi_f : -pi_f;
    }
    float dL = L2 - L1, dC = C2p - C1p, dH = 2.0f * sqrtf(C1p * C2p) * sinf(dh * 0.5f);
    float L_mean = (L1 + L2) * 0.5f - 50.0f, C_mean = (C1p + C2p) * 0.5f;
    float T = 1.0f - 0.17f * cosf(h_mean - pi_f / 6.0f) + 0.24f * cosf(2.0f * h_mean) +
              0.32f * cosf(3.0f * h_mean + 6.0f * pi_f / 180.0f) -
              0.20f * cosf(4.0f * h_mean - 63.0f * pi_f / 180.0f);
    float from_blue = (h_mean * 180.0f / pi_f - 275.0f) / 25.0f;
    float dtheta = pi_f / 6.0f * expf(-from_blue * from_blue);
    float C7 = seventh(C_mean), RC = 2.0f * sqrtf(C7 / (C7 + pow25_7));
    float SL = 1.0f + 0.015f * L_mean * L_mean / sqrtf(20.0f + L_mean * L_mean);
    float tL = dL / SL, tC = dC / (1.0f + 0.045f * C_mean), tH = dH / (1.0f + 0.015f * C_mean * T);
    float sum = tL * tL + tC * tC + tH * tH - sinf(2.0f * dtheta) * RC * tC * tH;
    return sum < 0.0f ? 0.0f : sqrtf(sum);
}

void fh_de2000_batch(fh_lab reference, const float *L, const float *a, const float *b,
                     size_t count, float *out)
{
    float L1 = (float)reference.L, a1 = (float)reference.a, b1 = (float)reference.b;
    float C1 = (float)hypot(reference.a, reference.b);
    for (size_t i = 0; i < count; ++i) out[i] = de2000(L1, a1, b1, C1, L[i], a[i], b[i]);
}
