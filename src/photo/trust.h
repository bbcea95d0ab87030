/* Which patches of a chart can be trusted. */
#ifndef FARHUE_PHOTO_TRUST_H
#define FARHUE_PHOTO_TRUST_H

#include "farhue/calibration.h"

/* Judge the patches by themselves: clipped, textured. Sets exclusion and the weight of known. */
void fh_trust_alone(const fh_patch *patches, size_t count, fh_known *known,
                    fh_exclusion *exclusion);

/* Judge them against each other, by the consensus of small random samples, in the condition of
 * known. Sets exclusion and weights. */
fh_status fh_trust_consensus(fh_known *known, size_t count, fh_condition condition,
                             fh_exclusion *exclusion);

#endif
