#include "photo/lattice.h"

#include <math.h>
#include <string.h>

#include "base/fit.h"

fh_point fh_project(const double h[8], double column, double row)
{
    double w = h[6] * column + h[7] * row + 1.0;
    return (fh_point){(h[0] * column + h[1] * row + h[2]) / w,
                      (h[3] * column + h[4] * row + h[5]) / w};
}

/* Two equations a point, linear in h: x w = h0 c + h1 r + h2 with w = h6 c + h7 r + 1. */
fh_status fh_fit_perspective(const fh_point *places, const fh_point *points, const double *weight,
                             size_t count, double h[8])
{
    static const size_t columns = 8;
    double normal[64] = {0}, right[8] = {0}, size = 1.0;
    if (count < 4 || count > FH_LATTICE_CELLS) return FH_E_DATA;
    for (size_t i = 0; i < count; ++i)
        size = fmax(size, fmax(fabs(points[i].x), fabs(points[i].y)));
    for (size_t i = 0; i < count; ++i) {
        double c = places[i].x, r = places[i].y, w = weight ? weight[i] : 1.0;
        double x = points[i].x / size, y = points[i].y / size;
        const double row[2][8] = {{c, r, 1, 0, 0, 0, -x * c, -x * r},
                                  {0, 0, 0, c, r, 1, -y * c, -y * r}};
        const double data[2] = {x, y};
        for (int e = 0; e < 2; ++e)
            for (size_t a = 0; a < columns; ++a) {
                right[a] += w * row[e][a] * data[e];
                for (size_t b = 0; b < columns; ++b)
                    normal[a * columns + b] += w * row[e][a] * row[e][b];
            }
    }
    double solution[8];
    fh_status status = fh_fit_linear(normal, right, NULL, columns, columns, solution, NULL);
    if (status) return status;
    for (int a = 0; a < 6; ++a) solution[a] *= size;
    memcpy(h, solution, sizeof solution);
    return FH_OK;
}

/* The cell at a place, or NULL. */
static const fh_cell *cell_at(const fh_lattice *lattice, int column, int row)
{
    for (size_t i = 0; i < lattice->count; ++i)
        if (lattice->cell[i].column == column && lattice->cell[i].row == row)
            return &lattice->cell[i];
    return NULL;
}

static bool taken(const fh_lattice *lattice, size_t region)
{
    for (size_t i = 0; i < lattice->count; ++i)
        if (lattice->cell[i].region == region) return true;
    return false;
}

/* The free region nearest to a point, no further than reach, of a size like another's. */
static bool nearest_region(const fh_flat *regions, size_t count, const fh_lattice *lattice,
                           fh_point at, double reach, double size, size_t *out)
{
    double best = reach;
    bool found = false;
    for (size_t i = 0; i < count; ++i) {
        double ratio = regions[i].size / size;
        double d = hypot(regions[i].centre.x - at.x, regions[i].centre.y - at.y);
        if (d >= best || ratio < 0.55 || ratio > 1.8 || taken(lattice, i)) continue;
        best = d;
        *out = i;
        found = true;
    }
    return found;
}

/* The step from a cell in a direction, taken from the cells around it: the opposite neighbour
 * first, else the same step beside it, else the lattice's first step. */
static fh_point local_step(const fh_lattice *lattice, const fh_flat *regions, const fh_cell *from,
                           int dc, int dr, fh_point first)
{
    for (int side = -1; side <= 1; ++side) {
        int c = from->column + side * dr, r = from->row + side * dc; /* across the direction */
        for (int back = 0; back <= 1; ++back) {
            if (side == 0 && back == 0) continue;
            const fh_cell *a = cell_at(lattice, c - back * dc, r - back * dr);
            const fh_cell *b = cell_at(lattice, c + (1 - back) * dc, r + (1 - back) * dr);
            if (a && b)
                return (fh_point){regions[b->region].centre.x - regions[a->region].centre.x,
                                  regions[b->region].centre.y - regions[a->region].centre.y};
        }
    }
    return first;
}

static void grow_from(const fh_flat *regions, size_t count, fh_lattice *lattice,
                      fh_point first_right, fh_point first_down)
{
    static const int direction[4][2] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    for (size_t i = 0; i < lattice->count; ++i) { /* the list grows while it is walked */
        for (int k = 0; k < 4 && lattice->count < FH_LATTICE_CELLS; ++k) {
            fh_cell from = lattice->cell[i];
            int dc = direction[k][0], dr = direction[k][1];
            if (cell_at(lattice, from.column + dc, from.row + dr)) continue;
            fh_point first = dc ? first_right : first_down;
            if (dc + dr < 0) first = (fh_point){-first.x, -first.y};
            fh_point step = local_step(lattice, regions, &from, dc, dr, first);
            const fh_flat *here = &regions[from.region];
            fh_point target = {here->centre.x + step.x, here->centre.y + step.y};
            size_t region;
            if (nearest_region(regions, count, lattice, target, 0.22 * hypot(step.x, step.y),
                               here->size, &region))
                lattice->cell[lattice->count++] =
                    (fh_cell){from.column + dc, from.row + dr, region};
        }
    }
}

/* Fit the map, drop what lies off it, fit again. */
static fh_status fit_map(fh_lattice *lattice, const fh_flat *regions)
{
    fh_point places[FH_LATTICE_CELLS], points[FH_LATTICE_CELLS];
    for (int round = 0; round < 3; ++round) {
        for (size_t i = 0; i < lattice->count; ++i) {
            places[i] = (fh_point){lattice->cell[i].column, lattice->cell[i].row};
            points[i] = regions[lattice->cell[i].region].centre;
        }
        if (lattice->count < 6) return FH_E_DATA;
        fh_status status = fh_fit_perspective(places, points, NULL, lattice->count, lattice->h);
        if (status) return status;
        size_t kept = 0;
        for (size_t i = 0; i < lattice->count; ++i) {
            fh_point at = fh_project(lattice->h, places[i].x, places[i].y);
            double off = hypot(at.x - points[i].x, at.y - points[i].y);
            if (off < 0.25 * regions[lattice->cell[i].region].size)
                lattice->cell[kept++] = lattice->cell[i];
        }
        if (kept == lattice->count) return FH_OK;
        lattice->count = kept;
    }
    return lattice->count >= 6 ? FH_OK : FH_E_DATA;
}

/* Regions that the growth missed but that lie where the map puts a cell, within a margin. */
static void adopt(const fh_flat *regions, size_t count, fh_lattice *lattice)
{
    int c0 = 0, c1 = 0, r0 = 0, r1 = 0;
    for (size_t i = 0; i < lattice->count; ++i) {
        const fh_cell *cell = &lattice->cell[i];
        c0 = cell->column < c0 ? cell->column : c0, c1 = cell->column > c1 ? cell->column : c1;
        r0 = cell->row < r0 ? cell->row : r0, r1 = cell->row > r1 ? cell->row : r1;
    }
    double size = regions[lattice->cell[0].region].size;
    for (int r = r0 - 2; r <= r1 + 2; ++r)
        for (int c = c0 - 2; c <= c1 + 2; ++c) {
            size_t region;
            if (lattice->count == FH_LATTICE_CELLS || cell_at(lattice, c, r)) continue;
            fh_point at = fh_project(lattice->h, c, r);
            if (nearest_region(regions, count, lattice, at, 0.2 * size, size, &region))
                lattice->cell[lattice->count++] = (fh_cell){c, r, region};
        }
}

fh_status fh_lattice_grow(const fh_flat *regions, size_t count, size_t seed, size_t right,
                          size_t down, fh_lattice *out)
{
    fh_point o = regions[seed].centre, a = regions[right].centre, b = regions[down].centre;
    out->count = 3;
    out->cell[0] = (fh_cell){0, 0, seed};
    out->cell[1] = (fh_cell){1, 0, right};
    out->cell[2] = (fh_cell){0, 1, down};
    grow_from(regions, count, out, (fh_point){a.x - o.x, a.y - o.y},
              (fh_point){b.x - o.x, b.y - o.y});
    fh_status status = fit_map(out, regions);
    if (status) return status;
    adopt(regions, count, out);
    return fit_map(out, regions);
}
