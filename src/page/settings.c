/* The settings of a job, and what each may be: the same for what is typed into the page and for
 * what a job file holds. */
#include <string.h>

#include "base/error.h"
#include "farhue/spec.h"
#include "page/desk.h"

desk_settings desk_settings_default(void)
{
    return (desk_settings){.plan = fh_plan_usual(),
                           .tolerance = 2,
                           .shell_mm = -1,
                           .gap_mm = -1,
                           .light_count = 3,
                           .light = {{FH_ILLUMINANT_D65, FH_OBSERVER_10},
                                     {FH_ILLUMINANT_A, FH_OBSERVER_10},
                                     {FH_ILLUMINANT_LED_B1, FH_OBSERVER_10}}};
}

/* --- Texts ---------------------------------------------------------------------------------- */

typedef struct setting_text {
    char *text;
    size_t size;
    const char *what; /* as a sentence names it */
} setting_text;

/* Where the text of that key is kept; .text is NULL for another key. */
static setting_text text_of(desk_settings *s, const char *key)
{
    if (strcmp(key, "role") == 0) return (setting_text){s->role, sizeof s->role, "role"};
    if (strcmp(key, "title") == 0) return (setting_text){s->title, sizeof s->title, "job's name"};
    if (strcmp(key, "owner") == 0) return (setting_text){s->owner, sizeof s->owner, "owner's name"};
    if (strcmp(key, "helper") == 0)
        return (setting_text){s->helper, sizeof s->helper, "helper's name"};
    if (strcmp(key, "kit") == 0) return (setting_text){s->kit, sizeof s->kit, "kit"};
    if (strcmp(key, "match") == 0)
        return (setting_text){s->match, sizeof s->match, "name of the spot to match"};
    desk_painting *p = &s->paint;
    const struct {
        const char *key;
        setting_text to;
    } paint[] = {{"paint_batch", {p->batch, sizeof p->batch, "size of the batch"}},
                 {"paint_least", {p->least, sizeof p->least, "smallest quantity"}},
                 {"paint_coat", {p->coat, sizeof p->coat, "amount of a coat"}},
                 {"paint_over", {p->over, sizeof p->over, "what is painted over"}},
                 {"paint_clear", {p->clear, sizeof p->clear, "index of the clear coat"}},
                 {"paint_gloss", {p->gloss, sizeof p->gloss, "gloss"}},
                 {"paint_most", {p->most, sizeof p->most, "number of paints"}}};
    for (size_t i = 0; i < sizeof paint / sizeof *paint; i++)
        if (strcmp(key, paint[i].key) == 0) return paint[i].to;
    return (setting_text){0};
}

bool desk_has_text(const char *key)
{
    desk_settings none;
    return text_of(&none, key).text != NULL;
}

fh_status desk_set_text(desk_settings *s, const char *key, fh_slice value, fh_error *error)
{
    setting_text to = text_of(s, key);
    if (!to.text) return fh_fail(error, FH_E_ARGUMENT, "There is no text setting of that name.");
    bool role = to.text == s->role && value.length;
    if (role && !fh_slice_is(value, "owner") && !fh_slice_is(value, "helper"))
        return fh_fail(error, FH_E_DATA, "This is no role; expected owner or helper.");
    return keep_line(to.what, value, to.text, to.size, error);
}

fh_status desk_add_step(desk_settings *s, fh_slice value, fh_error *error)
{
    desk_painting *p = &s->paint;
    if (p->steps == FH_BATCH_STEPS)
        return fh_fail(error, FH_E_LIMIT, "A batch is followed for %d additions; begin a new one.",
                       (int)FH_BATCH_STEPS);
    fh_status status =
        keep_line("list of what was put in", value, p->added[p->steps], DESK_ADDED, error);
    if (!status) p->steps++;
    return status;
}

/* --- Numbers -------------------------------------------------------------------------------- */

bool desk_has_number(const char *key)
{
    return strcmp(key, "tolerance") == 0 || strcmp(key, "shell_mm") == 0 ||
           strcmp(key, "gap_mm") == 0;
}

fh_status desk_set_number(desk_settings *s, const char *key, double value, fh_error *error)
{
    if (strcmp(key, "tolerance") == 0) {
        if (!(value > 0 && value <= 50))
            return fh_fail(error, FH_E_DATA, "The tolerance must be a number above 0, at most 50.");
        s->tolerance = value;
        return FH_OK;
    }
    bool shell = strcmp(key, "shell_mm") == 0;
    if (!shell && strcmp(key, "gap_mm") != 0)
        return fh_fail(error, FH_E_ARGUMENT, "There is no setting \"%.40s\".", key);
    if (!(value >= 0 && value <= FH_BUILT_MM_MAX))
        return fh_fail(error, FH_E_DATA, "The %s must be in millimetres, 0 to %d.",
                       shell ? "shell's thickness" : "gap", (int)FH_BUILT_MM_MAX);
    *(shell ? &s->shell_mm : &s->gap_mm) = value;
    return FH_OK;
}
