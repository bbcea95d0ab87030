/* How much of a film hides what is behind it, in amounts, coats and hours: for hide and mix. */
#ifndef FARHUE_CLI_COATS_H
#define FARHUE_CLI_COATS_H

#include "cli/cli.h"
#include "farhue/hide.h"

#define CLI_COATS_OPTIONS                                                                          \
    {"over", 0, "READING", "what is to be hidden: an existing part (else black and white)",        \
     false},                                                                                       \
        {"coat", 0, "AMOUNT", "what one coat lays on, in the same unit: answers in coats", false}, \
        {"drying", 0, "HOURS", "drying time of a coat: answers in hours", false},                  \
    {                                                                                              \
        "unit-name", 0, "NAME", "what the amounts are in: mm, ml, coats", false                    \
    }

enum { CLI_COATS_GOALS = 2 };

/* One goal, bare and seen; amount negative: not with any amount that was tried. */
typedef struct cli_coats_goal {
    const char *key, *name;
    fh_hide_goal goal;
    double amount[2];
} cli_coats_goal;

typedef struct cli_coats {
    double tolerance;    /* ΔE00 that still counts as hidden */
    double coat, drying; /* amount of a coat, hours; 0: not given */
    double doubt;        /* the amounts may have to be larger by this factor; 1: not said */
    const char *unit;
    bool over; /* a part, else black and white */
    fh_reading part;
    bool through;           /* behind a shell as well */
    fh_hide_scene scene[2]; /* bare, seen */
    cli_coats_goal goals[CLI_COATS_GOALS];
} cli_coats;

/* Tolerance 1, no doubt, and CLI_COATS_OPTIONS; unit is NULL where it isn't said. */
int cli_coats_read(cli_context *cli, cli_coats *out);

/* The amounts, at most `most`. index: of the face that the part was read with. shell: NULL, or the
 * curves in front, borrowed by the scene. */
int cli_coats_find(cli_context *cli, cli_coats *coats, const fh_film *film, double most,
                   const fh_shell_curves *shell);

/* Whether the table has figures "to be safe". */
bool cli_coats_have_safe(const cli_coats *coats);

/* The table and the hours in text; the array "goals" of an object in JSON. */
void cli_coats_print(cli_context *cli, const cli_coats *coats);
void cli_coats_json(cli_context *cli, const cli_coats *coats, json_t *object);

#endif
