/* Regular lattices through flat regions. */
#ifndef FARHUE_PHOTO_LATTICE_H
#define FARHUE_PHOTO_LATTICE_H

#include "photo/flat.h"

enum { FH_LATTICE_CELLS = 256 };

/* A region and its place on the lattice. */
typedef struct fh_cell {
    int column, row;
    size_t region; /* index of the flat region */
} fh_cell;

/* A lattice: cells, and the perspective map from (column, row) to pixels of the thumbnail. */
typedef struct fh_lattice {
    size_t count;
    fh_cell cell[FH_LATTICE_CELLS];
    double h[8]; /* as in fh_grid */
} fh_lattice;

/* The place of (column, row) by a perspective map h. */
fh_point fh_project(const double h[8], double column, double row);

/* Least-squares perspective map from count ≥ 4 places to points; weight may be NULL.
 * FH_E_DATA when they don't determine one. */
fh_status fh_fit_perspective(const fh_point *places, const fh_point *points, const double *weight,
                             size_t count, double h[8]);

/* Grow the lattice that starts at a seed region with two neighbours as its axes.
 * FH_E_DATA when it holds fewer than 6 cells or no perspective map fits them. */
fh_status fh_lattice_grow(const fh_flat *regions, size_t count, size_t seed, size_t right,
                          size_t down, fh_lattice *out);

#endif
