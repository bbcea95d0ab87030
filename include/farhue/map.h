/* A map of colour differences over a photo: evenness of paint, yellowing. */
#ifndef FARHUE_MAP_H
#define FARHUE_MAP_H

#include "farhue/calibration.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A photo and what makes colours of it; all borrowed. */
typedef struct fh_map_photo {
    fh_pixels pixels;
    const fh_profile *profile;
    const fh_correction *correction;
    const fh_chart *chart; /* with grid: where the light's slope is measured from */
    const fh_grid *grid;   /* NULL without a chart: the picture's own scale */
} fh_map_photo;

/* ΔE00 from a colour, or between two aligned photos of one size. */
typedef struct fh_map {
    fh_map_photo photo;
    const fh_map_photo *other; /* NULL: from the colour */
    fh_lab from;               /* in the condition of the correction */
    double top;                /* ΔE00 that is shown white, > 0 */
    size_t block;              /* pixels that are averaged, each way, ≥ 1 */
} fh_map;

/* The block that makes a map of at most `side` pixels each way. */
FH_API size_t fh_map_block(const fh_pixels *pixels, size_t side);

/* Size of the map in pixels: the blocks of the photo (what is left over at the right and the
 * bottom is dropped), a gap, and the scale. */
FH_API void fh_map_size(const fh_map *map, size_t *width, size_t *height);

/* Row y of the map: width × 3 bytes, sRGB, pure greys: 0 nearly black, top white, even in L*.
 * The last rows hold the scale with its figures. */
FH_API void fh_map_row(const fh_map *map, size_t y, unsigned char *row);

/* The ΔE00 of one block; column and row must lie on the map (asserted). */
FH_API double fh_map_at(const fh_map *map, size_t column, size_t row);

#ifdef __cplusplus
}
#endif
#endif
