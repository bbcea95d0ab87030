/* The sheet model's inverse in one band: a grid for the start, then Levenberg–Marquardt.
 *
 * The unknowns are the roots of absorption and scattering, so that values near 0 are as easy to
 * reach as large ones; the bounds are 0 and FH_SHEET_LARGEST. */
#include "optics/sheet_fit.h"

#include "base/fit.h"
#include "base/memory.h"

#include <math.h>

/* Steps of the grid: 0, then from 0.01 to 30 in equal ratios. */
enum { GRID = 18, MOST = FH_SHELL_SAMPLES + 1, STARTS = 4 };

struct fh_sheet_grid {
    fh_sheet_band band[GRID][GRID]; /* [absorption][scattering] */
};

static double grid_value(int i)
{
    return i == 0 ? 0.0 : 0.01 * pow(3000.0, (double)(i - 1) / (GRID - 2));
}

fh_sheet_grid *fh_sheet_grid_new(const fh_sheet *sheet)
{
    fh_sheet_grid *grid = fh_allocate(1, sizeof *grid);
    if (!grid) return NULL;
    for (int i = 0; i < GRID; ++i)
        for (int j = 0; j < GRID; ++j)
            grid->band[i][j] = fh_sheet_band_of(sheet, grid_value(i), grid_value(j));
    return grid;
}

void fh_sheet_grid_free(fh_sheet_grid *grid)
{
    fh_free(grid);
}

typedef struct problem {
    const fh_sheet *sheet;
    const fh_sheet_data *data;
} problem;

static size_t errors(const fh_sheet_data *data, const fh_sheet_band *band, double *error)
{
    size_t n = 0;
    for (size_t s = 0; s < data->count; ++s) {
        double rho = data->rho[s], look = band->A + band->B * rho / (1.0 - band->C * rho);
        error[n++] = (look - data->y[s]) / data->sigma[s];
    }
    if (data->transmittance >= 0.0) error[n++] = (band->T - data->transmittance) / data->sigma_T;
    return n;
}

static void residuals(void *user, const double *x, double *error)
{
    const problem *p = user;
    double scattering = p->data->clear ? 0.0 : x[1] * x[1];
    fh_sheet_band band = fh_sheet_band_of(p->sheet, x[0] * x[0], scattering);
    (void)errors(p->data, &band, error);
}

/* The best absorption for each scattering of the grid, and how good it is. */
typedef struct fh_start {
    double sum, x[2];
} fh_start;

static int better(const fh_start *a, const fh_start *b)
{
    return a->sum < b->sum;
}

/* The STARTS best columns of the grid, best first. Where the sheet is nearly opaque the errors have
 * two valleys, of a thin and of an opaque sheet. */
static void find_starts(const fh_sheet_grid *grid, const fh_sheet_data *data,
                        fh_start starts[STARTS])
{
    double error[MOST];
    for (int k = 0; k < STARTS; ++k) starts[k] = (fh_start){HUGE_VAL, {0, 0}};
    for (int j = 0; j < (data->clear ? 1 : GRID); ++j) {
        fh_start column = {HUGE_VAL, {0, 0}};
        for (int i = 0; i < GRID; ++i) {
            size_t n = errors(data, &grid->band[i][j], error);
            double sum = 0.0;
            for (size_t k = 0; k < n; ++k) sum += error[k] * error[k];
            if (sum < column.sum)
                column = (fh_start){sum, {sqrt(grid_value(i)), sqrt(grid_value(j))}};
        }
        for (int k = 0; k < STARTS; ++k) {
            if (!better(&column, &starts[k])) continue;
            fh_start moved = starts[k];
            starts[k] = column;
            column = moved;
        }
    }
}

fh_status fh_sheet_fit_band(const fh_sheet *sheet, const fh_sheet_grid *grid,
                            const fh_sheet_data *data, double *absorption, double *scattering)
{
    const double lower[2] = {0, 0};
    const double upper[2] = {sqrt(FH_SHEET_LARGEST), sqrt(FH_SHEET_LARGEST)};
    problem p = {sheet, data};
    fh_start starts[STARTS];
    fh_fit_problem fit = {.rows = data->count + (data->transmittance >= 0.0 ? 1 : 0),
                          .columns = data->clear ? 1 : 2,
                          .residuals = residuals,
                          .user = &p,
                          .lower = lower,
                          .upper = upper};
    double least = HUGE_VAL;
    find_starts(grid, data, starts);
    for (int k = 0; k < STARTS && least > 1e-3; ++k) {
        fh_fit_result result;
        if (isinf(starts[k].sum)) break;
        fh_status status = fh_fit_nonlinear(&fit, starts[k].x, &result, NULL);
        if (status) return status;
        if (result.sum_of_squares >= least) continue;
        least = result.sum_of_squares;
        *absorption = starts[k].x[0] * starts[k].x[0];
        *scattering = data->clear ? 0.0 : starts[k].x[1] * starts[k].x[1];
    }
    return FH_OK;
}
