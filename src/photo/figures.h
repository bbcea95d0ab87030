/* Figures and names drawn with dots, for the scale of a map and the marks of an overlay. */
#ifndef FARHUE_PHOTO_FIGURES_H
#define FARHUE_PHOTO_FIGURES_H

#include <stdbool.h>
#include <stddef.h>

enum { FH_FIGURES_HEIGHT = 10 };

/* Width in dots of a number ≥ 0, shown with at most two decimals. */
size_t fh_figures_width(double value);

/* Whether the dot at x, y (from the top left) is set. */
bool fh_figures_dot(double value, size_t x, size_t y);

/* The same for a text of letters, figures and - _ + . ; what else it holds is a question mark, one
 * a byte. */
size_t fh_letters_width(const char *text);
bool fh_letters_dot(const char *text, size_t x, size_t y);

#endif
