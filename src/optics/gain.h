/* How the reflectance of a reading moves when its Lab moves. */
#ifndef FARHUE_OPTICS_GAIN_H
#define FARHUE_OPTICS_GAIN_H

#include "farhue/reading.h"

/* gain[0..2] = dR/dL*, dR/da*, dR/db* of a measured spectrum in the reading's condition. */
void fh_spectrum_gain(const fh_spectrum *reflectance, fh_condition condition, fh_spectrum gain[3]);

#endif
