/* Finding a chart in a photo: any orientation, perspective, small or partly hidden.
 *
 * Flat quadrilateral regions are collected, regular lattices grown through them, and every place of
 * the chart on every lattice is tried against the chart's colours. The colours decide: a lattice
 * that only looks like the chart is refused, or doubted in words. */
#ifndef FARHUE_FIND_H
#define FARHUE_FIND_H

#include "farhue/chart.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Where the chart is. */
typedef struct fh_found {
    fh_point corners[4]; /* centres of the corner patches, as fh_grid_from_corners takes them */
    fh_grid grid;
    double residual;   /* median ΔE00 of the visible patches after a plain colour fit */
    double runner_up;  /* the same of the best placement elsewhere or turned; HUGE_VAL for none */
    size_t visible;    /* patches whose colour fits */
    size_t detected;   /* patches seen as flat regions of their own */
    bool hidden[FH_CHART_PATCHES]; /* does not fit: covered, in shadow, under glare, or outside */
    bool doubtful;     /* found, but check the overlay: warning says why */
    char warning[FH_NOTE]; /* empty when there is no doubt */
} fh_found;

/* Find the chart in pixels (samples as stored, any coding). progress may be NULL.
 * FH_E_DATA with a sentence: no chart found, or none that can be told from its surroundings;
 * FH_E_ARGUMENT: a chart with fewer than 3 rows or columns or fewer than 12 patches;
 * FH_E_IMPOSSIBLE: the colours of the chart cannot be had for D50/2; FH_E_MEMORY, FH_E_STOPPED.
 * error may be NULL. */
FH_API fh_status fh_chart_find(const fh_pixels *pixels, const fh_chart *chart,
                               fh_progress progress, void *user, fh_found *out, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
