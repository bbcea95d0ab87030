/* Connected components of the pixels that hardly differ from their neighbours, at several
 * thresholds: a low one parts patches that touch, a high one joins what noise has torn. */
#include "photo/flat.h"

#include <math.h>
#include <stdint.h>

#include "base/memory.h"

enum { MIN_AREA = 12 };

/* Largest difference of a channel between a pixel and its four neighbours. */
static void roughness(const fh_thumbnail *t, float *out)
{
    for (size_t y = 0; y < t->height; ++y)
        for (size_t x = 0; x < t->width; ++x) {
            const float *here = t->rgb + 3 * (y * t->width + x);
            float largest = 0.0f;
            for (int k = 0; k < 4; ++k) {
                size_t nx = k == 0 ? x - (x > 0) : k == 1 ? x + (x + 1 < t->width) : x;
                size_t ny = k == 2 ? y - (y > 0) : k == 3 ? y + (y + 1 < t->height) : y;
                const float *there = t->rgb + 3 * (ny * t->width + nx);
                for (int c = 0; c < 3; ++c) largest = fmaxf(largest, fabsf(here[c] - there[c]));
            }
            out[y * t->width + x] = largest;
        }
}

/* Sums over a component. */
struct moments {
    double n, x, y, xx, xy, yy;
};

/* The flat region of some moments; false when it is no patch. */
static bool patch_of_moments(const struct moments *m, double largest_area, fh_flat *out)
{
    if (m->n < MIN_AREA || m->n > largest_area) return false;
    double cx = m->x / m->n, cy = m->y / m->n;
    double vx = m->xx / m->n - cx * cx + 1.0 / 12, vy = m->yy / m->n - cy * cy + 1.0 / 12;
    double vxy = m->xy / m->n - cx * cy;
    double determinant = vx * vy - vxy * vxy, half = (vx + vy) / 2;
    double split = sqrt(fmax(0.0, half * half - determinant));
    /* A parallelogram's area is 12 times the root of the determinant of its second moments. */
    double fill = m->n / (12.0 * sqrt(fmax(determinant, 1e-12)));
    double longness = sqrt((half + split) / fmax(half - split, 1e-9));
    *out = (fh_flat){{cx, cy}, sqrt(m->n), fill};
    return fill > 0.8 && fill < 1.15 && longness < 2.6;
}

/* Flood one component from a seed; visited pixels get the mark. stack holds a picture's pixels. */
static struct moments flood(const fh_thumbnail *t, const float *rough, float threshold,
                            uint32_t seed, unsigned char *seen, uint32_t *stack)
{
    struct moments m = {0};
    size_t top = 0;
    stack[top++] = seed;
    seen[seed] = 1;
    while (top > 0) {
        uint32_t at = stack[--top];
        size_t x = at % t->width, y = at / t->width;
        double dx = (double)x, dy = (double)y;
        m = (struct moments){m.n + 1,       m.x + dx,      m.y + dy,
                             m.xx + dx * dx, m.xy + dx * dy, m.yy + dy * dy};
        const bool open[4] = {x > 0, x + 1 < t->width, y > 0, y + 1 < t->height};
        const int64_t step[4] = {-1, 1, -(int64_t)t->width, (int64_t)t->width};
        for (int k = 0; k < 4; ++k) {
            if (!open[k]) continue;
            uint32_t next = (uint32_t)((int64_t)at + step[k]);
            if (seen[next] || rough[next] > threshold) continue;
            seen[next] = 1;
            stack[top++] = next;
        }
    }
    return m;
}

/* Keep a region unless a fuller one lies there already. */
static void keep(fh_flat region, fh_flat *out, size_t *count)
{
    for (size_t i = 0; i < *count; ++i) {
        double distance = hypot(out[i].centre.x - region.centre.x, out[i].centre.y - region.centre.y);
        if (distance > 0.35 * fmin(out[i].size, region.size)) continue;
        if (region.size > 1.6 * out[i].size || out[i].size > 1.6 * region.size) continue;
        /* The larger of two alike is less eaten away at its border. */
        if (region.size > out[i].size) out[i] = region;
        return;
    }
    if (*count < FH_FLAT_MAX) out[(*count)++] = region;
}

fh_status fh_flat_regions(const fh_thumbnail *picture, fh_flat out[FH_FLAT_MAX], size_t *count)
{
    static const float thresholds[] = {0.012f, 0.02f, 0.032f, 0.05f, 0.08f};
    size_t pixels = picture->width * picture->height;
    float *rough = fh_allocate(pixels, sizeof *rough);
    unsigned char *seen = fh_allocate(pixels, 1);
    uint32_t *stack = fh_allocate(pixels, sizeof *stack);
    fh_status status = rough && seen && stack ? FH_OK : FH_E_MEMORY;
    size_t found = 0;
    if (status == FH_OK) roughness(picture, rough);
    for (size_t k = 0; status == FH_OK && k < sizeof thresholds / sizeof *thresholds; ++k) {
        for (size_t i = 0; i < pixels; ++i) seen[i] = 0;
        for (size_t i = 0; i < pixels; ++i) {
            if (seen[i] || rough[i] > thresholds[k]) continue;
            struct moments m =
                flood(picture, rough, thresholds[k], (uint32_t)i, seen, stack);
            fh_flat region;
            if (patch_of_moments(&m, (double)pixels / 12.0, &region)) keep(region, out, &found);
        }
    }
    fh_free(rough);
    fh_free(seen);
    fh_free(stack);
    if (status == FH_OK) *count = found;
    return status;
}
