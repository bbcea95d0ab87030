/* From trays to target and shell. */
#include <string.h>

#include "base/error.h"
#include "farhue/aim.h"
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
static fh_status pair_up(const desk_state *job, fh_shell_record *record, fh_error *error)
{
    const desk_readings *over = &job->tray[TRAY_OVER];
    for (size_t i = 0; i < over->count && record->count < FH_SHELL_SAMPLES; i++) {
        const fh_reading *backing = desk_find(&job->tray[TRAY_BACKING], over->items[i].id);
        if (!backing) continue;
        fh_reading *look = &record->look[record->count], *behind = &record->backing[record->count];
        fh_status status = stack_with_spectrum(&over->items[i], look, error);
        if (!status) status = stack_with_spectrum(backing, behind, error);
        if (status) return status;
        fh_format(look->id, sizeof look->id, "shell-on-%s", backing->id);
        fh_copy_text(look->method.backing, sizeof look->method.backing, backing->id);
        if (job->settings.shell_mm > 0) look->method.thickness_mm = job->settings.shell_mm;
        record->count++;
    }
    if (record->count >= 2) return FH_OK;
    return fh_fail(error, FH_E_DATA,
                   "The shell needs black and white at least, each measured by "
                   "itself and with the shell on top.");
}

fh_status stack_shell(const desk_state *job, fh_shell_record **out, fh_error *error)
{
    fh_shell_record *record = fh_shell_record_new();
    if (!record) return FH_E_MEMORY;
    fh_copy_text(record->shell.id, sizeof record->shell.id, "shell");
    fh_status status = pair_up(job, record, error);
    if (!status) status = fh_shell_record_fit(record, error);
    if (status) {
        fh_shell_record_free(record);
        return status;
    }
    /* As it is built; the readings are taken in contact. */
    if (job->settings.gap_mm >= 0) record->shell.method.gap_mm = job->settings.gap_mm;
    *out = record;
    return FH_OK;
}

/* The colour worked back from the assembled look, as a reading of the inner part. */
static fh_status aim_at_look(const desk_state *job, const fh_shell *shell, fh_reading *out,
                             fh_error *error)
{
    const desk_readings *looks = &job->tray[TRAY_LOOK];
    if (!looks->count || !shell)
        return fh_fail(error, FH_E_DATA, "Working back from a look needs the look and the shell.");
    fh_aim aim;
    fh_status status = fh_aim_at(shell, &looks->items[looks->count - 1], &aim, error);
    if (status) return status;
    *out = aim.inner;
    fh_copy_text(out->id, sizeof out->id, "aimed");
    fh_copy_text(out->name, sizeof out->name, "worked back from the look");
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
    status =
        fh_target_set_lights(&stack->target, job->settings.light, job->settings.light_count, error);
    return status ? status : fh_target_check(&stack->target, error);
}

bool stack_is_received(const desk_state *job)
{
    return strcmp(job->settings.role, "helper") == 0 && job->spec.length && !job->from_code;
}

/* The target as the owner stated it. */
static fh_status received(const desk_state *job, page_stack *out, fh_error *error)
{
    fh_status status =
        fh_spec_read(job->spec.bytes, job->spec.length, &out->spec, &out->record, error);
    if (status) return status;
    status = fh_spec_target(out->spec, &out->target, error);
    out->shell = out->spec->shell;
    return status;
}

fh_status stack_of(const desk_state *job, page_stack *out, fh_error *error)
{
    fh_status status = FH_OK;
    out->shell = NULL;
    out->record = NULL;
    out->spec = NULL;
    if (stack_is_received(job)) {
        status = received(job, out, error);
    } else {
        if (!job->from_code && job->tray[TRAY_OVER].count) {
            status = stack_shell(job, &out->record, error);
            if (status == FH_E_DATA) status = FH_OK;
            if (out->record) out->shell = &out->record->shell;
        }
        if (!status) status = fill_target(job, out, error);
    }
    if (status) stack_free(out);
    return status;
}

void stack_free(page_stack *stack)
{
    fh_shell_record_free(stack->record);
    fh_spec_free(stack->spec);
    stack->record = NULL;
    stack->spec = NULL;
    stack->shell = NULL;
}
