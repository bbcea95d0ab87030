/* A linear scale from data to drawing units, with ticks at 1, 2 or 5 times a power of ten. */
#ifndef FARHUE_SHOW_AXIS_H
#define FARHUE_SHOW_AXIS_H

#include "show/markup.h"

typedef struct fh_axis {
    double low, high;   /* of the data */
    double start, stop; /* of the drawing */
    double step;        /* between ticks */
} fh_axis;

/* low < high, both finite; about wanted ticks. */
fh_axis fh_axis_of(double low, double high, double start, double stop, unsigned wanted);

double fh_axis_at(const fh_axis *axis, double value);

/* First tick, and their number. */
double fh_axis_first(const fh_axis *axis, unsigned *count);

/* Decimals that a tick's label needs. */
int fh_axis_decimals(const fh_axis *axis);

/* Begin an <svg> of that size with a title; end it. */
void fh_svg_open(fh_markup *m, double width, double height, const char *title);
void fh_svg_close(fh_markup *m);

/* Text at a place: anchor is "start", "middle" or "end". Escaped. */
void fh_svg_text(fh_markup *m, double x, double y, const char *anchor, const char *text);

/* A tick's number at a place. */
void fh_svg_number(fh_markup *m, double x, double y, const char *anchor, double value,
                   int decimals);

/* A line in the colour of text, opacity 0–1. */
void fh_svg_line(fh_markup *m, double x1, double y1, double x2, double y2, double opacity);

#endif
