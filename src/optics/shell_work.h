/* What the parts of the shell fit share: the samples as spectra, and the fitted bands. */
#ifndef FARHUE_OPTICS_SHELL_WORK_H
#define FARHUE_OPTICS_SHELL_WORK_H

#include "farhue/shell.h"
#include "optics/band_fit.h"

/* One side of a sample, ready for the fit. */
typedef struct fh_shell_side {
    const fh_reading *reading;
    fh_spectrum R, sigma; /* sigma: standard error of R that is this reading's own */
    fh_spectrum gain[3];  /* dR/d(L*, a*, b*) */
} fh_shell_side;

typedef struct fh_shell_work {
    size_t count;
    fh_shell_side look[FH_SHELL_SAMPLES], backing[FH_SHELL_SAMPLES];
    fh_band_fit band[FH_BANDS];
} fh_shell_work;

/* Refuse samples that can't be fitted together; FH_E_DATA with a sentence. */
fh_status fh_shell_check(const fh_shell_sample *samples, size_t count, fh_error *error);

/* Carry the readings' covariances through the fitted bands into shell->mode. */
fh_status fh_shell_carry(const fh_shell_work *work, fh_shell *shell, fh_error *error);

#endif
