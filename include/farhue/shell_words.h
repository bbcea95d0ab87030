/* A fitted shell in plain sentences. */
#ifndef FARHUE_SHELL_WORDS_H
#define FARHUE_SHELL_WORDS_H

#include "farhue/shell.h"
#include "farhue/sink.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The curves miss one of their own readings by more than ΔE00 3 (common practice, no source): what
 * they say of the shell is worth nothing. */
FH_API bool fh_shell_fit_fails(const fh_shell_report *report);

/* Say what a shell's fit is worth: how it was come by, how well it meets its readings, how much of
 * the look comes from the part, what can't be seen, what to distrust, what another backing would
 * improve. A fit that fails says nothing of the look. One sentence a line, UTF-8. names: the
 * backings' names, as many as report->count. Returns what the sink returned. */
FH_API fh_status fh_shell_explain(const fh_shell *shell, const fh_shell_report *report,
                                  const char *const *names, fh_sink sink);

#ifdef __cplusplus
}
#endif
#endif
