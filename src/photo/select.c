/* The choice of a model, and its last step: weight towards a colour. */
#include "photo/select.h"

#include <math.h>

#include "base/memory.h"
#include "farhue/difference.h"

/* From simple to rich; of two that do equally well the simpler one wins. */
static const fh_model MODELS[] = {
    {FH_FORM_GAINS, false, false, false},  {FH_FORM_GAINS, false, true, false},
    {FH_FORM_MATRIX, false, false, false}, {FH_FORM_MATRIX, true, false, false},
    {FH_FORM_MATRIX, false, true, false},  {FH_FORM_MATRIX, true, true, false},
    {FH_FORM_MATRIX, false, false, true},  {FH_FORM_MATRIX, true, false, true},
    {FH_FORM_MATRIX, false, true, true},   {FH_FORM_MATRIX, true, true, true},
    {FH_FORM_ROOTS, false, false, false},  {FH_FORM_ROOTS, true, false, false},
    {FH_FORM_ROOTS, false, true, false},   {FH_FORM_ROOTS, true, true, false},
    {FH_FORM_ROOTS, false, false, true},   {FH_FORM_ROOTS, true, false, true},
    {FH_FORM_ROOTS, false, true, true},    {FH_FORM_ROOTS, true, true, true},
};

/* Three numbers a patch: a model may use up to half of them. Gains need one patch, with a tone two;
 * a 3 × 3 through three patches would be exact on them and wild elsewhere. */
static bool enough(fh_model model, size_t patches)
{
    if (model.form == FH_FORM_GAINS) return patches > (model.tone ? 1 : 0);
    return 2 * fh_model_size(model) <= 3 * patches;
}

static double mean_left_out(const fh_known *known, const double *left_out, size_t count)
{
    double sum = 0.0;
    size_t n = 0;
    for (size_t i = 0; i < count; i++) {
        if (!(known[i].weight > 0.0)) continue;
        sum += fmin(left_out[i], 15.0);
        n++;
    }
    return n > 0 ? sum / (double)n : HUGE_VAL;
}

fh_status fh_select_model(const fh_known *known, size_t count, fh_condition condition,
                          fh_correction *out, double *score)
{
    double *left_out = fh_allocate(count, sizeof *left_out);
    if (!left_out) return FH_E_MEMORY;
    size_t patches = 0;
    for (size_t i = 0; i < count; i++) patches += known[i].weight > 0.0;
    double best = HUGE_VAL;
    fh_correction chosen = {0};
    fh_status status = FH_E_DATA;
    for (size_t m = 0; m < sizeof MODELS / sizeof MODELS[0]; m++) {
        fh_correction fit;
        if (!enough(MODELS[m], patches)) continue;
        const fh_status one =
            fh_correction_fit(MODELS[m], known, count, condition, &fit, NULL, left_out);
        if (one == FH_E_MEMORY) {
            status = one;
            break;
        }
        if (one != FH_OK) continue;
        const double mean = mean_left_out(known, left_out, count);
        if (!(mean < best * 0.995)) continue;
        best = mean;
        chosen = fit;
        status = FH_OK;
    }
    fh_free(left_out);
    if (status != FH_OK) return status;
    if (score) *score = best;
    *out = chosen;
    return FH_OK;
}

fh_status fh_fit_near(fh_model model, const fh_known *known, size_t count, fh_condition condition,
                      fh_lab near, fh_known *work, fh_correction *out)
{
    const double reach = 20.0, rest = 0.2; /* ΔE00; the share that far patches keep */
    for (size_t i = 0; i < count; i++) {
        const double d = fh_de2000(near, known[i].lab) / reach;
        work[i] = known[i];
        work[i].weight *= rest + exp(-0.5 * d * d);
    }
    return fh_correction_fit(model, work, count, condition, out, NULL, NULL);
}
