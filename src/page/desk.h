/* The desk: all that the page holds of a job. What the command line keeps in files lies here in
 * trays; the job file is written from it and read into it. */
#ifndef FARHUE_PAGE_DESK_H
#define FARHUE_PAGE_DESK_H

#include "farhue/batch.h"
#include "farhue/paints.h"
#include "farhue/plan_file.h"
#include "farhue/sink.h"

#include "page/json.h"
#include "page/photo.h"
#include "page/request.h"

typedef enum desk_tray {
    TRAY_PART,    /* spots of the reference part */
    TRAY_BACKING, /* backings, measured alone; ids black, grey, white… */
    TRAY_OVER,    /* the shell over a backing of the same id */
    TRAY_LOOK,    /* the assembled machine, or the shell over the old part */
    TRAY_SHELF,   /* the helper's candidates */
    TRAY_COUPON,  /* the printed or painted coupon */
    TRAY_CHIPS,   /* chips that both have: the owner's readings */
    TRAY_MINE,    /* the helper's readings of the same chips */
    TRAY_PAINTED, /* dry paint-outs of a batch: one for each time something was put in */
    TRAY_COUNT
} desk_tray;

typedef struct desk_readings {
    fh_reading *items;
    size_t count, capacity;
} desk_readings;

enum { DESK_LIMIT = 5000, DESK_LINE = 96, DESK_ADDED = 240 };

/* What the paint step was told; quantities as they were typed ("20ml", "1drop"), empty: not said.
 */
typedef struct desk_painting {
    char batch[24], least[24]; /* how much is wanted; the smallest that can be dispensed */
    char coat[24],
        over[8]; /* what a coat lays on; "print": over the coupon, else black and white */
    char clear[8], gloss[8]; /* index of a clear coat; 60° gloss of the finished part */
    char most[4];            /* paints in a recipe */
    size_t steps;
    char added[FH_BATCH_STEPS]
              [DESK_ADDED]; /* "white=14ml,red=6ml": the mixture, then what was added */
} desk_painting;

/* What is not a reading. Millimetres are negative where not known. */
typedef struct desk_settings {
    char role[8]; /* "owner", "helper" or empty */
    char title[DESK_LINE], owner[DESK_LINE], helper[DESK_LINE], kit[DESK_LINE];
    char match[FH_ID]; /* the spot of the part to match; empty: the mean of all */
    bool aimed;        /* match the colour worked back from the look */
    bool close_seen;   /* the tolerance was looked at */
    bool tied;         /* correct the helper's readings by the chips */
    desk_painting paint;
    fh_plan_facts plan; /* without the present moment; a deadline of 0: none */
    double tolerance, shell_mm, gap_mm;
    size_t light_count;
    fh_condition light[FH_LIGHTS_MAX];
} desk_settings;

/* A state of the job that undo can bring back. */
typedef struct desk_state {
    desk_readings tray[TRAY_COUNT];
    desk_settings settings;
    bool from_code;      /* a helper who was read a code: the next is all that is known */
    fh_reading received; /* the bare target of that code; settings.tolerance is bare, too */
    fh_text spec;        /* the helper's target as it came; the owner's as it was sent last */
    fh_text paints;      /* the file of pots as it came */
    size_t paints_mark;  /* another one for every file of pots that was put in, 0 without */
} desk_state;

/* Put a text in the place of `what`, the spec or the paints of a state; FH_E_MEMORY. */
fh_status desk_set_file(fh_text *what, const char *text, size_t length);

enum { DESK_UNDO = 24 };

typedef struct page_desk {
    size_t marks; /* files of pots that were put in so far */
    desk_state now;
    desk_state past[DESK_UNDO]; /* oldest first; those from `past_count` on can be redone */
    size_t past_count, future_count;
    page_photo photo; /* on the table, no part of the job */
    fh_paints pots;   /* the file of pots with this mark, fitted; 0: none yet */
    size_t pots_mark;
} page_desk;

/* Settings of an empty job. */
desk_settings desk_settings_default(void);

/* Whether a setting of that key is a text (role, title, owner, helper, kit, match, and those of
 * desk_painting but for added, as paint_batch, paint_least…), or a number
 * (tolerance, shell_mm, gap_mm). */
bool desk_has_text(const char *key);
bool desk_has_number(const char *key);

/* Set a text, whole or not at all. FH_E_LIMIT when it is longer than is kept, FH_E_DATA when it is
 * no role, or holds what a job file cannot (a new line, a control character), FH_E_ARGUMENT for a
 * key that is no text's. */
fh_status desk_set_text(desk_settings *s, const char *key, fh_slice value, fh_error *error);

/* Set a number: tolerance above 0, at most 50; millimetres 0 to FH_BUILT_MM_MAX. FH_E_DATA outside,
 * or for NaN; FH_E_ARGUMENT for a key that is no number's. */
fh_status desk_set_number(desk_settings *s, const char *key, double value, fh_error *error);

/* Add what was put into the batch, behind what was put in before. Errors as desk_set_text;
 * FH_E_LIMIT as well after FH_BATCH_STEPS times. */
fh_status desk_add_step(desk_settings *s, fh_slice value, fh_error *error);

/* A deep copy; *out untouched on failure. Free one; an empty value is fine. */
fh_status desk_copy(const desk_state *state, desk_state *out);
void desk_state_free(desk_state *state);

/* "part", "shelf"…; false for another name. */
bool desk_tray_of(const char *name, desk_tray *tray);
const char *desk_tray_name(desk_tray tray);

/* Append a reading; one without an id gets it from its name, and it is made unique in the tray.
 * FH_E_LIMIT, FH_E_MEMORY. */
fh_status desk_add(desk_readings *readings, const fh_reading *reading);
void desk_remove(desk_readings *readings, size_t index);
void desk_clear(desk_readings *readings);

/* The reading of that id, or NULL. */
const fh_reading *desk_find(const desk_readings *readings, const char *id);

/* One reading as an object of a list. */
void desk_write_reading(page_json *j, const fh_reading *reading);

#endif
