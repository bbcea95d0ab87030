/* The pots of the job, fitted, and what they are to match. */
#ifndef FARHUE_PAGE_POTS_H
#define FARHUE_PAGE_POTS_H

#include "farhue/dispense.h"
#include "farhue/paints.h"
#include "page/stack.h"

/* Free it with pots_close; zeroed is fine. Large: on the heap. */
typedef struct page_pots {
    const fh_paints *paints; /* of the desk */
    page_stack stack;
    fh_finish wish;      /* clear coat and gloss as asked for */
    fh_paints_look look; /* pots_face: light in and out of the part, read as the target was */
    bool has_plain;      /* it is known how a coat without that finish reads: */
    fh_paints_look plain;
    fh_quantity least;
} page_pots;

/* The job's paints, fitted: once for each file. They are the desk's, until it holds another file.
 * FH_E_DATA: there are none; else as fh_paints_read. */
fh_status pots_fit(page_desk *desk, const fh_paints **out, fh_error *error);

/* The same with the target and what the paint step was told, for a batch, whose faces go by its
 * paint-outs. */
fh_status pots_open(page_desk *desk, page_pots *out, fh_error *error);

/* look and plain of pots that are open, for recipes. */
fh_status pots_face(page_pots *pots, fh_error *error);
void pots_close(page_pots *pots);

/* Whether a clear coat or a gloss of the finished part was asked for. */
bool pots_finished(const page_pots *pots);

/* "ml", and "amounts": a list of the paints of which there are some, with share, ml, g and drops.
 */
void pots_write_amounts(page_json *j, const fh_paints *p, const size_t *paint, const double *ml,
                        size_t count);

/* A number that was typed, a decimal comma being taken for a point; *out stays where nothing was.
 * FH_E_DATA names `what` and the range. */
fh_status pots_number(const char *text, const char *what, double low, double high, double *out,
                      fh_error *error);

/* A quantity that was typed, alike; empty: `usual`. */
fh_status pots_quantity(const char *text, const char *usual, fh_quantity *out, fh_error *error);

#endif
