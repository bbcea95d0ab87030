/* Width and colours of the terminal. */
#define _DEFAULT_SOURCE /* TIOCGWINSZ */
#include "cli/terminal.h"

#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

size_t cli_terminal_columns(int descriptor)
{
    long columns;
    struct winsize size;
    const char *text = getenv("COLUMNS");
    if (!isatty(descriptor)) return 0;
    if (text && fh_parse_integer(fh_slice_of(text), &columns) && columns >= 20 && columns <= 1000)
        return (size_t)columns;
    if (ioctl(descriptor, TIOCGWINSZ, &size) == 0 && size.ws_col >= 20) return size.ws_col;
    return 80;
}

void cli_look_at_terminal(cli_context *cli)
{
    const char *no_colour = getenv("NO_COLOR"), *term = getenv("TERM");
    bool terminal = isatty(STDOUT_FILENO) && !cli_value(cli, "output");
    bool dumb = !term || strcmp(term, "dumb") == 0;
    cli->width = terminal ? cli_terminal_columns(STDOUT_FILENO) : 0;
    cli->patches = cli_flag(cli, "patches") || (terminal && !dumb && !(no_colour && *no_colour));
}
