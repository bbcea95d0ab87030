/* Fitting a correction: Levenberg–Marquardt on residuals in ΔE00, linearised at each patch's own
 * colour, inside a loop that takes weight from patches that do not fit.
 *
 * Parameters: the coefficients, then ln tone, then the two slopes. Weak priors keep what the
 * patches cannot tell near "nothing": ln tone within 0.5, slopes within 0.3 across half the chart,
 * the root terms near 0, in units of an error of 2 ΔE00. */
#include <math.h>
#include <string.h>

#include "base/fit.h"
#include "base/memory.h"
#include "photo/metric.h"
#include "photo/terms.h"

enum { PASSES = 4, MOST_PARAMETERS = 3 * FH_TERMS + 3 };

typedef struct patch {
    fh_rgb rgb;
    fh_point at;
    fh_lab lab;
    fh_mat3 factor; /* |factor d| is ΔE00 */
    double weight;  /* given × robust */
    double given;
    size_t index; /* of the known patch */
} patch;

typedef struct job {
    fh_model model;
    fh_correction now;
    patch *patches;
    size_t count;
    size_t parameters;
    size_t priors;
    double primaries[3][3]; /* columns: XYZ of r, g, b, for gains */
} job;

/* Which terms the model uses. */
static size_t used_terms(fh_model model, int terms[FH_TERMS])
{
    size_t n = 0;
    for (int k = 0; k < 3; k++) terms[n++] = k;
    if (model.form == FH_FORM_ROOTS)
        for (int k = 3; k < 6; k++) terms[n++] = k;
    if (model.offset) terms[n++] = 6;
    return n;
}

static void set_primaries(job *j)
{
    const fh_mat3 adapt = fh_bradford(fh_srgb_white(), j->now.white);
    for (int k = 0; k < 3; k++) {
        const fh_xyz unit = fh_xyz_of_srgb((fh_rgb){k == 0, k == 1, k == 2});
        const fh_vec3 x = fh_mat3_apply(adapt, (fh_vec3){{unit.X, unit.Y, unit.Z}});
        for (int c = 0; c < 3; c++) j->primaries[c][k] = x.v[c];
    }
}

static fh_correction unpack(const job *j, const double *x)
{
    fh_correction fit = j->now;
    int terms[FH_TERMS];
    memset(fit.m, 0, sizeof fit.m);
    size_t at = 0;
    if (j->model.form == FH_FORM_GAINS) {
        for (int k = 0; k < 3; k++, at++)
            for (int c = 0; c < 3; c++) fit.m[c][k] = j->primaries[c][k] * x[at];
        if (j->model.offset)
            for (int c = 0; c < 3; c++) fit.m[c][6] = x[at++];
    } else {
        const size_t n = used_terms(j->model, terms);
        for (int c = 0; c < 3; c++)
            for (size_t k = 0; k < n; k++) fit.m[c][terms[k]] = x[at++];
    }
    fit.tone = j->model.tone ? exp(x[at++]) : 1.0;
    fit.sx = j->model.slope ? x[at++] : 0.0;
    fit.sy = j->model.slope ? x[at++] : 0.0;
    return fit;
}

static void residuals(void *user, const double *x, double *out)
{
    const job *j = user;
    const fh_correction fit = unpack(j, x);
    for (size_t i = 0; i < j->count; i++) {
        const patch *p = &j->patches[i];
        const fh_lab lab = fh_correction_lab(&fit, p->rgb, p->at);
        const fh_vec3 d = {{lab.L - p->lab.L, lab.a - p->lab.a, lab.b - p->lab.b}};
        const fh_vec3 e = fh_mat3_apply(p->factor, d);
        for (int c = 0; c < 3; c++) out[3 * i + (size_t)c] = sqrt(p->weight) * e.v[c];
    }
    double *prior = out + 3 * j->count;
    size_t at = j->parameters - (j->model.tone ? 1 : 0) - (j->model.slope ? 2 : 0);
    if (j->model.tone) *prior++ = 2.0 * x[at++] / 0.5;
    if (j->model.slope) {
        *prior++ = 2.0 * x[at++] / 0.3;
        *prior++ = 2.0 * x[at++] / 0.3;
    }
    if (j->model.form == FH_FORM_ROOTS) {
        /* As a share of what the channels themselves contribute on a white. */
        for (int c = 0; c < 3; c++)
            for (int k = 3; k < 6; k++) *prior++ = 2.0 * fit.m[c][k] / 60.0;
    }
}

/* d residual / d coefficient in closed form, d / d (tone, slopes) by differences of the light. */
static void jacobian(void *user, const double *x, double *out)
{
    const job *j = user;
    const fh_correction fit = unpack(j, x);
    const size_t n = j->parameters;
    const size_t rows = 3 * j->count + j->priors;
    int terms[FH_TERMS];
    const size_t term_count = used_terms(j->model, terms);
    const size_t bent = n - (j->model.tone ? 1 : 0) - (j->model.slope ? 2 : 0);
    memset(out, 0, rows * n * sizeof *out);
    for (size_t i = 0; i < j->count; i++) {
        const patch *p = &j->patches[i];
        double t[FH_TERMS];
        fh_correction_terms(p->rgb, p->at, fit.tone, fit.sx, fit.sy, t);
        const fh_xyz xyz = fh_correction_xyz(&fit, p->rgb, p->at);
        fh_mat3 e = fh_mat3_multiply(p->factor, fh_lab_jacobian(xyz, fit.white));
        e = fh_mat3_scale(e, sqrt(p->weight));
        for (int r = 0; r < 3; r++) {
            double *row = out + (3 * i + (size_t)r) * n;
            size_t at = 0;
            if (j->model.form == FH_FORM_GAINS) {
                for (int k = 0; k < 3; k++, at++)
                    for (int c = 0; c < 3; c++) row[at] += e.m[r][c] * j->primaries[c][k] * t[k];
                if (j->model.offset)
                    for (int c = 0; c < 3; c++) row[at++] = e.m[r][c];
                continue;
            }
            for (int c = 0; c < 3; c++)
                for (size_t k = 0; k < term_count; k++) row[at++] = e.m[r][c] * t[terms[k]];
        }
        for (size_t q = bent; q < n; q++) {
            const double h = 1e-6;
            double moved[MOST_PARAMETERS];
            memcpy(moved, x, n * sizeof *x);
            moved[q] += h;
            const fh_correction there = unpack(j, moved);
            const fh_xyz b = fh_correction_xyz(&there, p->rgb, p->at);
            const fh_vec3 d = {{(b.X - xyz.X) / h, (b.Y - xyz.Y) / h, (b.Z - xyz.Z) / h}};
            const fh_vec3 de = fh_mat3_apply(e, d);
            for (int r = 0; r < 3; r++) out[(3 * i + (size_t)r) * n + q] = de.v[r];
        }
    }
    double *row = out + 3 * j->count * n;
    size_t q = bent;
    if (j->model.tone) row[q++] = 2.0 / 0.5, row += n;
    if (j->model.slope) {
        row[q++] = 2.0 / 0.3, row += n;
        row[q++] = 2.0 / 0.3, row += n;
    }
    if (j->model.form == FH_FORM_ROOTS) {
        for (size_t c = 0; c < 3; c++)
            for (size_t k = 3; k < 6; k++) row[c * term_count + k] = 2.0 / 60.0, row += n;
    }
}

/* A start from linear least squares on XYZ, each patch weighted by what XYZ does to its Lab. */
static fh_status start(const job *j, double *x)
{
    int terms[FH_TERMS];
    const bool gains = j->model.form == FH_FORM_GAINS;
    const size_t n = used_terms(j->model, terms);
    double *design = fh_allocate(j->count + n, n * sizeof *design);
    double *data = fh_allocate(j->count + n, sizeof *data);
    fh_status status = design && data ? FH_OK : FH_E_MEMORY;
    memset(x, 0, MOST_PARAMETERS * sizeof *x);
    for (int c = 0; status == FH_OK && c < 3; c++) {
        for (size_t i = 0; i < j->count; i++) {
            const patch *p = &j->patches[i];
            double t[FH_TERMS];
            const fh_xyz xyz = fh_xyz_of_lab(p->lab, j->now.white);
            const double target[3] = {xyz.X, xyz.Y, xyz.Z};
            const double w = sqrt(p->given) / (pow(fmax(xyz.Y, 1.0), 2.0 / 3.0));
            fh_correction_terms(p->rgb, p->at, 1.0, 0.0, 0.0, t);
            for (size_t k = 0; k < n; k++) design[i * n + k] = w * t[terms[k]];
            data[i] = w * target[c];
        }
        /* A whisper of ridge, so that patches in a plane still give a start. */
        memset(design + j->count * n, 0, n * n * sizeof *design);
        memset(data + j->count, 0, n * sizeof *data);
        for (size_t k = 0; k < n; k++) design[(j->count + k) * n + k] = 1e-4;
        double m[FH_TERMS];
        status = fh_fit_linear(design, data, NULL, j->count + n, n, m, NULL);
        if (status != FH_OK) break;
        if (gains)
            x[c] = 1.0;
        else
            memcpy(x + (size_t)c * n, m, n * sizeof *m);
    }
    fh_free(design);
    fh_free(data);
    return status;
}

static int ascending(const double *a, const double *b)
{
    return (*a > *b) - (*a < *b);
}

static double median(double *v, size_t n)
{
    for (size_t i = 1; i < n; i++) /* insertion: a chart has few patches */
        for (size_t k = i; k > 0 && ascending(&v[k - 1], &v[k]) > 0; k--) {
            const double t = v[k];
            v[k] = v[k - 1], v[k - 1] = t;
        }
    return n > 0 ? v[n / 2] : 0.0;
}

/* Cauchy's weights 1 / (1 + (e/s)²), s from the median, at least what a chart is worth. */
static void reweight(job *j, const double *x, double *work)
{
    const fh_correction fit = unpack(j, x);
    for (size_t i = 0; i < j->count; i++) {
        const patch *p = &j->patches[i];
        work[i] = work[j->count + i] = fh_de2000(p->lab, fh_correction_lab(&fit, p->rgb, p->at));
    }
    const double s = fmax(1.0, 2.0 * median(work, j->count));
    for (size_t i = 0; i < j->count; i++) {
        const double e = work[j->count + i] / s;
        j->patches[i].weight = j->patches[i].given / (1.0 + e * e);
    }
}

/* ΔE00 of a patch left out: e = (I − H)⁻¹ r with H its own block of the hat matrix. */
static double left_out_error(const double *jac, const double *covariance, const double *r, size_t n,
                             double weight)
{
    fh_mat3 keep;
    for (int a = 0; a < 3; a++) {
        for (int b = 0; b < 3; b++) {
            double h = 0.0;
            for (size_t p = 0; p < n; p++)
                for (size_t q = 0; q < n; q++)
                    h += jac[(size_t)a * n + p] * covariance[p * n + q] * jac[(size_t)b * n + q];
            keep.m[a][b] = (a == b ? 1.0 : 0.0) - h;
        }
    }
    fh_mat3 inverse;
    if (weight <= 0.0 || fh_mat3_inverse(keep, &inverse) != FH_OK) return HUGE_VAL;
    const fh_vec3 e = fh_mat3_apply(inverse, (fh_vec3){{r[0], r[1], r[2]}});
    return sqrt((e.v[0] * e.v[0] + e.v[1] * e.v[1] + e.v[2] * e.v[2]) / weight);
}

static fh_status estimate_left_out(job *j, const double *x, const double *covariance,
                                   double *left_out)
{
    const size_t n = j->parameters, rows = 3 * j->count + j->priors;
    double *jac = fh_allocate(rows, n * sizeof *jac);
    double *r = fh_allocate(rows, sizeof *r);
    const fh_status status = jac && r ? FH_OK : FH_E_MEMORY;
    if (status == FH_OK) {
        residuals(j, x, r);
        jacobian(j, x, jac);
        for (size_t i = 0; i < j->count; i++)
            left_out[j->patches[i].index] =
                left_out_error(jac + 3 * i * n, covariance, r + 3 * i, n, j->patches[i].weight);
    }
    fh_free(jac);
    fh_free(r);
    return status;
}

static fh_status solve(job *j, double *x, double *left_out, double *work)
{
    double covariance[MOST_PARAMETERS * MOST_PARAMETERS];
    fh_fit_problem problem = {.rows = 3 * j->count + j->priors,
                              .columns = j->parameters,
                              .residuals = residuals,
                              .jacobian = jacobian,
                              .user = j,
                              .tolerance = 1e-6};
    fh_status status = start(j, x);
    for (int pass = 0; status == FH_OK && pass < PASSES; pass++) {
        const bool last = pass == PASSES - 1;
        status = fh_fit_nonlinear(&problem, x, NULL, last ? covariance : NULL);
        if (status == FH_OK && !last) reweight(j, x, work);
    }
    if (status == FH_OK && left_out) status = estimate_left_out(j, x, covariance, left_out);
    return status;
}

static void take_patches(job *j, const fh_known *known, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!(known[i].weight > 0.0)) continue;
        patch *p = &j->patches[j->count++];
        p->rgb = known[i].rgb;
        p->at = known[i].at;
        p->lab = known[i].lab;
        p->weight = p->given = known[i].weight;
        p->factor = fh_de2000_factor(p->lab);
        p->index = i;
    }
}

fh_status fh_correction_fit(fh_model model, const fh_known *known, size_t count,
                            fh_condition condition, fh_correction *out, double *error,
                            double *left_out)
{
    double x[MOST_PARAMETERS];
    job j = {.model = model, .now = fh_correction_blank(condition)};
    j.now.model = model;
    j.parameters = fh_model_size(model);
    j.priors =
        (model.tone ? 1u : 0u) + (model.slope ? 2u : 0u) + (model.form == FH_FORM_ROOTS ? 9u : 0u);
    j.patches = fh_allocate(count, sizeof *j.patches);
    double *work = fh_allocate(count, 2 * sizeof *work);
    fh_status status = j.patches && work ? FH_OK : FH_E_MEMORY;
    if (status == FH_OK) {
        take_patches(&j, known, count);
        set_primaries(&j);
        if (3 * j.count + j.priors < j.parameters || j.count == 0) status = FH_E_DATA;
    }
    if (status == FH_OK) status = solve(&j, x, left_out, work);
    if (status == FH_OK) {
        const fh_correction fit = unpack(&j, x);
        for (size_t i = 0; error && i < count; i++)
            error[i] = fh_de2000(known[i].lab, fh_correction_lab(&fit, known[i].rgb, known[i].at));
        *out = fit;
    }
    fh_free(j.patches);
    fh_free(work);
    return status;
}
