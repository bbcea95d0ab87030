/* Each placement predicts where every patch is; a plain 3 × 3 colour fit with the misfits trimmed
 * tells whether the colours there are the chart's. Two codings are tried, light itself and a
 * power of 2.2, since a wrong one bends the grey row. */
#include "photo/placement.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "farhue/difference.h"

/* Directions of chart columns and rows on the lattice. */
static const int right_of[FH_TURNS][2] = {{1, 0},  {0, 1},  {-1, 0}, {0, -1},
                                          {-1, 0}, {0, 1},  {1, 0},  {0, -1}};
static const int down_of[FH_TURNS][2] = {{0, 1}, {-1, 0}, {0, -1}, {1, 0},
                                         {0, 1}, {1, 0},  {0, -1}, {-1, 0}};

void fh_placement_cell(const fh_placement *placement, size_t column, size_t row, int *c, int *r)
{
    const int *right = right_of[placement->turn], *down = down_of[placement->turn];
    *c = placement->c0 + (int)column * right[0] + (int)row * down[0];
    *r = placement->r0 + (int)column * right[1] + (int)row * down[1];
}

/* Stored colour of every lattice place around the lattice, and whether a cell is there. */
struct board {
    int c0, r0, columns, rows;
    struct square {
        float rgb[3];
        bool inside, cell;
    } * squares;
};

static struct square *square_at(const struct board *board, int c, int r)
{
    if (c < board->c0 || c >= board->c0 + board->columns) return NULL;
    if (r < board->r0 || r >= board->r0 + board->rows) return NULL;
    return &board->squares[(r - board->r0) * board->columns + (c - board->c0)];
}

/* Mean of 7 × 7 samples over the middle of a cell; inside is false where one leaves the picture. */
static struct square measure(const fh_thumbnail *t, const double h[8], int c, int r)
{
    struct square s = {.inside = true};
    double sum[3] = {0, 0, 0};
    for (int j = -3; j <= 3; ++j)
        for (int i = -3; i <= 3; ++i) {
            fh_point at = fh_project(h, c + 0.07 * i, r + 0.07 * j);
            bool in = at.x > -0.5 && at.y > -0.5 && at.x < (double)t->width - 0.5 &&
                      at.y < (double)t->height - 0.5;
            if (!in) return (struct square){0};
            const float *rgb =
                t->rgb + 3 * ((size_t)(at.y + 0.5) * t->width + (size_t)(at.x + 0.5));
            for (int k = 0; k < 3; ++k) sum[k] += (double)rgb[k];
        }
    for (int k = 0; k < 3; ++k) s.rgb[k] = (float)(sum[k] / 49.0);
    return s;
}

static fh_status board_new(const fh_thumbnail *t, const fh_lattice *lattice, int margin,
                           struct board *out)
{
    int c0 = 0, c1 = 0, r0 = 0, r1 = 0;
    for (size_t i = 0; i < lattice->count; ++i) {
        int c = lattice->cell[i].column, r = lattice->cell[i].row;
        c0 = c < c0 ? c : c0, c1 = c > c1 ? c : c1, r0 = r < r0 ? r : r0, r1 = r > r1 ? r : r1;
    }
    struct board b = {c0 - margin, r0 - margin, c1 - c0 + 1 + 2 * margin, r1 - r0 + 1 + 2 * margin,
                      NULL};
    b.squares = fh_allocate((size_t)b.columns * (size_t)b.rows, sizeof *b.squares);
    if (!b.squares) return FH_E_MEMORY;
    for (int r = 0; r < b.rows; ++r)
        for (int c = 0; c < b.columns; ++c)
            b.squares[r * b.columns + c] = measure(t, lattice->h, b.c0 + c, b.r0 + r);
    for (size_t i = 0; i < lattice->count; ++i)
        square_at(&b, lattice->cell[i].column, lattice->cell[i].row)->cell = true;
    *out = b;
    return FH_OK;
}

/* Work space for fitting one placement. */
struct trial {
    size_t count;
    const fh_xyz *xyz;
    const fh_lab *lab;
    fh_xyz white;
    fh_vec3 *rgb;   /* of each patch, power applied */
    bool *inside;   /* in the picture */
    double *misfit; /* ΔE00 */
    double *sorted;
};

/* Weighted 3 × 3. A patch that does not fit weighs little [Geman1987]: a finger over the black
 * patch must not bend the rest. scale is the misfit that still counts; spare flattens the weight
 * of dark patches. False when singular. */
static bool fit_colours(const struct trial *t, double scale, double spare, fh_mat3 *out)
{
    fh_mat3 normal = {{{0}}}, right = {{{0}}}, inverse;
    for (size_t i = 0; i < t->count; ++i) {
        if (!t->inside[i]) continue;
        const double target[3] = {t->xyz[i].X, t->xyz[i].Y, t->xyz[i].Z};
        double light = t->xyz[i].Y + spare, far = t->misfit[i] / scale;
        double w = 1.0 / (light * light * (1.0 + far * far) * (1.0 + far * far));
        for (int a = 0; a < 3; ++a)
            for (int b = 0; b < 3; ++b) {
                normal.m[a][b] += w * t->rgb[i].v[a] * t->rgb[i].v[b];
                right.m[a][b] += w * target[a] * t->rgb[i].v[b];
            }
    }
    if (fh_mat3_inverse(normal, &inverse)) return false;
    *out = fh_mat3_multiply(right, inverse);
    return true;
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median_misfit(const struct trial *t)
{
    size_t n = 0;
    for (size_t i = 0; i < t->count; ++i)
        if (t->inside[i]) t->sorted[n++] = t->misfit[i];
    if (n == 0) return FH_COST_CAP;
    qsort(t->sorted, n, sizeof *t->sorted, ascending);
    return t->sorted[n / 2];
}

/* Misfits of all patches under a colour fit; the plain ΔE*ab while searching, ΔE00 to judge. */
static void misfits(const struct trial *t, fh_mat3 m, double (*difference)(fh_lab, fh_lab))
{
    for (size_t i = 0; i < t->count; ++i) {
        fh_vec3 xyz = fh_mat3_apply(m, t->rgb[i]);
        fh_lab lab = fh_lab_of_xyz((fh_xyz){xyz.v[0], xyz.v[1], xyz.v[2]}, t->white);
        t->misfit[i] = t->inside[i] ? difference(t->lab[i], lab) : FH_COST_CAP;
    }
}

/* Mean capped misfit after robust fits that begin even-handed and end about even in Lab. */
static double cost_of(const struct trial *t)
{
    enum { ROUNDS = 6 };
    fh_mat3 m = fh_mat3_identity();
    for (size_t i = 0; i < t->count; ++i) t->misfit[i] = 0.0;
    for (int round = 0; round < ROUNDS; ++round) {
        double scale = round == 0 ? 1.0 : fmax(4.0, 1.5 * median_misfit(t));
        if (scale > 60.0) return FH_COST_CAP; /* hopeless */
        if (!fit_colours(t, scale, round < 2 ? 20.0 : 3.0, &m)) return FH_COST_CAP;
        misfits(t, m, round < ROUNDS - 1 ? fh_de1976 : fh_de2000);
    }
    double sum = 0.0;
    for (size_t i = 0; i < t->count; ++i) sum += fmin(t->misfit[i], FH_COST_CAP);
    return sum / (double)t->count;
}

/* Cost of one placement under the better of two codings. hidden may be NULL. */
static void try_placement(const struct board *board, const fh_chart *chart, struct trial *t,
                          fh_placement *p, bool *hidden)
{
    p->cost = HUGE_VAL;
    for (int coding = 0; coding < 2; ++coding) {
        for (size_t i = 0; i < t->count; ++i) {
            int c, r;
            fh_placement_cell(p, i % chart->columns, i / chart->columns, &c, &r);
            const struct square *s = square_at(board, c, r);
            t->inside[i] = s && s->inside;
            for (int k = 0; k < 3; ++k)
                t->rgb[i].v[k] = !s ? 0.0 : pow((double)s->rgb[k], coding ? 2.2 : 1.0);
        }
        double cost = cost_of(t);
        if (cost >= p->cost) continue;
        p->cost = cost;
        p->residual = median_misfit(t);
        p->visible = 0;
        double limit = fmax(9.0, 2.5 * p->residual);
        for (size_t i = 0; i < t->count; ++i) {
            bool fits = t->inside[i] && t->misfit[i] <= limit;
            p->visible += fits;
            if (hidden) hidden[i] = !fits;
        }
    }
}

/* Cells of the lattice that a placement covers. */
static size_t covered(const struct board *board, const fh_chart *chart, const fh_placement *p)
{
    size_t n = 0;
    for (size_t i = 0; i < chart->count; ++i) {
        int c, r;
        fh_placement_cell(p, i % chart->columns, i / chart->columns, &c, &r);
        const struct square *s = square_at(board, c, r);
        n += s && s->cell;
    }
    return n;
}

static void search(const struct board *board, const fh_chart *chart, struct trial *t,
                   fh_placement *best, double *runner_up)
{
    size_t least = chart->count / 4 > 6 ? chart->count / 4 : 6;
    for (int turn = 0; turn < FH_TURNS; ++turn)
        for (int r = board->r0; r < board->r0 + board->rows; ++r)
            for (int c = board->c0; c < board->c0 + board->columns; ++c) {
                fh_placement p = {.c0 = c, .r0 = r, .turn = turn};
                p.detected = covered(board, chart, &p);
                if (p.detected < least) continue;
                try_placement(board, chart, t, &p, NULL);
                if (p.cost < best->cost) {
                    *runner_up = best->cost;
                    *best = p;
                } else if (p.cost < *runner_up) {
                    *runner_up = p.cost;
                }
            }
}

fh_status fh_placement_best(const fh_thumbnail *picture, const fh_lattice *lattice,
                            const fh_chart *chart, const fh_xyz *xyz, fh_xyz white,
                            fh_placement *best, double *runner_up, bool *hidden)
{
    struct board board;
    int margin = (int)(chart->rows > chart->columns ? chart->rows : chart->columns) - 1;
    fh_status status = board_new(picture, lattice, margin, &board);
    if (status) return status;
    fh_lab *lab = fh_allocate(chart->count, sizeof *lab);
    fh_vec3 *rgb = fh_allocate(chart->count, sizeof *rgb);
    bool *inside = fh_allocate(chart->count, sizeof *inside);
    double *misfit = fh_allocate(2 * chart->count, sizeof *misfit);
    if (lab && rgb && inside && misfit) {
        for (size_t i = 0; i < chart->count; ++i) lab[i] = fh_lab_of_xyz(xyz[i], white);
        struct trial t = {chart->count, xyz, lab, white, rgb, inside, misfit,
                          misfit + chart->count};
        fh_placement found = {.cost = HUGE_VAL};
        double next = HUGE_VAL;
        search(&board, chart, &t, &found, &next);
        if (found.cost < HUGE_VAL) {
            try_placement(&board, chart, &t, &found, hidden);
            *best = found;
            *runner_up = next;
        } else {
            status = FH_E_DATA;
        }
    } else {
        status = FH_E_MEMORY;
    }
    fh_free(lab);
    fh_free(rgb);
    fh_free(inside);
    fh_free(misfit);
    fh_free(board.squares);
    return status;
}
