/* Pixels of a photo: a borrowed view, and the robust mean of what lies inside a shape.
 *
 * Positions are in pixels: x to the right, y down, (0, 0) the centre of the top left pixel. The
 * engine sees a photo only through this view, so a decoder, a browser's canvas or a test may own
 * the bytes; nothing here copies a whole picture. */
#ifndef FARHUE_PIXELS_H
#define FARHUE_PIXELS_H

#include <stdint.h>

#include "farhue/colour.h"
#include "farhue/profile.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A borrowed view. Steps may be negative, so that a turned or mirrored picture needs no copy.
 * Samples are 8 bit, or 16 bit in the machine's byte order and aligned to 2. */
typedef struct fh_pixels {
    const unsigned char *data; /* pixel (0, 0) */
    size_t width, height;
    ptrdiff_t right;   /* bytes from a pixel to its right neighbour */
    ptrdiff_t down;    /* bytes from a pixel to the one below */
    unsigned channels; /* 1 grey, 2 grey and alpha, 3 RGB, 4 RGB and alpha */
    unsigned bits;     /* 8 or 16 */
} fh_pixels;

/* A view of tightly packed rows. */
FH_API fh_pixels fh_pixels_packed(const void *data, size_t width, size_t height, unsigned channels,
                                  unsigned bits);

/* The part of a picture whose top left pixel is (x, y); it must lie inside (asserted). */
FH_API fh_pixels fh_pixels_part(fh_pixels pixels, size_t x, size_t y, size_t width, size_t height);

/* The picture turned upright: orientation 1–8 as in the Exif tag 0x0112 [Exif232]; any other
 * value leaves it as it is. */
FH_API fh_pixels fh_pixels_upright(fh_pixels pixels, unsigned orientation);

/* One pixel as stored, scaled to 0–1; alpha is 1 without an alpha channel. Grey gives r = g = b.
 * x < width, y < height (asserted). */
FH_API fh_rgb fh_pixels_at(const fh_pixels *pixels, size_t x, size_t y, double *alpha);

typedef struct fh_point {
    double x, y;
} fh_point;

enum { FH_SHAPE_POINTS = 32 };

/* A circle (centre points[0], radius), or a simple polygon of count ≥ 3 points. */
typedef struct fh_shape {
    size_t count; /* 0 for a circle */
    double radius;
    fh_point points[FH_SHAPE_POINTS];
} fh_shape;

/* Shapes, and questions about them. A point on the edge of a circle lies inside. The centre of a
 * polygon is the mean of its corners. */
FH_API fh_shape fh_shape_circle(fh_point centre, double radius);
FH_API fh_shape fh_shape_rectangle(double x, double y, double width, double height);
FH_API bool fh_shape_contains(const fh_shape *shape, fh_point point);
FH_API fh_point fh_shape_centre(const fh_shape *shape);

/* What the pixels inside a shape say. Means and deviations are of linear light. */
typedef struct fh_patch {
    fh_rgb mean; /* robust mean, 1 = the largest sample value */
    fh_rgb sd;   /* standard deviation of the pixels that were kept */
    fh_rgb code; /* plain mean of all samples as stored, 0–1 */
    fh_rgb code_sd;
    fh_rgb plain;   /* the light of the mean sample, as a plain reader would have it */
    size_t count;   /* pixels inside the shape that were looked at */
    double kept;    /* share of them that the robust mean kept */
    double clipped; /* share with a channel at the top of the scale */
    double dark;    /* share with a channel at 0 */
    double uneven;  /* largest difference between quadrant means, relative to the mean (green) */
} fh_patch;

enum { FH_PATCH_PIXELS = 65536 };

/* The patch inside a shape. All of its pixels whose centres lie inside count; where there are
 * more than FH_PATCH_PIXELS, those of a regular lattice. Pixels further than 4 robust standard
 * deviations from the median in a channel are left out of mean and sd (dust, glints, scratches).
 * FH_E_DATA: the shape reaches outside the picture, holds fewer than 9 pixels, or one of them is
 * transparent; FH_E_MEMORY. error may be NULL. */
FH_API fh_status fh_patch_measure(const fh_pixels *pixels, const fh_profile *profile,
                                  const fh_shape *shape, fh_patch *out, fh_error *error);

/* Bring a patch into even light: its light divided by that of a plain white sheet at the same
 * place, times the sheet's light on average. Unchanged where the sheet is black. */
FH_API void fh_patch_flatten(fh_patch *patch, const fh_patch *sheet, fh_rgb average);

#ifdef __cplusplus
}
#endif
#endif
