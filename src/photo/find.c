/* From flat regions to lattices to the placement whose colours are the chart's. */
#include "farhue/find.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"
#include "photo/placement.h"

enum { NEIGHBOURS = 8, PASSES = 4, TRIES = 600 };

/* A cost above this is no chart; above the second one it is doubted. Both from the real photos and
 * rendered scenes: right placements cost 2–13, wrong ones 15 and more. */
static const double cost_refused = 13.5, cost_doubted = 10.0;

/* All that one search works with. */
struct hunt {
    const fh_chart *chart;
    fh_xyz xyz[FH_CHART_PATCHES], white;
    fh_flat regions[FH_FLAT_MAX];
    size_t region_count;
    bool used[FH_FLAT_MAX]; /* already in a lattice of fair size */
    fh_lattice lattice, best_lattice;
    fh_placement best;
    double runner_up;
    bool hidden[FH_CHART_PATCHES], best_hidden[FH_CHART_PATCHES];
    fh_point corners[4]; /* of the best, in pixels of the photo */
};

/* The regions nearest to one that are about as large and about a pitch away. */
static size_t neighbours(const struct hunt *hunt, size_t seed, size_t out[NEIGHBOURS])
{
    const fh_flat *s = &hunt->regions[seed];
    double distance[NEIGHBOURS];
    size_t count = 0;
    for (size_t i = 0; i < hunt->region_count; ++i) {
        const fh_flat *r = &hunt->regions[i];
        double d = hypot(r->centre.x - s->centre.x, r->centre.y - s->centre.y);
        double ratio = r->size / s->size;
        if (i == seed || ratio < 0.6 || ratio > 1.7 || d < 0.9 * s->size || d > 2.6 * s->size)
            continue;
        size_t at = count < NEIGHBOURS ? count++ : NEIGHBOURS;
        while (at > 0 && distance[at - 1] > d) {
            if (at < NEIGHBOURS) distance[at] = distance[at - 1], out[at] = out[at - 1];
            --at;
        }
        if (at < NEIGHBOURS) distance[at] = d, out[at] = i;
    }
    return count;
}

/* May (right, down) be the axes of a lattice: right-handed, 50–130 degrees, lengths alike? */
static bool axes(const fh_flat *o, const fh_flat *a, const fh_flat *b)
{
    double ax = a->centre.x - o->centre.x, ay = a->centre.y - o->centre.y;
    double bx = b->centre.x - o->centre.x, by = b->centre.y - o->centre.y;
    double la = hypot(ax, ay), lb = hypot(bx, by);
    return ax * by - ay * bx > 0.766 * la * lb && la < 1.8 * lb && lb < 1.8 * la;
}

/* Corner centres of the best placement: the map through its own cells, those of full size
 * weighing more than those partly eaten by shadow. */
static fh_status refine(struct hunt *hunt, const fh_thumbnail *picture)
{
    fh_point places[FH_LATTICE_CELLS], points[FH_LATTICE_CELLS];
    double weight[FH_LATTICE_CELLS], h[8], mean = 0.0;
    size_t n = 0, columns = hunt->chart->columns, rows = hunt->chart->rows;
    const fh_lattice *lattice = &hunt->best_lattice;
    for (size_t i = 0; i < hunt->chart->count; ++i) {
        int c, r;
        fh_placement_cell(&hunt->best, i % columns, i / columns, &c, &r);
        for (size_t k = 0; k < lattice->count; ++k) {
            if (lattice->cell[k].column != c || lattice->cell[k].row != r) continue;
            const fh_flat *region = &hunt->regions[lattice->cell[k].region];
            places[n] = (fh_point){(double)(i % columns), (double)(i / columns)};
            points[n] = region->centre;
            weight[n] = region->size;
            mean += region->size;
            ++n;
        }
    }
    mean /= (double)(n ? n : 1);
    for (size_t k = 0; k < n; ++k) weight[k] = weight[k] > 0.9 * mean ? 1.0 : 0.1;
    fh_status status = fh_fit_perspective(places, points, weight, n, h);
    if (status) return status;
    const fh_point at[4] = {{0, 0},
                            {(double)(columns - 1), 0},
                            {(double)(columns - 1), (double)(rows - 1)},
                            {0, (double)(rows - 1)}};
    for (int k = 0; k < 4; ++k)
        hunt->corners[k] = fh_thumbnail_to_photo(picture, fh_project(h, at[k].x, at[k].y));
    return FH_OK;
}

/* How far a placement's corners are from those of the best so far, in pitches of the best. */
static double apart(const struct hunt *hunt, const fh_thumbnail *picture,
                    const fh_placement *found)
{
    const size_t columns = hunt->chart->columns - 1, rows = hunt->chart->rows - 1;
    const size_t at[4][2] = {{0, 0}, {columns, 0}, {columns, rows}, {0, rows}};
    const fh_point *best = hunt->corners;
    double worst = 0.0, side = hypot(best[1].x - best[0].x, best[1].y - best[0].y);
    for (int k = 0; k < 4; ++k) {
        int c, r;
        fh_placement_cell(found, at[k][0], at[k][1], &c, &r);
        fh_point p = fh_thumbnail_to_photo(picture, fh_project(hunt->lattice.h, c, r));
        worst = fmax(worst, hypot(p.x - best[k].x, p.y - best[k].y));
    }
    return worst / (side / (double)columns);
}

/* Keep a placement when it is the best so far. Of two in different places, a second chart in the
 * picture for one, the worse is a rival; the same place seen through another lattice is not. */
static void consider(struct hunt *hunt, const fh_thumbnail *picture, const fh_placement *found,
                     double rival)
{
    const bool elsewhere =
        hunt->best.cost < HUGE_VAL && apart(hunt, picture, found) > 0.5;
    hunt->runner_up = fmin(hunt->runner_up, rival);
    if (elsewhere) hunt->runner_up = fmin(hunt->runner_up, fmax(found->cost, hunt->best.cost));
    if (found->cost >= hunt->best.cost) return;
    hunt->best = *found;
    hunt->best_lattice = hunt->lattice;
    memcpy(hunt->best_hidden, hunt->hidden, sizeof hunt->hidden);
    if (refine(hunt, picture)) hunt->best.cost = HUGE_VAL;
}

/* Grow lattices from all seeds of this thumbnail and try the chart on them. */
static fh_status hunt_lattices(struct hunt *hunt, const fh_thumbnail *picture)
{
    size_t least = hunt->chart->count / 4 > 6 ? hunt->chart->count / 4 : 6;
    int tries = 0;
    memset(hunt->used, 0, sizeof hunt->used);
    for (size_t seed = 0; seed < hunt->region_count; ++seed) {
        if (hunt->used[seed]) continue;
        size_t near[NEIGHBOURS], count = neighbours(hunt, seed, near);
        bool grown = false;
        for (size_t i = 0; i < count && !grown; ++i)
            for (size_t k = 0; k < count && !grown; ++k) {
                const fh_flat *r = hunt->regions;
                if (i == k || !axes(&r[seed], &r[near[i]], &r[near[k]])) continue;
                if (fh_lattice_grow(r, hunt->region_count, seed, near[i], near[k],
                                    &hunt->lattice) ||
                    hunt->lattice.count < least)
                    continue;
                if (++tries > TRIES) return FH_OK;
                fh_placement found;
                double rival;
                fh_status status =
                    fh_placement_best(picture, &hunt->lattice, hunt->chart, hunt->xyz,
                                      hunt->white, &found, &rival, hunt->hidden);
                if (status == FH_E_MEMORY) return status;
                if (status) continue;
                consider(hunt, picture, &found, rival);
                grown = found.cost < cost_refused || hunt->lattice.count > hunt->chart->count / 2;
                for (size_t n = 0; grown && n < hunt->lattice.count; ++n)
                    hunt->used[hunt->lattice.cell[n].region] = true;
            }
    }
    return FH_OK;
}

static bool certain(const struct hunt *hunt)
{
    return hunt->best.cost < cost_doubted && hunt->best.visible * 4 >= hunt->chart->count * 3 &&
           hunt->runner_up > 1.3 * hunt->best.cost;
}

/* Look at the photo at two sizes and in two codings, until there is no doubt. */
static fh_status hunt_passes(struct hunt *hunt, const fh_pixels *pixels, fh_progress progress,
                             void *user)
{
    static const struct {
        size_t side;
        float power;
    } pass[PASSES] = {{640, 1.0f}, {640, 0.4545f}, {1400, 1.0f}, {1400, 0.4545f}};
    for (int i = 0; i < PASSES && !certain(hunt); ++i) {
        fh_thumbnail picture;
        fh_status status = fh_thumbnail_new(pixels, pass[i].side, progress, user, &picture);
        if (status) return status;
        /* The companded copy serves to find regions; colours are read from either alike. */
        if (pass[i].power < 1.0f) fh_thumbnail_power(&picture, pass[i].power);
        status = fh_flat_regions(&picture, hunt->regions, &hunt->region_count);
        if (status == FH_OK) status = hunt_lattices(hunt, &picture);
        fh_thumbnail_free(&picture);
        if (status) return status;
    }
    return FH_OK;
}

static fh_status judge(const struct hunt *hunt, fh_found *out, fh_error *error)
{
    const fh_chart *chart = hunt->chart;
    const fh_placement *best = &hunt->best;
    if (!(best->cost < cost_refused) || best->visible * 2 < chart->count)
        return fh_fail(error, FH_E_DATA,
                       "no chart of %zu x %zu patches was found; give its corners, or take the "
                       "photo closer, evenly lit and sharp",
                       chart->rows, chart->columns);
    if (best->turn >= 4)
        return fh_fail(error, FH_E_DATA,
                       "the picture is mirrored, as some front cameras do; mirror it back first");
    if (hunt->runner_up < 1.1 * best->cost)
        return fh_fail(error, FH_E_DATA,
                       "the chart fits in two places alike; give its corners");
    fh_found found = {.residual = best->residual,
                      .runner_up = hunt->runner_up,
                      .visible = best->visible,
                      .detected = best->detected};
    memcpy(found.corners, hunt->corners, sizeof found.corners);
    memcpy(found.hidden, hunt->best_hidden, sizeof found.hidden);
    fh_status status =
        fh_grid_from_corners(found.corners, chart->rows, chart->columns, &found.grid, error);
    if (status) return status;
    if (best->visible < chart->count)
        fh_format(found.warning, sizeof found.warning,
                  "%zu of %zu patches do not fit: covered, in shadow or under glare",
                  chart->count - best->visible, chart->count);
    if (!certain(hunt)) {
        found.doubtful = true;
        if (best->visible == chart->count)
            fh_format(found.warning, sizeof found.warning,
                      "the chart's colours fit badly (%.0f on average); check its corners",
                      best->cost);
    }
    *out = found;
    return FH_OK;
}

fh_status fh_chart_find(const fh_pixels *pixels, const fh_chart *chart, fh_progress progress,
                        void *user, fh_found *out, fh_error *error)
{
    if (chart->rows < 3 || chart->columns < 3 || chart->count < 12)
        return fh_fail(error, FH_E_ARGUMENT,
                       "a chart of %zu x %zu patches is too small to be found by itself; give its "
                       "corners",
                       chart->rows, chart->columns);
    struct hunt *hunt = fh_allocate(1, sizeof *hunt);
    fh_lab *lab = fh_allocate(chart->count, sizeof *lab);
    fh_status status = hunt && lab ? FH_OK : fh_fail(error, FH_E_MEMORY, "out of memory");
    const fh_condition d50 = {FH_ILLUMINANT_D50, FH_OBSERVER_2};
    if (status == FH_OK && fh_chart_lab(chart, 0, d50, lab))
        status = fh_fail(error, FH_E_IMPOSSIBLE,
                         "the chart's colours are not known for D50/2; add spectra to its file");
    if (status == FH_OK) {
        hunt->chart = chart;
        hunt->white = fh_weights_of(d50).white;
        for (size_t i = 0; i < chart->count; ++i) hunt->xyz[i] = fh_xyz_of_lab(lab[i], hunt->white);
        hunt->best.cost = HUGE_VAL;
        hunt->runner_up = HUGE_VAL;
        status = hunt_passes(hunt, pixels, progress, user);
        if (status == FH_E_STOPPED) (void)fh_fail(error, status, "stopped on request");
        else if (status == FH_E_MEMORY) (void)fh_fail(error, status, "out of memory");
        else status = judge(hunt, out, error);
    }
    fh_free(lab);
    fh_free(hunt);
    return status;
}
