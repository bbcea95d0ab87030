/* The nearest colour that a reflectance can have.
 *
 * The colours of all reflectances between 0 and 1 fill a convex body in XYZ, whose surface are the
 * optimal colours: 0 and 1 with at most two jumps [MacAdam1935]. The nearest point in Lab is found
 * by Gauss–Newton: Lab is linearised at the present curve, and the linear problem with 0 ≤ R ≤ 1
 * is solved exactly by the active set of base/fit. A step that doesn't help is halved. */
#include <math.h>

#include "base/fit.h"
#include "farhue/estimate.h"

enum { N = FH_BANDS };

static double distance(fh_lab a, fh_lab b)
{
    return sqrt((a.L - b.L) * (a.L - b.L) + (a.a - b.a) * (a.a - b.a) + (a.b - b.b) * (a.b - b.b));
}

/* d Lab / d R by rows, and the right side that asks for lab. */
static void linearise(const fh_spectrum *r, fh_lab here, fh_lab lab, const fh_weights *w,
                      double design[3 * N], double data[3])
{
    const fh_mat3 j = fh_lab_jacobian(fh_xyz_of_spectrum(r, w), w->white);
    const double gap[3] = {lab.L - here.L, lab.a - here.a, lab.b - here.b};
    for (size_t row = 0; row < 3; ++row) {
        data[row] = gap[row];
        for (size_t i = 0; i < N; ++i) {
            const double d =
                j.m[row][0] * w->x.v[i] + j.m[row][1] * w->y.v[i] + j.m[row][2] * w->z.v[i];
            design[row * N + i] = d;
            data[row] += d * r->v[i];
        }
    }
}

fh_status fh_nearest_possible(fh_lab lab, const fh_weights *weights, fh_lab *nearest)
{
    if (!isfinite(lab.L) || !isfinite(lab.a) || !isfinite(lab.b)) return FH_E_ARGUMENT;
    double design[3 * N], data[3], high[N];
    for (size_t i = 0; i < N; ++i) high[i] = 1.0;
    fh_spectrum r = fh_spectrum_flat(0.5);
    fh_lab here = fh_lab_of_spectrum(&r, weights);
    for (int round = 0; round < 100; ++round) {
        fh_spectrum wanted;
        linearise(&r, here, lab, weights, design, data);
        fh_status status = fh_fit_bounded(design, data, NULL, 3, N, NULL, high, wanted.v, NULL);
        if (status) return status;
        const double before = distance(here, lab);
        double step = 1.0, after = before;
        for (; step > 1e-6; step *= 0.5) {
            const fh_spectrum trial = fh_spectrum_add(r, fh_spectrum_add(wanted, r, -1.0), step);
            const fh_lab there = fh_lab_of_spectrum(&trial, weights);
            after = distance(there, lab);
            if (after < before) {
                r = trial;
                here = there;
                break;
            }
        }
        if (before - after < 1e-7 || after < 1e-6) break;
    }
    *nearest = here;
    return FH_OK;
}
