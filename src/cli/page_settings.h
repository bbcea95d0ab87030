/* What the page keeps beside the readings of a job: the table "page" (docs/formats.md, Jobs). */
#ifndef FARHUE_CLI_PAGE_SETTINGS_H
#define FARHUE_CLI_PAGE_SETTINGS_H

#include "cli/cli.h"

/* Those that say which target is meant. */
typedef struct cli_page_settings {
    bool there;        /* the job has such a table */
    char match[FH_ID]; /* the spot of part that is matched; empty: the mean of all */
    bool aimed;        /* the colour worked back from the look is matched instead */
    double tolerance, shell_mm, gap_mm; /* negative: not stated */
    size_t light_count;                 /* 0: not stated */
    fh_condition light[CLI_LIGHTS];
} cli_page_settings;

/* The settings of the job of --job; without a job, or without that table, there is false. */
int cli_read_page_settings(cli_context *cli, cli_page_settings *out);

#endif
