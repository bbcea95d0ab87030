/* Corrections that only add: least squares on the looks under all lights over the quantities to
 * add, each ≥ 0, from the state of the batch that its paint-outs make most likely. A small price on
 * growth keeps additions from cancelling each other. */
#include "farhue/batch.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/fit.h"
#include "base/memory.h"
#include "farhue/estimate.h"
#include "match/batch_learn.h"
#include "match/mixing.h"

/* 95 % of χ² with three degrees of freedom for the largest of one to six tests: 1 − 0.05 / tests.
 */
static const double chi_squared_95[FH_LIGHTS_MAX] = {7.815, 9.348, 10.236, 10.861, 11.345, 11.739};

static const double step_Lab = 0.1; /* of derivatives */

fh_batch_options fh_batch_options_for(const fh_target *target)
{
    const fh_surface surface = fh_recipe_options_for(target).surface;
    return (fh_batch_options){.surface = surface,
                              .finish = surface,
                              .dispensing = 0.03,
                              .most_growth = 1.0,
                              .noise = 0.2};
}

typedef struct addition {
    const fh_mixing *mixing;
    const fh_batch_state *state;
    double size, most;
} addition;

/* The batch with x, in shares of its size, added. */
static fh_spectrum coat_with(const addition *a, const double *x)
{
    fh_blend blend = a->state->blend;
    for (size_t p = 0; p < blend.count; ++p) blend.part[p] += a->size * x[p];
    return fh_blend_opaque(a->state->paints, &blend, &a->mixing->surface);
}

static void residuals(void *user, const double *x, double *r)
{
    const addition *a = user;
    const size_t rows = 3 * a->mixing->target->light_count, n = a->state->blend.count;
    const fh_spectrum coat = coat_with(a, x);
    static const double price = 0.05, steep = 1e4; /* ΔE00 for each share of the size */
    double sum = 0.0;
    fh_mixing_differences(a->mixing, &coat, r);
    for (size_t p = 0; p < n; ++p) {
        r[rows + p] = price * x[p];
        sum += x[p];
    }
    r[rows + n] = steep * fmax(0.0, sum - a->most);
}

/* What to add, in shares of the size, together at most `most`: beyond that a steep price, which is
 * linear in the excess, so that the fit meets the limit within a millionth or so; what is left of
 * the excess is scaled away. */
static fh_status find_addition(addition *a, double most, double *x)
{
    const size_t n = a->state->blend.count;
    double lower[FH_MIX_PAINTS] = {0}, upper[FH_MIX_PAINTS], sum = 0.0;
    for (size_t p = 0; p < n; ++p) upper[p] = most;
    const fh_fit_problem problem = {.rows = 3 * a->mixing->target->light_count + n + 1,
                                    .columns = n,
                                    .residuals = residuals,
                                    .user = a,
                                    .lower = lower,
                                    .upper = upper,
                                    .tolerance = 1e-8,
                                    .evaluations = 400};
    a->most = most;
    memset(x, 0, n * sizeof *x);
    const fh_status status = fh_fit_active(&problem, x, NULL);
    if (status) return status;
    for (size_t p = 0; p < n; ++p) sum += x[p];
    for (size_t p = 0; p < n && sum > most; ++p) x[p] *= most / sum;
    return FH_OK;
}

/* Round to the steps, each up or down, whichever looks best, together at most `most`. */
static void round_addition(const addition *a, const double *step, double most, double *x)
{
    const size_t n = a->state->blend.count;
    double best[FH_MIX_PAINTS] = {0}, best_worst = HUGE_VAL; /* nothing, were no look a number */
    for (size_t code = 0; code < (size_t)1 << n; ++code) {
        double trial[FH_MIX_PAINTS];
        bool repeat = false;
        double sum = 0.0;
        for (size_t p = 0; p < n; ++p) {
            const bool up = code >> p & 1;
            trial[p] = x[p];
            if (!(step[p] > 0.0) || x[p] <= 0.0)
                repeat = repeat || up;
            else
                trial[p] = (floor(x[p] * a->size / step[p]) + (up ? 1.0 : 0.0)) * step[p] / a->size;
            sum += trial[p];
        }
        if (repeat || sum > most + 1e-12) continue; /* all down is always left */
        const fh_spectrum coat = coat_with(a, trial);
        const double worst = fh_mixing_worst(a->mixing, &coat);
        if (worst < best_worst) {
            best_worst = worst;
            memcpy(best, trial, sizeof best);
        }
    }
    memcpy(x, best, n * sizeof *x);
}

static fh_status check(const fh_batch *batch, const fh_batch_options *options, fh_error *error)
{
    if (batch->paint_count < 1 || batch->paint_count > FH_MIX_PAINTS || batch->step_count < 1 ||
        batch->step_count > FH_BATCH_STEPS)
        return fh_fail(error, FH_E_ARGUMENT,
                       "a batch has 1 to %d paints and 1 to %d paint-outs, not %zu and %zu",
                       FH_MIX_PAINTS, FH_BATCH_STEPS, batch->paint_count, batch->step_count);
    if (!(options->dispensing >= 0.0 && options->dispensing <= 1.0) ||
        !(options->most_growth > 0.0 && options->most_growth <= 100.0) || !(options->noise > 0.0))
        return fh_fail(error, FH_E_ARGUMENT, "growth and noise must be above 0");
    double first = 0.0;
    for (size_t p = 0; p < batch->paint_count; ++p) {
        first += batch->step[0].added[p];
        for (size_t k = 0; k < batch->step_count; ++k)
            if (!(batch->step[k].added[p] >= 0.0) || !isfinite(batch->step[k].added[p]))
                return fh_fail(error, FH_E_DATA,
                               "a quantity of the batch is %.3g; expected 0 or more",
                               batch->step[k].added[p]);
        for (size_t k = 0; k < p; ++k)
            if (batch->paint[k] == batch->paint[p])
                return fh_fail(error, FH_E_DATA, "the batch lists a paint twice");
        if (!(options->step[p] >= 0.0))
            return fh_fail(error, FH_E_ARGUMENT, "the smallest quantity must be 0 or more");
    }
    if (!(first > 0.0)) return fh_fail(error, FH_E_DATA, "the batch is empty");
    for (size_t k = 0; k < batch->step_count; ++k) {
        const fh_reading *r = batch->step[k].paint_out;
        fh_status status = fh_reading_check(r, NULL, error);
        if (status) return status;
        if (r->condition.illuminant >= FH_ILLUMINANT_COUNT)
            return fh_fail(error, FH_E_DATA,
                           "%s was read under a lamp of its own; expected a "
                           "standard illuminant",
                           r->id);
    }
    return FH_OK;
}

/* The addition into *out; what is filled in already stays. */
static fh_status advise(const fh_mixing *mixing, const fh_batch_state *state,
                        const fh_batch_options *options, fh_batch_advice *out)
{
    addition a = {.mixing = mixing, .state = state, .size = out->size};
    double x[FH_MIX_PAINTS] = {0};
    const double nothing[FH_MIX_PAINTS] = {0};
    fh_spectrum coat = coat_with(&a, nothing);
    const double before = fh_mixing_worst(mixing, &coat);
    fh_status status = find_addition(&a, options->most_growth, x);
    if (status) return status;
    round_addition(&a, options->step, options->most_growth, x);
    coat = coat_with(&a, x);
    const double after = fh_mixing_worst(mixing, &coat);
    out->helps = after < 0.9 * before;
    out->predicted = out->helps ? after : before;
    for (size_t p = 0; p < state->blend.count && out->helps; ++p) {
        out->add[p] = x[p] * out->size;
        out->new_size += out->add[p];
    }
    return FH_OK;
}

/* The last paint-out with the finish on it, and the same moved by a step in L*, a*, b* of its
 * reading.
 */
typedef struct finished {
    fh_spectrum reflectance, moved[3];
} finished;

static fh_spectrum with_finish(const fh_batch_options *options, const fh_spectrum *read)
{
    const fh_spectrum inside = fh_surface_inside(&options->surface, read);
    return fh_surface_seen(&options->finish, &inside);
}

/* Measured, or for Lab alone the coat of the learned batch, moved to that Lab: nearer to the truth
 * than any curve that knows no paints. */
static fh_status finish_last(const fh_batch *batch, const fh_batch_state *state,
                             const fh_batch_options *options, finished *out, fh_error *error)
{
    const fh_reading *last = batch->step[batch->step_count - 1].paint_out;
    fh_estimate estimate;
    fh_reading coat = *last;
    if (last->origin != FH_ORIGIN_SPECTRUM) {
        coat.origin = FH_ORIGIN_SPECTRUM;
        coat.reflectance = fh_blend_opaque(state->paints, &state->blend, &options->surface);
    }
    fh_status status = fh_estimate_of_reading(&coat, &estimate, error);
    if (status) return status;
    const fh_vec3 move = {
        {last->lab.L - estimate.lab.L, last->lab.a - estimate.lab.a, last->lab.b - estimate.lab.b}};
    const fh_spectrum drawn = fh_estimate_draw(&estimate, move, NULL);
    const fh_spectrum *read = last->origin == FH_ORIGIN_SPECTRUM ? &last->reflectance : &drawn;
    out->reflectance = with_finish(options, read);
    for (int k = 0; k < 3; ++k) {
        fh_vec3 further = move;
        further.v[k] += step_Lab;
        fh_spectrum moved = fh_estimate_draw(&estimate, further, NULL);
        for (size_t i = 0; i < FH_BANDS; ++i) moved.v[i] += read->v[i] - drawn.v[i];
        out->moved[k] = with_finish(options, &moved);
    }
    return FH_OK;
}

static fh_vec3 difference(const fh_mixing *m, const fh_spectrum *bare, size_t light, fh_lab from)
{
    const fh_spectrum look = fh_mixing_look(m, bare);
    const fh_lab lab = fh_lab_of_spectrum(&look, &m->target->light[light]);
    return (fh_vec3){{lab.L - from.L, lab.a - from.a, lab.b - from.b}};
}

/* What the target's estimate leaves open of its look under a light, added to *out. */
static void add_open(const fh_mixing *m, const fh_estimate *estimate, size_t light, fh_mat3 *out)
{
    for (size_t k = 0; k < estimate->mode_count; ++k) {
        double z[FH_ESTIMATE_MODES] = {0};
        z[k] = 1.0;
        const fh_spectrum drawn = fh_estimate_draw(estimate, (fh_vec3){{0, 0, 0}}, z);
        const fh_vec3 d = difference(m, &drawn, light, m->look_lab[light]);
        for (int i = 0; i < 3; ++i)
            for (int j = 0; j < 3; ++j) out->m[i][j] += d.v[i] * d.v[j];
    }
}

/* How sure the target's look is beside a paint-out. */
typedef struct certainty {
    fh_mat3 bare;         /* covariance of paint-out less part, in Lab of the paint-out; with a look
                             of the paint-out alone */
    fh_estimate estimate; /* of the part: what it leaves open of the looks */
    fh_mat3 look[FH_LIGHTS_MAX]; /* covariance of a measured look under each light */
} certainty;

/* χ² of the paint-out's look against the target's under a light. */
static fh_status chi_squared(const fh_mixing *m, const certainty *sure, const finished *last,
                             size_t light, double *out)
{
    const fh_vec3 d = difference(m, &last->reflectance, light, m->look_lab[light]);
    const fh_lab here = {m->look_lab[light].L + d.v[0], m->look_lab[light].a + d.v[1],
                         m->look_lab[light].b + d.v[2]};
    fh_mat3 jacobian, lower, whiten;
    for (int k = 0; k < 3; ++k) {
        const fh_vec3 by = difference(m, &last->moved[k], light, here);
        for (int i = 0; i < 3; ++i) jacobian.m[i][k] = by.v[i] / step_Lab;
    }
    fh_mat3 all =
        fh_mat3_add(fh_mat3_carry(jacobian, sure->bare), fh_mat3_diagonal(1e-6, 1e-6, 1e-6));
    if (m->target->by_look)
        all = fh_mat3_add(all, sure->look[light]);
    else
        add_open(m, &sure->estimate, light, &all);
    if (fh_mat3_cholesky(all, &lower) || fh_mat3_inverse(lower, &whiten)) return FH_E_DATA;
    const fh_vec3 w = fh_mat3_apply(whiten, d);
    *out = w.v[0] * w.v[0] + w.v[1] * w.v[1] + w.v[2] * w.v[2];
    return FH_OK;
}

static fh_status sure_of_part(const fh_target *target, const fh_reading *paint_out, certainty *out,
                              fh_error *error)
{
    const fh_weights weights = fh_weights_of(paint_out->condition);
    fh_reading part;
    fh_status status = fh_reading_in_condition(&target->part, &weights, &part, error);
    if (!status) status = fh_estimate_of_reading(&target->part, &out->estimate, error);
    return status ? status : fh_reading_difference_covariance(&part, paint_out, &out->bare);
}

/* Measured behind the shell: nothing of the part counts. */
static fh_status sure_of_look(const fh_target *target, const fh_reading *paint_out, certainty *out,
                              fh_error *error)
{
    fh_status status = FH_OK;
    out->bare = fh_reading_covariance(paint_out);
    for (size_t i = 0; i < target->light_count && !status; ++i) {
        fh_reading look;
        status = fh_reading_in_condition(&target->look, &target->light[i], &look, error);
        if (!status) out->look[i] = fh_reading_covariance(&look);
    }
    return status;
}

/* Does the paint-out, with the finish on it, look different from the target under any light, behind
 * the shell, by more than their uncertainties? */
static fh_status is_significant(const fh_mixing *m, const fh_reading *paint_out,
                                const finished *last, double noise, bool *out, fh_error *error)
{
    const fh_target *target = m->target;
    certainty sure;
    fh_status status = target->by_look ? sure_of_look(target, paint_out, &sure, error)
                                       : sure_of_part(target, paint_out, &sure, error);
    if (status) return status;
    if (fh_reading_is_exact(paint_out))
        sure.bare =
            fh_mat3_add(sure.bare, fh_mat3_diagonal(noise * noise, noise * noise, noise * noise));
    bool found = false;
    for (size_t i = 0; i < target->light_count; ++i) {
        double squares;
        if (chi_squared(m, &sure, last, i, &squares))
            return fh_fail(error, FH_E_DATA, "the uncertainty of %s is not a covariance",
                           paint_out->id);
        found = found || squares > chi_squared_95[target->light_count - 1];
    }
    *out = found;
    return FH_OK;
}

static fh_status correct(const fh_target *target, const fh_paint *shelf, const fh_batch *batch,
                         const fh_batch_options *options, fh_batch_state *state, fh_batch_advice *c,
                         fh_error *error)
{
    fh_mixing mixing;
    finished last;
    fh_status status = fh_mixing_of(target, &options->finish, &mixing, error);
    if (status) return status;
    status = fh_batch_learn(shelf, batch, options, state);
    if (status) return fh_fail(error, status, "%s", fh_status_text(status));
    const fh_reading *paint_out = batch->step[batch->step_count - 1].paint_out;
    status = finish_last(batch, state, options, &last, error);
    if (!status)
        status = is_significant(&mixing, paint_out, &last, options->noise, &c->significant, error);
    if (status) return status;
    c->now = c->predicted = fh_mixing_worst(&mixing, &last.reflectance);
    c->within = c->now <= target->tolerance;
    if (c->significant && state->surprise <= FH_BATCH_BEYOND)
        status = advise(&mixing, state, options, c);
    return status ? fh_fail(error, status, "%s", fh_status_text(status)) : FH_OK;
}

fh_status fh_batch_correct(const fh_target *target, const fh_paint *shelf, const fh_batch *batch,
                           const fh_batch_options *options, fh_batch_advice *out, fh_error *error)
{
    fh_batch_advice c = {0};
    fh_status status = check(batch, options, error);
    if (status) return status;
    for (size_t p = 0; p < batch->paint_count; ++p)
        for (size_t k = 0; k < batch->step_count; ++k) c.size += batch->step[k].added[p];
    c.new_size = c.size;
    fh_batch_state *state = fh_allocate(1, sizeof *state);
    status = state ? correct(target, shelf, batch, options, state, &c, error)
                   : fh_fail(error, FH_E_MEMORY, "%s", fh_status_text(FH_E_MEMORY));
    if (!status) {
        c.surprise = state->surprise;
        memcpy(c.learned_K, state->factor_K, sizeof c.learned_K);
        memcpy(c.learned_S, state->factor_S, sizeof c.learned_S);
        *out = c;
    }
    fh_free(state);
    return status;
}
