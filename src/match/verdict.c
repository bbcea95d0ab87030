/* The decision rule of [JCGM106] with a guard band on both sides: the two limits are the risks
 * that owner and helper are asked to take, 1 in 20 for a wrong accept and for a wrong reject
 * (common practice, no source). */
#include "farhue/verdict.h"

#include <math.h>

#include "base/error.h"
#include "base/memory.h"
#include "match/judge.h"

static const double accept_from = 0.95, reject_to = 0.05;

/* The longest series of further readings that is worth asking for. */
static const unsigned most_readings = 50;

fh_decision fh_decide(double p_within)
{
    if (p_within >= accept_from) return FH_ACCEPT;
    return p_within <= reject_to ? FH_REJECT : FH_MEASURE_AGAIN;
}

const char *fh_decision_text(fh_decision decision)
{
    switch (decision) {
    case FH_ACCEPT: return "accept";
    case FH_REJECT: return "reject";
    case FH_MEASURE_AGAIN: break;
    }
    return "measure again";
}

fh_verdict_options fh_verdict_defaults(void)
{
    return (fh_verdict_options){.trials = 10000, .seed = 1, .settle = true};
}

/* What fh_judge works with while it runs. */
typedef struct trial_run {
    const fh_target *target;
    const fh_reading *candidate;
    uint64_t seed;
    fh_reference reference;
    fh_entrant entrant;
    fh_progress progress;
    void *user;
    fh_error *error;
} trial_run;

/* The random factor of a mean of repeats after more of them. A value chosen on a screen stays as
 * it is, however often it is looked up. */
static fh_mat3 shrunk(fh_mat3 factor, const fh_reading *reading, unsigned more)
{
    const double repeats = (double)reading->repeats;
    if (reading->basis == FH_BASIS_SCREEN) return factor;
    return fh_mat3_scale(factor, sqrt(repeats / (repeats + (double)more)));
}

/* Whether more readings of the candidate (and of the part, or its look, when both) would settle
 * the case. */
static fh_status settles_with(trial_run *run, unsigned more, bool both, bool *settled)
{
    const fh_target *target = run->target;
    fh_entrant *wanted = target->by_look ? &run->reference.look : &run->reference.part;
    const fh_reading *measured = target->by_look ? &target->look : &target->part;
    const fh_mat3 before = run->entrant.drawer.random, wanted_before = wanted->drawer.random;
    run->entrant.drawer.random = shrunk(before, run->candidate, more);
    if (both) wanted->drawer.random = shrunk(wanted_before, measured, more);
    fh_status status = fh_trials_run(target, &run->reference, &run->entrant, 1, run->seed,
                                     run->progress, run->user, run->error);
    run->entrant.drawer.random = before;
    wanted->drawer.random = wanted_before;
    if (status) return status;
    *settled = fh_decide(fh_judge_probability(target, &run->entrant)) != FH_MEASURE_AGAIN;
    return FH_OK;
}

/* The smallest number of more readings that settles the case; 0 when not even many would. */
static fh_status readings_to_settle(trial_run *run, bool both, unsigned *readings)
{
    bool settled;
    fh_status status = settles_with(run, most_readings, both, &settled);
    *readings = 0;
    if (status || !settled) return status;
    unsigned low = 0, high = most_readings; /* low does not settle it, high does */
    while (high - low > 1) {
        unsigned middle = low + (high - low) / 2;
        status = settles_with(run, middle, both, &settled);
        if (status) return status;
        if (settled) high = middle;
        else low = middle;
    }
    *readings = high;
    return FH_OK;
}

static fh_status find_settle(trial_run *run, fh_settle *out)
{
    fh_settle settle = {0};
    fh_status status = readings_to_settle(run, false, &settle.candidate);
    if (!status) status = readings_to_settle(run, true, &settle.both);
    if (!status) *out = settle;
    return status;
}

static fh_status judge_with(trial_run *run, const fh_verdict_options *options, float *scratch,
                            fh_verdict *out)
{
    fh_verdict verdict;
    fh_judge_looks(run->target, &run->reference, &run->entrant, &verdict);
    fh_status status = fh_trials_run(run->target, &run->reference, &run->entrant, 1, run->seed,
                                     run->progress, run->user, run->error);
    if (status) return status;
    fh_judge_draws(run->target, &run->entrant, scratch, &verdict);
    if (options->settle && verdict.decision == FH_MEASURE_AGAIN) {
        status = find_settle(run, &verdict.settle);
        if (status) return status;
    }
    *out = verdict;
    return FH_OK;
}

fh_status fh_judge(const fh_target *target, const fh_reading *candidate,
                   const fh_verdict_options *options, fh_verdict *out, fh_progress progress,
                   void *user, fh_error *error)
{
    if (options->trials < 200 || options->trials > 100000)
        return fh_fail(error, FH_E_ARGUMENT, "%zu trials; expected 200 to 100000",
                       options->trials);
    fh_reading reading;
    bool converted;
    fh_status status = fh_target_check(target, error);
    if (!status) status = fh_target_adapt(target, candidate, &reading, &converted, error);
    if (status) return status;
    trial_run *run = fh_allocate(1, sizeof *run);
    float *scratch = fh_allocate(options->trials, sizeof *scratch);
    status = run && scratch ? FH_OK : fh_fail(error, FH_E_MEMORY, "not enough memory");
    if (!status) {
        run->target = target;
        run->candidate = &reading;
        run->seed = options->seed;
        run->progress = progress;
        run->user = user;
        run->error = error;
        status = fh_reference_of(target, &run->reference, error);
        if (!status) status = fh_entrant_of(&reading, "candidate 0", &run->entrant, error);
        if (!status) status = fh_entrant_reserve(target, &run->entrant, options->trials);
        if (!status) status = judge_with(run, options, scratch, out);
        if (!status) out->converted = converted;
        fh_free(run->entrant.seen);
    }
    fh_free(scratch);
    fh_free(run);
    return status;
}
