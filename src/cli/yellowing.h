/* The yellowness index of two readings, and what it means. */
#ifndef FARHUE_CLI_YELLOWING_H
#define FARHUE_CLI_YELLOWING_H

#include "cli/cli.h"

/* Yellowness index of [ASTME313] of two readings of one condition. */
typedef struct cli_yellowing {
    bool known;        /* the condition is one of C or D65, and both have an index */
    bool apt;          /* both are near white, grey or yellowish, for which the index is meant */
    double yi[2];      /* of the first and the second */
    double half;       /* half the 95 % interval of their difference; 0: no uncertainty is stated */
    const char *words; /* the second against the first; NULL unless apt */
} cli_yellowing;

cli_yellowing cli_yellowing_of(const fh_reading *first, const fh_reading *second);

/* Whether the uncertainty leaves open which of the two is yellower. */
bool cli_yellowing_open(const cli_yellowing *y);

#endif
