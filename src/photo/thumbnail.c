#include "photo/thumbnail.h"

#include <math.h>

#include "base/memory.h"

/* The mean of the photo's pixels [x0, x1) × [y0, y1). */
static void box_mean(const fh_pixels *pixels, size_t x0, size_t x1, size_t y0, size_t y1,
                     float out[3])
{
    /* A large box is read through a lattice of at most 8 × 8: enough to average noise away. */
    size_t step_x = (x1 - x0 + 7) / 8, step_y = (y1 - y0 + 7) / 8, count = 0;
    double sum[3] = {0, 0, 0};
    for (size_t y = y0; y < y1; y += step_y)
        for (size_t x = x0; x < x1; x += step_x) {
            fh_rgb v = fh_pixels_at(pixels, x, y, NULL);
            sum[0] += v.r;
            sum[1] += v.g;
            sum[2] += v.b;
            ++count;
        }
    for (int c = 0; c < 3; ++c) out[c] = (float)(sum[c] / (double)count);
}

fh_status fh_thumbnail_new(const fh_pixels *pixels, size_t side, fh_progress progress, void *user,
                           fh_thumbnail *out)
{
    size_t longer = pixels->width > pixels->height ? pixels->width : pixels->height;
    double shrink = longer > side ? (double)side / (double)longer : 1.0;
    fh_thumbnail t = {.width = (size_t)fmax(1.0, floor((double)pixels->width * shrink)),
                      .height = (size_t)fmax(1.0, floor((double)pixels->height * shrink))};
    t.scale_x = (double)pixels->width / (double)t.width;
    t.scale_y = (double)pixels->height / (double)t.height;
    t.rgb = fh_allocate(t.width * t.height, 3 * sizeof *t.rgb); /* side² at most: no overflow */
    if (!t.rgb) return FH_E_MEMORY;
    for (size_t y = 0; y < t.height; ++y) {
        if (progress && !progress(user, (double)y / (double)t.height)) {
            fh_free(t.rgb);
            return FH_E_STOPPED;
        }
        size_t y0 = (size_t)((double)y * t.scale_y), y1 = (size_t)((double)(y + 1) * t.scale_y);
        for (size_t x = 0; x < t.width; ++x) {
            size_t x0 = (size_t)((double)x * t.scale_x), x1 = (size_t)((double)(x + 1) * t.scale_x);
            box_mean(pixels, x0, x1 > x0 ? x1 : x0 + 1, y0, y1 > y0 ? y1 : y0 + 1,
                     t.rgb + 3 * (y * t.width + x));
        }
    }
    *out = t;
    return FH_OK;
}

void fh_thumbnail_free(fh_thumbnail *thumbnail)
{
    fh_free(thumbnail->rgb);
    *thumbnail = (fh_thumbnail){0};
}

void fh_thumbnail_power(fh_thumbnail *thumbnail, float exponent)
{
    size_t count = 3 * thumbnail->width * thumbnail->height;
    for (size_t i = 0; i < count; ++i) thumbnail->rgb[i] = powf(thumbnail->rgb[i], exponent);
}

fh_point fh_thumbnail_to_photo(const fh_thumbnail *thumbnail, fh_point place)
{
    return (fh_point){(place.x + 0.5) * thumbnail->scale_x - 0.5,
                      (place.y + 0.5) * thumbnail->scale_y - 0.5};
}
