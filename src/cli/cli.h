/* What every command of the program shares: its arguments, its report, its errors and notes.
 *
 * A command is one file with one `const cli_command cli_NAME` and one row in commands.h. Its run
 * function returns an exit code; every function here that can fail has already said why on
 * stderr when it returns something else than CLI_DONE, so a command passes the code on. */
#ifndef FARHUE_CLI_CLI_H
#define FARHUE_CLI_CLI_H

#include <jansson.h>
#include <stdio.h>

#include "base/text.h"
#include "farhue/cautions.h"
#include "farhue/file.h"
#include "farhue/library.h"

/* Exit codes. CLI_REJECTED and CLI_AGAIN are answers, not errors. */
enum {
    CLI_DONE = 0,     /* done, accepted, within the tolerance */
    CLI_REJECTED = 1, /* only `check` and `compare --tolerance` */
    CLI_USAGE = 2,    /* the command line is wrong */
    CLI_DATA = 3,     /* the input is wrong */
    CLI_IO = 4,       /* a file, the memory or the disk failed */
    CLI_AGAIN = 5     /* measure again */
};

/* An option --name, with -letter where letter is not 0. value is its name in the help, NULL for a
 * flag; an option that may be given more than once has many set. */
typedef struct cli_option {
    const char *name;
    char letter;
    const char *value;
    const char *help;
    bool many;
} cli_option;

typedef struct cli_context cli_context;

typedef struct cli_command {
    const char *name;
    const char *summary;       /* one line, no full stop */
    const char *usage;         /* what follows `farhue NAME`, without options: "A B" */
    const char *details;       /* paragraphs for `farhue help NAME`, ending in a line feed */
    const cli_option *options; /* ends with a row of zeros; NULL for none of its own */
    size_t least, most;        /* operands; most may be CLI_ANY */
    int (*run)(cli_context *cli);
} cli_command;

enum { CLI_ANY = 1000000 };

/* An option that was given. text is NULL for a flag. */
typedef struct cli_given {
    const cli_option *option;
    const char *text;
} cli_given;

/* An input of a command, and how errors name it. */
typedef struct cli_input {
    char name[FH_ERROR_FILE];
    const char *bytes;
    size_t length;
} cli_input;

struct cli_context {
    const cli_command *command;
    const char **operands;
    size_t operand_count;
    cli_given *given;
    size_t given_count;

    bool json;      /* the report is the JSON object `root`, not text */
    bool patches;   /* show colours as patches */
    size_t width;   /* columns of the terminal, 0 when the report does not go to one */
    json_t *root;   /* the report in JSON */
    json_t *notes;  /* its "notes" */
    fh_buffer text; /* the report as text */
    FILE *report;   /* where it goes: stdout, or stderr when -o - has what the command made */
    bool report_anyway; /* print the report though the command failed */
    bool product;   /* -o was used for what the command makes, not for its report */

    struct cli_kept *kept; /* what to free at the end */
    size_t kept_count, kept_capacity;
    double progress_shown; /* last share that was shown, negative before the first */
    fh_file *inputs;       /* what was read, so that nothing is written over it */
    size_t input_count, input_capacity;
    bool stdin_taken;
    cli_input job;            /* of --job, once it was read */
    cli_input standard_input; /* of -#ID, once it was read */
};

/* --- Arguments (arguments.c) ---------------------------------------------------------------- */

/* Read the words after the command's name; fills operands, given, json, patches. */
int cli_parse(cli_context *cli, int count, char **words);

bool cli_flag(const cli_context *cli, const char *name);

/* The value of an option, or NULL; of the index-th occurrence for an option with many. */
const char *cli_value(const cli_context *cli, const char *name);
const char *cli_value_at(const cli_context *cli, const char *name, size_t index);

/* The number given as an option; *out keeps its value when the option is absent. Numbers outside
 * low–high, and a decimal comma, are usage errors. */
int cli_number(cli_context *cli, const char *name, double low, double high, double *out);

/* The same for whole numbers. */
int cli_whole(cli_context *cli, const char *name, long low, long high, long *out);

/* The common options, ending with a row of zeros. */
extern const cli_option cli_common_options[];

/* The word of a list that is nearest in spelling, NULL when none is near. Words are visited by
 * calling next(user, i) until it returns NULL. */
const char *cli_nearest(const char *word, const char *(*next)(const void *user, size_t i),
                        const void *user);

/* --- Text from elsewhere (visible.c) -------------------------------------------------------- */

/* Add a text; what controls a terminal, turns the direction of writing or is not UTF-8 is written
 * as \x1b or \u202e. lines: tabs and new lines stay. */
void cli_add_visible(fh_buffer *out, fh_slice text, bool lines);

/* A JSON string; bytes that are not UTF-8, which JSON cannot hold, as above. */
json_t *cli_json_string(const char *text);

/* Add JSON text with such characters as JSON's own escapes: the same value for any reader. */
void cli_add_json(fh_buffer *out, const char *dump);

/* --- Errors, notes, progress (context.c) ---------------------------------------------------- */

/* `farhue COMMAND: …; see farhue help COMMAND` on stderr; returns CLI_USAGE. */
int cli_usage(cli_context *cli, const char *format, ...) FH_PRINTF(2, 3);

/* `farhue COMMAND: FILE:LINE:COL: message`; returns the exit code of the error's status. */
int cli_fail(cli_context *cli, const fh_error *error);

/* An error that stands in no file: `farhue COMMAND: message`. */
int cli_fail_text(cli_context *cli, fh_status status, const char *format, ...) FH_PRINTF(3, 4);

int cli_exit_code(fh_status status);

/* Say what was done beyond what was asked, each sentence once: on stderr, or in the notes of the
 * JSON report. */
void cli_note(cli_context *cli, const char *format, ...) FH_PRINTF(2, 3);

/* Progress for long calls: pass cli_show_progress and the context. Writes to stderr only when
 * that is a terminal. */
bool cli_show_progress(void *context, double done);

/* Clear what that may have left on the line, before something else is written. */
void cli_clear_progress(cli_context *cli);

/* Free `block` (from base/memory) when the program ends; returns it. NULL is fine. */
void *cli_keep(cli_context *cli, void *block);

/* The same for what has a function of its own to be freed with. */
void *cli_keep_with(cli_context *cli, void *block, void (*release)(void *block));
void cli_release(cli_context *cli);

/* --- Files (files.c) ------------------------------------------------------------------------- */

/* Read a whole file ("-": standard input, once). The bytes are freed at the end. */
int cli_read(cli_context *cli, const char *path, size_t limit, fh_file *out);

/* Read the job of --job, if there is one; before the command runs. */
int cli_open_job(cli_context *cli);

/* A table or another text: the file at path, or the job's tables of that name when there is no
 * such file; without a path (NULL) the tables called name in the job, or NAME.txt in the folder. A
 * picture or the like is named, with what to do. */
int cli_text_input(cli_context *cli, const char *path, const char *name, cli_input *out);

/* Whether cli_text_input would find something for that name without a path. */
bool cli_has_input(cli_context *cli, const char *name);

/* Text that was read, as tables (table text or CSV); owned by the context. */
int cli_tables(cli_context *cli, const cli_input *input, fh_tables **out);

/* Readings: of an input, and from the file to the readings at one go. Notes are passed on, the
 * options --condition, --unit and --family say what the file does not. Owned by the context. */
int cli_library(cli_context *cli, const cli_input *input, fh_library *out);
int cli_read_library(cli_context *cli, const char *path, const char *name, fh_library *out);

/* Sentences of a reader, one a line, as notes; about (may be NULL) stands before each. */
void cli_notes(cli_context *cli, const char *about, const fh_text *notes);

/* What the options say about files that do not. */
int cli_defaults(cli_context *cli, fh_library_defaults *out);

/* An error about an input: cli_fail with the input's name. */
int cli_fail_input(cli_context *cli, const cli_input *input, fh_error *error);

/* Write a file whole or not at all, never over one that was read. */
int cli_write(cli_context *cli, const char *path, const char *bytes, size_t length);

/* What the command makes (a table of readings, a shell, a spec): goes to -o FILE; without -o it
 * is not saved. A command that never calls this has its report saved by -o. */
int cli_product(cli_context *cli, const char *bytes, size_t length);

/* --- Colours and lights (colour_argument.c, lights.c) ---------------------------------------- */

/* A colour argument: lab:L,a,b  lch:L,C,h  xyz:X,Y,Z  srgb:rrggbb, with @COND after it, or
 * FILE#ID; FILE alone when it holds one reading. */
int cli_colour(cli_context *cli, const char *text, fh_reading *out);

/* Whether a text is one of the first four. */
bool cli_is_literal(const char *text);

/* FILE#ID as its two parts; an existing file of the whole name wins, then *id is NULL. Both live as
 * long as the context. */
int cli_split_id(cli_context *cli, const char *text, const char **file, const char **id);

/* A condition given as text, such as D65/10; what names it in the error message. */
int cli_condition(cli_context *cli, const char *what, const char *text, fh_condition *out);

enum { CLI_LIGHTS = 8 };

/* The conditions of --lights COND,COND…; without the option *count stays 0. */
int cli_lights(cli_context *cli, fh_condition lights[CLI_LIGHTS], size_t *count);

/* The lamp of --lamp FILE under that observer; *given tells whether there is one. */
int cli_lamp(cli_context *cli, fh_observer observer, fh_weights *out, bool *given);

#define CLI_LAMP_OPTION                                                                            \
    {                                                                                              \
        "lamp", 0, "FILE", "one light more: a lamp by its spectral power", false                   \
    }

/* --- The report (report.c) ------------------------------------------------------------------ */

/* Text of the report; a call of cli_print is cut at 1023 bytes, cli_put has no limit. */
void cli_print(cli_context *cli, const char *format, ...) FH_PRINTF(2, 3);
void cli_put(cli_context *cli, const char *text);

/* Keys of the JSON report. A number that isn't finite becomes null and a note. The object may be
 * cli->root or any other; NULL is ignored, so that text reports may share the code. */
void cli_json_number(cli_context *cli, json_t *object, const char *key, double value);
void cli_json_text(json_t *object, const char *key, const char *text);
void cli_json_bool(json_t *object, const char *key, bool value);
void cli_json_numbers(cli_context *cli, json_t *object, const char *key, const double *values,
                      size_t count);
void cli_json_lab(cli_context *cli, json_t *object, const char *key, fh_lab lab); /* [L, a, b] */
void cli_json_condition(json_t *object, const char *key, fh_condition condition);
json_t *cli_json_object(json_t *object, const char *key); /* a new object under key */
json_t *cli_json_array(json_t *object, const char *key);  /* a new array under key */
json_t *cli_json_append(json_t *array);                   /* a new object at an array's end */

/* The cautions that belong to what was advised, in text or as the array "cautions". */
void cli_put_cautions(cli_context *cli, const fh_caution *wanted, size_t count);

/* All that belong to painting. */
void cli_put_painting_cautions(cli_context *cli);

/* Write the report where it goes; returns code, or CLI_IO when that fails. */
int cli_finish(cli_context *cli, int code);

#endif
