/* What a tie is made from: readings that belong together, and the errors that it exchanges. */
#include "match/tie_sources.h"

#include <string.h>

#include "base/error.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "farhue/surface.h"

bool fh_tie_is_means(const char *source)
{
    static const char *const own[] = {FH_SOURCE_ESTIMATE, FH_SOURCE_AIM, FH_SOURCE_LOOK,
                                      FH_SOURCE_GLOSS};
    for (size_t i = 0; i < sizeof own / sizeof *own; ++i)
        if (strncmp(source, own[i], strlen(own[i])) == 0) return false;
    return true;
}

/* The shared errors of a reading that say by what it was measured. Returns their number. */
static size_t means_of(const fh_reading *reading, const fh_shared *means[FH_SHARED_MAX])
{
    size_t count = 0;
    for (size_t k = 0; k < reading->shared_count; ++k)
        if (fh_tie_is_means(reading->shared[k].source)) means[count++] = &reading->shared[k];
    return count;
}

/* The shared sources of one person's readings: the same on all of them. */
static fh_status same_sources(const fh_reading *readings, size_t count, fh_error *error)
{
    const fh_shared *first[FH_SHARED_MAX], *other[FH_SHARED_MAX];
    const size_t wanted = means_of(&readings[0], first);
    for (size_t i = 1; i < count; ++i) {
        bool same = means_of(&readings[i], other) == wanted;
        for (size_t k = 0; same && k < wanted; ++k)
            same = strcmp(other[k]->source, first[k]->source) == 0;
        if (!same)
            return fh_fail(error, FH_E_DATA,
                           "%s and %s were not measured by the same means (their shared sources "
                           "differ); expected one instrument or one photo for all objects",
                           readings[0].id, readings[i].id);
    }
    return FH_OK;
}

static fh_status check_readings(const fh_reading *readings, size_t count, fh_condition condition,
                                fh_error *error)
{
    for (size_t i = 0; i < count; ++i) {
        fh_status status = fh_reading_check(&readings[i], NULL, error);
        if (status) return status;
        if (!fh_condition_equal(readings[i].condition, condition))
            return fh_fail(error, FH_E_DATA,
                           "%s is in another condition than the first object; expected one "
                           "condition for all",
                           readings[i].id);
    }
    return same_sources(readings, count, error);
}

/* Objects that hardly differ tie nothing but their own colour. */
static bool spread_out(const fh_reading *readings, size_t count)
{
    for (size_t i = 1; i < count; ++i)
        if (fh_de1976(readings[0].lab, readings[i].lab) > 10.0) return true;
    return false;
}

fh_status fh_tie_check(const char *id, const fh_reading *owner, const fh_reading *helper,
                       size_t count, double lot, fh_error *error)
{
    if (count < FH_TIE_LEAST || count > FH_TIE_MOST)
        return fh_fail(error, FH_E_ARGUMENT, "%zu objects measured by both; expected %d to %d",
                       count, FH_TIE_LEAST, FH_TIE_MOST);
    if (!(lot >= 0.0 && lot <= 10.0) || !id[0])
        return fh_fail(error, FH_E_ARGUMENT,
                       "lot spread %.4g; expected a standard deviation from 0 to 10, and a name "
                       "for the tie",
                       lot);
    fh_condition condition = owner[0].condition;
    if ((unsigned)condition.illuminant >= FH_ILLUMINANT_COUNT)
        return fh_fail(error, FH_E_DATA,
                       "the readings are under a lamp given by a file; expected a standard "
                       "condition such as D65/10");
    fh_status status = check_readings(owner, count, condition, error);
    if (!status) status = check_readings(helper, count, condition, error);
    if (status) return status;
    if (!spread_out(owner, count))
        return fh_fail(error, FH_E_DATA,
                       "all objects have nearly one colour; expected colours that differ, among "
                       "them one close to the target");
    return FH_OK;
}

void fh_tie_note_sources(const fh_reading *owner, const fh_reading *helper, size_t count,
                         fh_tie *tie)
{
    const fh_shared *means[FH_SHARED_MAX];
    tie->from_count = means_of(&helper[0], means);
    for (size_t k = 0; k < tie->from_count; ++k) memcpy(tie->from[k], means[k]->source, FH_SOURCE);
    tie->to_count = means_of(&owner[0], means);
    for (size_t k = 0; k < tie->to_count; ++k) tie->to[k] = *means[k];
    for (size_t i = 1; i < count; ++i) {
        means_of(&owner[i], means);
        for (size_t k = 0; k < tie->to_count; ++k)
            tie->to[k].covariance = fh_mat3_add(tie->to[k].covariance, means[k]->covariance);
    }
    for (size_t k = 0; k < tie->to_count; ++k)
        tie->to[k].covariance = fh_mat3_scale(tie->to[k].covariance, 1.0 / (double)count);
}
