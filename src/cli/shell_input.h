/* Shells and pairs of readings on the command line. */
#ifndef FARHUE_CLI_SHELL_INPUT_H
#define FARHUE_CLI_SHELL_INPUT_H

#include "cli/cli.h"
#include "farhue/shell_file.h"

/* Read a shell file; path NULL: the shell of the job, or shell.txt. Notes are passed on. Owned by
 * the context. */
int cli_read_shell(cli_context *cli, const char *path, fh_shell_record **out);

/* The shell of the job, or shell.txt; in a job without one it is fitted from the job's backings,
 * with a note. *out is NULL when there is neither. Owned by the context. */
int cli_usual_shell(cli_context *cli, fh_shell_record **out);

/* The shell of the option --shell (or of the job, or shell.txt, when required); *out is NULL when
 * there is none and it isn't required. */
int cli_through(cli_context *cli, bool required, fh_shell_record **out);

/* A look with what was behind it. */
typedef struct cli_pair {
    fh_reading look, backing;
} cli_pair;

/* Read looks with their backings from operands. An operand is LOOK=BACKING, two colour arguments,
 * or a file: in it a look names its backing (SAMPLE_BACKING), or there are two readings, the
 * backing and the look over it. At most most pairs; *count of them. */
int cli_pairs(cli_context *cli, const char *const *operands, size_t operand_count, cli_pair *pairs,
              size_t most, size_t *count);

/* The same from the usual backings of the job or the folder, as far as they are there. partial: a
 * backing without a look over it is left out, else it is an error. */
int cli_usual_pairs(cli_context *cli, bool partial, cli_pair *pairs, size_t most, size_t *count);

/* A refractive index given as --index: a number, or acrylic, polycarbonate; keeps *out without. */
int cli_index(cli_context *cli, double *out);

#endif
