/* A photo on the page's table: what its patches say, and the readings of its spots. The pixels stay
 * with the browser; the engine gets the rectangles that it asks for. None of this belongs to the
 * job until a spot is kept. */
#ifndef FARHUE_PAGE_PHOTO_H
#define FARHUE_PAGE_PHOTO_H

#include "farhue/chart.h"
#include "farhue/light.h"
#include "farhue/profile.h"

#include "page/request.h"

enum { PHOTO_SPOTS = 128, PHOTO_CHIPS = 24 };

/* A chip of known colour that was touched in a photo without a chart. */
typedef struct photo_chip {
    char id[FH_ID];
    fh_lab lab;     /* D65/10 */
    fh_point place; /* on the photo's own scale: −1 to 1 over its width */
    fh_patch patch;
} photo_chip;

typedef struct page_photo {
    char name[FH_SOURCE - 8]; /* so that "photo: NAME" fits a source's tag */
    size_t width, height;
    bool coding_said; /* the file carries a profile */
    fh_profile *profile;
    fh_chart *chart;
    bool has_grid; /* else the loose chips are the reference */
    fh_grid grid;
    size_t chip_count;
    photo_chip chip[PHOTO_CHIPS];
    fh_chart *loose;          /* the chips as a chart, for the calibration */
    fh_patch *patches, *rims; /* chart->count of each */
    size_t measured;
    fh_calibration *calibration;
    /* The spots of all photos since the chart was chosen, to be pooled by id. */
    size_t spot_count;
    fh_reading spots[PHOTO_SPOTS];
    fh_reading last; /* the spot that was measured last, not yet kept */
    bool has_last;
} page_photo;

/* A rectangle of the photo with its pixels, RGBA of 8 bit: request keys x, y, w, h and the body. */
typedef struct photo_window {
    size_t x, y;
    fh_pixels pixels;
} photo_window;

/* FH_E_ARGUMENT when body and size do not agree. */
fh_status photo_window_of(const page_request *r, photo_window *out, fh_error *error);

/* A shape of the whole photo as it lies in a window. */
fh_shape photo_shape_in(const fh_shape *shape, const photo_window *window);

/* The chart that the calibration stands on. */
const fh_chart *photo_reference(const page_photo *photo);

/* A pixel on the scale of the chart, or of the photo where there is none. */
fh_point photo_place(const page_photo *photo, fh_point pixel);

/* Forget grid, chips and calibration; forget everything. */
void photo_forget_grid(page_photo *photo);
void photo_free(page_photo *photo);

#endif
