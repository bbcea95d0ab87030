/* What `farhue plan` takes from `farhue hide`. */
#ifndef FARHUE_CLI_PLAN_COATS_H
#define FARHUE_CLI_PLAN_COATS_H

#include "cli/cli.h"
#include "farhue/plan.h"

/* Coats and drying time from the file of --hide, where it is given. */
int plan_coats(cli_context *cli, fh_plan_facts *facts);

#endif
