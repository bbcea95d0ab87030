/* The parts of the sheet, one function each; spec_sheet.c puts them in order. */
#ifndef FARHUE_SHOW_SHEET_PARTS_H
#define FARHUE_SHOW_SHEET_PARTS_H

#include "farhue/spec_sheet.h"

#include "show/markup.h"

/* What all parts need, worked out once. */
typedef struct fh_sheet_work {
    const fh_spec *spec;
    const fh_spec_sheet_extra *extra;
    fh_target target;        /* of the spec, with the weights of its lights */
    fh_spectrum reflectance; /* of the part: measured or estimated */
    bool estimated;
    fh_lab bare; /* in the spec's condition */
} fh_sheet_work;

/* The style sheet of the page, static. */
const char *fh_sheet_style(void);

/* A rectangle of one colour as SVG, for screen readers with a label (our own words). */
void fh_sheet_patch(fh_markup *m, fh_lab lab, const char *label);

void fh_sheet_head(fh_markup *m, const fh_sheet_work *work);
void fh_sheet_target(fh_markup *m, const fh_sheet_work *work);
void fh_sheet_figures(fh_markup *m, const fh_sheet_work *work);
void fh_sheet_drawings(fh_markup *m, const fh_sheet_work *work);
void fh_sheet_candidates(fh_markup *m, const fh_sheet_work *work);
void fh_sheet_measured(fh_markup *m, const fh_sheet_work *work);
void fh_sheet_advice(fh_markup *m, const fh_sheet_work *work);

#endif
