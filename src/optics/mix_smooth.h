/* Scattering changes slowly along the spectrum: what a paint's other bands say of one band. */
#ifndef FARHUE_OPTICS_MIX_SMOOTH_H
#define FARHUE_OPTICS_MIX_SMOOTH_H

#include "farhue/spectrum.h"

/* value, variance: of ln S as the samples alone have it in each band; variance infinite where they
 * say nothing. start, start_sd: what is known of every band without any sample. mean, sd: of ln S
 * in each band by start and all other bands, its own left out. Nothing may alias. */
void fh_mix_smooth(const double value[FH_BANDS], const double variance[FH_BANDS], double start,
                   double start_sd, double mean[FH_BANDS], double sd[FH_BANDS]);

#endif
