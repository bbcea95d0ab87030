/* Interpolation in one dimension. */
#ifndef FARHUE_BASE_INTERPOLATE_H
#define FARHUE_BASE_INTERPOLATE_H

#include <stddef.h>

enum { FH_SPRAGUE_MIN = 6, FH_SPRAGUE_PAD = 2 };

/* Weights of the points −2 … 3 around the interval [0, 1] at 0 ≤ t ≤ 1. */
void fh_sprague_basis(double t, double weight[6]);

/* The two points that Sprague's method sets before p[0], as weights of p[0] … p[5]: row 0 for
 * the outer one, row 1 for the inner. Mirrored they serve the other end. */
extern const double fh_sprague_end[2][6];

/* Sprague interpolation of count ≥ 6 equidistant points at position (0 … count−1), which must lie
 * inside. stride 1. */
double fh_sprague(const double *points, size_t count, double position);

/* Monotone cubic through count ≥ 2 points with ascending abscissae, x inside them. */
double fh_monotone_cubic(const double *xs, const double *ys, size_t count, double x);

#endif
