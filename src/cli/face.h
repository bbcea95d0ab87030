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

typedef struct cli_face {
    double clear; /* index of the clear coat, 0: none */
    double gloss; /* of the finished part, negative: not given */
} cli_face;

int cli_face_read(cli_context *cli, cli_face *out);

/* Either option was given. */
bool cli_face_given(const cli_face *face);

/* Light in and out of the finished part. index, smooth: the paint's own face without a veil; read:
 * the same as its coats were read. Without the options *out is read. Says so when the gloss of a
 * paint without a face is asked for. */
int cli_face_surface(cli_context *cli, const cli_face *face, double index, const fh_surface *smooth,
                     const fh_surface *read, const fh_method *method, fh_surface *out);

/* What the face alone does to a colour; in text a sentence, in JSON the object "finish". */
void cli_face_report(cli_context *cli, const cli_face *face, const fh_spectrum *without,
                     const fh_spectrum *with);

#endif
