/* The actions of farhue swatches; each gets the files after its name. */
#ifndef FARHUE_CLI_SWATCHES_H
#define FARHUE_CLI_SWATCHES_H

#include "cli/cli.h"

int swatches_list(cli_context *cli, const char **files, size_t count);
int swatches_validate(cli_context *cli, const char **files, size_t count);
int swatches_convert(cli_context *cli, const char **files, size_t count);
int swatches_add(cli_context *cli, const char **files, size_t count);
int swatches_join(cli_context *cli, const char **files, size_t count);

#endif
