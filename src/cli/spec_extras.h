/* What `farhue spec` makes beside the spec file: spoken code, sheet, picture. */
#ifndef FARHUE_CLI_SPEC_EXTRAS_H
#define FARHUE_CLI_SPEC_EXTRAS_H

#include "cli/target.h"

#define CLI_SPEC_EXTRA_OPTIONS                                                                     \
    {"code", 0, NULL, "say the spoken code of the bare target", false},                            \
        {"from-code", 0, "CODE", "the bare target and its tolerance from a spoken code", false},   \
        {"sheet", 0, "FILE.html", "save a page for people, to print or to read on a phone",        \
         false},                                                                                   \
        {"shelf", 0, "FILE", "rank these candidates on the sheet and in the picture", false},      \
    {                                                                                              \
        "picture", 0, "FILE.png", "save the colours, bare and as seen, as a picture", false        \
    }

/* The target of --from-code. */
int cli_code_target(cli_context *cli, cli_target *out);

/* Make what the options ask for and report it. The spec is finished, with its check code. */
int cli_spec_extras(cli_context *cli, const cli_target *target, const fh_spec *spec);

#endif
