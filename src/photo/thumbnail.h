/* A small copy of a photo, for looking at all of it at once: box means of the stored samples. */
#ifndef FARHUE_PHOTO_THUMBNAIL_H
#define FARHUE_PHOTO_THUMBNAIL_H

#include "farhue/pixels.h"

typedef struct fh_thumbnail {
    size_t width, height;
    double scale_x, scale_y; /* pixels of the photo a pixel of the thumbnail */
    float *rgb;              /* 3 × width × height, 0–1, pixel by pixel */
} fh_thumbnail;

/* Shrink so that the longer side has at most side pixels (never enlarged). FH_E_MEMORY,
 * FH_E_STOPPED. Free with fh_thumbnail_free. */
fh_status fh_thumbnail_new(const fh_pixels *pixels, size_t side, fh_progress progress, void *user,
                           fh_thumbnail *out);
void fh_thumbnail_free(fh_thumbnail *thumbnail);

/* Every sample raised to a power, in place. */
void fh_thumbnail_power(fh_thumbnail *thumbnail, float exponent);

/* A place in the thumbnail, in pixels of the photo. */
fh_point fh_thumbnail_to_photo(const fh_thumbnail *thumbnail, fh_point place);

#endif
