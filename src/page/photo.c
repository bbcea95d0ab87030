/* Windows into a photo, and its end. */
#include "page/photo.h"

#include "base/error.h"
#include "base/memory.h"

fh_status photo_window_of(const page_request *r, photo_window *out, fh_error *error)
{
    size_t width, height, bytes;
    if (!request_count(r, "x", &out->x) || !request_count(r, "y", &out->y) ||
        !request_count(r, "w", &width) || !request_count(r, "h", &height) || !width || !height ||
        fh_multiply_sizes(width, height, &bytes) || fh_multiply_sizes(bytes, 4, &bytes) ||
        bytes != r->body.length)
        return fh_fail(error, FH_E_ARGUMENT, "a piece of the photo does not have its size");
    out->pixels = fh_pixels_packed(r->body.start, width, height, 4, 8);
    return FH_OK;
}

fh_shape photo_shape_in(const fh_shape *shape, const photo_window *window)
{
    fh_shape moved = *shape;
    for (size_t i = 0; i < (shape->count ? shape->count : 1); i++) {
        moved.points[i].x -= (double)window->x;
        moved.points[i].y -= (double)window->y;
    }
    return moved;
}

const fh_chart *photo_reference(const page_photo *photo)
{
    return photo->has_grid ? photo->chart : photo->loose;
}

fh_point photo_place(const page_photo *photo, fh_point pixel)
{
    double half = (double)photo->width / 2;
    if (!photo->has_grid)
        return (fh_point){(pixel.x - half) / half, (pixel.y - (double)photo->height / 2) / half};
    fh_point place = fh_grid_place(&photo->grid, pixel);
    return fh_chart_place(photo->chart, place.x, place.y);
}

void photo_forget_grid(page_photo *photo)
{
    fh_free(photo->patches);
    fh_free(photo->rims);
    fh_calibration_free(photo->calibration);
    fh_chart_free(photo->loose);
    photo->patches = photo->rims = NULL;
    photo->calibration = NULL;
    photo->loose = NULL;
    photo->chip_count = 0;
    photo->has_grid = photo->has_last = false;
    photo->measured = 0;
}

void photo_free(page_photo *photo)
{
    photo_forget_grid(photo);
    fh_profile_free(photo->profile);
    fh_chart_free(photo->chart);
    photo->profile = NULL;
    photo->chart = NULL;
    photo->spot_count = 0;
    photo->width = photo->height = 0;
}
