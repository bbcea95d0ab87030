/* Ties in the page. */
#include "page/tie.h"

#include "base/error.h"
#include "base/memory.h"
#include "farhue/estimate.h"

/* Spread of ΔL*, Δa*, Δb* between two copies of one chip, as on the command line. */
static const double LOT = 0.2;

static fh_status carry(const fh_reading *reading, fh_reading *out, fh_error *error)
{
    fh_weights weights = fh_weights_of(fh_condition_default());
    return fh_reading_in_condition(reading, &weights, out, error);
}

static fh_status pair_up(const desk_state *job, fh_reading *owner, fh_reading *helper,
                         size_t *count, fh_error *error)
{
    const desk_readings *theirs = &job->tray[TRAY_CHIPS];
    *count = 0;
    for (size_t i = 0; i < theirs->count && *count < FH_TIE_MOST; i++) {
        const fh_reading *mine = desk_find(&job->tray[TRAY_MINE], theirs->items[i].id);
        if (!mine) continue;
        fh_status status = carry(&theirs->items[i], &owner[*count], error);
        if (!status) status = carry(mine, &helper[*count], error);
        if (status) return status;
        ++*count;
    }
    if (*count >= FH_TIE_LEAST) return FH_OK;
    return fh_fail(error, FH_E_DATA, "A tie needs %d chips that both have measured; there are %zu.",
                   FH_TIE_LEAST, *count);
}

fh_status tie_of(const desk_state *job, fh_tie *out, fh_error *error)
{
    fh_reading *pairs = fh_allocate(2 * FH_TIE_MOST, sizeof *pairs);
    size_t count;
    if (!pairs) return FH_E_MEMORY;
    fh_status status = pair_up(job, pairs, pairs + FH_TIE_MOST, &count, error);
    if (!status)
        status =
            fh_tie_find("the page's chips", pairs, pairs + FH_TIE_MOST, count, LOT, out, error);
    fh_free(pairs);
    return status;
}

bool tie_wanted(const desk_state *job, fh_tie *out, char *why, size_t size)
{
    fh_error error = {0};
    if (why) why[0] = '\0';
    if (!job->settings.tied) return false;
    if (tie_of(job, out, &error) == FH_OK) return true;
    if (why) fh_format(why, size, "Not tied: %s", error.message);
    return false;
}

fh_reading tie_move(const fh_tie *tie, const fh_reading *reading, char *why, size_t size)
{
    fh_error error = {0};
    fh_reading moved;
    if (!tie) return *reading;
    if (!carry(reading, &moved, &error) && !fh_tie_apply(tie, &moved, &moved, &error)) return moved;
    if (why) fh_format(why, size, "Not tied: %s", error.message);
    return *reading;
}

fh_reading tie_candidate(const desk_state *job, const fh_reading *reading, char *why, size_t size)
{
    fh_tie tie;
    bool wanted = tie_wanted(job, &tie, why, size);
    return tie_move(wanted ? &tie : NULL, reading, why, size);
}
