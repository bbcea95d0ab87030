/* The robust mean of the pixels inside a shape.
 *
 * Means are taken of linear light: the mean of gamma-coded values is darker than the mean of the
 * light where a surface has texture. The median and the median absolute deviation (times 1.4826,
 * which makes it the standard deviation of a normal distribution) find what does not belong. */
#include <float.h>
#include <math.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/pixels.h"

enum { LEAST_PIXELS = 9 };

typedef struct gathered {
    fh_rgb *light;       /* linear, count of them */
    double *work;        /* count, for medians */
    unsigned char *part; /* quadrant 0–3 about the centre of the shape */
    size_t count;
    size_t capacity;
    double sum[3], square[3]; /* of the samples as stored */
    size_t clipped, dark, transparent;
} gathered;

typedef struct box {
    size_t x0, y0, x1, y1; /* inclusive */
} box;

static bool box_of(const fh_shape *shape, const fh_pixels *pixels, box *out)
{
    double x0 = DBL_MAX, y0 = DBL_MAX, x1 = -DBL_MAX, y1 = -DBL_MAX;
    if (shape->count == 0) {
        const fh_point c = shape->points[0];
        x0 = c.x - shape->radius, x1 = c.x + shape->radius;
        y0 = c.y - shape->radius, y1 = c.y + shape->radius;
    }
    for (size_t i = 0; i < shape->count; i++) {
        const fh_point p = shape->points[i];
        x0 = fmin(x0, p.x), x1 = fmax(x1, p.x);
        y0 = fmin(y0, p.y), y1 = fmax(y1, p.y);
    }
    /* Written so that NaN is outside too. */
    if (!(x0 >= -0.5 && y0 >= -0.5 && x1 <= (double)pixels->width - 0.5 &&
          y1 <= (double)pixels->height - 0.5 && x0 <= x1 && y0 <= y1))
        return false;
    out->x0 = (size_t)fmax(ceil(x0), 0.0);
    out->y0 = (size_t)fmax(ceil(y0), 0.0);
    out->x1 = (size_t)fmin(floor(x1), (double)pixels->width - 1.0);
    out->y1 = (size_t)fmin(floor(y1), (double)pixels->height - 1.0);
    return out->x0 <= out->x1 && out->y0 <= out->y1;
}

static void take(gathered *g, const fh_pixels *pixels, size_t x, size_t y, fh_point centre)
{
    double alpha;
    const fh_rgb rgb = fh_pixels_at(pixels, x, y, &alpha);
    const double s[3] = {rgb.r, rgb.g, rgb.b};
    const double top = pixels->bits == 16 ? 1.0 - 1.0 / 512 : 254.0 / 255;
    bool high = false, low = false;
    for (int c = 0; c < 3; c++) {
        g->sum[c] += s[c];
        g->square[c] += s[c] * s[c];
        high = high || s[c] >= top;
        low = low || s[c] <= 0.0;
    }
    g->clipped += high;
    g->dark += low;
    g->transparent += alpha < 1.0;
    g->part[g->count] = (unsigned char)(((double)x > centre.x) + 2 * ((double)y > centre.y));
    g->light[g->count++] = rgb;
}

static void gather(gathered *g, const fh_pixels *pixels, const fh_shape *shape, box b, size_t step)
{
    const fh_point centre = fh_shape_centre(shape);
    for (size_t y = b.y0; y <= b.y1; y += step) {
        for (size_t x = b.x0; x <= b.x1; x += step) {
            const fh_point at = {(double)x, (double)y};
            if (g->count < g->capacity && fh_shape_contains(shape, at))
                take(g, pixels, x, y, centre);
        }
    }
}

static double channel(fh_rgb rgb, int c)
{
    return c == 0 ? rgb.r : c == 1 ? rgb.g : rgb.b;
}

/* The k-th smallest of n values, by Hoare's selection; reorders them. */
static double select_kth(double *v, size_t n, size_t k)
{
    size_t low = 0, high = n - 1;
    while (low < high) {
        const double pivot = v[low + (high - low) / 2];
        size_t i = low, j = high;
        while (i <= j) {
            while (v[i] < pivot) i++;
            while (v[j] > pivot) j--;
            if (i <= j) {
                const double t = v[i];
                v[i] = v[j], v[j] = t;
                i++;
                if (j == 0) break;
                j--;
            }
        }
        if (k <= j && j < high)
            high = j;
        else if (k >= i && i > low)
            low = i;
        else
            break;
    }
    return v[k];
}

static void median_and_spread(const gathered *g, int c, double *median, double *spread)
{
    for (size_t i = 0; i < g->count; i++) g->work[i] = channel(g->light[i], c);
    *median = select_kth(g->work, g->count, g->count / 2);
    for (size_t i = 0; i < g->count; i++) g->work[i] = fabs(channel(g->light[i], c) - *median);
    *spread = 1.4826 * select_kth(g->work, g->count, g->count / 2);
}

static fh_rgb rgb_of(const double v[3])
{
    return (fh_rgb){v[0], v[1], v[2]};
}

/* Mean and standard deviation of the pixels near the median in every channel. */
static void robust_mean(const gathered *g, fh_patch *out)
{
    double median[3], limit[3], sum[3] = {0}, square[3] = {0};
    double quarter[4] = {0};
    size_t in_quarter[4] = {0}, kept = 0;
    for (int c = 0; c < 3; c++) {
        double spread;
        median_and_spread(g, c, &median[c], &spread);
        /* Half a step of 8 bits keeps a flat patch from losing its only two levels. */
        limit[c] = 4.0 * spread + 0.002 + 0.02 * fabs(median[c]);
    }
    for (size_t i = 0; i < g->count; i++) {
        bool near = true;
        for (int c = 0; c < 3; c++)
            near = near && fabs(channel(g->light[i], c) - median[c]) <= limit[c];
        if (!near) continue;
        kept++;
        for (int c = 0; c < 3; c++) {
            const double d = channel(g->light[i], c) - median[c];
            sum[c] += d;
            square[c] += d * d;
        }
        quarter[g->part[i]] += g->light[i].g;
        in_quarter[g->part[i]]++;
    }
    double mean[3], sd[3];
    for (int c = 0; c < 3; c++) {
        const double n = kept > 0 ? (double)kept : 1.0;
        mean[c] = median[c] + sum[c] / n;
        sd[c] = sqrt(fmax(0.0, square[c] / n - (sum[c] / n) * (sum[c] / n)));
    }
    out->mean = rgb_of(mean);
    out->sd = rgb_of(sd);
    out->kept = (double)kept / (double)g->count;
    double least = DBL_MAX, most = -DBL_MAX;
    for (int q = 0; q < 4; q++) {
        if (in_quarter[q] == 0) continue;
        const double m = quarter[q] / (double)in_quarter[q];
        least = fmin(least, m);
        most = fmax(most, m);
    }
    out->uneven = most > least && mean[1] > 0.0 ? (most - least) / mean[1] : 0.0;
}

static fh_status measure(gathered *g, const fh_profile *profile, fh_patch *out, fh_error *error)
{
    if (g->count < LEAST_PIXELS)
        return fh_fail(error, FH_E_DATA,
                       "the area holds %zu pixels; at least %d are needed: go nearer or make it "
                       "larger",
                       g->count, LEAST_PIXELS);
    if (g->transparent > 0)
        return fh_fail(error, FH_E_DATA,
                       "%zu of %zu pixels are transparent; expected an opaque photo",
                       g->transparent, g->count);
    fh_patch patch = {0};
    const double n = (double)g->count;
    double mean[3], sd[3];
    for (int c = 0; c < 3; c++) {
        mean[c] = g->sum[c] / n;
        sd[c] = sqrt(fmax(0.0, g->square[c] / n - mean[c] * mean[c]));
    }
    patch.code = rgb_of(mean);
    patch.code_sd = rgb_of(sd);
    patch.plain = patch.code;
    fh_profile_linear(profile, &patch.plain, 1);
    patch.count = g->count;
    patch.clipped = (double)g->clipped / n;
    patch.dark = (double)g->dark / n;
    fh_profile_linear(profile, g->light, g->count);
    robust_mean(g, &patch);
    *out = patch;
    return FH_OK;
}

fh_status fh_patch_measure(const fh_pixels *pixels, const fh_profile *profile,
                           const fh_shape *shape, fh_patch *out, fh_error *error)
{
    box b;
    const fh_point at = fh_shape_centre(shape);
    if (!box_of(shape, pixels, &b))
        return fh_fail(error, FH_E_DATA,
                       "the area at %.0f,%.0f reaches outside the picture of %zu x %zu pixels",
                       at.x, at.y, pixels->width, pixels->height);
    const size_t wide = b.x1 - b.x0 + 1, tall = b.y1 - b.y0 + 1;
    size_t step = 1;
    while ((wide / step + 1) * (tall / step + 1) > FH_PATCH_PIXELS) step++;
    gathered g = {0};
    g.capacity = (wide / step + 1) * (tall / step + 1);
    g.light = fh_allocate(g.capacity, sizeof *g.light);
    g.work = fh_allocate(g.capacity, sizeof *g.work);
    g.part = fh_allocate(g.capacity, sizeof *g.part);
    fh_status status = FH_E_MEMORY;
    if (g.light && g.work && g.part) {
        gather(&g, pixels, shape, b, step);
        status = measure(&g, profile, out, error);
    } else {
        fh_fail(error, status, "out of memory");
    }
    fh_free(g.light);
    fh_free(g.work);
    fh_free(g.part);
    return status;
}
