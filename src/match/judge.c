#include "match/judge.h"

#include "farhue/appearance.h"
#include "farhue/difference.h"
#include "match/spread.h"

/* What stays between the looks under each light once they are made equal under the first. */
static void find_metamerism(const fh_target *target, const fh_spectrum *wanted,
                            const fh_spectrum *candidate, fh_verdict *out)
{
    fh_spectrum look = *candidate;
    if (target->shell) look = fh_shell_look(&target->shell->curves, candidate);
    for (size_t i = 1; i < target->light_count; ++i)
        out->seen[i].metamerism =
            fh_metamerism_of(wanted, &look, &target->light[0], &target->light[i]).dE00;
}

void fh_judge_looks(const fh_target *target, const fh_reference *reference,
                    const fh_entrant *candidate, fh_verdict *out)
{
    const fh_weights bare = fh_weights_of(target->condition);
    const fh_shell_curves *curves = target->shell ? &target->shell->curves : NULL;
    fh_spectrum seen;
    fh_look wanted = fh_reference_look(target, reference, &seen);
    fh_look look = fh_look_of(target, curves, &candidate->estimate.reflectance, &bare);
    *out = (fh_verdict){.decision = FH_MEASURE_AGAIN, .light_count = target->light_count};
    for (size_t view = 0; view <= target->light_count; ++view) {
        bool is_bare = view == target->light_count;
        fh_sight *sight = is_bare ? &out->bare : &out->seen[view];
        sight->condition = is_bare ? target->condition : target->light[view].condition;
        sight->target = wanted.lab[view];
        sight->candidate = look.lab[view];
        sight->dE00 = fh_de2000(wanted.lab[view], look.lab[view]);
        if (!is_bare && sight->dE00 > out->seen[out->worst].dE00) out->worst = view;
    }
    find_metamerism(target, &seen, &candidate->estimate.reflectance, out);
    out->estimated = fh_reference_estimated(reference) || candidate->estimated;
}

double fh_judge_probability(const fh_target *target, const fh_entrant *candidate)
{
    size_t inside = 0;
    for (size_t trial = 0; trial < candidate->trials; ++trial)
        inside += (double)fh_entrant_worst(target, candidate, trial) <= target->tolerance;
    return (double)inside / (double)candidate->trials;
}

/* Less of a metamerism index than this isn't seen (common practice, no source): a part that is a
 * little too dark in every light may pass in daylight and fail by a hair under a lamp. */
static const double seen_metamerism = 1.0;

/* Fits in every daylight, but not under some lamp, by the readings as they stand, and changes from
 * light to light: what estimated spectra leave open under a lamp is doubt, not metamerism. Needs
 * one light of either kind. */
static bool only_lamps_fail(const fh_target *target, const fh_verdict *verdict)
{
    bool day = false, lamp = false;
    double most = 0.0;
    for (size_t i = 0; i < verdict->light_count; ++i) {
        bool within = verdict->seen[i].dE00 <= target->tolerance;
        if (verdict->seen[i].metamerism > most) most = verdict->seen[i].metamerism;
        if (fh_light_is_daylight(verdict->seen[i].condition)) {
            if (!within) return false;
            day = true;
        } else if (!within) {
            lamp = true;
        }
    }
    return day && lamp && most >= seen_metamerism;
}

void fh_judge_draws(const fh_target *target, const fh_entrant *candidate, float *scratch,
                    fh_verdict *out)
{
    const size_t trials = candidate->trials;
    for (size_t view = 0; view <= target->light_count; ++view) {
        fh_sight *sight = view == target->light_count ? &out->bare : &out->seen[view];
        for (size_t trial = 0; trial < trials; ++trial)
            scratch[trial] = fh_entrant_seen(candidate, view, trial);
        sight->p_within = fh_share_within(scratch, trials, target->tolerance);
        sight->interval = fh_spread_of(scratch, trials);
    }
    out->worst = 0;
    for (size_t i = 1; i < out->light_count; ++i)
        if (out->seen[i].interval.median > out->seen[out->worst].interval.median) out->worst = i;
    out->p_within = fh_judge_probability(target, candidate);
    out->decision = fh_decide(out->p_within);
    out->lamp_fails = only_lamps_fail(target, out);
    out->trials = trials;
}
