/* The correction is fitted in XYZ (or Lab, for an offset) by least squares whose residuals are in
 * Lab, linearised at the owner's reading, with a prior that draws it towards "no correction": with
 * six objects nine or twelve free numbers would follow the noise (ridge regression
 * [Hoerl1970]; the sizes below are common practice, no source). */
#include "farhue/tie.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/fit.h"
#include "base/memory.h"
#include "base/text.h"
#include "farhue/difference.h"
#include "match/tie_sources.h"

static const double noise = 0.3;        /* expected scatter of an object, ΔE*ab per axis */
static const double usual_offset = 1.5; /* of one instrument against another, per axis */
static const double usual_gain = 0.03, usual_cross = 0.015; /* of the matrix about identity */
static const double usual_shift = 0.3;  /* of XYZ, in percent */

enum { UNKNOWNS = 12, ROWS = 3 * FH_TIE_MOST + UNKNOWNS };

/* The pairs in use, as XYZ and Lab. */
typedef struct tie_work {
    const fh_reading *owner, *helper;
    size_t count;
    fh_xyz white;
    double design[ROWS * UNKNOWNS], data[ROWS];
} tie_work;

const char *fh_tie_kind_text(fh_tie_kind kind)
{
    switch (kind) {
    case FH_TIE_OFFSET: return "offset";
    case FH_TIE_MATRIX: return "matrix";
    case FH_TIE_AFFINE: return "matrix with shift";
    case FH_TIE_NONE:
    case FH_TIE_KINDS: break;
    }
    return "none";
}

static fh_lab corrected(const fh_tie *tie, fh_lab lab, fh_xyz white)
{
    if (tie->kind == FH_TIE_OFFSET)
        return (fh_lab){lab.L + tie->offset.v[0], lab.a + tie->offset.v[1],
                        lab.b + tie->offset.v[2]};
    if (tie->kind == FH_TIE_NONE) return lab;
    fh_xyz xyz = fh_xyz_of_lab(lab, white);
    fh_vec3 moved = fh_mat3_apply(tie->matrix, (fh_vec3){{xyz.X, xyz.Y, xyz.Z}});
    for (int i = 0; i < 3; ++i) moved.v[i] += tie->shift.v[i];
    return fh_lab_of_xyz((fh_xyz){moved.v[0], moved.v[1], moved.v[2]}, white);
}

fh_lab fh_tie_lab(const fh_tie *tie, fh_lab lab)
{
    return corrected(tie, lab, fh_weights_of(tie->condition).white);
}

/* The mean difference, drawn towards zero. */
static void fit_offset(const tie_work *work, size_t left_out, fh_tie *tie)
{
    double sum[3] = {0}, used = 0.0;
    for (size_t i = 0; i < work->count; ++i) {
        if (i == left_out) continue;
        fh_lab a = work->owner[i].lab, b = work->helper[i].lab;
        sum[0] += a.L - b.L;
        sum[1] += a.a - b.a;
        sum[2] += a.b - b.b;
        used += 1.0;
    }
    double prior = noise * noise / (usual_offset * usual_offset);
    for (int k = 0; k < 3; ++k) tie->offset.v[k] = sum[k] / (used + prior);
}

/* One object: rows of J M x = J y, x the helper's XYZ and y the owner's. */
static void object_rows(tie_work *work, size_t object, size_t row, size_t unknowns)
{
    fh_xyz y = fh_xyz_of_lab(work->owner[object].lab, work->white);
    fh_xyz x = fh_xyz_of_lab(work->helper[object].lab, work->white);
    fh_mat3 j = fh_lab_jacobian(y, work->white);
    const double from[4] = {x.X, x.Y, x.Z, 1.0}, to[3] = {y.X, y.Y, y.Z};
    const size_t width = unknowns / 3; /* 3: matrix; 4: with shift */
    for (size_t c = 0; c < 3; ++c) {
        double *design = work->design + (row + c) * unknowns;
        work->data[row + c] = 0.0;
        for (size_t k = 0; k < 3; ++k) {
            for (size_t m = 0; m < width; ++m)
                design[k * width + m] = j.m[c][k] * from[m] / noise;
            work->data[row + c] += j.m[c][k] * to[k] / noise;
        }
    }
}

/* One row an unknown: how far it usually is from "no correction". */
static void prior_rows(tie_work *work, size_t row, size_t unknowns)
{
    const size_t width = unknowns / 3;
    memset(work->design + row * unknowns, 0, unknowns * unknowns * sizeof *work->design);
    for (size_t u = 0; u < unknowns; ++u) {
        size_t k = u / width, m = u % width;
        double size = m == 3 ? usual_shift : m == k ? usual_gain : usual_cross;
        work->design[(row + u) * unknowns + u] = 1.0 / size;
        work->data[row + u] = m == k ? 1.0 / size : 0.0;
    }
}

static fh_status fit_matrix(tie_work *work, size_t left_out, fh_tie *tie)
{
    const size_t unknowns = tie->kind == FH_TIE_AFFINE ? 12 : 9, width = unknowns / 3;
    size_t rows = 0;
    for (size_t i = 0; i < work->count; ++i) {
        if (i == left_out) continue;
        object_rows(work, i, rows, unknowns);
        rows += 3;
    }
    prior_rows(work, rows, unknowns);
    double x[UNKNOWNS];
    fh_status status =
        fh_fit_linear(work->design, work->data, NULL, rows + unknowns, unknowns, x, NULL);
    if (status) return status;
    for (size_t u = 0; u < unknowns; ++u) {
        if (u % width == 3) tie->shift.v[u / width] = x[u];
        else tie->matrix.m[u / width][u % width] = x[u];
    }
    return FH_OK;
}

/* Fit one kind to all objects but left_out (count: to all). */
static fh_status fit_kind(tie_work *work, fh_tie_kind kind, size_t left_out, fh_tie *tie)
{
    tie->kind = kind;
    tie->offset = tie->shift = (fh_vec3){{0, 0, 0}};
    tie->matrix = fh_mat3_identity();
    if (kind == FH_TIE_OFFSET) fit_offset(work, left_out, tie);
    if (kind == FH_TIE_MATRIX || kind == FH_TIE_AFFINE) return fit_matrix(work, left_out, tie);
    return FH_OK;
}

/* Leave-one-out: mean ΔE00, and the second moment of the Lab residuals. */
static fh_status leave_one_out(tie_work *work, fh_tie_kind kind, fh_tie *scratch, double *mean,
                               fh_mat3 *moment)
{
    double sum = 0.0;
    fh_mat3 squares = {{{0}}};
    for (size_t i = 0; i < work->count; ++i) {
        fh_status status = fit_kind(work, kind, i, scratch);
        if (status) return status;
        fh_lab wanted = work->owner[i].lab;
        fh_lab got = corrected(scratch, work->helper[i].lab, work->white);
        const double r[3] = {got.L - wanted.L, got.a - wanted.a, got.b - wanted.b};
        for (int j = 0; j < 3; ++j)
            for (int k = 0; k < 3; ++k) squares.m[j][k] += r[j] * r[k];
        sum += fh_de2000(wanted, got);
    }
    *mean = sum / (double)work->count;
    *moment = fh_mat3_scale(squares, 1.0 / (double)work->count);
    return FH_OK;
}

/* Half of a moment that a handful of objects gives, half of one that is equal in all directions:
 * so few vectors leave some direction looking better than it is. */
static fh_mat3 steadied(fh_mat3 moment, double lot)
{
    double even = (moment.m[0][0] + moment.m[1][1] + moment.m[2][2]) / 3.0;
    fh_mat3 out = fh_mat3_scale(moment, 0.5);
    for (int k = 0; k < 3; ++k) out.m[k][k] += 0.5 * even + lot * lot;
    return out;
}

/* Choose the kind, then fit it to all objects. */
static fh_status choose(tie_work *work, double lot, fh_tie *tie)
{
    double best = 0.0;
    fh_mat3 moment = {{{0}}};
    fh_tie_kind chosen = FH_TIE_NONE;
    for (int kind = FH_TIE_NONE; kind < FH_TIE_KINDS; ++kind) {
        fh_mat3 one;
        fh_status status =
            leave_one_out(work, (fh_tie_kind)kind, tie, &tie->tried[kind], &one);
        if (status) return status;
        if (kind == FH_TIE_NONE || tie->tried[kind] < 0.95 * best) {
            best = tie->tried[kind];
            moment = one;
            chosen = (fh_tie_kind)kind;
        }
    }
    tie->before = tie->tried[FH_TIE_NONE];
    tie->after = best;
    tie->covariance = steadied(moment, lot);
    return fit_kind(work, chosen, work->count, tie);
}

fh_status fh_tie_find(const char *id, const fh_reading *owner, const fh_reading *helper,
                      size_t count, double lot, fh_tie *out, fh_error *error)
{
    fh_status status = fh_tie_check(id, owner, helper, count, lot, error);
    if (status) return status;
    tie_work *work = fh_allocate(1, sizeof *work);
    if (!work) return fh_fail(error, FH_E_MEMORY, "not enough memory");
    work->owner = owner;
    work->helper = helper;
    work->count = count;
    work->white = fh_weights_of(owner[0].condition).white;
    fh_tie tie = {.condition = owner[0].condition, .objects = count};
    fh_copy_text(tie.id, sizeof tie.id, id);
    fh_tie_note_sources(owner, helper, count, &tie);
    status = choose(work, lot, &tie);
    fh_free(work);
    if (status)
        return fh_fail(error, status,
                       "the objects' readings do not determine a correction; expected finite "
                       "colours that differ");
    *out = tie;
    return FH_OK;
}
