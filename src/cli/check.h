/* `farhue check` in two files: what is judged, and what is said of it. */
#ifndef FARHUE_CLI_CHECK_H
#define FARHUE_CLI_CHECK_H

#include "cli/target.h"

/* What is to be judged, and the reply it came in (NULL: readings alone). */
typedef struct check_case {
    fh_reading reading;
    fh_reply *reply;
    char name[FH_ERROR_FILE];
} check_case;

/* The report: looks, words, verdict, and what would settle an open case. */
void check_report_text(cli_context *cli, const cli_target *t, const check_case *c,
                       const fh_verdict *v);

/* The same as keys of the JSON report. */
void check_report_json(cli_context *cli, const cli_target *t, const check_case *c,
                       const fh_verdict *v);

#endif
