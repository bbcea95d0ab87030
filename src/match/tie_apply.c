#include <string.h>

#include "base/error.h"
#include "base/text.h"
#include "farhue/estimate.h"
#include "match/tie_sources.h"

static bool replaced(const fh_tie *tie, const char *source)
{
    for (size_t k = 0; k < tie->from_count; ++k)
        if (strcmp(tie->from[k], source) == 0) return true;
    return false;
}

/* Some source says by what it was measured. */
static bool has_means(const fh_reading *reading)
{
    for (size_t k = 0; k < reading->shared_count; ++k)
        if (fh_tie_is_means(reading->shared[k].source)) return true;
    return false;
}

bool fh_tie_covers(const fh_tie *tie, const fh_reading *reading)
{
    size_t found = 0;
    if (reading->basis == FH_BASIS_SCREEN) return false;
    for (size_t k = 0; k < reading->shared_count; ++k)
        found += replaced(tie, reading->shared[k].source);
    return found == tie->from_count && (found > 0 || !has_means(reading));
}

/* The helper's sources go, the owner's and the tie's own come. */
static fh_status exchange_sources(const fh_tie *tie, fh_reading *reading)
{
    size_t kept = 0;
    for (size_t k = 0; k < reading->shared_count; ++k)
        if (!replaced(tie, reading->shared[k].source)) reading->shared[kept++] = reading->shared[k];
    reading->shared_count = kept;
    for (size_t k = 0; k < tie->to_count; ++k) {
        fh_status status =
            fh_reading_add_shared(reading, tie->to[k].source, tie->to[k].covariance);
        if (status) return status;
    }
    char source[FH_SOURCE];
    fh_format(source, sizeof source, "tie: %s", tie->id);
    return fh_reading_add_shared(reading, source, tie->covariance);
}

fh_status fh_tie_apply(const fh_tie *tie, const fh_reading *reading, fh_reading *out,
                       fh_error *error)
{
    if (reading->basis == FH_BASIS_SCREEN)
        return fh_fail(error, FH_E_DATA,
                       "%s is known as sRGB only, so no instrument read it; expected a reading",
                       reading->id);
    if (!fh_tie_covers(tie, reading))
        return fh_fail(error, FH_E_DATA,
                       "%s was not measured by what the tie was made for (%s); expected the same "
                       "instrument, or the same photo",
                       reading->id, tie->from_count ? tie->from[0] : "readings without a source");
    if (!fh_condition_equal(tie->condition, reading->condition))
        return fh_fail(error, FH_E_DATA,
                       "%s is in another condition than the tie; expected the tie's", reading->id);
    fh_reading moved = *reading;
    moved.lab = fh_tie_lab(tie, reading->lab);
    if (reading->origin != FH_ORIGIN_LAB) {
        fh_estimate estimate;
        fh_status status = fh_estimate_of_reading(reading, &estimate, error);
        if (status) return status;
        fh_vec3 step = {{moved.lab.L - reading->lab.L, moved.lab.a - reading->lab.a,
                         moved.lab.b - reading->lab.b}};
        moved.reflectance = fh_estimate_draw(&estimate, step, NULL);
    }
    if (exchange_sources(tie, &moved))
        return fh_fail(error, FH_E_LIMIT, "%s has too many shared sources; expected at most %d",
                       reading->id, FH_SHARED_MAX);
    *out = moved;
    return FH_OK;
}
