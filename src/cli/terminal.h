/* What the terminal can show; the environment is read here and nowhere else. */
#ifndef FARHUE_CLI_TERMINAL_H
#define FARHUE_CLI_TERMINAL_H

#include "cli/cli.h"

/* Set cli->width and cli->patches from stdout, COLUMNS, NO_COLOR, TERM and the options. */
void cli_look_at_terminal(cli_context *cli);

#endif
