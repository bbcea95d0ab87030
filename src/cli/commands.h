/* The commands, in the order of the job. A new one: a file with `const cli_command cli_NAME`, a
 * row here, and tests/cli/test_NAME.sh. */
#ifndef FARHUE_CLI_COMMANDS_H
#define FARHUE_CLI_COMMANDS_H

#include "cli/cli.h"

/* clang-format off */
#define CLI_COMMANDS(ROW) \
    ROW(sample) \
    ROW(pool) \
    ROW(shell) \
    ROW(predict) \
    ROW(aim) \
    ROW(spec) \
    ROW(rank) \
    ROW(check) \
    ROW(tie) \
    ROW(hide) \
    ROW(compare) \
    ROW(swatches) \
    ROW(mix) \
    ROW(plan) \
    ROW(name)
/* clang-format on */

#define CLI_DECLARE(name) extern const cli_command cli_##name;
CLI_COMMANDS(CLI_DECLARE)
#undef CLI_DECLARE

/* All of them, ending with NULL. */
extern const cli_command *const cli_all_commands[];

/* The command of that name; NULL after an error message, whose exit code is in *code. */
const cli_command *cli_find_command(const char *name, int *code);

/* `farhue help`, `farhue help COMMAND`. */
int cli_help(int count, char **words);

#endif
