/* All candidates in one Monte Carlo run. A first look without draws tells which of them may
 * matter; only those take part in every trial. */
#include "farhue/rank.h"

#include <float.h>
#include <stdlib.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"
#include "match/judge.h"
#include "match/spread.h"

static const double surely_better = 0.95;

fh_rank_options fh_rank_defaults(void)
{
    return (fh_rank_options){.trials = 2000, .far_trials = 100, .near_most = 100, .seed = 1};
}

/* Everything a ranking holds while it runs; entrants and results are in the candidates' order. */
typedef struct ranking {
    const fh_target *target;
    const fh_rank_options *options;
    size_t count;
    fh_reference reference;
    fh_entrant *entrants;
    fh_ranked *results;
    float *scratch;
} ranking;

static double worst_nominal(const fh_verdict *verdict)
{
    return verdict->seen[verdict->worst].dE00;
}

static double worst_median(const fh_verdict *verdict)
{
    return verdict->seen[verdict->worst].interval.median;
}

/* Make every candidate ready and look at it once; those that cannot be compared keep the reason. */
static fh_status prepare(const fh_reading *candidates, ranking *r)
{
    for (size_t i = 0; i < r->count; ++i) {
        fh_ranked *result = &r->results[i];
        char name[FH_NAME];
        fh_format(name, sizeof name, "candidate %zu", i);
        *result = (fh_ranked){.index = i};
        fh_error error = {0};
        fh_reading reading;
        bool converted = false;
        fh_status status = fh_target_adapt(r->target, &candidates[i], &reading, &converted, &error);
        if (!status) status = fh_entrant_of(&reading, name, &r->entrants[i], &error);
        if (status == FH_E_MEMORY) return status;
        result->judged = status == FH_OK;
        fh_copy_text(result->why, sizeof result->why, error.message);
        if (result->judged)
            fh_judge_looks(r->target, &r->reference, &r->entrants[i], &result->verdict);
        result->verdict.converted = converted;
    }
    return FH_OK;
}

/* The largest first look that still gets all trials. */
static float near_limit(const ranking *r)
{
    size_t judged = 0;
    for (size_t i = 0; i < r->count; ++i)
        if (r->results[i].judged)
            r->scratch[judged++] = (float)worst_nominal(&r->results[i].verdict);
    if (judged <= r->options->near_most) return FLT_MAX;
    fh_sort_floats(r->scratch, judged);
    return r->scratch[r->options->near_most - 1];
}

static fh_status reserve(ranking *r)
{
    float limit = near_limit(r);
    for (size_t i = 0; i < r->count; ++i) {
        if (!r->results[i].judged) continue;
        bool near = (float)worst_nominal(&r->results[i].verdict) <= limit;
        fh_status status = fh_entrant_reserve(r->target, &r->entrants[i],
                                              near ? r->options->trials : r->options->far_trials);
        if (status) return status;
    }
    return FH_OK;
}

/* A place in the list before it is known; sorting moves these, not the results. */
typedef struct place {
    bool judged;
    double median;
    size_t index;
} place;

static int by_place(const void *a, const void *b)
{
    const place *x = a, *y = b;
    if (x->judged != y->judged) return x->judged ? -1 : 1;
    if (x->median != y->median) return x->median < y->median ? -1 : 1;
    return (x->index > y->index) - (x->index < y->index);
}

static fh_status sort_into(const ranking *r, fh_ranked *out)
{
    place *places = fh_allocate(r->count, sizeof *places);
    if (!places) return FH_E_MEMORY;
    for (size_t i = 0; i < r->count; ++i)
        places[i] =
            (place){r->results[i].judged, worst_median(&r->results[i].verdict), i};
    qsort(places, r->count, sizeof *places, by_place);
    for (size_t i = 0; i < r->count; ++i) out[i] = r->results[places[i].index];
    fh_free(places);
    return FH_OK;
}

/* P(a better than b) over the trials that both took part in. */
static double p_better(const fh_target *target, const fh_entrant *a, const fh_entrant *b)
{
    size_t trials = a->trials < b->trials ? a->trials : b->trials;
    double better = 0.0;
    for (size_t trial = 0; trial < trials; ++trial) {
        float mine = fh_entrant_worst(target, a, trial);
        float theirs = fh_entrant_worst(target, b, trial);
        better += mine < theirs ? 1.0 : mine == theirs ? 0.5 : 0.0;
    }
    return better / (double)trials;
}

static void find_groups(const ranking *r, fh_ranked *sorted)
{
    size_t head = 0;
    unsigned group = 0;
    for (size_t i = 0; i < r->count && sorted[i].judged; ++i) {
        fh_ranked *result = &sorted[i];
        const fh_entrant *mine = &r->entrants[result->index];
        if (i == 0 || p_better(r->target, &r->entrants[sorted[head].index], mine) >
                          surely_better) {
            head = i;
            ++group;
        }
        result->group = group;
        result->p_first =
            i == 0 ? 0.5 : p_better(r->target, &r->entrants[sorted[0].index], mine);
    }
}

static fh_status rank_all(const fh_reading *candidates, ranking *r, fh_ranked *out,
                          fh_progress progress, void *user, fh_error *error)
{
    fh_status status = fh_reference_of(r->target, &r->reference, error);
    if (status) return status;
    status = prepare(candidates, r);
    if (!status) status = reserve(r);
    if (status) return status;
    status = fh_trials_run(r->target, &r->reference, r->entrants, r->count, r->options->seed,
                           progress, user, error);
    if (status) return status;
    for (size_t i = 0; i < r->count; ++i)
        if (r->results[i].judged)
            fh_judge_draws(r->target, &r->entrants[i], r->scratch, &r->results[i].verdict);
    status = sort_into(r, out);
    if (!status) find_groups(r, out);
    return status;
}

static fh_status check_options(const fh_rank_options *o, fh_error *error)
{
    if (o->trials < 200 || o->trials > 20000 || o->far_trials < 50 || o->far_trials > o->trials ||
        o->near_most < 1)
        return fh_fail(error, FH_E_ARGUMENT,
                       "%zu and %zu trials for the nearest %zu; expected 200 to 20000, 50 to as "
                       "many, and at least 1",
                       o->trials, o->far_trials, o->near_most);
    return FH_OK;
}

fh_status fh_rank(const fh_target *target, const fh_reading *candidates, size_t count,
                  const fh_rank_options *options, fh_ranked *out, fh_progress progress,
                  void *user, fh_error *error)
{
    fh_status status = check_options(options, error);
    if (!status) status = fh_target_check(target, error);
    if (status) return status;
    size_t room = count > options->trials ? count : options->trials;
    ranking *r = fh_allocate(1, sizeof *r);
    fh_entrant *entrants = fh_allocate(count, sizeof *entrants);
    fh_ranked *results = fh_allocate(count, sizeof *results);
    float *scratch = fh_allocate(room, sizeof *scratch);
    if (r && entrants && results && scratch) {
        *r = (ranking){.target = target,
                       .options = options,
                       .count = count,
                       .entrants = entrants,
                       .results = results,
                       .scratch = scratch};
        status = rank_all(candidates, r, out, progress, user, error);
        for (size_t i = 0; i < count; ++i) fh_free(entrants[i].seen);
    } else {
        status = FH_E_MEMORY;
    }
    if (status == FH_E_MEMORY)
        fh_fail(error, status, "not enough memory for %zu candidates", count);
    fh_free(scratch);
    fh_free(results);
    fh_free(entrants);
    fh_free(r);
    return status;
}
