/* Recipes: which paints in which shares.
 *
 * 1. Every subset, by least squares on the spectrum. An opaque coat has the target's K/S, q, where
 *    Σ c_i (K_i − q S_i) = 0. With the weight of a band, w = |dR/dq| / S × how much it shows, the
 *    sum of squares is cᵀ G c, G_ij = Σ w² (K_i − q S_i)(K_j − q S_j), and with Σ c = 1 its minimum
 *    is c ∝ G⁻¹ 1 [Allen1974 has the linearised two-constant form]. A share below 0 means that the
 *    minimum with c ≥ 0 lies in a smaller subset, which has its own turn; but the spectrum isn't
 *    the look, so a little of that paint stays in for the next step to decide. S of the mixture is
 *    in the weight: one round with that of an even mixture, one with its own.
 * 2. The KEPT most promising by their looks (rough): least squares on the looks under all lights,
 *    shares ≥ 0, by fh_fit_active.
 * 3. ΔE00, and for the best MOST a search that moves shares from paint to paint as long as the
 * worst light gains: least squares minimise the sum over the lights, not the worst, and not quite
 *    ΔE00. Then metamerism and order. */
#include "farhue/recipe.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "base/fit.h"
#include "base/linear.h"
#include "base/memory.h"
#include "farhue/body.h"
#include "match/mixing.h"

enum { KEPT = 300, MOST = 50 };

static const double least_share = 1e-3; /* less of a paint is none */

/* A subset with its shares and how it looks, roughly. */
typedef struct candidate {
    size_t count, paint[FH_RECIPE_PAINTS];
    double share[FH_RECIPE_PAINTS];
    double rough;
} candidate;

typedef struct search {
    fh_mixing mixing;
    const fh_paint *shelf;
    size_t shelf_count;
    double q[FH_BANDS];    /* K/S of the target inside */
    double show[FH_BANDS]; /* |dR/dq| × how much a change of R shows */
    candidate *kept;       /* a heap, the worst on top */
    size_t kept_count;
} search;

fh_recipe_options fh_recipe_options_for(const fh_target *target)
{
    fh_recipe_options options = {.most_paints = FH_RECIPE_PAINTS, .window = 0.3};
    const fh_method m = fh_target_way(target);
    if (fh_surface_of(FH_INDEX_USUAL, m.geometry, m.specular, &options.surface))
        fh_surface_of(FH_INDEX_USUAL, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &options.surface);
    return options;
}

fh_status fh_recipe_of(const fh_target *target, const fh_paint *shelf, const fh_blend *blend,
                       const fh_surface *surface, fh_recipe *out, fh_error *error)
{
    fh_mixing mixing;
    fh_status status = fh_mixing_of(target, surface, &mixing, error);
    if (!status) fh_mixing_recipe(&mixing, shelf, blend, out);
    return status;
}

/* q and show. The weight of R^(−2/3) makes equal steps of lightness count alike. */
static void set_bands(search *s)
{
    const fh_mixing *m = &s->mixing;
    const fh_spectrum inside = fh_surface_inside(&m->surface, &m->bare);
    for (size_t i = 0; i < FH_BANDS; ++i) {
        const double r = fmin(0.995, fmax(0.002, inside.v[i])), step = 1e-4;
        double light = 0.0, slope = 1.0, look = m->look.v[i];
        s->q[i] = fh_body_ratio(r);
        const double q = s->q[i];
        fh_spectrum near = fh_spectrum_flat(fh_body_thick(q * (1.0 + step), 1.0));
        fh_spectrum here = fh_spectrum_flat(r);
        near = fh_surface_seen(&m->surface, &near);
        here = fh_surface_seen(&m->surface, &here);
        for (size_t k = 0; k < m->target->light_count; ++k) {
            const fh_weights *w = &m->target->light[k];
            light += w->x.v[i] / w->white.X + w->y.v[i] / w->white.Y + w->z.v[i] / w->white.Z;
        }
        if (m->target->shell) slope = fh_shell_slope(&m->target->shell->curves, &m->bare).v[i];
        s->show[i] = fabs(near.v[0] - here.v[0]) / (step * q) * fabs(light) * slope /
                     pow(fmax(look, 0.003), 2.0 / 3.0);
    }
}

/* Shares of a subset with the weight show / S. False when one is not above 0. */
static bool solve_shares(const search *s, candidate *c, const double *S)
{
    const size_t n = c->count;
    double G[FH_RECIPE_PAINTS * FH_RECIPE_PAINTS] = {0}, x[FH_RECIPE_PAINTS], sum = 0.0,
                                trace = 0.0;
    for (size_t b = 0; b < FH_BANDS; ++b) {
        double v[FH_RECIPE_PAINTS];
        const double w = s->show[b] / S[b];
        for (size_t i = 0; i < n; ++i) {
            const fh_paint *p = &s->shelf[c->paint[i]];
            v[i] = w * (p->K.v[b] - s->q[b] * p->S.v[b]);
        }
        for (size_t i = 0; i < n; ++i)
            for (size_t j = 0; j <= i; ++j) G[i * n + j] += v[i] * v[j];
    }
    for (size_t i = 0; i < n; ++i) trace += G[i * n + i];
    for (size_t i = 0; i < n; ++i) {
        G[i * n + i] += 1e-12 * trace;
        x[i] = 1.0;
    }
    if (fh_cholesky(G, n)) return false;
    fh_cholesky_solve(G, n, x);
    for (size_t i = 0; i < n; ++i) sum += x[i];
    bool positive = true;
    for (size_t i = 0; i < n; ++i) {
        c->share[i] = x[i] / sum;
        positive = positive && c->share[i] > 0.0;
    }
    return positive;
}

static fh_blend blend_of(const candidate *c)
{
    fh_blend b = {.count = c->count};
    for (size_t i = 0; i < c->count; ++i) {
        b.paint[i] = c->paint[i];
        b.part[i] = c->share[i];
    }
    return b;
}

/* Put a candidate into the heap of the best. */
static void keep(search *s, const candidate *c)
{
    candidate *h = s->kept;
    size_t at;
    if (s->kept_count < KEPT) {
        at = s->kept_count++;
        for (; at > 0 && h[(at - 1) / 2].rough < c->rough; at = (at - 1) / 2)
            h[at] = h[(at - 1) / 2];
    } else {
        if (!(c->rough < h[0].rough)) return;
        at = 0;
        for (;;) {
            size_t child = 2 * at + 1;
            if (child >= s->kept_count) break;
            if (child + 1 < s->kept_count && h[child + 1].rough > h[child].rough) ++child;
            if (!(h[child].rough > c->rough)) break;
            h[at] = h[child];
            at = child;
        }
    }
    h[at] = *c;
}

/* Mean S of the shares, by band. */
static void mean_scattering(const search *s, const candidate *c, double *S)
{
    for (size_t b = 0; b < FH_BANDS; ++b) {
        S[b] = 1e-9;
        for (size_t i = 0; i < c->count; ++i) S[b] += c->share[i] * s->shelf[c->paint[i]].S.v[b];
    }
}

/* Shares that aren't above 0 become small ones. */
static void lift(candidate *c)
{
    double sum = 0.0;
    for (size_t i = 0; i < c->count; ++i) {
        c->share[i] = c->share[i] > 0.01 ? c->share[i] : 0.01;
        sum += c->share[i];
    }
    for (size_t i = 0; i < c->count; ++i) c->share[i] /= sum;
}

static void try_subset(search *s, candidate *c)
{
    double S[FH_BANDS];
    for (size_t i = 0; i < c->count; ++i) c->share[i] = 1.0 / (double)c->count;
    for (int round = 0; round < 2; ++round) {
        mean_scattering(s, c, S);
        if (!solve_shares(s, c, S)) lift(c);
    }
    const fh_blend blend = blend_of(c);
    const fh_spectrum r = fh_blend_opaque(s->shelf, &blend, &s->mixing.surface);
    c->rough = fh_mixing_rough(&s->mixing, &r);
    if (isfinite(c->rough)) keep(s, c);
}

/* All subsets of 1 to most paints, in order of their indices. */
static fh_status try_all(search *s, const fh_recipe_options *options)
{
    const size_t n = s->shelf_count;
    for (size_t size = 1; size <= options->most_paints && size <= n; ++size) {
        size_t at[FH_RECIPE_PAINTS];
        for (size_t i = 0; i < size; ++i) at[i] = i;
        for (;;) {
            candidate c = {.count = size};
            memcpy(c.paint, at, size * sizeof *at);
            try_subset(s, &c);
            size_t i = size;
            while (i > 0 && at[i - 1] == n - size + (i - 1)) --i;
            if (i == 0) break;
            if (i == 1 && options->progress &&
                !options->progress(options->progress_user, 0.5 * (double)at[0] / (double)n))
                return FH_E_STOPPED;
            ++at[i - 1];
            for (size_t k = i; k < size; ++k) at[k] = at[k - 1] + 1;
        }
    }
    return FH_OK;
}

typedef struct refinement {
    const search *s;
    candidate *c;
} refinement;

/* The looks, and that the parts sum to 1. */
static void look_residuals(void *user, const double *x, double *out)
{
    const refinement *r = user;
    const size_t rows = 3 * r->s->mixing.target->light_count;
    fh_blend blend = blend_of(r->c);
    double sum = 0.0;
    for (size_t i = 0; i < blend.count; ++i) {
        blend.part[i] = x[i];
        sum += x[i];
    }
    if (!(sum > 1e-6)) {
        for (size_t i = 0; i <= rows; ++i) out[i] = (double)NAN;
        return;
    }
    const fh_spectrum coat = fh_blend_opaque(r->s->shelf, &blend, &r->s->mixing.surface);
    fh_mixing_differences(&r->s->mixing, &coat, out);
    out[rows] = 10.0 * (sum - 1.0);
}

static fh_status refine(const search *s, candidate *c)
{
    refinement user = {s, c};
    double lower[FH_RECIPE_PAINTS] = {0}, x[FH_RECIPE_PAINTS];
    const fh_fit_problem problem = {.rows = 3 * s->mixing.target->light_count + 1,
                                    .columns = c->count,
                                    .residuals = look_residuals,
                                    .user = &user,
                                    .lower = lower,
                                    .tolerance = 1e-5,
                                    .evaluations = 120};
    memcpy(x, c->share, sizeof x);
    const fh_status status = fh_fit_active(&problem, x, NULL);
    if (status) return status == FH_E_DATA ? FH_OK : status;
    size_t count = 0;
    double sum = 0.0;
    for (size_t i = 0; i < c->count; ++i) sum += x[i];
    for (size_t i = 0; i < c->count; ++i) {
        if (x[i] < least_share * sum) continue;
        c->paint[count] = c->paint[i];
        c->share[count++] = x[i];
    }
    c->count = count;
    return FH_OK;
}

static bool same_paints(const fh_blend *a, const fh_blend *b)
{
    if (a->count != b->count) return false;
    size_t shared = 0;
    for (size_t i = 0; i < a->count; ++i)
        for (size_t j = 0; j < b->count; ++j) shared += a->paint[i] == b->paint[j];
    return shared == a->count;
}

/* Move shares between the paints in ever smaller steps while the worst light gains. */
static void polish(const search *s, fh_recipe *r)
{
    fh_blend best = r->blend;
    double worst = r->worst;
    for (double step = 0.02; step > 2e-4; step *= 0.5) {
        bool gained = true;
        for (int round = 0; gained && round < 20; ++round) {
            gained = false;
            for (size_t from = 0; from < best.count; ++from)
                for (size_t to = 0; to < best.count; ++to) {
                    if (from == to || best.part[from] - step < least_share) continue;
                    fh_blend trial = best;
                    trial.part[from] -= step;
                    trial.part[to] += step;
                    const fh_spectrum coat = fh_blend_opaque(s->shelf, &trial, &s->mixing.surface);
                    const double there = fh_mixing_worst(&s->mixing, &coat);
                    if (!(there < worst - 1e-6)) continue;
                    best = trial;
                    worst = there;
                    gained = true;
                }
        }
    }
    fh_mixing_recipe(&s->mixing, s->shelf, &best, r);
}

static int by_worst(const void *a, const void *b)
{
    const fh_recipe *x = a, *y = b;
    return (x->worst > y->worst) - (x->worst < y->worst);
}

/* Of recipes that look equally good the least metameric; a further paint must gain 0.02. */
static int by_metamerism(const void *a, const void *b)
{
    const fh_recipe *x = a, *y = b;
    const double mx = x->metamerism + 0.02 * (double)x->blend.count;
    const double my = y->metamerism + 0.02 * (double)y->blend.count;
    return (mx > my) - (mx < my);
}

/* Sort, drop sets that come twice, polish, put the equally good in order. */
static size_t arrange(const search *s, fh_recipe *r, size_t count, double window)
{
    size_t distinct = 0, equal = 0;
    qsort(r, count, sizeof *r, by_worst);
    for (size_t i = 0; i < count; ++i) {
        bool twice = false;
        for (size_t j = 0; j < distinct && !twice; ++j)
            twice = same_paints(&r[i].blend, &r[j].blend);
        if (!twice) {
            if (i != distinct) r[distinct] = r[i];
            ++distinct;
        }
    }
    if (distinct > MOST) distinct = MOST;
    for (size_t i = 0; i < distinct; ++i) polish(s, &r[i]);
    qsort(r, distinct, sizeof *r, by_worst);
    while (equal < distinct && r[equal].worst <= r[0].worst + window) ++equal;
    qsort(r, equal, sizeof *r, by_metamerism);
    return distinct;
}

static fh_status check_shelf(const fh_paint *shelf, size_t count, fh_error *error)
{
    for (size_t p = 0; p < count; ++p) {
        double scattering = 0.0;
        for (size_t i = 0; i < FH_BANDS; ++i) {
            const double K = shelf[p].K.v[i], S = shelf[p].S.v[i];
            if (!(K >= 0.0) || !isfinite(K) || !(S >= 0.0) || !isfinite(S))
                return fh_fail(error, FH_E_DATA,
                               "paint %s has K %.3g, S %.3g at %.0f nm; expected 0 or "
                               "more",
                               shelf[p].id, K, S, fh_band_nm(i));
            scattering += S;
        }
        if (!(scattering > 0.0))
            return fh_fail(error, FH_E_DATA, "paint %s doesn't scatter at all", shelf[p].id);
        for (size_t k = 0; k < p; ++k)
            if (strcmp(shelf[p].id, shelf[k].id) == 0)
                return fh_fail(error, FH_E_DATA, "two paints are called %s", shelf[p].id);
    }
    return FH_OK;
}

static fh_status finish(search *s, const fh_recipe_options *options, fh_recipe *all, fh_recipe *out,
                        size_t most, size_t *count)
{
    for (size_t i = 0; i < s->kept_count; ++i) {
        fh_status status = refine(s, &s->kept[i]);
        if (status) return status;
        const fh_blend blend = blend_of(&s->kept[i]);
        fh_mixing_recipe(&s->mixing, s->shelf, &blend, &all[i]);
        if (options->progress &&
            !options->progress(options->progress_user,
                               0.5 + 0.5 * (double)(i + 1) / (double)s->kept_count))
            return FH_E_STOPPED;
    }
    size_t found = arrange(s, all, s->kept_count, options->window);
    if (found > most) found = most;
    memcpy(out, all, found * sizeof *out);
    *count = found;
    return FH_OK;
}

fh_status fh_recipe_find(const fh_target *target, const fh_paint *shelf, size_t shelf_count,
                         const fh_recipe_options *options, fh_recipe *out, size_t most,
                         size_t *count, fh_error *error)
{
    if (shelf_count < 1 || shelf_count > FH_MIX_SHELF)
        return fh_fail(error, FH_E_ARGUMENT, "%zu paints; expected 1 to %d", shelf_count,
                       FH_MIX_SHELF);
    if (options->most_paints < 1 || options->most_paints > FH_RECIPE_PAINTS || most < 1 ||
        most > MOST || !(options->window >= 0.0))
        return fh_fail(error, FH_E_ARGUMENT, "recipes hold 1 to %d paints", FH_RECIPE_PAINTS);
    fh_status status = check_shelf(shelf, shelf_count, error);
    if (status) return status;
    search *s = fh_allocate(1, sizeof *s);
    candidate *kept = fh_allocate(KEPT, sizeof *kept);
    fh_recipe *all = fh_allocate(KEPT, sizeof *all);
    if (s && kept && all) {
        s->shelf = shelf;
        s->shelf_count = shelf_count;
        s->kept = kept;
        status = fh_mixing_of(target, &options->surface, &s->mixing, error);
        if (!status) {
            set_bands(s);
            status = try_all(s, options);
            if (!status) status = finish(s, options, all, out, most, count);
            if (status) fh_fail(error, status, "%s", fh_status_text(status));
        }
    } else {
        status = fh_fail(error, FH_E_MEMORY, "%s", fh_status_text(FH_E_MEMORY));
    }
    fh_free(s);
    fh_free(kept);
    fh_free(all);
    return status;
}
