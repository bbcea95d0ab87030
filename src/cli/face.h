/* How the face of the finished part will be: the options --clear-coat and --gloss. */
#ifndef FARHUE_CLI_FACE_H
#define FARHUE_CLI_FACE_H

#include "cli/cli.h"
#include "farhue/surface.h"

#define CLI_FACE_OPTIONS                                                                           \
    {"clear-coat", 0, "N",                                                                         \
     "a clear coat of that refractive index goes on top (1.5 as a rule); glossy, or see --gloss",  \
     false},                                                                                       \
    {                                                                                              \
        "gloss", 0, "UNITS", "60° gloss of the finished part (else as the paint was read)", false  \
    }

/* index: of the clear coat, 0 without one; gloss: negative when not given. */
int cli_face_read(cli_context *cli, fh_finish *out);

/* Either option was given. */
bool cli_face_given(const fh_finish *wish);

/* A note for a gloss above that of a smooth face; index: of the coat. */
void cli_face_note(cli_context *cli, const fh_finish *wish, double index);

/* What the face alone does to a colour; in text a sentence, in JSON the object "finish". without:
 * NULL where it isn't known how the paint reads without it. */
void cli_face_report(cli_context *cli, const fh_finish *wish, const fh_spectrum *without,
                     const fh_spectrum *with);

#endif
