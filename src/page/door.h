/* The one door between the page and the engine: a request goes in, a JSON object comes out.
 *
 *   do=NAME            which call
 *   key=value          what it needs
 *
 * Every reply has "ok"; when it is false, "message" says what was found and what was expected.
 * A call that fails leaves the job as it was. */
#ifndef FARHUE_PAGE_DOOR_H
#define FARHUE_PAGE_DOOR_H

#include "farhue/library.h"
#include "page/desk.h"

/* A call writes its members into an object that is already open. */
typedef fh_status (*page_call)(page_desk *desk, const page_request *request, page_json *reply,
                               fh_error *error);

typedef struct page_entry {
    const char *name;
    page_call call;
    bool changes; /* the job: what was before can be brought back */
} page_entry;

/* The calls, file by file; each table ends with a NULL name. */
extern const page_entry page_reading_calls[], page_desk_calls[], page_match_calls[],
    page_job_calls[], page_photo_calls[], page_spec_calls[], page_paint_calls[], page_batch_calls[],
    page_plan_calls[];

/* The part of the "desk" reply that is worked out: shell, proof, aim, target. */
fh_status describe_stack(page_json *j, const desk_state *job);

/* The coupon that a request is about: the reading at "index", else the mean of all. */
fh_status page_coupon(const desk_state *job, const page_request *r, fh_reading *out,
                      fh_error *error);

/* A body that is text; FH_E_DATA says what it is instead. */
fh_status page_require_text(const page_request *r, fh_error *error);

/* What the request says about a file of readings that does not: "condition" and "unit". */
fh_library_defaults page_defaults(const page_request *r);

/* Notes, one a line, as a list under "notes". */
void page_write_notes(page_json *j, const fh_text *notes);

/* Tell the page how far long work is; the module's export or the native tests define it. */
bool page_progress(void *user, double done);

/* Answer a request: the reply is NUL-terminated and belongs to the caller (fh_buffer_free). */
fh_buffer page_answer(page_desk *desk, const page_request *request);

/* An empty desk, and giving back all that one holds. */
void page_desk_new(page_desk *desk);
void page_desk_free(page_desk *desk);

#endif
