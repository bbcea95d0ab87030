/* Trays of readings. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "page/desk.h"

static const char *const names[TRAY_COUNT] = {
    [TRAY_PART] = "part",   [TRAY_BACKING] = "backing", [TRAY_OVER] = "over",
    [TRAY_LOOK] = "look",   [TRAY_SHELF] = "shelf",     [TRAY_COUPON] = "coupon",
    [TRAY_CHIPS] = "chips", [TRAY_MINE] = "mine",       [TRAY_PAINTED] = "painted"};

bool desk_tray_of(const char *name, desk_tray *tray)
{
    for (int i = 0; i < TRAY_COUNT; i++)
        if (strcmp(name, names[i]) == 0) {
            *tray = (desk_tray)i;
            return true;
        }
    return false;
}

const char *desk_tray_name(desk_tray tray)
{
    return names[tray];
}

const fh_reading *desk_find(const desk_readings *readings, const char *id)
{
    for (size_t i = 0; i < readings->count; i++)
        if (strcmp(readings->items[i].id, id) == 0) return &readings->items[i];
    return NULL;
}

/* "sand", then "sand-2", "sand-3"… */
static void make_unique(const desk_readings *readings, char id[FH_ID])
{
    char stem[FH_ID];
    fh_copy_text(stem, sizeof stem - 8, id[0] ? id : "1");
    fh_copy_text(id, FH_ID, id[0] ? id : "1");
    for (unsigned n = 2; desk_find(readings, id); n++) fh_format(id, FH_ID, "%s-%u", stem, n);
}

/* An id that a name gives: what would need quotes in a file, or have a meaning on the command line
 * as part#face has, becomes a dash. "front, left of the scale" is front-left-of-the-scale. */
static void id_of_name(const char *name, char id[FH_ID])
{
    size_t n = 0;
    bool dash = false;
    while (*name) {
        size_t length = fh_utf8_length(name, strlen(name));
        const char c = *name;
        const bool kept = length > 1 || (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') ||
                          (c >= 'A' && c <= 'Z') || c == '.' || c == '_';
        if (kept && n + dash + length + 8 >= FH_ID) break;
        if (kept && dash && n) id[n++] = '-';
        dash = !kept;
        if (kept) memcpy(id + n, name, length), n += length;
        name += length ? length : 1;
    }
    id[n] = '\0';
}

fh_status desk_add(desk_readings *readings, const fh_reading *reading)
{
    if (readings->count >= DESK_LIMIT) return FH_E_LIMIT;
    fh_status status = fh_reserve(&readings->items, &readings->capacity, readings->count + 1,
                                  sizeof *readings->items);
    if (status) return status;
    fh_reading *slot = &readings->items[readings->count];
    *slot = *reading;
    if (!slot->id[0]) id_of_name(slot->name, slot->id);
    make_unique(readings, slot->id);
    readings->count++;
    return FH_OK;
}

void desk_remove(desk_readings *readings, size_t index)
{
    if (index >= readings->count) return;
    memmove(&readings->items[index], &readings->items[index + 1],
            (readings->count - index - 1) * sizeof *readings->items);
    readings->count--;
}

void desk_clear(desk_readings *readings)
{
    fh_free(readings->items);
    *readings = (desk_readings){0};
}

fh_status desk_set_file(fh_text *what, const char *text, size_t length)
{
    fh_text copy = {0};
    fh_sink sink = fh_sink_to_text(&copy);
    fh_status status = sink.write(sink.user, text, length);
    if (status) return status;
    fh_text_free(what);
    *what = copy;
    return FH_OK;
}

fh_status desk_copy(const desk_state *state, desk_state *out)
{
    desk_state copy = *state;
    fh_status status = FH_OK;
    copy.spec = copy.paints = (fh_text){0};
    for (int i = 0; i < TRAY_COUNT; i++) copy.tray[i] = (desk_readings){0};
    if (state->spec.length)
        status = desk_set_file(&copy.spec, state->spec.bytes, state->spec.length);
    if (!status && state->paints.length)
        status = desk_set_file(&copy.paints, state->paints.bytes, state->paints.length);
    if (status) {
        desk_state_free(&copy);
        return status;
    }
    for (int i = 0; i < TRAY_COUNT; i++) {
        const desk_readings *from = &state->tray[i];
        desk_readings *to = &copy.tray[i];
        if (!from->count) continue;
        status = fh_reserve(&to->items, &to->capacity, from->count, sizeof *to->items);
        if (status) {
            desk_state_free(&copy);
            return status;
        }
        memcpy(to->items, from->items, from->count * sizeof *to->items);
        to->count = from->count;
    }
    *out = copy;
    return FH_OK;
}

void desk_state_free(desk_state *state)
{
    for (int i = 0; i < TRAY_COUNT; i++) desk_clear(&state->tray[i]);
    fh_text_free(&state->spec);
    fh_text_free(&state->paints);
    *state = (desk_state){.settings = desk_settings_default()};
}

static const char *origin_name(fh_origin origin)
{
    return origin == FH_ORIGIN_SPECTRUM ? "spectrum"
           : origin == FH_ORIGIN_LAB    ? "lab"
                                        : "estimated";
}

void desk_write_reading(page_json *j, const fh_reading *reading)
{
    fh_mat3 total = fh_reading_covariance(reading);
    json_open(j, NULL, '{');
    json_text(j, "id", reading->id);
    json_text(j, "name", reading->name[0] ? reading->name : reading->id);
    json_condition(j, "condition", reading->condition);
    json_lab(j, "lab", reading->lab);
    json_screen(j, "screen", reading->lab);
    json_text(j, "origin", origin_name(reading->origin));
    json_count(j, "repeats", reading->repeats);
    json_lab(j, "sd", (fh_lab){sqrt(total.m[0][0]), sqrt(total.m[1][1]), sqrt(total.m[2][2])});
    json_open(j, "sources", '[');
    for (size_t i = 0; i < reading->shared_count; i++)
        json_text(j, NULL, reading->shared[i].source);
    json_close(j, ']');
    json_text(j, "note", reading->note);
    json_close(j, '}');
}
