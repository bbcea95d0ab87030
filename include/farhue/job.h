/* A job: all that a part's colour needs, in one file of several tables.
 *
 * Each table of a job says by the keyword JOB which file of a job folder it stands for: part,
 * black, grey, white, shell, spec, shelf, coupon, reply … (docs/formats.md). */
#ifndef FARHUE_JOB_H
#define FARHUE_JOB_H

#include "farhue/table.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The tables of a job that stand for name, as a text of their own in which every line keeps its
 * number, so that errors in it point into the job. FH_E_DATA when the job has no such table,
 * naming those it has. The caller frees *out with fh_text_free. */
FH_API fh_status fh_job_part(const char *job, size_t length, const char *name, fh_text *out,
                             fh_error *error);

/* Whether the job has a table for name; false also for a text that is no table text. */
FH_API bool fh_job_has(const char *job, size_t length, const char *name);

/* One file to go into a job: table text or CSV, and the name it is to have there. */
typedef struct fh_job_item {
    const char *name;
    const char *text;
    size_t length;
} fh_job_item;

/* Join files into a job. Errors carry the item's name as their file. The caller frees *out. */
FH_API fh_status fh_job_join(const fh_job_item *items, size_t count, fh_text *out, fh_error *error);

/* Join files of which some may be jobs themselves: their tables keep the names that they have
 * there. Where a later item has a table of the same name as an earlier one, all tables of that name
 * in the earlier one are left out, and notes (may be NULL; appended to, one sentence a line) says
 * so. Errors carry the item's name as their file. The caller frees *out and *notes. */
FH_API fh_status fh_job_merge(const fh_job_item *items, size_t count, fh_text *out, fh_text *notes,
                              fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
