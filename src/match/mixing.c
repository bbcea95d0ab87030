/* The metric of ΔE00 near a colour, without its rotation term [ISO11664-6]: with a′ = (1 + G) a
 *
 *   ΔL/S_L,   (Δa′ cos h′ + Δb sin h′)/S_C,   (−Δa′ sin h′ + Δb cos h′)/S_H
 *
 * Smooth everywhere, which the formula itself is not. For fitting only: results are in ΔE00. */
#include "match/mixing.h"

#include <math.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/appearance.h"
#include "farhue/difference.h"
#include "match/trials.h"

static fh_mat3 metric_at(fh_lab lab)
{
    static const double rad = 3.14159265358979323846 / 180.0;
    const double C7 = pow(hypot(lab.a, lab.b), 7.0), power = 6103515625.0; /* 25⁷ */
    const double G = 0.5 * (1.0 - sqrt(C7 / (C7 + power)));
    const double a = (1.0 + G) * lab.a, C = hypot(a, lab.b);
    const double h = C > 0.0 ? atan2(lab.b, a) : 0.0;
    const double T = 1.0 - 0.17 * cos(h - 30.0 * rad) + 0.24 * cos(2.0 * h) +
                     0.32 * cos(3.0 * h + 6.0 * rad) - 0.20 * cos(4.0 * h - 63.0 * rad);
    const double l2 = (lab.L - 50.0) * (lab.L - 50.0);
    const double S_L = 1.0 + 0.015 * l2 / sqrt(20.0 + l2), S_C = 1.0 + 0.045 * C,
                 S_H = 1.0 + 0.015 * C * T;
    return (fh_mat3){{{1.0 / S_L, 0, 0},
                      {0, (1.0 + G) * cos(h) / S_C, sin(h) / S_C},
                      {0, -(1.0 + G) * sin(h) / S_H, cos(h) / S_H}}};
}

fh_spectrum fh_mixing_look(const fh_mixing *mixing, const fh_spectrum *bare)
{
    return mixing->target->shell ? fh_shell_look(&mixing->target->shell->curves, bare) : *bare;
}

void fh_mixing_retarget(fh_mixing *mixing, const fh_spectrum *bare, const fh_spectrum *look)
{
    const fh_target *t = mixing->target;
    mixing->bare = *bare;
    mixing->look = look ? *look : fh_mixing_look(mixing, bare);
    for (size_t i = 0; i < t->light_count; ++i) {
        mixing->bare_lab[i] = fh_lab_of_spectrum(&mixing->bare, &t->light[i]);
        mixing->look_lab[i] = fh_lab_of_spectrum(&mixing->look, &t->light[i]);
        mixing->metric[i] = metric_at(mixing->look_lab[i]);
    }
}

fh_status fh_mixing_of(const fh_target *target, const fh_surface *surface, fh_mixing *out,
                       fh_error *error)
{
    fh_status status = fh_target_check(target, error);
    if (status) return status;
    fh_reference *reference = fh_allocate(1, sizeof *reference);
    if (!reference) return fh_fail(error, FH_E_MEMORY, "%s", fh_status_text(FH_E_MEMORY));
    status = fh_reference_of(target, reference, error);
    if (!status) {
        fh_spectrum look;
        fh_reference_look(target, reference, &look);
        out->target = target;
        out->surface = *surface;
        fh_mixing_retarget(out, &reference->part.estimate.reflectance, &look);
    }
    fh_free(reference);
    return status;
}

void fh_mixing_differences(const fh_mixing *mixing, const fh_spectrum *bare, double *out)
{
    const fh_spectrum look = fh_mixing_look(mixing, bare);
    for (size_t i = 0; i < mixing->target->light_count; ++i) {
        const fh_lab lab = fh_lab_of_spectrum(&look, &mixing->target->light[i]);
        const fh_lab to = mixing->look_lab[i];
        const fh_vec3 d =
            fh_mat3_apply(mixing->metric[i], (fh_vec3){{lab.L - to.L, lab.a - to.a, lab.b - to.b}});
        for (size_t k = 0; k < 3; ++k) out[3 * i + k] = d.v[k];
    }
}

double fh_mixing_rough(const fh_mixing *mixing, const fh_spectrum *bare)
{
    double d[3 * FH_LIGHTS_MAX], worst = 0.0;
    fh_mixing_differences(mixing, bare, d);
    for (size_t i = 0; i < mixing->target->light_count; ++i)
        worst = fmax(worst, d[3 * i] * d[3 * i] + d[3 * i + 1] * d[3 * i + 1] +
                                d[3 * i + 2] * d[3 * i + 2]);
    return sqrt(worst);
}

double fh_mixing_worst(const fh_mixing *mixing, const fh_spectrum *bare)
{
    const fh_spectrum look = fh_mixing_look(mixing, bare);
    double worst = 0.0;
    for (size_t i = 0; i < mixing->target->light_count; ++i) {
        const fh_lab lab = fh_lab_of_spectrum(&look, &mixing->target->light[i]);
        worst = fmax(worst, fh_de2000(mixing->look_lab[i], lab));
    }
    return worst;
}

/* Shares that sum to 1, the largest first, paints with nothing left out. */
static fh_blend tidy(const fh_blend *blend)
{
    fh_blend b = {0};
    double total = 0.0;
    for (size_t k = 0; k < blend->count; ++k) total += blend->part[k];
    for (size_t k = 0; k < blend->count; ++k) {
        if (!(blend->part[k] > 0.0)) continue;
        size_t place = b.count++;
        const double share = blend->part[k] / total;
        for (; place > 0 && b.part[place - 1] < share; --place) {
            b.part[place] = b.part[place - 1];
            b.paint[place] = b.paint[place - 1];
        }
        b.part[place] = share;
        b.paint[place] = blend->paint[k];
    }
    return b;
}

void fh_mixing_recipe(const fh_mixing *mixing, const fh_paint *shelf, const fh_blend *blend,
                      fh_recipe *out)
{
    const fh_target *t = mixing->target;
    const fh_weights condition = fh_weights_of(t->condition);
    fh_recipe r = {.blend = tidy(blend)};
    r.reflectance = fh_blend_opaque(shelf, &r.blend, &mixing->surface);
    r.lab = fh_lab_of_spectrum(&r.reflectance, &condition);
    const fh_spectrum look = fh_mixing_look(mixing, &r.reflectance);
    for (size_t i = 0; i < t->light_count; ++i) {
        const fh_lab bare = fh_lab_of_spectrum(&r.reflectance, &t->light[i]);
        const fh_lab seen = fh_lab_of_spectrum(&look, &t->light[i]);
        r.bare[i] = fh_de2000(mixing->bare_lab[i], bare);
        r.seen[i] = fh_de2000(mixing->look_lab[i], seen);
        r.worst = fmax(r.worst, r.seen[i]);
        if (i > 0) {
            const fh_metamerism m =
                fh_metamerism_of(&mixing->look, &look, &t->light[0], &t->light[i]);
            r.metamerism = fmax(r.metamerism, m.dE00);
        }
    }
    *out = r;
}
