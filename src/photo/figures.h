/* Figures drawn with dots, for the scale of a map. */
#ifndef FARHUE_PHOTO_FIGURES_H
#define FARHUE_PHOTO_FIGURES_H

#include <stdbool.h>
#include <stddef.h>

enum { FH_FIGURES_HEIGHT = 10 };

/* Width in dots of a number ≥ 0, shown with at most two decimals. */
size_t fh_figures_width(double value);

/* Whether the dot at x, y (from the top left) is set. */
bool fh_figures_dot(double value, size_t x, size_t y);

#endif
