/* Flat regions of a picture that are shaped like a patch. */
#ifndef FARHUE_PHOTO_FLAT_H
#define FARHUE_PHOTO_FLAT_H

#include "photo/thumbnail.h"

enum { FH_FLAT_MAX = 1024 };

/* One region: its centroid, its size as the square root of its area, and how well it fills the
 * parallelogram that has its second moments (1 for a full one). Pixels of the thumbnail. */
typedef struct fh_flat {
    fh_point centre;
    double size;
    double fill;
} fh_flat;

/* Collect the flat regions: connected pixels whose neighbourhood varies less than a threshold, at
 * several thresholds, compact and not too long. Of regions on top of each other the fullest
 * is kept. At most FH_FLAT_MAX, the rest dropped (a picture with so many is no chart photo).
 * FH_E_MEMORY. */
fh_status fh_flat_regions(const fh_thumbnail *picture, fh_flat out[FH_FLAT_MAX], size_t *count);

#endif
