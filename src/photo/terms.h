/* What the correction and its fit share. */
#ifndef FARHUE_PHOTO_TERMS_H
#define FARHUE_PHOTO_TERMS_H

#include "farhue/correction.h"

/* The terms t(u) of fh_correction. */
void fh_correction_terms(fh_rgb rgb, fh_point at, double tone, double sx, double sy,
                         double t[FH_TERMS]);

/* No correction yet: all coefficients 0, tone 1, the white of the condition. */
fh_correction fh_correction_blank(fh_condition condition);

#endif
