/* Plans as files: what is known of a plan, as a table. docs/formats.md has the names. */
#ifndef FARHUE_PLAN_FILE_H
#define FARHUE_PLAN_FILE_H

#include "farhue/plan.h"
#include "farhue/table.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Take what the table says into facts, which hold what counts where it is silent (fh_plan_usual).
 * FH_E_DATA with the place: no such columns, a step that isn't one or is there twice, hours, coats,
 * waking hours or a deadline out of range, a route that isn't one, no route left; facts may be
 * half-filled then. */
FH_API fh_status fh_plan_read(const fh_table *table, fh_plan_facts *facts, fh_error *error);

/* What differs from fh_plan_usual as table text, to be freed with fh_text_free; the present moment
 * is no part of it. A deadline of 0 is none. created (ISO 8601) may be NULL. FH_E_MEMORY. */
FH_API fh_status fh_plan_write(const fh_plan_facts *facts, const char *created, fh_text *out);

#ifdef __cplusplus
}
#endif
#endif
