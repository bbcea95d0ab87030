/* The target of a command: from a spec, or from part, shell, lights and tolerance. */
#ifndef FARHUE_CLI_TARGET_H
#define FARHUE_CLI_TARGET_H

#include "cli/cli.h"
#include "farhue/shell_file.h"
#include "farhue/spec.h"
#include "farhue/tie.h"
#include "farhue/verdict.h"

/* The options that cli_find_target reads; a command lists them among its own. */
#define CLI_TARGET_OPTIONS                                                                         \
    {"part", 'p', "COLOUR", "the bare target (part.txt)", false},                                  \
        {"shell", 's', "FILE", "the shell in front (shell.txt, if there)", false},                 \
        {"bare", 0, NULL, "nothing in front, even where shell.txt is there", false},               \
        {"lights", 'l', "COND,...", "lights to look under (D65/10,A/10,LED-B1/10)", false},        \
        {"tolerance", 't', "DE00", "largest ΔE00 as seen that is still right (2.0)", false},       \
        {"look", 0, "COLOUR", "in place of a part: the measured look of the assembled stack",      \
         false},                                                                                   \
    {                                                                                              \
        "aimed", 0, NULL, "the part was worked back from a look, where its file does not say so",  \
            false                                                                                  \
    }

typedef struct cli_target {
    fh_target target;       /* borrows spec or shell */
    fh_spec *spec;          /* NULL unless it came from one */
    fh_shell_record *shell; /* NULL: nothing in front */
    char source[FH_ERROR_FILE]; /* where the part came from */
} cli_target;

/* The target from CLI_TARGET_OPTIONS and the usual files alone. */
int cli_part_target(cli_context *cli, cli_target *out);

/* The target of a spec: --spec FILE, or the usual spec.txt. */
int cli_spec_target(cli_context *cli, cli_target *out);

/* Whichever is there: --spec, or --part, or the usual spec, or the usual part. Options given
 * beside a spec take the place of what it says, and a note says so. */
int cli_find_target(cli_context *cli, cli_target *out);

/* Read a tie given as --tie FILE; *found tells whether there was one. */
int cli_find_tie(cli_context *cli, fh_tie *out, bool *found);

/* Correct a reading by the tie; the condition must be the tie's, else the reading is carried
 * there first, with a note. */
int cli_apply_tie(cli_context *cli, const fh_tie *tie, fh_reading *reading);

/* Two or three lines: the target, its tolerance, its lights. */
void cli_print_target(cli_context *cli, const cli_target *target);

/* A line on how the shell of a spec is built, where that is known. */
void cli_print_built(cli_context *cli, const fh_spec *spec);

/* The target as keys of an object. */
void cli_json_target(cli_context *cli, json_t *object, const cli_target *target);

/* The same as keys of an object. */
void cli_json_built(cli_context *cli, json_t *object, const fh_spec *spec);

/* The figures of a verdict as keys of an object: bare, seen, p_within, verdict… */
void cli_json_verdict(cli_context *cli, json_t *object, const fh_verdict *verdict);

/* The date of today, ISO 8601, or that of --date, which is checked. */
int cli_date(cli_context *cli, const char *option, char out[FH_DATE]);

#endif
