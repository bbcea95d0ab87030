/* From trays to target and shell. */
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/estimate.h"
#include "page/stack.h"

fh_status stack_with_spectrum(const fh_reading *reading, fh_reading *out, fh_error *error)
{
    *out = *reading;
    if (reading->origin != FH_ORIGIN_LAB) return FH_OK;
    fh_estimate estimate;
    fh_status status = fh_estimate_of_reading(reading, &estimate, error);
    if (status) return status;
    out->reflectance = estimate.reflectance;
    out->origin = FH_ORIGIN_ESTIMATED;
    return FH_OK;
}

fh_status stack_part(const desk_state *job, fh_reading *out, fh_error *error)
{
    const desk_readings *spots = &job->tray[TRAY_PART];
    if (!spots->count) return fh_fail(error, FH_E_DATA, "The old part has no reading yet.");
    const fh_reading *chosen = desk_find(spots, job->settings.match);
    if (spots->count == 1) chosen = &spots->items[0];
    if (chosen) {
        *out = *chosen;
        return FH_OK;
    }
    fh_status status = fh_reading_pool(spots->items, spots->count, out, error);
    if (status) return status;
    fh_copy_text(out->id, sizeof out->id, "part");
    fh_copy_text(out->name, sizeof out->name, "mean of all spots");
    return FH_OK;
}

/* The pairs of looks and backings that carry the same id. */
static fh_status pair_up(const desk_state *job, fh_reading *looks, fh_reading *behind,
                         size_t *count, fh_error *error)
{
    const desk_readings *over = &job->tray[TRAY_OVER];
    *count = 0;
    for (size_t i = 0; i < over->count && *count < FH_SHELL_SAMPLES; i++) {
        const fh_reading *backing = desk_find(&job->tray[TRAY_BACKING], over->items[i].id);
        if (!backing) continue;
        fh_status status = stack_with_spectrum(&over->items[i], &looks[*count], error);
        if (!status) status = stack_with_spectrum(backing, &behind[*count], error);
        if (status) return status;
        ++*count;
    }
    if (*count >= 2) return FH_OK;
    return fh_fail(error, FH_E_DATA, "The shell needs black and white at least, each measured by "
                                     "itself and with the shell on top.");
}

fh_status stack_shell(const desk_state *job, fh_shell **out, fh_shell_report *report,
                      fh_error *error)
{
    fh_reading *pairs = fh_allocate(2 * FH_SHELL_SAMPLES, sizeof *pairs);
    fh_shell *shell = fh_allocate(1, sizeof *shell);
    size_t count = 0;
    fh_status status = pairs && shell ? FH_OK : FH_E_MEMORY;
    if (!status) status = pair_up(job, pairs, pairs + FH_SHELL_SAMPLES, &count, error);
    if (!status) {
        fh_shell_sample samples[FH_SHELL_SAMPLES];
        fh_shell_options options = fh_shell_options_default();
        for (size_t i = 0; i < count; i++)
            samples[i] = (fh_shell_sample){&pairs[i], &pairs[FH_SHELL_SAMPLES + i]};
        status = fh_shell_fit(samples, count, &options, shell, report, error);
    }
    fh_free(pairs);
    if (status) {
        fh_free(shell);
        return status;
    }
    fh_copy_text(shell->id, sizeof shell->id, "shell");
    *out = shell;
    return FH_OK;
}

/* The colour worked back from the assembled look, as a reading of the inner part. */
static fh_status aim_at_look(const desk_state *job, const fh_shell *shell, fh_reading *out,
                             fh_error *error)
{
    const desk_readings *looks = &job->tray[TRAY_LOOK];
    if (!looks->count || !shell)
        return fh_fail(error, FH_E_DATA, "Working back from a look needs the look and the shell.");
    fh_reading look;
    fh_status status = stack_with_spectrum(&looks->items[looks->count - 1], &look, error);
    if (status) return status;
    fh_spectrum inner;
    if (fh_shell_inner(&shell->curves, &look.reflectance, &inner, NULL))
        return fh_fail(error, FH_E_IMPOSSIBLE, "The shell hides the part in every band.");
    *out = look;
    fh_copy_text(out->id, sizeof out->id, "aimed");
    fh_copy_text(out->name, sizeof out->name, "worked back from the look");
    out->reflectance = inner;
    out->origin = FH_ORIGIN_ESTIMATED;
    fh_weights weights = fh_weights_of(fh_condition_default());
    out->condition = weights.condition;
    out->lab = fh_lab_of_spectrum(&inner, &weights);
    return FH_OK;
}

static fh_status fill_target(const desk_state *job, page_stack *stack, fh_error *error)
{
    fh_reading part;
    fh_status status;
    bool aimed = job->settings.aimed || !job->tray[TRAY_PART].count;
    if (job->from_code) {
        part = job->received;
        status = FH_OK;
        aimed = false;
    } else if (aimed && job->tray[TRAY_LOOK].count) {
        status = aim_at_look(job, stack->shell, &part, error);
    } else {
        aimed = false;
        status = stack_part(job, &part, error);
    }
    if (status) return status;
    fh_target_init(&stack->target, &part, stack->shell);
    stack->target.aimed = aimed;
    stack->target.tolerance = job->settings.tolerance;
    status = fh_target_set_lights(&stack->target, job->settings.light, job->settings.light_count,
                                  error);
    return status ? status : fh_target_check(&stack->target, error);
}

fh_status stack_of(const desk_state *job, page_stack *out, fh_error *error)
{
    out->shell = NULL;
    if (!job->from_code && job->tray[TRAY_OVER].count) {
        fh_status status = stack_shell(job, &out->shell, NULL, error);
        if (status && status != FH_E_DATA) return status;
    }
    fh_status status = fill_target(job, out, error);
    if (status) stack_free(out);
    return status;
}

void stack_free(page_stack *stack)
{
    fh_free(stack->shell);
    stack->shell = NULL;
}
