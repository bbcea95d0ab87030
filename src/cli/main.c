/* The program: finds the command, runs it, writes its report. */
#include <signal.h>
#include <stdio.h>
#include <string.h>

#include "cli/commands.h"
#include "cli/terminal.h"
#include "farhue/version.h"

static bool asks_for_help(int count, char **words)
{
    for (int i = 0; i < count && strcmp(words[i], "--"); ++i)
        if (strcmp(words[i], "--help") == 0 || strcmp(words[i], "-h") == 0) return true;
    return false;
}

static int run(const cli_command *command, int count, char **words)
{
    cli_context cli = {.command = command, .report = stdout, .progress_shown = -1};
    cli.root = json_object();
    cli.notes = json_array();
    int code = cli_parse(&cli, count, words);
    if (!code) {
        cli_look_at_terminal(&cli);
        code = cli_open_job(&cli);
        if (!code) code = command->run(&cli);
    }
    code = cli_finish(&cli, code);
    cli_release(&cli);
    return code;
}

int main(int count, char **words)
{
    int code = CLI_DONE;
    signal(SIGXFSZ, SIG_IGN); /* a file-size limit is an error of write, not the end */
    if (count < 2) {
        cli_usage(NULL, "no command given; expected farhue COMMAND");
        return CLI_USAGE;
    }
    if (strcmp(words[1], "--version") == 0) {
        puts("farhue " FH_VERSION);
        return CLI_DONE;
    }
    if (!strcmp(words[1], "help") || !strcmp(words[1], "--help") || !strcmp(words[1], "-h"))
        return cli_help(count - 2, words + 2);
    const cli_command *command = cli_find_command(words[1], &code);
    if (!command) return code;
    if (asks_for_help(count - 2, words + 2)) return cli_help(1, words + 1);
    return run(command, count - 2, words + 2);
}
