/* Readings with and without the mirror reflection side by side. */
#ifndef FARHUE_CLI_MODE_H
#define FARHUE_CLI_MODE_H

#include "cli/cli.h"
#include "farhue/surface.h"

/* Note that a reading was carried to the specular mode of `what` ("the shell"). */
void cli_note_converted(cli_context *cli, const fh_reading *reading, const char *what);

/* An opaque thing in the specular mode of `as`, which belongs to `what`: as it was
 * read, or converted by its gloss with a note; an error where it can't be. */
int cli_into_mode(cli_context *cli, fh_reading *reading, const fh_method *as, const char *what);

/* A look through a shell, which can't be converted: an error where the modes differ. */
int cli_require_mode(cli_context *cli, const fh_reading *look, const fh_method *as,
                     const char *what);

#endif
