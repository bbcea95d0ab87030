/* The map row by row, so that no second picture is held. Blocks are averaged as light. */
#include "farhue/map.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "farhue/difference.h"
#include "photo/figures.h"

enum { GAP = 4, BAR = 12, LETTERS = 14, SCALE = GAP + BAR + LETTERS, CHUNK = 256 };

size_t fh_map_block(const fh_pixels *pixels, size_t side)
{
    const size_t longest = pixels->width > pixels->height ? pixels->width : pixels->height;
    return longest > side ? (longest + side - 1) / side : 1;
}

static size_t columns_of(const fh_map *map)
{
    const size_t n = map->photo.pixels.width / map->block;
    return n > 0 ? n : 1;
}

static size_t rows_of(const fh_map *map)
{
    const size_t n = map->photo.pixels.height / map->block;
    return n > 0 ? n : 1;
}

void fh_map_size(const fh_map *map, size_t *width, size_t *height)
{
    *width = columns_of(map);
    *height = rows_of(map) + SCALE;
}

static fh_point place_of(const fh_map_photo *photo, fh_point pixel)
{
    const double half = (double)photo->pixels.width / 2.0;
    if (!photo->grid)
        return (fh_point){(pixel.x - half) / half,
                          (pixel.y - (double)photo->pixels.height / 2.0) / half};
    const fh_point place = fh_grid_place(photo->grid, pixel);
    return fh_chart_place(photo->chart, place.x, place.y);
}

static fh_lab block_colour(const fh_map_photo *photo, size_t block, size_t column, size_t row)
{
    fh_rgb chunk[CHUNK], sum = {0.0, 0.0, 0.0};
    size_t n = 0, total = 0;
    const size_t x0 = column * block, y0 = row * block;
    for (size_t i = 0; i <= block * block; i++) {
        if (n == CHUNK || i == block * block) {
            fh_profile_linear(photo->profile, chunk, n);
            for (size_t k = 0; k < n; k++)
                sum.r += chunk[k].r, sum.g += chunk[k].g, sum.b += chunk[k].b;
            total += n;
            n = 0;
        }
        const size_t x = x0 + i % block, y = y0 + i / block;
        if (i == block * block || x >= photo->pixels.width || y >= photo->pixels.height) continue;
        chunk[n++] = fh_pixels_at(&photo->pixels, x, y, NULL);
    }
    const double share = total > 0 ? 1.0 / (double)total : 0.0;
    const fh_rgb mean = {sum.r * share, sum.g * share, sum.b * share};
    const double middle = ((double)block - 1.0) / 2.0;
    const fh_point at = place_of(photo, (fh_point){(double)x0 + middle, (double)y0 + middle});
    return fh_correction_lab(photo->correction, mean, at);
}

double fh_map_at(const fh_map *map, size_t column, size_t row)
{
    assert(column < columns_of(map) && row < rows_of(map));
    const fh_lab here = block_colour(&map->photo, map->block, column, row);
    const fh_lab against =
        map->other ? block_colour(map->other, map->block, column, row) : map->from;
    return fh_de2000(against, here);
}

/* A grey of L* 10 to 100. */
static unsigned char shade(double share)
{
    const double L = 10.0 + 90.0 * fmin(fmax(share, 0.0), 1.0);
    const fh_xyz white = fh_srgb_white();
    const double code = fh_srgb_encode(fh_xyz_of_lab((fh_lab){L, 0.0, 0.0}, white).Y / 100.0);
    return (unsigned char)(255.0 * fmin(fmax(code, 0.0), 1.0) + 0.5);
}

/* 0, a quarter, half, three quarters and all of the scale, in figures under its bar. */
static void letters_row(const fh_map *map, size_t line, size_t width, unsigned char *row)
{
    for (int quarter = 0; quarter <= 4; quarter++) {
        const double value = map->top * quarter / 4.0;
        const size_t wide = fh_figures_width(value);
        const double at = (double)(width - 1) * quarter / 4.0;
        double left = at - (double)wide / 2.0;
        left = fmax(0.0, fmin(left, (double)width - (double)wide));
        for (size_t x = 0; x < wide; x++) {
            const size_t to = (size_t)left + x;
            if (to < width && fh_figures_dot(value, x, line)) memset(row + 3 * to, 255, 3);
        }
    }
}

static void scale_row(const fh_map *map, size_t y, size_t width, unsigned char *row)
{
    memset(row, shade(0.4), 3 * width);
    if (y >= GAP && y < GAP + BAR)
        for (size_t x = 0; x < width; x++)
            memset(row + 3 * x, shade(width > 1 ? (double)x / (double)(width - 1) : 0.0), 3);
    if (y >= GAP + BAR + 2) letters_row(map, y - GAP - BAR - 2, width, row);
}

void fh_map_row(const fh_map *map, size_t y, unsigned char *row)
{
    const size_t width = columns_of(map), rows = rows_of(map);
    if (y >= rows) {
        scale_row(map, y - rows, width, row);
        return;
    }
    for (size_t x = 0; x < width; x++)
        memset(row + 3 * x, shade(fh_map_at(map, x, y) / map->top), 3);
}
