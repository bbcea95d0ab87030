/* Patches that do not fit. A least-squares fit follows a few gross outliers, and then the good
 * patches look wrong; so the first judgement is by consensus: 3 × 3 corrections through small
 * random samples, of which the one that most patches agree with tells what is hidden or in shadow
 * [Fischler1981]. Its thresholds are wide, since a 3 × 3 of five patches is a coarse correction;
 * fine judgement is left to the robust fit. */
#include "photo/trust.h"

#include <math.h>

#include "base/memory.h"
#include "base/random.h"
#include "farhue/difference.h"

enum { SAMPLE = 6, DRAWS = 400, FAR = 20 /* ΔE00 */ };

static double largest(fh_rgb v)
{
    return fmax(v.r, fmax(v.g, v.b));
}

void fh_trust_alone(const fh_patch *patches, size_t count, fh_known *known, fh_exclusion *exclusion)
{
    for (size_t i = 0; i < count; i++) {
        exclusion[i] = FH_PATCH_USED;
        /* 12 of 255: far above the noise of a camera, below an edge that crosses the window. */
        if (patches[i].clipped > 0.02)
            exclusion[i] = FH_PATCH_CLIPPED;
        else if (largest(patches[i].code_sd) > 12.0 / 255.0)
            exclusion[i] = FH_PATCH_TEXTURED;
        known[i].weight = exclusion[i] == FH_PATCH_USED ? 1.0 : 0.0;
    }
}

static bool draw_sample(const fh_known *known, size_t count, uint64_t draw, fh_known *sample)
{
    size_t chosen[SAMPLE], n = 0;
    for (uint64_t k = 0; n < SAMPLE && k < 200; k++) {
        const size_t i = (size_t)(fh_random_bits(1, 0x70686f746f, draw, k) % count);
        bool fresh = known[i].weight > 0.0;
        for (size_t q = 0; q < n; q++) fresh = fresh && chosen[q] != i;
        if (fresh) {
            sample[n] = known[i];
            chosen[n++] = i;
        }
    }
    return n == SAMPLE;
}

static void errors_of(const fh_correction *fit, const fh_known *known, size_t count, double *error)
{
    for (size_t i = 0; i < count; i++)
        error[i] = fh_de2000(known[i].lab, fh_correction_lab(fit, known[i].rgb, known[i].at));
}

static double cost_of(const fh_known *known, const double *error, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++)
        if (known[i].weight > 0.0) sum += fmin(error[i], 15.0) * fmin(error[i], 15.0);
    return sum;
}

/* Two lights are the same to within 6 % of the brighter one's largest channel. */
static bool same_light(fh_rgb a, fh_rgb b)
{
    const double d = fmax(fabs(a.r - b.r), fmax(fabs(a.g - b.g), fabs(a.b - b.b)));
    return d < 0.06 * fmax(largest(a), largest(b));
}

/* Something that covers two patches of different colour covers a third that looks the same. */
static void find_covered(fh_known *known, size_t count, fh_exclusion *exclusion)
{
    for (size_t i = 0; i < count; i++) {
        size_t alike = 0;
        for (size_t k = 0; k < count && exclusion[i] == FH_PATCH_USED; k++)
            alike += exclusion[k] == FH_PATCH_MISFIT && same_light(known[i].rgb, known[k].rgb) &&
                     fh_de2000(known[i].lab, known[k].lab) > 15.0;
        if (alike < 2) continue;
        exclusion[i] = FH_PATCH_COVERED;
        known[i].weight = 0.0;
    }
}

/* Fit a richer model to those that agree, and ask again who agrees. */
static void refine(const fh_known *known, size_t count, fh_condition condition, fh_known *agree,
                   double *error)
{
    static const fh_model MODEL = {FH_FORM_MATRIX, true, true, false};
    for (int round = 0; round < 6; round++) {
        fh_correction fit;
        size_t n = 0;
        for (size_t i = 0; i < count; i++) {
            agree[i] = known[i];
            if (error[i] > FAR) agree[i].weight = 0.0;
            n += agree[i].weight > 0.0;
        }
        if (n < 2 * SAMPLE - 2) return;
        if (fh_correction_fit(MODEL, agree, count, condition, &fit, NULL, NULL) != FH_OK) return;
        errors_of(&fit, known, count, error);
    }
}

fh_status fh_trust_consensus(fh_known *known, size_t count, fh_condition condition,
                             fh_exclusion *exclusion)
{
    double *error = fh_allocate(count, 2 * sizeof *error);
    fh_known *agree = fh_allocate(count, sizeof *agree);
    if (!error || !agree) {
        fh_free(error);
        fh_free(agree);
        return FH_E_MEMORY;
    }
    double *best = error + count, best_cost = HUGE_VAL;
    for (uint64_t draw = 0; draw < DRAWS; draw++) {
        fh_known sample[SAMPLE];
        fh_correction fit;
        if (!draw_sample(known, count, draw, sample)) break;
        if (fh_correction_plain(sample, SAMPLE, condition, &fit) != FH_OK) continue;
        errors_of(&fit, known, count, error);
        const double cost = cost_of(known, error, count);
        if (!(cost < best_cost)) continue;
        best_cost = cost;
        for (size_t i = 0; i < count; i++) best[i] = error[i];
    }
    if (best_cost < HUGE_VAL) refine(known, count, condition, agree, best);
    for (size_t i = 0; best_cost < HUGE_VAL && i < count; i++) {
        if (exclusion[i] != FH_PATCH_USED || best[i] < FAR) continue;
        exclusion[i] = FH_PATCH_MISFIT;
        known[i].weight = 0.0;
    }
    find_covered(known, count, exclusion);
    fh_free(error);
    fh_free(agree);
    return FH_OK;
}
