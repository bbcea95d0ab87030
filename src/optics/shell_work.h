/* What the parts of the shell fit share: the samples as spectra, and the fitted bands. */
#ifndef FARHUE_OPTICS_SHELL_WORK_H
#define FARHUE_OPTICS_SHELL_WORK_H

#include "farhue/estimate.h"
#include "farhue/sheet.h"
#include "optics/band_fit.h"

/* One reading, ready for the fit. */
typedef struct fh_shell_side {
    const fh_reading *reading;
    fh_spectrum R, sigma; /* sigma: standard error of R that is this reading's own */
    fh_mat3 random;       /* covariance of its Lab; where none is stated, that of the noise */
    fh_spectrum gain[3];  /* dR/d(L*, a*, b*) */
    size_t open_count;    /* what an estimate leaves open: dR for one standard normal each */
    fh_spectrum open[FH_ESTIMATE_MODES];
} fh_shell_side;

typedef struct fh_shell_work {
    fh_shell_kind kind;
    fh_sheet sheet;
    bool clear;
    size_t count;
    fh_shell_side look[FH_SHELL_SAMPLES], backing[FH_SHELL_SAMPLES];
    bool has_transmittance;
    fh_shell_side transmittance;
    bool has_index_step; /* what one standard uncertainty of the index does, where it matters */
    fh_shell_curves index_step;
    fh_band_fit band[FH_BANDS];
} fh_shell_work;

/* Refuse samples that can't be fitted together; FH_E_DATA with a sentence. */
fh_status fh_shell_check(const fh_shell_sample *samples, size_t count,
                         const fh_shell_options *options, fh_error *error);

/* Fit all bands of work->band's kind but leave out one sample (leave = count: none). */
fh_status fh_shell_bands(const fh_shell_work *work, size_t leave, fh_band_fit *band);

fh_shell_curves fh_shell_curves_of(const fh_band_fit *band);

/* Carry the readings' covariances through the fitted bands into shell->mode. */
fh_status fh_shell_carry(const fh_shell_work *work, fh_shell *shell, fh_error *error);

/* Judge the fit. FH_E_MEMORY or what the solver says. */
fh_status fh_shell_judge(const fh_shell_work *work, const fh_shell *shell, fh_shell_report *report);

#endif
