/* Requests to calls; what a call changes can be undone. */
#include <string.h>

#include "page/door.h"

static const page_entry *const tables[] = {page_reading_calls, page_desk_calls,  page_match_calls,
                                           page_job_calls,     page_photo_calls, page_spec_calls,
                                           page_paint_calls,   page_batch_calls, page_plan_calls};

static const page_entry *find_call(const char *name)
{
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++)
        for (const page_entry *entry = tables[i]; entry->name; entry++)
            if (strcmp(entry->name, name) == 0) return entry;
    return NULL;
}

static fh_buffer failure(fh_status status, const fh_error *error)
{
    page_json j = {0};
    json_open(&j, NULL, '{');
    json_bool(&j, "ok", false);
    json_text(&j, "status", fh_status_text(status));
    json_text(&j, "message", error->message[0] ? error->message : fh_status_text(status));
    if (error->line) json_count(&j, "line", error->line);
    if (error->column) json_count(&j, "column", error->column);
    json_close(&j, '}');
    return j.buffer;
}

/* Keep a state for undo; what could be redone is gone, the oldest goes when there are many. */
static void remember(page_desk *desk, desk_state before)
{
    for (size_t i = 0; i < desk->future_count; i++)
        desk_state_free(&desk->past[desk->past_count + i]);
    desk->future_count = 0;
    if (desk->past_count == DESK_UNDO) {
        desk_state_free(&desk->past[0]);
        memmove(&desk->past[0], &desk->past[1], (DESK_UNDO - 1) * sizeof *desk->past);
        desk->past_count--;
    }
    desk->past[desk->past_count++] = before;
}

/* A call that changes the job works on it and is taken back when it fails. */
static fh_status run(page_desk *desk, const page_entry *entry, const page_request *request,
                     page_json *reply, fh_error *error)
{
    if (!entry->changes) return entry->call(desk, request, reply, error);
    desk_state before;
    fh_status status = desk_copy(&desk->now, &before);
    if (status) return status;
    status = entry->call(desk, request, reply, error);
    if (status) {
        desk_state_free(&desk->now);
        desk->now = before;
    } else {
        remember(desk, before);
    }
    return status;
}

fh_buffer page_answer(page_desk *desk, const page_request *request)
{
    char name[48];
    fh_error error = {0};
    request_text(request, "do", name, sizeof name);
    const page_entry *entry = find_call(name);
    if (!entry) {
        fh_copy_text(error.message, sizeof error.message, "the engine has no such call");
        return failure(FH_E_ARGUMENT, &error);
    }
    page_json j = {0};
    json_open(&j, NULL, '{');
    json_bool(&j, "ok", true);
    fh_status status = run(desk, entry, request, &j, &error);
    json_close(&j, '}');
    if (!status && j.buffer.failed) status = FH_E_MEMORY;
    if (!status) return j.buffer;
    fh_buffer_free(&j.buffer);
    return failure(status, &error);
}

void page_desk_new(page_desk *desk)
{
    memset(desk, 0, sizeof *desk);
    desk->now.settings = desk_settings_default();
}

void page_desk_free(page_desk *desk)
{
    desk_state_free(&desk->now);
    for (size_t i = 0; i < desk->past_count + desk->future_count; i++)
        desk_state_free(&desk->past[i]);
    photo_free(&desk->photo);
    fh_paints_free(&desk->pots);
    page_desk_new(desk);
}
