/* What the terminal can show; the environment is read here and nowhere else. */
#ifndef FARHUE_CLI_TERMINAL_H
#define FARHUE_CLI_TERMINAL_H

#include "cli/cli.h"

/* Columns of the terminal behind a file descriptor, 0 when it is none. */
size_t cli_terminal_columns(int descriptor);

/* Add a line, broken between words before `width` columns. What follows a break is indented by so
 * many columns; CLI_HANGING: like the line itself, or under the text behind a label. */
#define CLI_HANGING ((size_t)-1)
void cli_wrap(fh_slice line, size_t width, size_t indent, fh_buffer *out);

/* Set cli->width and cli->patches from stdout, COLUMNS, NO_COLOR, TERM and the options. */
void cli_look_at_terminal(cli_context *cli);

#endif
