/* A strided view of pixels. Orientation by steps: the eight cases of the Exif tag [Exif232] are
 * the signs of the two steps and whether they are exchanged. */
#include "farhue/pixels.h"

#include <assert.h>
#include <string.h>

fh_pixels fh_pixels_packed(const void *data, size_t width, size_t height, unsigned channels,
                           unsigned bits)
{
    const ptrdiff_t pixel = (ptrdiff_t)(channels * bits / 8);
    fh_pixels pixels = {data, width, height, pixel, pixel * (ptrdiff_t)width, channels, bits};
    return pixels;
}

static const unsigned char *address(const fh_pixels *pixels, size_t x, size_t y)
{
    return pixels->data + (ptrdiff_t)x * pixels->right + (ptrdiff_t)y * pixels->down;
}

fh_pixels fh_pixels_part(fh_pixels pixels, size_t x, size_t y, size_t width, size_t height)
{
    assert(x <= pixels.width && width <= pixels.width - x);
    assert(y <= pixels.height && height <= pixels.height - y);
    fh_pixels part = pixels;
    part.data = address(&pixels, x, y);
    part.width = width;
    part.height = height;
    return part;
}

static fh_pixels mirrored(fh_pixels pixels)
{
    if (pixels.width == 0) return pixels;
    pixels.data = address(&pixels, pixels.width - 1, 0);
    pixels.right = -pixels.right;
    return pixels;
}

static fh_pixels flipped(fh_pixels pixels)
{
    if (pixels.height == 0) return pixels;
    pixels.data = address(&pixels, 0, pixels.height - 1);
    pixels.down = -pixels.down;
    return pixels;
}

static fh_pixels transposed(fh_pixels pixels)
{
    const fh_pixels p = pixels;
    pixels.width = p.height;
    pixels.height = p.width;
    pixels.right = p.down;
    pixels.down = p.right;
    return pixels;
}

fh_pixels fh_pixels_upright(fh_pixels pixels, unsigned orientation)
{
    switch (orientation) {
    case 2:
        return mirrored(pixels);
    case 3:
        return mirrored(flipped(pixels));
    case 4:
        return flipped(pixels);
    case 5:
        return transposed(pixels);
    case 6:
        return mirrored(transposed(pixels));
    case 7:
        return mirrored(flipped(transposed(pixels)));
    case 8:
        return flipped(transposed(pixels));
    default:
        return pixels;
    }
}

static double sample_at(const fh_pixels *pixels, const unsigned char *at, unsigned channel)
{
    if (pixels->bits == 16) {
        uint16_t value;
        memcpy(&value, at + 2 * channel, sizeof value);
        return value / 65535.0;
    }
    return at[channel] / 255.0;
}

fh_rgb fh_pixels_at(const fh_pixels *pixels, size_t x, size_t y, double *alpha)
{
    assert(x < pixels->width && y < pixels->height);
    const unsigned char *at = address(pixels, x, y);
    const bool grey = pixels->channels < 3;
    fh_rgb rgb;
    rgb.r = sample_at(pixels, at, 0);
    rgb.g = grey ? rgb.r : sample_at(pixels, at, 1);
    rgb.b = grey ? rgb.r : sample_at(pixels, at, 2);
    if (alpha) {
        const bool has = pixels->channels == 2 || pixels->channels == 4;
        *alpha = has ? sample_at(pixels, at, pixels->channels - 1) : 1.0;
    }
    return rgb;
}
