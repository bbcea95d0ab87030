/* Drawing over a photo row by row: a pixel asks each mark near it how far its outline is. */
#include "farhue/overlay.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "photo/figures.h"

/* What a mark does to a pixel. */
typedef enum ink { INK_NONE, INK_BLACK, INK_WHITE } ink;

void fh_overlay_size(const fh_overlay *overlay, size_t *width, size_t *height)
{
    const size_t w = overlay->pixels.width / overlay->block;
    const size_t h = overlay->pixels.height / overlay->block;
    *width = w > 0 ? w : 1;
    *height = h > 0 ? h : 1;
}

/* --- Marks ------------------------------------------------------------------------------------ */

static bool is_corner(const fh_grid *grid, size_t column, size_t row)
{
    return (column == 0 || column + 1 == grid->columns) && (row == 0 || row + 1 == grid->rows);
}

void fh_overlay_chart(const fh_calibration *calibration, const fh_grid *grid, double share,
                      fh_outline *marks)
{
    for (size_t row = 0; row < grid->rows; row++) {
        for (size_t column = 0; column < grid->columns; column++) {
            const size_t i = row * grid->columns + column;
            fh_outline *mark = &marks[i];
            memset(mark, 0, sizeof *mark);
            mark->kind =
                calibration->exclusion[i] == FH_PATCH_USED ? FH_OUTLINE_USED : FH_OUTLINE_REJECTED;
            mark->shape = fh_grid_window(grid, column, row, share);
            if (!is_corner(grid, column, row)) continue;
            fh_format(mark->text, sizeof mark->text, "%zu", i + 1);
            mark->label =
                fh_grid_at(grid, (double)column + (column == 0 ? -0.9 : 0.9), (double)row);
        }
    }
}

fh_outline fh_overlay_spot(const fh_shape *shape, const char *name)
{
    fh_outline mark;
    memset(&mark, 0, sizeof mark);
    mark.kind = FH_OUTLINE_SPOT;
    mark.shape = *shape;
    fh_copy_text(mark.text, sizeof mark.text, name);
    const fh_point centre = fh_shape_centre(shape);
    double right = shape->count == 0 ? centre.x + shape->radius : -DBL_MAX;
    for (size_t i = 0; i < shape->count; i++) right = fmax(right, shape->points[i].x);
    mark.label = (fh_point){right + 0.15 * (right - centre.x), centre.y};
    return mark;
}

/* --- Distances, in pixels of the overlay ------------------------------------------------------ */

static double to_segment(fh_point p, fh_point a, fh_point b)
{
    const double dx = b.x - a.x, dy = b.y - a.y, length = dx * dx + dy * dy;
    double t = length > 0.0 ? ((p.x - a.x) * dx + (p.y - a.y) * dy) / length : 0.0;
    t = fmin(fmax(t, 0.0), 1.0);
    return hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

static fh_point shrunk(fh_point p, double by)
{
    return (fh_point){p.x / by, p.y / by};
}

static double to_outline(const fh_outline *mark, fh_point p, double block)
{
    const fh_shape *shape = &mark->shape;
    if (shape->count == 0) {
        const fh_point c = shrunk(shape->points[0], block);
        return fabs(hypot(p.x - c.x, p.y - c.y) - shape->radius / block);
    }
    double least = DBL_MAX;
    for (size_t i = 0, k = shape->count - 1; i < shape->count; k = i++)
        least = fmin(
            least, to_segment(p, shrunk(shape->points[k], block), shrunk(shape->points[i], block)));
    if (mark->kind == FH_OUTLINE_REJECTED && shape->count == 4)
        for (size_t i = 0; i < 2; i++)
            least = fmin(least, to_segment(p, shrunk(shape->points[i], block),
                                           shrunk(shape->points[i + 2], block)));
    return least;
}

static ink ink_of_outline(const fh_outline *mark, fh_point p, double block)
{
    const double d = to_outline(mark, p, block);
    if (d <= 0.7) return INK_WHITE;
    if (mark->kind == FH_OUTLINE_SPOT && fabs(d - 3.5) <= 0.7) return INK_WHITE;
    return d <= (mark->kind == FH_OUTLINE_SPOT ? 5.0 : 1.8) ? INK_BLACK : INK_NONE;
}

/* Left end of a mark's text on an overlay of that width: moved in where it would leave it. */
static double text_start(const fh_outline *mark, double block, double width)
{
    const double wide = (double)fh_letters_width(mark->text);
    const double middle = mark->label.x / block;
    const double left = mark->kind == FH_OUTLINE_SPOT ? middle + 2.0 : middle - wide / 2.0;
    return fmax(2.0, fmin(left, width - wide - 2.0));
}

static ink ink_of_text(const fh_outline *mark, fh_point p, double block, double width)
{
    if (!mark->text[0]) return INK_NONE;
    const double wide = (double)fh_letters_width(mark->text), tall = FH_FIGURES_HEIGHT;
    const double x = p.x - floor(text_start(mark, block, width));
    const double y = p.y - mark->label.y / block + tall / 2.0;
    if (x < -2.0 || y < -2.0 || x >= wide + 1.0 || y >= tall + 2.0) return INK_NONE;
    if (x < 0.0 || y < 0.0) return INK_BLACK;
    return fh_letters_dot(mark->text, (size_t)x, (size_t)y) ? INK_WHITE : INK_BLACK;
}

/* Rows and columns that a mark can touch. */
typedef struct reach {
    double left, right, top, bottom;
} reach;

static void stretch(reach *r, double x, double y, double by)
{
    r->left = fmin(r->left, x - by), r->right = fmax(r->right, x + by);
    r->top = fmin(r->top, y - by), r->bottom = fmax(r->bottom, y + by);
}

static reach reach_of(const fh_outline *mark, double block, double width)
{
    const double line = 6.0, around = 24.0;
    reach r = {DBL_MAX, -DBL_MAX, DBL_MAX, -DBL_MAX};
    if (mark->shape.count == 0)
        stretch(&r, mark->shape.points[0].x / block, mark->shape.points[0].y / block,
                mark->shape.radius / block + line);
    for (size_t i = 0; i < mark->shape.count; i++)
        stretch(&r, mark->shape.points[i].x / block, mark->shape.points[i].y / block, line);
    if (!mark->text[0]) return r;
    const double start = text_start(mark, block, width), y = mark->label.y / block;
    stretch(&r, start, y, around);
    stretch(&r, start + (double)fh_letters_width(mark->text), y, around);
    return r;
}

/* --- The picture underneath ------------------------------------------------------------------- */

/* The mean of up to 4 × 4 pixels of a block, as sRGB. */
static void photo_pixel(const fh_overlay *o, size_t x, size_t y, unsigned char out[3])
{
    const size_t step = o->block > 4 ? o->block / 4 : 1;
    fh_rgb sum = {0.0, 0.0, 0.0};
    double n = 0.0;
    for (size_t j = y * o->block; j < (y + 1) * o->block && j < o->pixels.height; j += step) {
        for (size_t i = x * o->block; i < (x + 1) * o->block && i < o->pixels.width; i += step) {
            const fh_rgb v = fh_pixels_at(&o->pixels, i, j, NULL);
            sum.r += v.r, sum.g += v.g, sum.b += v.b;
            n += 1.0;
        }
    }
    fh_rgb mean = {sum.r / n, sum.g / n, sum.b / n};
    fh_profile_linear(o->profile, &mean, 1);
    const double v[3] = {mean.r, mean.g, mean.b};
    for (int c = 0; c < 3; c++)
        out[c] = (unsigned char)(255.0 * fmin(fmax(fh_srgb_encode(v[c]), 0.0), 1.0) + 0.5);
}

void fh_overlay_row(const fh_overlay *overlay, size_t y, unsigned char *row)
{
    const double block = (double)overlay->block;
    size_t width, height;
    fh_overlay_size(overlay, &width, &height);
    for (size_t x = 0; x < width; x++) photo_pixel(overlay, x, y, row + 3 * x);
    for (size_t m = 0; m < overlay->count; m++) {
        const fh_outline *mark = &overlay->marks[m];
        const reach r = reach_of(mark, block, (double)width);
        if ((double)y < r.top || (double)y > r.bottom) continue;
        for (size_t x = r.left > 0.0 ? (size_t)r.left : 0; x < width && (double)x <= r.right; x++) {
            const fh_point p = {(double)x, (double)y};
            ink use = ink_of_outline(mark, p, block);
            const ink text = ink_of_text(mark, p, block, (double)width);
            if (text != INK_NONE) use = text;
            if (use != INK_NONE) memset(row + 3 * x, use == INK_WHITE ? 255 : 0, 3);
        }
    }
}
