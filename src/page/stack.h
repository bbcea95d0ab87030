/* What the job's readings amount to: the colour to match and the shell in front of it. */
#ifndef FARHUE_PAGE_STACK_H
#define FARHUE_PAGE_STACK_H

#include "farhue/shell_file.h"
#include "farhue/spec_file.h"

#include "page/desk.h"

/* A reading with a spectrum: its own, or the estimated one. */
fh_status stack_with_spectrum(const fh_reading *reading, fh_reading *out, fh_error *error);

/* The reference part: the chosen spot, or the mean of all. FH_E_DATA: no reading yet. */
fh_status stack_part(const desk_state *job, fh_reading *out, fh_error *error);

/* The shell from its readings; *out is the caller's (fh_shell_record_free). */
fh_status stack_shell(const desk_state *job, fh_shell_record **out, fh_error *error);

/* Target and shell of a job, ready for judging. About 10 KiB; free with stack_free. */
typedef struct page_stack {
    fh_target target;        /* target.shell is shell */
    const fh_shell *shell;   /* of record or spec; NULL: none is known */
    fh_shell_record *record; /* the owner's; NULL: no shell, or it came in a spec */
    fh_spec *spec;           /* the helper's; NULL: no spec came */
} page_stack;

fh_status stack_of(const desk_state *job, page_stack *out, fh_error *error);
void stack_free(page_stack *stack);

/* Whether the target is the spec that was received rather than what was measured. */
bool stack_is_received(const desk_state *job);

#endif
