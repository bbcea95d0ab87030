/* Applying a correction, and the yardstick. */
#include "farhue/correction.h"

#include <math.h>
#include <string.h>

#include "base/fit.h"
#include "base/memory.h"
#include "base/text.h"
#include "photo/terms.h"

void fh_model_text(fh_model model, char out[FH_MODEL_TEXT])
{
    static const char *const form[] = {"gains", "3 x 3", "root polynomial"};
    fh_format(out, FH_MODEL_TEXT, "%s%s%s%s", form[model.form], model.offset ? ", offset" : "",
              model.tone ? ", tone" : "", model.slope ? ", slope" : "");
}

size_t fh_model_size(fh_model model)
{
    static const size_t linear[] = {3, 9, 18};
    return linear[model.form] + (model.offset ? 3 : 0) + (model.tone ? 1 : 0) +
           (model.slope ? 2 : 0);
}

static double mirrored_power(double value, double exponent)
{
    if (exponent == 1.0) return value;
    return value < 0.0 ? -pow(-value, exponent) : pow(value, exponent);
}

/* √(ab), negative where either is, so that the map stays continuous through 0. */
static double mirrored_root(double a, double b)
{
    const double root = sqrt(fabs(a * b));
    return a < 0.0 || b < 0.0 ? -root : root;
}

void fh_correction_terms(fh_rgb rgb, fh_point at, double tone, double sx, double sy,
                         double t[FH_TERMS])
{
    const double light = 1.0 + sx * at.x + sy * at.y;
    const double r = mirrored_power(rgb.r * light, tone);
    const double g = mirrored_power(rgb.g * light, tone);
    const double b = mirrored_power(rgb.b * light, tone);
    t[0] = r, t[1] = g, t[2] = b;
    t[3] = mirrored_root(r, g), t[4] = mirrored_root(g, b), t[5] = mirrored_root(r, b);
    t[6] = 1.0;
}

fh_xyz fh_correction_xyz(const fh_correction *correction, fh_rgb rgb, fh_point at)
{
    double t[FH_TERMS], x[3];
    fh_correction_terms(rgb, at, correction->tone, correction->sx, correction->sy, t);
    for (int c = 0; c < 3; c++) {
        x[c] = 0.0;
        for (int k = 0; k < FH_TERMS; k++) x[c] += correction->m[c][k] * t[k];
    }
    return (fh_xyz){x[0], x[1], x[2]};
}

fh_lab fh_correction_lab(const fh_correction *correction, fh_rgb rgb, fh_point at)
{
    return fh_lab_of_xyz(fh_correction_xyz(correction, rgb, at), correction->white);
}

fh_correction fh_correction_blank(fh_condition condition)
{
    fh_correction blank;
    memset(&blank, 0, sizeof blank);
    blank.condition = condition;
    blank.white = fh_weights_of(condition).white;
    blank.model.form = FH_FORM_MATRIX;
    blank.tone = 1.0;
    return blank;
}

fh_status fh_correction_plain(const fh_known *known, size_t count, fh_condition condition,
                              fh_correction *out)
{
    fh_correction fit = fh_correction_blank(condition);
    double *design = fh_allocate(count, 3 * sizeof *design);
    double *data = fh_allocate(count, 3 * sizeof *data);
    fh_status status = design && data ? FH_OK : FH_E_MEMORY;
    size_t rows = 0;
    for (size_t i = 0; status == FH_OK && i < count; i++) {
        if (!(known[i].weight > 0.0)) continue;
        const fh_xyz xyz = fh_xyz_of_lab(known[i].lab, fit.white);
        design[3 * rows] = known[i].rgb.r;
        design[3 * rows + 1] = known[i].rgb.g;
        design[3 * rows + 2] = known[i].rgb.b;
        data[rows] = xyz.X, data[count + rows] = xyz.Y, data[2 * count + rows] = xyz.Z;
        rows++;
    }
    for (int c = 0; status == FH_OK && c < 3; c++)
        status = fh_fit_linear(design, data + (size_t)c * count, NULL, rows, 3, fit.m[c], NULL);
    fh_free(design);
    fh_free(data);
    if (status == FH_OK) *out = fit;
    return status == FH_E_ARGUMENT ? FH_E_DATA : status;
}
