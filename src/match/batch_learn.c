/* The most likely state of a batch given its paint-outs.
 *
 * Unknown, each a standard normal beforehand: for every paint ln of a factor on K and one on S,
 * over the paint's spread, and of one on both, over the doubt about its strength; for every
 * quantity that was put in, ln of its error over the dispensing. The data: Lab of each paint-out in
 * its condition, whitened by its covariance; where the paint-out has a measured spectrum, the cube
 * roots of its 36 bands as well. The maximum of the posterior is a least-squares problem: what the
 * paint-outs leave open stays at the books. */
#include "match/batch_learn.h"

#include <math.h>

#include "base/fit.h"
#include "base/memory.h"
#include "farhue/estimate.h"

/* One paint-out made ready. */
typedef struct paint_out {
    fh_weights weights;
    fh_lab lab;
    fh_mat3 whiten;           /* L⁻¹ with L Lᵀ the covariance */
    const fh_spectrum *bands; /* NULL: Lab only */
} paint_out;

enum {
    MOST_UNKNOWNS = 3 * FH_MIX_PAINTS + FH_BATCH_STEPS * FH_MIX_PAINTS,
    MOST_ROWS = MOST_UNKNOWNS + FH_BATCH_STEPS * (3 + FH_BANDS)
};

typedef struct learner {
    const fh_paint *shelf;
    const fh_batch *batch;
    const fh_batch_options *options;
    paint_out out[FH_BATCH_STEPS];
    size_t unknowns, rows;
    double z[MOST_UNKNOWNS], more[MOST_ROWS], less[MOST_ROWS]; /* room for derivatives */
} learner;

/* The state that the unknowns z describe after a step. */
static void state_at(const learner *l, const double *z, size_t step, fh_batch_state *s)
{
    const fh_batch *b = l->batch;
    s->blend.count = b->paint_count;
    for (size_t p = 0; p < b->paint_count; ++p) {
        const fh_paint *book = &l->shelf[b->paint[p]];
        s->factor_K[p] = exp(book->spread * z[3 * p] + book->strength * z[3 * p + 2]);
        s->factor_S[p] = exp(book->spread * z[3 * p + 1] + book->strength * z[3 * p + 2]);
        s->paints[p] = *book;
        for (size_t i = 0; i < FH_BANDS; ++i) {
            s->paints[p].K.v[i] *= s->factor_K[p];
            s->paints[p].S.v[i] *= s->factor_S[p];
        }
        s->blend.paint[p] = p;
        s->blend.part[p] = 0.0;
        for (size_t k = 0; k <= step; ++k)
            s->blend.part[p] +=
                b->step[k].added[p] *
                exp(l->options->dispensing * z[3 * b->paint_count + k * b->paint_count + p]);
    }
}

static void residuals(void *user, const double *z, double *r)
{
    const learner *l = user;
    size_t row = 0;
    for (size_t k = 0; k < l->unknowns; ++k) r[row++] = z[k];
    for (size_t k = 0; k < l->batch->step_count; ++k) {
        fh_batch_state s;
        const paint_out *o = &l->out[k];
        state_at(l, z, k, &s);
        const fh_spectrum coat = fh_blend_opaque(s.paints, &s.blend, &l->options->surface);
        const fh_lab lab = fh_lab_of_spectrum(&coat, &o->weights);
        const fh_vec3 d = fh_mat3_apply(
            o->whiten, (fh_vec3){{lab.L - o->lab.L, lab.a - o->lab.a, lab.b - o->lab.b}});
        for (size_t i = 0; i < 3; ++i) r[row++] = d.v[i];
        for (size_t i = 0; o->bands && i < FH_BANDS; ++i)
            r[row++] = (cbrt(coat.v[i]) - cbrt(o->bands->v[i])) / FH_MIX_NOISE;
    }
}

/* Central differences with one step for all: the unknowns are in standard deviations, and begin at
 * 0, where a step in proportion to them would say nothing. */
static void derivatives(void *user, const double *z, double *jacobian)
{
    static const double step = 1e-4;
    learner *l = user;
    for (size_t k = 0; k < l->unknowns; ++k) l->z[k] = z[k];
    for (size_t k = 0; k < l->unknowns; ++k) {
        l->z[k] = z[k] + step;
        residuals(l, l->z, l->more);
        l->z[k] = z[k] - step;
        residuals(l, l->z, l->less);
        l->z[k] = z[k];
        for (size_t row = 0; row < l->rows; ++row)
            jacobian[row * l->unknowns + k] = (l->more[row] - l->less[row]) / (2.0 * step);
    }
}

static fh_status prepare(learner *l, size_t step)
{
    const fh_reading *r = l->batch->step[step].paint_out;
    paint_out *o = &l->out[step];
    fh_mat3 covariance = fh_reading_covariance(r), lower;
    const double least = 1e-4;
    const double trace = covariance.m[0][0] + covariance.m[1][1] + covariance.m[2][2];
    const double noise = l->options->noise;
    if (trace <= 0.0) covariance = fh_mat3_diagonal(noise * noise, noise * noise, noise * noise);
    covariance = fh_mat3_add(covariance, fh_mat3_diagonal(least, least, least));
    if (fh_mat3_cholesky(covariance, &lower) || fh_mat3_inverse(lower, &o->whiten))
        return FH_E_DATA;
    o->weights = fh_weights_of(r->condition);
    o->lab = r->lab;
    o->bands = r->origin == FH_ORIGIN_SPECTRUM ? &r->reflectance : NULL;
    l->rows += o->bands ? 3u + FH_BANDS : 3u;
    return FH_OK;
}

fh_status fh_batch_learn(const fh_paint *shelf, const fh_batch *batch,
                         const fh_batch_options *options, fh_batch_state *out)
{
    learner *l = fh_allocate(1, sizeof *l);
    double z[MOST_UNKNOWNS] = {0};
    if (!l) return FH_E_MEMORY;
    l->shelf = shelf;
    l->batch = batch;
    l->options = options;
    l->unknowns = 3 * batch->paint_count + batch->step_count * batch->paint_count;
    l->rows = l->unknowns;
    fh_status status = FH_OK;
    for (size_t k = 0; k < batch->step_count && !status; ++k) status = prepare(l, k);
    const fh_fit_problem problem = {.rows = l->rows,
                                    .columns = l->unknowns,
                                    .residuals = residuals,
                                    .jacobian = derivatives,
                                    .user = l,
                                    .tolerance = 1e-10,
                                    .evaluations = 40 * (l->unknowns + 1)};
    if (!status) status = fh_fit_nonlinear(&problem, z, NULL, NULL);
    if (!status) {
        state_at(l, z, batch->step_count - 1, out);
        out->surprise = 0.0;
        for (size_t k = 0; k < l->unknowns; ++k) out->surprise = fmax(out->surprise, fabs(z[k]));
    }
    fh_free(l);
    return status;
}
