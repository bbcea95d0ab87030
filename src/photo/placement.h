/* Trying a chart at a place on a lattice: do the colours fit? */
#ifndef FARHUE_PHOTO_PLACEMENT_H
#define FARHUE_PHOTO_PLACEMENT_H

#include "farhue/chart.h"
#include "photo/lattice.h"

enum { FH_TURNS = 8 }; /* four quarter turns, then the same mirrored */

/* Where chart column and row run on the lattice:
 *   lattice column = c0 + column · right[0] + row · down[0], lattice row likewise with [1]. */
typedef struct fh_placement {
    int c0, r0;
    int turn; /* index of the quarter turn; 4 and above are mirrored */
    double cost;     /* mean ΔE00, each patch capped at FH_COST_CAP */
    double residual; /* median ΔE00 of the patches that fit */
    size_t visible;  /* patches whose colour fits */
    size_t detected; /* patches that are cells of the lattice */
} fh_placement;

#define FH_COST_CAP 25.0

/* Lattice place of a chart patch. */
void fh_placement_cell(const fh_placement *placement, size_t column, size_t row, int *c, int *r);

/* The best placement of a chart on a lattice, and the cost of the best one elsewhere or turned
 * (HUGE_VAL for none). xyz: the chart's count colours, D50/2. hidden: count flags of the best.
 * FH_E_DATA when no placement covers enough cells; FH_E_MEMORY. */
fh_status fh_placement_best(const fh_thumbnail *picture, const fh_lattice *lattice,
                            const fh_chart *chart, const fh_xyz *xyz, fh_xyz white,
                            fh_placement *best, double *runner_up, bool *hidden);

#endif
