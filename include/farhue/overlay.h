/* A photo with what was measured drawn over it: for a person to check with one look. */
#ifndef FARHUE_OVERLAY_H
#define FARHUE_OVERLAY_H

#include "farhue/calibration.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fh_outline_kind {
    FH_OUTLINE_USED,     /* outlined */
    FH_OUTLINE_REJECTED, /* outlined and crossed out */
    FH_OUTLINE_SPOT      /* outlined twice */
} fh_outline_kind;

/* Something drawn; in pixels of the photo. */
typedef struct fh_outline {
    fh_outline_kind kind;
    fh_shape shape;
    char text[24];  /* what stands beside it; empty: nothing */
    fh_point label; /* the middle of the text; of a spot's its left end */
} fh_outline;

/* All borrowed. */
typedef struct fh_overlay {
    fh_pixels pixels;
    const fh_profile *profile; /* so that a linear photo is shown as light, too */
    const fh_outline *marks;
    size_t count;
    size_t block; /* photo pixels that make one of the overlay, each way, ≥ 1 */
} fh_overlay;

/* The marks of a chart, count of the calibration: its windows (share of the pitch), those that
 * are left out crossed; the four corner patches numbered outside the chart, so that its
 * orientation shows. */
FH_API void fh_overlay_chart(const fh_calibration *calibration, const fh_grid *grid, double share,
                             fh_outline *marks);

/* The mark of a spot, its name at its right, cut after 23 bytes. Small letters are drawn as
 * capitals; only letters, figures and - _ + . have a picture. */
FH_API fh_outline fh_overlay_spot(const fh_shape *shape, const char *name);

/* Size of the overlay in pixels. */
FH_API void fh_overlay_size(const fh_overlay *overlay, size_t *width, size_t *height);

/* Row y: width × 3 bytes, sRGB. Lines are white on black. */
FH_API void fh_overlay_row(const fh_overlay *overlay, size_t y, unsigned char *row);

#ifdef __cplusplus
}
#endif
#endif
