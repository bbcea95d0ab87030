/* Files of the job: readings in and out, and the whole job as one file, in the formats that the
 * command line has. A backing's file holds it by itself and with the shell on top. */
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/job.h"
#include "farhue/kind.h"
#include "farhue/library.h"
#include "farhue/spec_file.h"
#include "files/values.h"
#include "page/door.h"

fh_status page_require_text(const page_request *r, fh_error *error)
{
    fh_kind kind = fh_kind_of(r->body.start, r->body.length);
    if (kind == FH_KIND_TEXT) return FH_OK;
    return fh_fail(error, FH_E_DATA, "This is %s; %s.", fh_kind_name(kind),
                   fh_kind_advice(kind, false));
}

void page_write_notes(page_json *j, const fh_text *notes)
{
    json_open(j, "notes", '[');
    const char *at = notes->bytes;
    while (at && *at) {
        const size_t length = strcspn(at, "\n");
        fh_buffer line = {0};
        fh_buffer_add(&line, (fh_slice){at, length});
        if (length && line.text) json_text(j, NULL, line.text);
        fh_buffer_free(&line);
        at += length + (at[length] == '\n');
    }
    json_close(j, ']');
}

fh_library_defaults page_defaults(const page_request *r)
{
    char text[24];
    fh_library_defaults defaults = {0};
    request_text(r, "condition", text, sizeof text);
    defaults.has_condition = fh_condition_parse(text, &defaults.condition) == FH_OK;
    request_text(r, "unit", text, sizeof text);
    defaults.unit = strcmp(text, "percent") == 0  ? FH_UNIT_PERCENT
                    : strcmp(text, "factor") == 0 ? FH_UNIT_FACTOR
                                                  : FH_UNIT_UNSAID;
    return defaults;
}

/* A file of readings into a tray, behind those that are there. */
static fh_status call_load(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    char name[16];
    desk_tray tray;
    request_text(r, "tray", name, sizeof name);
    if (!desk_tray_of(name, &tray)) return fh_fail(error, FH_E_ARGUMENT, "There is no such tray.");
    fh_status status = page_require_text(r, error);
    if (status) return status;
    fh_library library = {0};
    fh_library_defaults defaults = page_defaults(r);
    status = fh_library_read(r->body.start, r->body.length, &defaults, &library, error);
    for (size_t i = 0; i < library.count && !status; i++) {
        status = desk_add(&desk->now.tray[tray], &library.readings[i]);
        if (status == FH_E_LIMIT)
            fh_fail(error, status, "More than %d readings; load fewer of them.", DESK_LIMIT);
    }
    if (!status) {
        json_count(j, "added", library.count);
        page_write_notes(j, &library.notes);
    }
    fh_library_free(&library);
    return status;
}

/* The readings of a tray as a file. */
static fh_status call_readings_write(page_desk *desk, const page_request *r, page_json *j,
                                     fh_error *error)
{
    char name[16], created[32];
    desk_tray tray;
    request_text(r, "tray", name, sizeof name);
    request_text(r, "created", created, sizeof created);
    if (!desk_tray_of(name, &tray) || !desk->now.tray[tray].count)
        return fh_fail(error, FH_E_DATA, "There are no readings to save.");
    const desk_readings *readings = &desk->now.tray[tray];
    fh_text text = {0};
    fh_status status = fh_library_write(readings->items, readings->count, desk->now.settings.title,
                                        created[0] ? created : NULL, &text);
    if (!status) json_text(j, "text", text.bytes);
    fh_text_free(&text);
    return status;
}

/* --- Settings as a table ------------------------------------------------------------------------
 */

static void put_setting(fh_table *table, const char *key, const char *value)
{
    size_t row = fh_table_add_row(table);
    fh_table_set_text(table, row, 0, key);
    fh_table_set_text(table, row, 1, value);
}

static void put_number_setting(fh_table *table, const char *key, double value)
{
    size_t row = fh_table_add_row(table);
    fh_table_set_text(table, row, 0, key);
    fh_table_set_number(table, row, 1, value);
}

static fh_status settings_write(const desk_settings *s, fh_text *out)
{
    fh_tables *tables;
    fh_table *table = fh_value_begin("page", &tables);
    if (!table) return FH_E_MEMORY;
    fh_table_add_column(table, "SETTING");
    fh_table_add_column(table, "VALUE");
    put_setting(table, "role", s->role);
    put_setting(table, "title", s->title);
    put_setting(table, "owner", s->owner);
    put_setting(table, "helper", s->helper);
    put_setting(table, "kit", s->kit);
    put_setting(table, "match", s->match);
    put_setting(table, "aimed", s->aimed ? "1" : "0");
    put_setting(table, "close_seen", s->close_seen ? "1" : "0");
    put_setting(table, "tied", s->tied ? "1" : "0");
    const desk_painting *p = &s->paint;
    const struct {
        const char *key, *value;
    } paint[] = {{"paint_batch", p->batch}, {"paint_least", p->least}, {"paint_coat", p->coat},
                 {"paint_over", p->over},   {"paint_clear", p->clear}, {"paint_gloss", p->gloss},
                 {"paint_most", p->most}};
    for (size_t i = 0; i < sizeof paint / sizeof *paint; i++)
        if (paint[i].value[0]) put_setting(table, paint[i].key, paint[i].value);
    for (size_t i = 0; i < p->steps; i++) put_setting(table, "added", p->added[i]);
    put_number_setting(table, "tolerance", s->tolerance);
    if (s->shell_mm >= 0) put_number_setting(table, "shell_mm", s->shell_mm);
    if (s->gap_mm >= 0) put_number_setting(table, "gap_mm", s->gap_mm);
    for (size_t i = 0; i < s->light_count; i++) {
        char light[FH_CONDITION_TEXT];
        fh_condition_text(s->light[i], light);
        put_setting(table, "light", light);
    }
    fh_status status = fh_tables_write(tables, out);
    fh_tables_free(tables);
    return status;
}

static fh_status read_setting(desk_settings *s, const fh_table *table, size_t row, fh_error *error)
{
    const char *key = fh_table_text(table, row, 0), *value = fh_table_text(table, row, 1);
    fh_status status = FH_OK;
    fh_error why = {0};
    double number;
    if (desk_has_text(key)) status = desk_set_text(s, key, fh_slice_of(value), &why);
    if (desk_has_number(key)) {
        status = fh_table_number(table, row, 1, &number, error);
        if (status) return status;
        status = desk_set_number(s, key, number, &why);
    }
    if (strcmp(key, "added") == 0) status = desk_add_step(s, fh_slice_of(value), &why);
    if (status) return fh_table_fail(table, row, 1, error, status, why.message);
    if (strcmp(key, "aimed") == 0) s->aimed = strcmp(value, "1") == 0;
    if (strcmp(key, "tied") == 0) s->tied = strcmp(value, "1") == 0;
    if (strcmp(key, "close_seen") == 0) s->close_seen = strcmp(value, "1") == 0;
    if (strcmp(key, "light") == 0) {
        if (s->light_count == FH_LIGHTS_MAX || fh_condition_parse(value, &s->light[s->light_count]))
            return fh_table_fail(table, row, 1, error, FH_E_DATA,
                                 "this is no light, or one too many");
        s->light_count++;
    }
    return FH_OK;
}

static fh_status settings_read(const fh_table *table, desk_settings *out, fh_error *error)
{
    desk_settings settings = desk_settings_default();
    settings.light_count = 0;
    settings.plan = out->plan; /* a table of its own */
    for (size_t row = 0; fh_table_columns(table) >= 2 && row < fh_table_rows(table); row++) {
        fh_status status = read_setting(&settings, table, row, error);
        if (status) return status;
    }
    if (!settings.light_count) {
        desk_settings usual = desk_settings_default();
        settings.light_count = usual.light_count;
        memcpy(settings.light, usual.light, sizeof usual.light);
    }
    *out = settings;
    return FH_OK;
}

/* --- The job ------------------------------------------------------------------------------------
 */

enum { ITEMS = 24 };

typedef struct job_items {
    fh_job_item item[ITEMS];
    char name[ITEMS][FH_ID];
    fh_text text[ITEMS];
    size_t count;
} job_items;

static void items_free(job_items *items)
{
    for (size_t i = 0; i < items->count; i++) fh_text_free(&items->text[i]);
}

static fh_status add_item(job_items *items, const char *name, const fh_reading *readings,
                          size_t count, const char *created)
{
    if (!count) return FH_OK;
    if (items->count == ITEMS) return FH_E_LIMIT;
    fh_text *text = &items->text[items->count];
    fh_status status = fh_library_write(readings, count, NULL, created, text);
    if (status) return status;
    fh_copy_text(items->name[items->count], FH_ID, name);
    items->item[items->count] = (fh_job_item){items->name[items->count], text->bytes, text->length};
    items->count++;
    return FH_OK;
}

/* A backing by itself (its id is the file's name), then the shell over it. */
static fh_status add_backing(job_items *items, const desk_state *job, const char *id,
                             const char *created)
{
    fh_reading pair[2];
    size_t count = 0;
    const fh_reading *alone = desk_find(&job->tray[TRAY_BACKING], id);
    const fh_reading *over = desk_find(&job->tray[TRAY_OVER], id);
    if (alone) pair[count++] = *alone;
    if (over) {
        pair[count] = *over;
        fh_copy_text(pair[count].id, FH_ID, "shell");
        fh_copy_text(pair[count].method.backing, FH_ID, id);
        count++;
    }
    return add_item(items, id, pair, count, created);
}

/* A file that is kept as it came: the spec, the pots. */
static fh_status add_file(job_items *items, const char *name, const fh_text *file)
{
    if (!file->length) return FH_OK;
    if (items->count == ITEMS) return FH_E_LIMIT;
    items->item[items->count] = (fh_job_item){name, file->bytes, file->length};
    items->text[items->count] = (fh_text){0};
    items->count++;
    return FH_OK;
}

/* A plan that says more than the usual. */
static fh_status add_plan(job_items *items, const desk_state *job, const char *created)
{
    fh_text usual = {0}, *text = &items->text[items->count];
    const fh_plan_facts none = fh_plan_usual();
    if (items->count == ITEMS) return FH_E_LIMIT;
    fh_status status = fh_plan_write(&none, created, &usual);
    if (!status) status = fh_plan_write(&job->settings.plan, created, text);
    if (!status && strcmp(usual.bytes, text->bytes) != 0)
        items->item[items->count++] = (fh_job_item){"plan", text->bytes, text->length};
    else
        fh_text_free(text);
    fh_text_free(&usual);
    return status;
}

static fh_status collect(const desk_state *job, const char *created, job_items *items)
{
    static const struct {
        desk_tray tray;
        const char *name;
    } plain[] = {{TRAY_PART, "part"},      {TRAY_LOOK, "look"},   {TRAY_SHELF, "shelf"},
                 {TRAY_COUPON, "coupon"},  {TRAY_CHIPS, "chips"}, {TRAY_MINE, "mine"},
                 {TRAY_PAINTED, "painted"}};
    fh_text *text = &items->text[0];
    fh_status status = settings_write(&job->settings, text);
    if (status) return status;
    items->item[0] = (fh_job_item){"page", text->bytes, text->length};
    items->count = 1;
    for (size_t i = 0; i < sizeof plain / sizeof *plain && !status; i++)
        status = add_item(items, plain[i].name, job->tray[plain[i].tray].items,
                          job->tray[plain[i].tray].count, created);
    const desk_readings *alone = &job->tray[TRAY_BACKING], *over = &job->tray[TRAY_OVER];
    for (size_t i = 0; i < alone->count && !status; i++)
        status = add_backing(items, job, alone->items[i].id, created);
    for (size_t i = 0; i < over->count && !status; i++)
        if (!desk_find(alone, over->items[i].id))
            status = add_backing(items, job, over->items[i].id, created);
    if (!status) status = add_file(items, "spec", &job->spec);
    if (!status) status = add_file(items, "paints", &job->paints);
    if (!status) status = add_plan(items, job, created);
    if (!status && job->from_code) status = add_item(items, "code", &job->received, 1, created);
    return status;
}

static fh_status call_job_write(page_desk *desk, const page_request *r, page_json *j,
                                fh_error *error)
{
    char created[32];
    request_text(r, "created", created, sizeof created);
    job_items *items = fh_allocate(1, sizeof *items);
    fh_text text = {0};
    fh_status status =
        items ? collect(&desk->now, created[0] ? created : NULL, items) : FH_E_MEMORY;
    if (!status) status = fh_job_join(items->item, items->count, &text, error);
    if (!status) json_text(j, "text", text.bytes);
    if (items) items_free(items);
    fh_free(items);
    fh_text_free(&text);
    return status;
}

/* The readings of one of the job's files, each into the tray where it belongs. */
static fh_status sort_readings(desk_state *job, const char *name, const fh_library *library)
{
    static const struct {
        const char *name;
        desk_tray tray;
    } plain[] = {{"part", TRAY_PART},      {"look", TRAY_LOOK},   {"shelf", TRAY_SHELF},
                 {"coupon", TRAY_COUPON},  {"chips", TRAY_CHIPS}, {"mine", TRAY_MINE},
                 {"painted", TRAY_PAINTED}};
    fh_status status = FH_OK;
    for (size_t i = 0; i < library->count && !status; i++) {
        fh_reading reading = library->readings[i];
        desk_tray tray = strcmp(reading.id, name) == 0 ? TRAY_BACKING : TRAY_OVER;
        for (size_t k = 0; k < sizeof plain / sizeof *plain; k++)
            if (strcmp(name, plain[k].name) == 0) tray = plain[k].tray;
        if (tray == TRAY_BACKING || tray == TRAY_OVER) fh_copy_text(reading.id, FH_ID, name);
        if (strcmp(name, "code") == 0) {
            job->from_code = true;
            job->received = library->readings[i];
            continue;
        }
        status = desk_add(&job->tray[tray], &reading);
    }
    return status;
}

static fh_status read_item(const page_request *r, const char *name, desk_state *job,
                           fh_error *error)
{
    fh_text text = {0};
    fh_library library = {0};
    fh_status status = fh_job_part(r->body.start, r->body.length, name, &text, error);
    if (!status && strcmp(name, "page") == 0) {
        fh_tables *tables = NULL;
        status = fh_tables_read(text.bytes, text.length, &tables, error);
        if (!status) status = settings_read(fh_tables_at(tables, 0), &job->settings, error);
        fh_tables_free(tables);
    } else if (!status && strcmp(name, "spec") == 0) {
        fh_spec *spec = NULL;
        status = fh_spec_read(text.bytes, text.length, &spec, NULL, error);
        fh_spec_free(spec);
        if (!status) status = desk_set_file(&job->spec, text.bytes, text.length);
    } else if (!status && strcmp(name, "plan") == 0) {
        fh_tables *tables = NULL;
        status = fh_tables_read(text.bytes, text.length, &tables, error);
        if (!status) status = fh_plan_read(fh_tables_at(tables, 0), &job->settings.plan, error);
        fh_tables_free(tables);
    } else if (!status && strcmp(name, "paints") == 0) {
        status = desk_set_file(&job->paints, text.bytes, text.length);
    } else if (!status) {
        status = fh_library_read(text.bytes, text.length, NULL, &library, error);
        if (!status) status = sort_readings(job, name, &library);
    }
    fh_library_free(&library);
    fh_text_free(&text);
    return status;
}

/* A backing's file, as a job folder holds it: the backing by itself and the shell over it. The
 * name is the file's; of two readings the one that names what is behind it, or the second, is the
 * look. What is there of that backing already is replaced. */
static fh_status call_load_backing(page_desk *desk, const page_request *r, page_json *j,
                                   fh_error *error)
{
    char name[FH_ID];
    request_text(r, "name", name, sizeof name);
    fh_library library = {0};
    fh_library_defaults defaults = page_defaults(r);
    fh_status status = page_require_text(r, error);
    if (!status)
        status = fh_library_read(r->body.start, r->body.length, &defaults, &library, error);
    if (!status && (!name[0] || library.count != 2))
        status = fh_fail(error, FH_E_DATA,
                         "%zu readings; a backing's file holds two, the backing by "
                         "itself and the shell over it",
                         library.count);
    bool first_is_look =
        !status && library.readings[0].method.backing[0] && !library.readings[1].method.backing[0];
    for (size_t i = 0; i < 2 && !status; i++) {
        bool look = (i == 0) == first_is_look;
        desk_readings *tray = &desk->now.tray[look ? TRAY_OVER : TRAY_BACKING];
        fh_reading *reading = &library.readings[i];
        if (!reading->name[0]) fh_copy_text(reading->name, sizeof reading->name, reading->id);
        fh_copy_text(reading->id, sizeof reading->id, name);
        for (size_t k = tray->count; k-- > 0;)
            if (strcmp(tray->items[k].id, name) == 0) desk_remove(tray, k);
        status = desk_add(tray, reading);
    }
    if (!status) page_write_notes(j, &library.notes);
    fh_library_free(&library);
    return status;
}

/* Files of a job that are not readings and that the page makes anew from those. */
static bool is_made_anew(const char *name)
{
    return strcmp(name, "shell") == 0 || strcmp(name, "reply") == 0;
}

/* A job of the command line doesn't say whose it is: pots are a helper's, and a spec where there is
 * no part. */
static void guess_role(desk_state *job)
{
    char *role = job->settings.role;
    if (!role[0] && (job->paints.length || (job->spec.length && !job->tray[TRAY_PART].count)))
        fh_copy_text(role, sizeof job->settings.role, "helper");
}

static fh_status call_job_read(page_desk *desk, const page_request *r, page_json *j,
                               fh_error *error)
{
    (void)j;
    fh_tables *tables = NULL;
    desk_state job = {.settings = desk_settings_default()};
    fh_status status = page_require_text(r, error);
    if (!status) status = fh_tables_read(r->body.start, r->body.length, &tables, error);
    size_t found = 0;
    for (size_t i = 0; !status && i < fh_tables_count(tables); i++) {
        const char *name = fh_table_keyword(fh_tables_at(tables, i), "JOB");
        if (!name || is_made_anew(name)) continue;
        bool seen = false; /* a file of several tables comes once */
        for (size_t k = 0; k < i; k++) {
            const char *before = fh_table_keyword(fh_tables_at(tables, k), "JOB");
            seen |= before && strcmp(before, name) == 0;
        }
        if (!seen) status = read_item(r, name, &job, error);
        found++;
    }
    if (!status && !found)
        status =
            fh_fail(error, FH_E_DATA, "This is no job: no table in it says by JOB what it is.");
    fh_tables_free(tables);
    if (status) {
        desk_state_free(&job);
        return status;
    }
    guess_role(&job);
    job.paints_mark = ++desk->marks;
    desk_state_free(&desk->now);
    desk->now = job;
    return FH_OK;
}

const page_entry page_job_calls[] = {{"load", call_load, true},
                                     {"load-backing", call_load_backing, true},
                                     {"readings-write", call_readings_write, false},
                                     {"job-write", call_job_write, false},
                                     {"job-read", call_job_read, true},
                                     {NULL, NULL, false}};
