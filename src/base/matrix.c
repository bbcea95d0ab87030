#include "farhue/matrix.h"

#include <math.h>

fh_mat3 fh_mat3_diagonal(double a, double b, double c)
{
    return (fh_mat3){{{a, 0, 0}, {0, b, 0}, {0, 0, c}}};
}

fh_mat3 fh_mat3_identity(void)
{
    return fh_mat3_diagonal(1, 1, 1);
}

fh_mat3 fh_mat3_multiply(fh_mat3 a, fh_mat3 b)
{
    fh_mat3 product;
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j)
            product.m[i][j] =
                a.m[i][0] * b.m[0][j] + a.m[i][1] * b.m[1][j] + a.m[i][2] * b.m[2][j];
    return product;
}

fh_mat3 fh_mat3_transpose(fh_mat3 a)
{
    fh_mat3 t;
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) t.m[i][j] = a.m[j][i];
    return t;
}

fh_mat3 fh_mat3_add(fh_mat3 a, fh_mat3 b)
{
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) a.m[i][j] += b.m[i][j];
    return a;
}

fh_mat3 fh_mat3_scale(fh_mat3 a, double factor)
{
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) a.m[i][j] *= factor;
    return a;
}

fh_vec3 fh_mat3_apply(fh_mat3 a, fh_vec3 x)
{
    fh_vec3 y;
    for (int i = 0; i < 3; ++i)
        y.v[i] = a.m[i][0] * x.v[0] + a.m[i][1] * x.v[1] + a.m[i][2] * x.v[2];
    return y;
}

static double cofactor(const fh_mat3 *a, int i, int j)
{
    int r0 = (i + 1) % 3, r1 = (i + 2) % 3, c0 = (j + 1) % 3, c1 = (j + 2) % 3;
    return a->m[r0][c0] * a->m[r1][c1] - a->m[r0][c1] * a->m[r1][c0];
}

fh_status fh_mat3_inverse(fh_mat3 a, fh_mat3 *inverse)
{
    double size = 0.0;
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) size = fmax(size, fabs(a.m[i][j]));
    double det = a.m[0][0] * cofactor(&a, 0, 0) + a.m[0][1] * cofactor(&a, 0, 1) +
                 a.m[0][2] * cofactor(&a, 0, 2);
    if (!isfinite(det) || !(fabs(det) > 1e-14 * size * size * size)) return FH_E_DATA;
    fh_mat3 result;
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) result.m[i][j] = cofactor(&a, j, i) / det;
    *inverse = result;
    return FH_OK;
}

fh_mat3 fh_mat3_carry(fh_mat3 jacobian, fh_mat3 covariance)
{
    return fh_mat3_multiply(fh_mat3_multiply(jacobian, covariance), fh_mat3_transpose(jacobian));
}

fh_status fh_mat3_cholesky(fh_mat3 covariance, fh_mat3 *lower)
{
    double size = 0.0;
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) {
            if (!isfinite(covariance.m[i][j])) return FH_E_DATA;
            size = fmax(size, fabs(covariance.m[i][j]));
        }
    const double rounding = 1e-12 * size;
    fh_mat3 l = {{{0}}};
    for (int j = 0; j < 3; ++j) {
        double pivot = covariance.m[j][j];
        for (int k = 0; k < j; ++k) pivot -= l.m[j][k] * l.m[j][k];
        if (pivot < -rounding) return FH_E_DATA;
        bool flat = pivot <= rounding;
        l.m[j][j] = flat ? 0.0 : sqrt(pivot);
        for (int i = j + 1; i < 3; ++i) {
            if (fabs(covariance.m[i][j] - covariance.m[j][i]) > 1e-9 * size) return FH_E_DATA;
            double rest = covariance.m[i][j];
            for (int k = 0; k < j; ++k) rest -= l.m[i][k] * l.m[j][k];
            if (!flat) l.m[i][j] = rest / l.m[j][j];
            else if (fabs(rest) > sqrt(rounding * size)) return FH_E_DATA;
        }
    }
    *lower = l;
    return FH_OK;
}
