/* Files of a command: every input is remembered, so that no output replaces one. */
#include <string.h>

#include "base/memory.h"
#include "cli/cli.h"

int cli_read(cli_context *cli, const char *path, size_t limit, fh_file *out)
{
    fh_error error = {0};
    if (strcmp(path, "-") == 0) {
        if (cli->stdin_taken)
            return cli_usage(cli, "standard input (-) is given twice; expected once");
        cli->stdin_taken = true;
    }
    if (fh_reserve(&cli->inputs, &cli->input_capacity, cli->input_count + 1, sizeof *cli->inputs))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    if (fh_file_read(path, limit, &cli->inputs[cli->input_count], &error))
        return cli_fail(cli, &error);
    *out = cli->inputs[cli->input_count++];
    return CLI_DONE;
}

int cli_write(cli_context *cli, const char *path, const char *bytes, size_t length)
{
    fh_error error = {0};
    if (fh_file_write(path, bytes, length, cli->inputs, cli->input_count, &error))
        return cli_fail(cli, &error);
    return CLI_DONE;
}

int cli_product(cli_context *cli, const char *bytes, size_t length)
{
    const char *path = cli_value(cli, "output");
    if (!path) return CLI_DONE;
    cli->product = true;
    if (strcmp(path, "-") == 0) {
        if (cli->json)
            return cli_usage(cli, "-o - and --json both want standard output; expected one");
        cli->report = stderr;
    }
    return cli_write(cli, path, bytes, length);
}
