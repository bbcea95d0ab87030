#include "farhue/reading.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/text.h"

fh_method fh_method_unknown(void)
{
    return (fh_method){.port_mm = -1, .gap_mm = -1, .gloss = -1, .thickness_mm = -1};
}

fh_reading fh_reading_blank(void)
{
    return (fh_reading){
        .condition = fh_condition_default(), .repeats = 1, .method = fh_method_unknown()};
}

void fh_reading_set_srgb(fh_reading *reading, unsigned long rgb)
{
    static const double stdev[3] = {4.0, 5.0, 5.0};
    const fh_rgb linear = {fh_srgb_decode((double)(rgb >> 16 & 255) / 255.0),
                           fh_srgb_decode((double)(rgb >> 8 & 255) / 255.0),
                           fh_srgb_decode((double)(rgb & 255) / 255.0)};
    reading->condition = (fh_condition){FH_ILLUMINANT_D65, FH_OBSERVER_2};
    reading->lab = fh_lab_of_xyz(fh_xyz_of_srgb(linear), fh_srgb_white());
    reading->origin = FH_ORIGIN_LAB;
    reading->basis = FH_BASIS_SCREEN;
    reading->random =
        fh_mat3_diagonal(stdev[0] * stdev[0], stdev[1] * stdev[1], stdev[2] * stdev[2]);
}

fh_mat3 fh_reading_covariance(const fh_reading *reading)
{
    fh_mat3 sum = reading->random;
    for (size_t i = 0; i < reading->shared_count; ++i)
        sum = fh_mat3_add(sum, reading->shared[i].covariance);
    return sum;
}

bool fh_reading_is_exact(const fh_reading *reading)
{
    const fh_mat3 c = fh_reading_covariance(reading);
    return !(c.m[0][0] + c.m[1][1] + c.m[2][2] > 0.0);
}

static const fh_shared *find_source(const fh_reading *reading, const char *source)
{
    for (size_t i = 0; i < reading->shared_count; ++i)
        if (strcmp(reading->shared[i].source, source) == 0) return &reading->shared[i];
    return NULL;
}

fh_status fh_reading_add_shared(fh_reading *reading, const char *source, fh_mat3 covariance)
{
    fh_mat3 factor;
    if (fh_mat3_cholesky(covariance, &factor)) return FH_E_DATA;
    fh_shared added = {.covariance = covariance};
    if (!fh_copy_text(added.source, sizeof added.source, source)) return FH_E_LIMIT;
    const fh_shared *there = find_source(reading, added.source);
    if (there) {
        size_t at = (size_t)(there - reading->shared);
        reading->shared[at].covariance = fh_mat3_add(there->covariance, covariance);
        return FH_OK;
    }
    if (reading->shared_count == FH_SHARED_MAX) return FH_E_LIMIT;
    reading->shared[reading->shared_count++] = added;
    return FH_OK;
}

static fh_mat3 gram(fh_mat3 factor)
{
    return fh_mat3_multiply(factor, fh_mat3_transpose(factor));
}

fh_status fh_reading_difference_covariance(const fh_reading *a, const fh_reading *b, fh_mat3 *out)
{
    fh_mat3 sum = fh_mat3_add(a->random, b->random);
    for (size_t i = 0; i < a->shared_count; ++i) {
        fh_mat3 mine, theirs = {{{0}}};
        if (fh_mat3_cholesky(a->shared[i].covariance, &mine)) return FH_E_DATA;
        const fh_shared *same = find_source(b, a->shared[i].source);
        if (same && fh_mat3_cholesky(same->covariance, &theirs)) return FH_E_DATA;
        sum = fh_mat3_add(sum, gram(fh_mat3_add(mine, fh_mat3_scale(theirs, -1.0))));
    }
    for (size_t i = 0; i < b->shared_count; ++i)
        if (!find_source(a, b->shared[i].source))
            sum = fh_mat3_add(sum, b->shared[i].covariance);
    *out = sum;
    return FH_OK;
}

static fh_status check_reflectance(const fh_reading *reading, bool *glow, fh_error *error)
{
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double r = reading->reflectance.v[i];
        /* A dark sample may read a hair below 0 from the instrument's zero. */
        if (!(r >= -0.005 && r <= 1.2))
            return fh_fail(error, FH_E_DATA,
                           "reading %s: reflectance %.4g at %.0f nm; expected a factor from 0 to 1 "
                           "(up to 1.2 for fluorescent or glossy samples)",
                           reading->id, r, fh_band_nm(i));
        if (r > 1.0) *glow = true;
    }
    return FH_OK;
}

fh_status fh_reading_check(const fh_reading *reading, bool *glow, fh_error *error)
{
    fh_lab lab = reading->lab;
    bool over = false;
    if (!(lab.L >= 0.0 && lab.L <= 120.0 && fabs(lab.a) <= 200.0 && fabs(lab.b) <= 200.0))
        return fh_fail(error, FH_E_DATA,
                       "reading %s: Lab %.2f, %.2f, %.2f is no colour of a surface; expected L* from "
                       "0 to 120, a* and b* from -200 to 200",
                       reading->id, lab.L, lab.a, lab.b);
    if (reading->origin != FH_ORIGIN_LAB && check_reflectance(reading, &over, error))
        return FH_E_DATA;
    fh_mat3 factor;
    bool sound = fh_mat3_cholesky(reading->random, &factor) == FH_OK;
    for (size_t i = 0; i < reading->shared_count; ++i)
        sound = sound && fh_mat3_cholesky(reading->shared[i].covariance, &factor) == FH_OK;
    if (!sound || reading->repeats < 1)
        return fh_fail(error, FH_E_DATA,
                       "reading %s: its uncertainty is not a covariance; expected symmetric and "
                       "positive semi-definite, and at least 1 repeat",
                       reading->id);
    if (glow) *glow = over;
    return FH_OK;
}
