/* What the job's readings amount to: the colour to match and the shell in front of it. */
#ifndef FARHUE_PAGE_STACK_H
#define FARHUE_PAGE_STACK_H

#include "page/desk.h"

/* A reading with a spectrum: its own, or the estimated one. */
fh_status stack_with_spectrum(const fh_reading *reading, fh_reading *out, fh_error *error);

/* The reference part: the chosen spot, or the mean of all. FH_E_DATA: no reading yet. */
fh_status stack_part(const desk_state *job, fh_reading *out, fh_error *error);

/* The shell from its readings; *out is the caller's (fh_free). report may be NULL. */
fh_status stack_shell(const desk_state *job, fh_shell **out, fh_shell_report *report,
                      fh_error *error);

/* Target and shell of a job, ready for judging. About 10 KiB; free with stack_free. */
typedef struct page_stack {
    fh_target target; /* target.shell is shell */
    fh_shell *shell;  /* NULL: none is known */
} page_stack;

fh_status stack_of(const desk_state *job, page_stack *out, fh_error *error);
void stack_free(page_stack *stack);

#endif
