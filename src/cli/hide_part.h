/* The part's own wall, which is thinner than the swatch in the library. */
#ifndef FARHUE_CLI_HIDE_PART_H
#define FARHUE_CLI_HIDE_PART_H

#include "cli/cli.h"
#include "farhue/hide.h"

/* What hide is asked about the part: by how much a wall of this amount, over what is behind it,
 * differs from the swatch that the library holds. */
typedef struct cli_part_wall {
    double amount;   /* 0: not asked */
    bool has_swatch; /* else: so thick that nothing shows */
    fh_reading swatch;
    const char *behind; /* what it is called, borrowed; NULL: a hollow part */
    fh_spectrum below;  /* the same as the film's instrument reads it */
    const char *unit;   /* borrowed */
} cli_part_wall;

/* Read --part-wall and --swatch; what is behind comes from --over, read before. */
int cli_part_wall_read(cli_context *cli, cli_part_wall *out);

/* Fails for a swatch that was read in another way than the film. */
int cli_part_wall_check(cli_context *cli, const cli_part_wall *wall, const fh_film *film);

/* Say it, in text or JSON; shell NULL: bare only. Nothing when it was not asked. */
void cli_part_wall_report(cli_context *cli, const cli_part_wall *wall, const fh_film *film,
                          const fh_shell_curves *shell);

#endif
