/* The colour of one light by a calibration. */
#ifndef FARHUE_PHOTO_PREDICT_H
#define FARHUE_PHOTO_PREDICT_H

#include "farhue/calibration.h"

/* Fewer patches than these give no more than gains and a tone. */
enum { FH_LEAST_USED = 6 };

/* The Lab of asked (its light and place), fitted on known: by the model of given, or with given
 * NULL by a model that is chosen anew; patches near its colour count more. work holds
 * calibration->count patches. */
fh_status fh_predict_colour(const fh_calibration *c, const fh_known *known, const fh_known *asked,
                            const fh_correction *given, fh_known *work, fh_lab *out);

#endif
