#include "match/trials.h"

#include <math.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"
#include "farhue/difference.h"

size_t fh_views_count(const fh_target *target)
{
    return target->light_count + 1;
}

fh_look fh_look_of(const fh_target *target, const fh_shell_curves *curves, const fh_spectrum *bare,
                   const fh_weights *bare_weights)
{
    fh_look look = {0};
    fh_spectrum through = curves ? fh_shell_look(curves, bare) : *bare;
    for (size_t i = 0; i < target->light_count; ++i)
        look.lab[i] = fh_lab_of_spectrum(&through, &target->light[i]);
    look.lab[target->light_count] = fh_lab_of_spectrum(bare, bare_weights);
    return look;
}

fh_status fh_entrant_of(const fh_reading *reading, const char *own_name, fh_entrant *out,
                        fh_error *error)
{
    fh_estimate estimate;
    fh_status status = fh_estimate_of_reading(reading, &estimate, error);
    if (status) return status;
    fh_drawer drawer;
    if (fh_drawer_of(reading, own_name, &drawer))
        return fh_fail(error, FH_E_DATA,
                       "reading %s: a covariance that is not positive semi-definite; expected "
                       "standard deviations and correlations that are possible",
                       reading->id);
    char modes[FH_NAME];
    fh_format(modes, sizeof modes, "spectrum of %s", own_name);
    *out =
        (fh_entrant){.estimate = estimate,
                     .estimated = estimate.mode_count > 0 || fh_reading_carries_estimate(reading),
                     .drawer = drawer,
                     .mode_stream = fh_draw_stream(modes)};
    return FH_OK;
}

/* A look known by its Lab alone is given the spectrum that the part has behind the shell, where
 * that meets it: it knows the shell, as an estimate from the look's Lab would not. */
static fh_reading look_reading(const fh_target *target, const fh_estimate *part)
{
    fh_reading look = target->look;
    if (look.origin == FH_ORIGIN_SPECTRUM || !target->shell) return look;
    fh_spectrum seen = fh_shell_look(&target->shell->curves, &part->reflectance);
    fh_weights weights = fh_weights_of(look.condition);
    if (fh_de2000(look.lab, fh_lab_of_spectrum(&seen, &weights)) > 0.05) return look;
    look.origin = FH_ORIGIN_ESTIMATED;
    look.reflectance = seen;
    return look;
}

fh_status fh_reference_of(const fh_target *target, fh_reference *out, fh_error *error)
{
    fh_status status = fh_entrant_of(&target->part, FH_TARGET_STREAM, &out->part, error);
    out->by_look = target->by_look;
    if (status || !target->by_look) return status;
    fh_reading look = look_reading(target, &out->part.estimate);
    return fh_entrant_of(&look, FH_TARGET_STREAM " look", &out->look, error);
}

fh_look fh_reference_look(const fh_target *target, const fh_reference *reference,
                          fh_spectrum *spectrum)
{
    const fh_weights bare = fh_weights_of(target->condition);
    const fh_spectrum *part = &reference->part.estimate.reflectance;
    fh_spectrum seen = *part;
    if (reference->by_look) seen = reference->look.estimate.reflectance;
    else if (target->shell) seen = fh_shell_look(&target->shell->curves, part);
    if (spectrum) *spectrum = seen;
    fh_look look = fh_look_of(target, NULL, &seen, &bare);
    look.lab[target->light_count] = fh_lab_of_spectrum(part, &bare);
    return look;
}

bool fh_reference_estimated(const fh_reference *reference)
{
    const fh_entrant *what = reference->by_look ? &reference->look : &reference->part;
    return what->estimated;
}

fh_status fh_entrant_reserve(const fh_target *target, fh_entrant *entrant, size_t trials)
{
    size_t bytes;
    fh_status status = fh_multiply_sizes(trials, fh_views_count(target), &bytes);
    if (status) return status;
    float *seen = fh_allocate(bytes, sizeof *seen);
    if (!seen) return FH_E_MEMORY;
    fh_free(entrant->seen);
    entrant->seen = seen;
    entrant->trials = trials;
    return FH_OK;
}

fh_spectrum fh_entrant_draw(const fh_entrant *entrant, double open, uint64_t seed, uint64_t trial)
{
    double z[FH_ESTIMATE_MODES] = {0};
    for (size_t i = 0; i < entrant->estimate.mode_count; ++i)
        z[i] = open * fh_draw_normal(seed, entrant->mode_stream, trial, i);
    return fh_estimate_draw(&entrant->estimate, fh_draw_error(&entrant->drawer, seed, trial), z);
}

/* Target and candidate of nearly the same Lab, each known by it alone, miss their true looks much
 * alike: of the variance that their estimates state, the difference of real pairs shows 0.13 to
 * 0.32, and half of it covers them in every set (tests/study/study_pairs.c). Each is drawn with
 * half of its own. So are two that lie far apart: their difference under the known light decides.
 */
static const double half = 0.70710678118654752440;

static bool is_open(const fh_entrant *entrant)
{
    return entrant->estimate.mode_count > 0;
}

/* The target's looks in one trial; open: the share of what its estimate leaves open. */
static fh_look draw_target(const fh_target *target, const fh_reference *reference,
                           const fh_shell_curves *shell, double open, uint64_t seed, size_t trial,
                           const fh_weights *bare_weights)
{
    fh_spectrum bare = fh_entrant_draw(&reference->part, open, seed, trial);
    fh_look wanted = fh_look_of(target, shell, &bare, bare_weights);
    if (!reference->by_look) return wanted;
    fh_spectrum seen = fh_entrant_draw(&reference->look, 1.0, seed, trial);
    for (size_t i = 0; i < target->light_count; ++i)
        wanted.lab[i] = fh_lab_of_spectrum(&seen, &target->light[i]);
    return wanted;
}

/* False when a look is not finite. */
static bool run_trial(const fh_target *target, const fh_reference *reference, fh_entrant *entrants,
                      size_t count, uint64_t seed, size_t trial, const fh_weights *bare_weights)
{
    fh_shell_curves drawn;
    const fh_shell_curves *shell = NULL;
    if (target->shell) {
        drawn = fh_shell_draw(target->shell, seed, trial);
        shell = &drawn;
    }
    /* Against candidates with a spectrum, and against those that are open too. */
    fh_look wanted[2] = {
        draw_target(target, reference, shell, 1.0, seed, trial, bare_weights), {.lab = {{0}}}};
    const bool open = is_open(&reference->part) && !reference->by_look;
    if (open) wanted[1] = draw_target(target, reference, shell, half, seed, trial, bare_weights);
    for (size_t c = 0; c < count; ++c) {
        fh_entrant *one = &entrants[c];
        if (trial >= one->trials) continue;
        const bool both = open && is_open(one);
        const fh_spectrum bare = fh_entrant_draw(one, both ? half : 1.0, seed, trial);
        fh_look look = fh_look_of(target, shell, &bare, bare_weights);
        for (size_t view = 0; view < fh_views_count(target); ++view) {
            double seen = fh_de2000(wanted[both].lab[view], look.lab[view]);
            if (!isfinite(seen)) return false;
            one->seen[view * one->trials + trial] = (float)seen;
        }
    }
    return true;
}

fh_status fh_trials_run(const fh_target *target, const fh_reference *reference,
                        fh_entrant *entrants, size_t count, uint64_t seed, fh_progress progress,
                        void *user, fh_error *error)
{
    fh_weights bare_weights = fh_weights_of(target->condition);
    size_t longest = 0;
    for (size_t c = 0; c < count; ++c)
        if (entrants[c].trials > longest) longest = entrants[c].trials;
    for (size_t trial = 0; trial < longest; ++trial) {
        if (progress && trial % 32 == 0 && !progress(user, (double)trial / (double)longest))
            return fh_fail(error, FH_E_STOPPED, "stopped");
        if (!run_trial(target, reference, entrants, count, seed, trial, &bare_weights))
            return fh_fail(error, FH_E_DATA,
                           "the model gives no finite look for target or candidate; expected "
                           "readings and a shell within what it can compute");
    }
    return FH_OK;
}

float fh_entrant_seen(const fh_entrant *entrant, size_t view, size_t trial)
{
    return entrant->seen[view * entrant->trials + trial];
}

float fh_entrant_worst(const fh_target *target, const fh_entrant *entrant, size_t trial)
{
    float worst = 0.0f;
    for (size_t view = 0; view < target->light_count; ++view) {
        float seen = fh_entrant_seen(entrant, view, trial);
        if (seen > worst) worst = seen;
    }
    return worst;
}
