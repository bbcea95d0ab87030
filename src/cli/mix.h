/* The parts of `farhue mix`. */
#ifndef FARHUE_CLI_MIX_H
#define FARHUE_CLI_MIX_H

#include "cli/coats.h"
#include "cli/face.h"
#include "cli/target.h"
#include "farhue/dispense.h"
#include "farhue/paints.h"

enum { MIX_SHOWN = 10 };

/* A recipe with what belongs on the bench. */
typedef struct mix_line {
    fh_recipe recipe;
    double low, high; /* 95 % interval of the worst seen ΔE00 */
} mix_line;

typedef struct mix_job {
    cli_target found; /* where the target came from */
    fh_target target; /* a copy of found.target */
    fh_paints paints;
    cli_input input; /* of the paints */
    fh_finish face;    /* of the finished part, where it isn't as the paints were read */
    fh_surface finish; /* the same as a surface: what recipes are judged with */
    bool has_plain;    /* it is known how a coat without that finish reads in the same way: */
    fh_surface plain;
    bool with_coats;   /* asked how many coats */
    cli_coats coats;
    bool has_batch;
    fh_quantity batch, least;
} mix_job;

/* How many coats of a recipe hide what is behind, when that was asked. */
int mix_coats(cli_context *cli, mix_job *job, const fh_recipe *recipe);

/* Notes on the finished part's look: read in another way than the paints, of another gloss. */
void mix_note_look(cli_context *cli, const mix_job *job, const fh_paints_look *look);

/* The report of recipes (mix_report.c) and the correction of a batch (mix_batch.c). */
int mix_report(cli_context *cli, mix_job *job, const mix_line *lines, size_t count);
int mix_correct(cli_context *cli, mix_job *job);

/* Parts as people read them; text or JSON as the context has it. */
void mix_put_amounts(cli_context *cli, const mix_job *job, const size_t *paint, const double *ml,
                     size_t count, json_t *array);

#endif
