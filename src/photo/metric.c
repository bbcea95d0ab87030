/* The quadratic form of CIEDE2000 at a colour, by central differences of the formula itself, so
 * that it follows its rotation term. The step of 0.02 is far below the scale on which the weights
 * change and far above rounding. */
#include "photo/metric.h"

static double squared_at(fh_lab lab, fh_vec3 d)
{
    const fh_lab a = {lab.L - d.v[0] / 2, lab.a - d.v[1] / 2, lab.b - d.v[2] / 2};
    const fh_lab b = {lab.L + d.v[0] / 2, lab.a + d.v[1] / 2, lab.b + d.v[2] / 2};
    const double de = fh_de2000(a, b);
    return de * de;
}

fh_mat3 fh_de2000_metric(fh_lab lab)
{
    const double h = 0.02;
    fh_mat3 m;
    for (int i = 0; i < 3; i++) {
        fh_vec3 d = {{0.0, 0.0, 0.0}};
        d.v[i] = h;
        m.m[i][i] = squared_at(lab, d) / (h * h);
    }
    for (int i = 0; i < 3; i++) {
        for (int j = i + 1; j < 3; j++) {
            fh_vec3 plus = {{0.0, 0.0, 0.0}}, minus = {{0.0, 0.0, 0.0}};
            plus.v[i] = minus.v[i] = h;
            plus.v[j] = h, minus.v[j] = -h;
            m.m[i][j] = m.m[j][i] = (squared_at(lab, plus) - squared_at(lab, minus)) / (4 * h * h);
        }
    }
    return m;
}

fh_mat3 fh_de2000_factor(fh_lab lab)
{
    fh_mat3 lower;
    const fh_mat3 m = fh_de2000_metric(lab);
    if (fh_mat3_cholesky(m, &lower) != FH_OK)
        return fh_mat3_diagonal(1.0, 1.0, 1.0); /* never met; plain ΔE*ab is the fallback */
    return fh_mat3_transpose(lower);
}

fh_mat3 fh_covariance_of_de(fh_lab lab, double de)
{
    fh_mat3 inverse;
    if (fh_mat3_inverse(fh_de2000_metric(lab), &inverse) != FH_OK) inverse = fh_mat3_identity();
    return fh_mat3_scale(inverse, de * de / 3.0);
}
