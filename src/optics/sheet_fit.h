/* One band of a plastic wall: absorption and scattering from readings. */
#ifndef FARHUE_OPTICS_SHEET_FIT_H
#define FARHUE_OPTICS_SHEET_FIT_H

#include "farhue/sheet.h"

/* The largest absorption and scattering (times the thickness) that a fit looks for. */
#define FH_SHEET_LARGEST 60.0

/* Looks y over backings rho with standard errors sigma; transmittance negative: none. */
typedef struct fh_sheet_data {
    const double *y, *rho, *sigma;
    size_t count;
    double transmittance, sigma_T;
    bool clear; /* no scattering */
} fh_sheet_data;

/* Start values, computed once for a sheet and used for all bands. */
typedef struct fh_sheet_grid fh_sheet_grid;
fh_sheet_grid *fh_sheet_grid_new(const fh_sheet *sheet);
void fh_sheet_grid_free(fh_sheet_grid *grid);

/* Least squares over looks and transmittance. FH_E_MEMORY, or what the solver reports. */
fh_status fh_sheet_fit_band(const fh_sheet *sheet, const fh_sheet_grid *grid,
                            const fh_sheet_data *data, double *absorption, double *scattering);

#endif
