/* What an estimated spectrum is for: draws, other conditions, readings. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/text.h"
#include "colour/prior.h"
#include "farhue/difference.h"

static double logistic(double l)
{
    return l >= 0.0 ? 1.0 / (1.0 + exp(-l)) : exp(l) / (1.0 + exp(l));
}

/* What a measured value has beyond the logistic's reach; 0 for an estimate. */
static fh_spectrum excess_of(const fh_estimate *e)
{
    fh_spectrum excess;
    for (size_t i = 0; i < FH_BANDS; ++i)
        excess.v[i] = e->reflectance.v[i] - logistic(e->logit.v[i]);
    return excess;
}

/* The reflectance at a logit; the excess stays. */
static fh_spectrum reflectance_at(const fh_spectrum *excess, const fh_spectrum *logit)
{
    fh_spectrum r;
    for (size_t i = 0; i < FH_BANDS; ++i) r.v[i] = excess->v[i] + logistic(logit->v[i]);
    return r;
}

/* d Lab / d logit, three curves. */
static void lab_slopes(const fh_spectrum *reflectance, const fh_spectrum *logit,
                       const fh_weights *to, fh_spectrum slope[3])
{
    const fh_mat3 j = fh_lab_jacobian(fh_xyz_of_spectrum(reflectance, to), to->white);
    for (size_t i = 0; i < FH_BANDS; ++i) {
        const double r = logistic(logit->v[i]), d = r * (1.0 - r);
        for (size_t axis = 0; axis < 3; ++axis)
            slope[axis].v[i] = d * (j.m[axis][0] * to->x.v[i] + j.m[axis][1] * to->y.v[i] +
                                    j.m[axis][2] * to->z.v[i]);
    }
}

static double dot(const fh_spectrum *a, const fh_spectrum *b)
{
    double sum = 0.0;
    for (size_t i = 0; i < FH_BANDS; ++i) sum += a->v[i] * b->v[i];
    return sum;
}

/* Newton's step along the gain towards a Lab. False when the gain can't move it there. */
static bool step_towards(const fh_estimate *e, fh_lab wanted, fh_lab here, const fh_spectrum *r,
                         fh_spectrum *logit)
{
    fh_spectrum slope[3];
    fh_mat3 reach, back;
    lab_slopes(r, logit, &e->weights, slope);
    for (size_t i = 0; i < 3; ++i)
        for (size_t j = 0; j < 3; ++j) reach.m[i][j] = dot(&slope[i], &e->gain[j]);
    if (fh_mat3_inverse(reach, &back)) return false;
    const fh_vec3 gap = {{wanted.L - here.L, wanted.a - here.a, wanted.b - here.b}};
    const fh_vec3 step = fh_mat3_apply(back, gap);
    for (size_t j = 0; j < 3; ++j) *logit = fh_spectrum_add(*logit, e->gain[j], step.v[j]);
    return true;
}

fh_spectrum fh_estimate_draw(const fh_estimate *estimate, fh_vec3 dlab, const double *z)
{
    enum { CORRECTIONS = 8 };
    fh_spectrum logit = estimate->logit;
    const fh_spectrum excess = excess_of(estimate);
    for (size_t axis = 0; axis < 3; ++axis)
        if (dlab.v[axis] != 0.0) logit = fh_spectrum_add(logit, estimate->gain[axis], dlab.v[axis]);
    if (z)
        for (size_t k = 0; k < estimate->mode_count; ++k)
            logit = fh_spectrum_add(logit, estimate->mode[k], z[k]);
    fh_spectrum best = reflectance_at(&excess, &logit);

    /* Gain and modes hold the Lab to first order only; the rest is taken out along the gain. */
    const fh_lab wanted = {estimate->lab.L + dlab.v[0], estimate->lab.a + dlab.v[1],
                           estimate->lab.b + dlab.v[2]};
    fh_lab lab = fh_lab_of_spectrum(&best, &estimate->weights);
    double off = fh_de1976(wanted, lab);
    for (int round = 0; round < CORRECTIONS && off > 1e-4; ++round) {
        fh_spectrum moved = logit;
        if (!step_towards(estimate, wanted, lab, &best, &moved)) break;
        const fh_spectrum r = reflectance_at(&excess, &moved);
        const fh_lab there = fh_lab_of_spectrum(&r, &estimate->weights);
        const double rest = fh_de1976(wanted, there);
        if (!(rest < off)) break;
        logit = moved;
        best = r;
        lab = there;
        off = rest;
    }
    return best;
}

fh_lab fh_estimate_lab(const fh_estimate *estimate, const fh_weights *to, fh_mat3 *jacobian,
                       fh_mat3 *covariance)
{
    fh_spectrum slope[3];
    if (jacobian || covariance) lab_slopes(&estimate->reflectance, &estimate->logit, to, slope);
    if (jacobian)
        for (size_t i = 0; i < 3; ++i)
            for (size_t j = 0; j < 3; ++j) jacobian->m[i][j] = dot(&slope[i], &estimate->gain[j]);
    if (covariance) {
        *covariance = fh_mat3_diagonal(0, 0, 0);
        for (size_t k = 0; k < estimate->mode_count; ++k) {
            double moved[3];
            for (size_t i = 0; i < 3; ++i) moved[i] = dot(&slope[i], &estimate->mode[k]);
            for (size_t i = 0; i < 3; ++i)
                for (size_t j = 0; j < 3; ++j) covariance->m[i][j] += moved[i] * moved[j];
        }
    }
    return fh_lab_of_spectrum(&estimate->reflectance, to);
}

static bool carries(const fh_reading *reading, const char *kind)
{
    for (size_t i = 0; i < reading->shared_count; ++i)
        if (strncmp(reading->shared[i].source, kind, strlen(kind)) == 0) return true;
    return false;
}

bool fh_reading_carries_estimate(const fh_reading *reading)
{
    return carries(reading, FH_SOURCE_ESTIMATE);
}

/* The weights of a reading's own condition. */
static fh_status own_weights(const fh_reading *reading, fh_weights *out, fh_error *error)
{
    if (reading->condition.illuminant >= FH_ILLUMINANT_COUNT)
        return fh_fail(error, FH_E_DATA,
                       "%s was measured under a lamp of its own, without a spectrum; expected a "
                       "standard illuminant or a spectrum",
                       reading->id);
    *out = fh_weights_of(reading->condition);
    return FH_OK;
}

fh_status fh_estimate_of_reading(const fh_reading *reading, fh_estimate *out, fh_error *error)
{
    fh_weights weights;
    fh_status status = own_weights(reading, &weights, error);
    if (status) return status;
    if (reading->origin == FH_ORIGIN_LAB)
        return fh_estimate_spectrum(reading->lab, &weights, out, NULL, error);
    const fh_prior prior = fh_prior_standard();
    const bool open = reading->origin == FH_ORIGIN_ESTIMATED &&
                      !carries(reading, FH_SOURCE_ESTIMATE) && !carries(reading, FH_SOURCE_LOOK);
    status = fh_estimate_around(&prior, &reading->reflectance, &weights, open, out);
    return status ? fh_fail(error, status, "%s", fh_status_text(status)) : FH_OK;
}

static void carry_covariances(fh_reading *reading, fh_mat3 jacobian)
{
    reading->random = fh_mat3_carry(jacobian, reading->random);
    for (size_t i = 0; i < reading->shared_count; ++i)
        reading->shared[i].covariance = fh_mat3_carry(jacobian, reading->shared[i].covariance);
}

fh_status fh_reading_in_condition(const fh_reading *reading, const fh_weights *to, fh_reading *out,
                                  fh_error *error)
{
    if (to->condition.illuminant < FH_ILLUMINANT_COUNT &&
        fh_condition_equal(reading->condition, to->condition)) {
        *out = *reading;
        return FH_OK;
    }
    fh_estimate estimate;
    fh_status status;
    if (reading->origin == FH_ORIGIN_SPECTRUM &&
        reading->condition.illuminant >= FH_ILLUMINANT_COUNT) {
        /* The lamp that the covariances belong to isn't known here; they are kept as they are. */
        const fh_prior prior = fh_prior_standard();
        status = fh_estimate_around(&prior, &reading->reflectance, to, false, &estimate);
        if (status) fh_fail(error, status, "%s", fh_status_text(status));
    } else {
        status = fh_estimate_of_reading(reading, &estimate, error);
    }
    if (status) return status;

    fh_reading moved = *reading;
    fh_mat3 jacobian, open;
    moved.lab = fh_estimate_lab(&estimate, to, &jacobian, &open);
    moved.condition = to->condition;
    carry_covariances(&moved, jacobian);
    if (reading->origin != FH_ORIGIN_SPECTRUM) {
        moved.origin = FH_ORIGIN_ESTIMATED;
        moved.reflectance = estimate.reflectance;
    }
    if (estimate.mode_count) {
        char source[FH_SOURCE];
        fh_format(source, sizeof source, FH_SOURCE_ESTIMATE "%s", reading->id);
        status = fh_reading_add_shared(&moved, source, open);
        if (status)
            return fh_fail(error, status,
                           "%s carries %zu sources of uncertainty already, no room "
                           "for one more",
                           reading->id, reading->shared_count);
    }
    *out = moved;
    return FH_OK;
}
