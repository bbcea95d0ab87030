/* The perspective grid of a chart from its four corner patches: the map from the unit square to a
 * quadrilateral in closed form [Heckbert1989], section 2.2.3, then scaled to columns and rows. */
#include <float.h>
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "farhue/chart.h"

static double cross(fh_point o, fh_point a, fh_point b)
{
    return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

static fh_status check_corners(const fh_point p[4], fh_error *error)
{
    double longest = 0.0;
    bool finite = true;
    for (int i = 0; i < 4; i++) {
        const fh_point next = p[(i + 1) % 4];
        finite = finite && isfinite(p[i].x) && isfinite(p[i].y) && fabs(p[i].x) < 1e6 &&
                 fabs(p[i].y) < 1e6;
        longest = fmax(longest, hypot(next.x - p[i].x, next.y - p[i].y));
    }
    if (!finite)
        return fh_fail(error, FH_E_DATA, "a corner is no place in a picture; expected pixels");
    int left = 0, right = 0;
    for (int i = 0; i < 4; i++) {
        const double turn = cross(p[i], p[(i + 1) % 4], p[(i + 2) % 4]);
        if (turn > 1e-3 * longest * longest)
            right++;
        else if (turn < -1e-3 * longest * longest)
            left++;
    }
    if (right == 4) return FH_OK;
    if (left == 4)
        return fh_fail(error, FH_E_DATA,
                       "the corners run counter-clockwise; expected the first patch, the end of "
                       "its row, the last patch, the start of the last row");
    if (left + right < 4)
        return fh_fail(error, FH_E_DATA,
                       "three corners lie on a line or coincide; expected the centres of the four "
                       "corner patches");
    return fh_fail(error, FH_E_DATA,
                   "the corners cross; expected the first patch, the end of its row, the last "
                   "patch, the start of the last row, in this order");
}

/* [Heckbert1989]: p0, p1, p2, p3 at (0,0), (1,0), (1,1), (0,1). */
static void unit_square(const fh_point p[4], double h[8])
{
    const double dx1 = p[1].x - p[2].x, dx2 = p[3].x - p[2].x;
    const double dy1 = p[1].y - p[2].y, dy2 = p[3].y - p[2].y;
    const double sx = p[0].x - p[1].x + p[2].x - p[3].x;
    const double sy = p[0].y - p[1].y + p[2].y - p[3].y;
    const double det = dx1 * dy2 - dx2 * dy1; /* not 0: the corners make a convex figure */
    const double g = (sx * dy2 - dx2 * sy) / det;
    const double k = (dx1 * sy - sx * dy1) / det;
    h[0] = p[1].x - p[0].x + g * p[1].x;
    h[1] = p[3].x - p[0].x + k * p[3].x;
    h[2] = p[0].x;
    h[3] = p[1].y - p[0].y + g * p[1].y;
    h[4] = p[3].y - p[0].y + k * p[3].y;
    h[5] = p[0].y;
    h[6] = g;
    h[7] = k;
}

fh_status fh_grid_from_corners(const fh_point corners[4], size_t rows, size_t columns, fh_grid *out,
                               fh_error *error)
{
    enum { MOST_PERSPECTIVE = 50 };
    if (rows < 2 || columns < 2)
        return fh_fail(error, FH_E_ARGUMENT,
                       "a chart of %zu x %zu patches has no four corners; name its patches one by "
                       "one",
                       rows, columns);
    const fh_status status = check_corners(corners, error);
    if (status != FH_OK) return status;
    fh_grid grid;
    memset(&grid, 0, sizeof grid);
    grid.rows = rows;
    grid.columns = columns;
    unit_square(corners, grid.h);
    /* w at the four corners: how far away each is, relative to the first. */
    const double w[4] = {1.0, 1.0 + grid.h[6], 1.0 + grid.h[6] + grid.h[7], 1.0 + grid.h[7]};
    const double near = fmin(fmin(w[0], w[1]), fmin(w[2], w[3]));
    const double far = fmax(fmax(w[0], w[1]), fmax(w[2], w[3]));
    if (!(near > 0.0) || far > MOST_PERSPECTIVE * near)
        return fh_fail(error, FH_E_DATA,
                       "the corners make no chart seen in perspective; expected the centres of "
                       "the four corner patches");
    for (int i = 0; i < 8; i += 3) {
        grid.h[i] /= (double)(columns - 1);
        grid.h[i + 1] /= (double)(rows - 1);
    }
    *out = grid;
    return FH_OK;
}

fh_point fh_grid_at(const fh_grid *grid, double column, double row)
{
    const double *h = grid->h;
    const double w = h[6] * column + h[7] * row + 1.0;
    return (fh_point){(h[0] * column + h[1] * row + h[2]) / w,
                      (h[3] * column + h[4] * row + h[5]) / w};
}

fh_point fh_grid_place(const fh_grid *grid, fh_point pixel)
{
    /* (h0 − h6 x) c + (h1 − h7 x) r = x − h2, and the same for y. */
    const double *h = grid->h;
    const double a = h[0] - h[6] * pixel.x, b = h[1] - h[7] * pixel.x, p = pixel.x - h[2];
    const double c = h[3] - h[6] * pixel.y, d = h[4] - h[7] * pixel.y, q = pixel.y - h[5];
    const double det = a * d - b * c; /* 0 only on the horizon of the chart's plane */
    return (fh_point){(p * d - b * q) / det, (a * q - p * c) / det};
}

static double distance(fh_point a, fh_point b)
{
    return hypot(a.x - b.x, a.y - b.y);
}

double fh_grid_pitch(const fh_grid *grid)
{
    double least = DBL_MAX;
    for (size_t r = 0; r < grid->rows; r++) {
        for (size_t c = 0; c < grid->columns; c++) {
            const double x = (double)c, y = (double)r;
            const fh_point here = fh_grid_at(grid, x, y);
            if (c + 1 < grid->columns)
                least = fmin(least, distance(here, fh_grid_at(grid, x + 1.0, y)));
            if (r + 1 < grid->rows)
                least = fmin(least, distance(here, fh_grid_at(grid, x, y + 1.0)));
        }
    }
    return least;
}

fh_shape fh_grid_window(const fh_grid *grid, size_t column, size_t row, double share)
{
    static const double side[4][2] = {{-0.5, -0.5}, {0.5, -0.5}, {0.5, 0.5}, {-0.5, 0.5}};
    fh_shape shape;
    memset(&shape, 0, sizeof shape);
    shape.count = 4;
    for (int i = 0; i < 4; i++)
        shape.points[i] =
            fh_grid_at(grid, (double)column + share * side[i][0], (double)row + share * side[i][1]);
    return shape;
}

fh_status fh_grid_measure(const fh_grid *grid, const fh_pixels *pixels, const fh_profile *profile,
                          double share, fh_patch *out, fh_error *error)
{
    for (size_t r = 0; r < grid->rows; r++) {
        for (size_t c = 0; c < grid->columns; c++) {
            const fh_shape shape = fh_grid_window(grid, c, r, share);
            fh_error inner = {0};
            const fh_status status =
                fh_patch_measure(pixels, profile, &shape, &out[r * grid->columns + c], &inner);
            if (status != FH_OK)
                return fh_fail(error, status, "patch %zu of the chart: %s",
                               r * grid->columns + c + 1, inner.message);
        }
    }
    return FH_OK;
}
