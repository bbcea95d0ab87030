/* A chart: patches of known colour in rows and columns, and where they are in a photo.
 *
 * Patches are numbered along the rows, from 0: the last is rows × columns − 1. A chart may carry
 * several editions (the maker changed the colours, or several sources disagree); they share the
 * layout, the ids and, where known, the spectra. */
#ifndef FARHUE_CHART_H
#define FARHUE_CHART_H

#include "farhue/pixels.h"
#include "farhue/reading.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_CHART_SIDE = 40, FH_CHART_PATCHES = 480, FH_CHART_EDITIONS = 4 };

/* One patch: id, and its reflectance where known. */
typedef struct fh_chip {
    char id[FH_ID];
    char name[FH_NAME];
    bool has_spectrum;
    fh_spectrum reflectance;
} fh_chip;

/* One set of colours of the patches. */
typedef struct fh_edition {
    char name[FH_NAME];
    fh_lab *lab; /* count of the chart, in the chart's condition */
} fh_edition;

/* Owned by the caller, freed with fh_chart_free. */
typedef struct fh_chart {
    char name[FH_NAME];
    char source[192];            /* where its figures come from, may be empty */
    size_t rows, columns, count; /* count = rows × columns */
    fh_condition condition;      /* of the editions' Lab */
    double spread;               /* expected ΔE00 between a real chart and its edition */
    fh_chip *chips;              /* count */
    size_t edition_count;
    fh_edition editions[FH_CHART_EDITIONS];
} fh_chart;

/* An empty chart of rows × columns patches with one edition, all colours 0.
 * FH_E_ARGUMENT: a side of 0 or above FH_CHART_SIDE, more than FH_CHART_PATCHES; FH_E_MEMORY. */
FH_API fh_status fh_chart_new(size_t rows, size_t columns, fh_condition condition, fh_chart **out);

/* The common 24-patch chart (4 rows of 6) from the published figures: two editions, told
 * apart by their white (L* 96.5 and 95.2); Lab for D50/2, spectra from the average of 30 charts.
 * FH_E_MEMORY. */
FH_API fh_status fh_chart_24(fh_chart **out);

/* Add one more edition, all colours 0; its index is the old edition_count.
 * FH_E_LIMIT, FH_E_MEMORY. */
FH_API fh_status fh_chart_add_edition(fh_chart *chart, const char *name);

/* Give a chart back; NULL is fine. */
FH_API void fh_chart_free(fh_chart *chart);

/* The colours of an edition under a condition: out holds count colours. In the chart's own
 * condition those of the file. In another one, patch by patch, the colour of the spectrum there
 * plus what the edition differs from the spectrum in its own condition.
 * FH_E_IMPOSSIBLE: a patch without a spectrum and another condition than the chart's. */
FH_API fh_status fh_chart_lab(const fh_chart *chart, size_t edition, fh_condition condition,
                              fh_lab *out);

/* A plane grid seen in perspective: (column, row) to pixels,
 *   x = (h0 c + h1 r + h2) / w,  y = (h3 c + h4 r + h5) / w,  w = h6 c + h7 r + 1
 * with the centre of patch (column, row) at whole numbers. */
typedef struct fh_grid {
    size_t rows, columns;
    double h[8];
} fh_grid;

/* The grid through the centres of the four corner patches, in the order first patch, end of the
 * first row, last patch, start of the last row: clockwise in the picture of an unmirrored chart.
 * FH_E_ARGUMENT: fewer than two rows or columns. FH_E_DATA with a sentence: corners that cross,
 * coincide, run counter-clockwise or lie on a line, or more than 50 times closer together at one
 * end than at the other. error may be NULL. */
FH_API fh_status fh_grid_from_corners(const fh_point corners[4], size_t rows, size_t columns,
                                      fh_grid *out, fh_error *error);

/* A place on the grid in pixels; column and row may lie between and outside the patches. */
FH_API fh_point fh_grid_at(const fh_grid *grid, double column, double row);

/* The inverse: the place on the grid, x the column and y the row, of a pixel. */
FH_API fh_point fh_grid_place(const fh_grid *grid, fh_point pixel);

/* The smallest distance between neighbouring patch centres, in pixels. */
FH_API double fh_grid_pitch(const fh_grid *grid);

/* The window of a patch: the part of its cell, seen in perspective, that is `share` of the pitch
 * wide and high (0 < share ≤ 1; 0.44 is the usual one). */
FH_API fh_shape fh_grid_window(const fh_grid *grid, size_t column, size_t row, double share);

/* The exponent that relates stored values to light along the chart's neutral patches (C*ab below
 * 6): about 1 for linear files, about 2.2 for sRGB. 0 when fewer than 3 neutral patches can be
 * used. patches: chart->count of them. */
FH_API double fh_neutral_exponent(const fh_chart *chart, const fh_patch *patches);

/* Measure all patches through their windows: out holds rows × columns of them.
 * FH_E_DATA where a window reaches outside the picture or is too small; error names the patch. */
FH_API fh_status fh_grid_measure(const fh_grid *grid, const fh_pixels *pixels,
                                 const fh_profile *profile, double share, fh_patch *out,
                                 fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
