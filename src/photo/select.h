/* Choosing a model for a set of patches. */
#ifndef FARHUE_PHOTO_SELECT_H
#define FARHUE_PHOTO_SELECT_H

#include "farhue/correction.h"

/* The model with the smallest mean error on left-out patches (each counted up to 15, so that one
 * stray patch does not decide), estimated by the leverage; *score (may be NULL) is that mean.
 * *out is its fit. FH_E_DATA when no model can be fitted, FH_E_MEMORY. */
fh_status fh_select_model(const fh_known *known, size_t count, fh_condition condition,
                          fh_correction *out, double *score);

/* The same model again, patches near a colour counting more. work holds count patches. */
fh_status fh_fit_near(fh_model model, const fh_known *known, size_t count, fh_condition condition,
                      fh_lab near, fh_known *work, fh_correction *out);

#endif
