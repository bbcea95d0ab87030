/* The look through a shell, R = A + B ρ/(1 − C ρ), its inverse and its draws.
 *
 * The form follows from adding a layer to a Lambertian backing ([Kubelka1954], eq. 10 with
 * T T′ = B and R′ = C): such a backing forgets where its light came from, so it holds for any
 * scattering and any instrument whose geometry stays the same. */
#include "farhue/shell.h"

#include "base/random.h"

#include <math.h>

static const double greatest_C = 0.98;

fh_spectrum fh_shell_look(const fh_shell_curves *curves, const fh_spectrum *inner)
{
    fh_spectrum look;
    for (size_t i = 0; i < FH_BANDS; ++i)
        look.v[i] =
            curves->A.v[i] + curves->B.v[i] * inner->v[i] / (1.0 - curves->C.v[i] * inner->v[i]);
    return look;
}

fh_spectrum fh_shell_slope(const fh_shell_curves *curves, const fh_spectrum *inner)
{
    fh_spectrum slope;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double rest = 1.0 - curves->C.v[i] * inner->v[i];
        slope.v[i] = curves->B.v[i] / (rest * rest);
    }
    return slope;
}

fh_spectrum fh_shell_reach(const fh_shell_curves *curves)
{
    fh_spectrum reach;
    for (size_t i = 0; i < FH_BANDS; ++i) reach.v[i] = curves->B.v[i] / (1.0 - curves->C.v[i]);
    return reach;
}

/* Give each hidden band the value of the nearest band that shows the part. */
static void fill_hidden(const bool hidden[FH_BANDS], fh_spectrum *inner)
{
    for (size_t i = 0; i < FH_BANDS; ++i) {
        if (!hidden[i]) continue;
        for (size_t step = 1; step < FH_BANDS; ++step) {
            bool below = i >= step && !hidden[i - step];
            bool above = i + step < FH_BANDS && !hidden[i + step];
            if (!below && !above) continue;
            double low = below ? inner->v[i - step] : inner->v[i + step];
            double high = above ? inner->v[i + step] : low;
            inner->v[i] = 0.5 * (low + high);
            break;
        }
    }
}

fh_status fh_shell_inner(const fh_shell_curves *curves, const fh_spectrum *look, fh_spectrum *inner,
                         size_t *impossible)
{
    fh_spectrum found, reach = fh_shell_reach(curves);
    bool hidden[FH_BANDS];
    size_t cut = 0, shown = 0;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double rise = look->v[i] - curves->A.v[i];
        hidden[i] = reach.v[i] < FH_SHELL_HIDDEN;
        shown += hidden[i] ? 0 : 1;
        if (rise < -0.001 || rise > reach.v[i] + 0.001) ++cut;
        if (rise <= 0.0)
            found.v[i] = 0.0;
        else if (rise >= reach.v[i])
            found.v[i] = 1.0;
        else
            found.v[i] = rise / (curves->B.v[i] + curves->C.v[i] * rise);
    }
    if (shown == 0) return FH_E_IMPOSSIBLE;
    fill_hidden(hidden, &found);
    *inner = found;
    if (impossible) *impossible = cut;
    return FH_OK;
}

/* The nearest point inside the bounds along the axes: A first, then C, then B. */
static void keep_inside(fh_shell_curves *curves)
{
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double A = fmin(fmax(curves->A.v[i], 0.0), 1.0);
        double C = fmin(fmax(curves->C.v[i], 0.0), greatest_C);
        double B = fmin(fmax(curves->B.v[i], 0.0), (1.0 - A) * (1.0 - C));
        curves->A.v[i] = A;
        curves->B.v[i] = B;
        curves->C.v[i] = C;
    }
}

fh_shell_curves fh_shell_draw(const fh_shell *shell, uint64_t seed, uint64_t trial)
{
    fh_shell_curves drawn = shell->curves;
    for (size_t j = 0; j < shell->mode_count; ++j) {
        const fh_shell_mode *mode = &shell->mode[j];
        double z = fh_random_normal(seed, mode->stream, trial, mode->index);
        for (size_t i = 0; i < FH_BANDS; ++i) {
            drawn.A.v[i] += z * mode->step.A.v[i];
            drawn.B.v[i] += z * mode->step.B.v[i];
            drawn.C.v[i] += z * mode->step.C.v[i];
        }
    }
    if (shell->mode_count > 0) keep_inside(&drawn);
    return drawn;
}
