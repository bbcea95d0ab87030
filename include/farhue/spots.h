/* Spots of a photo as readings. */
#ifndef FARHUE_SPOTS_H
#define FARHUE_SPOTS_H

#include "farhue/calibration.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A spot's colour as a reading with its sources of error:
 *   "photo: NAME"      what is expected of the correction at this colour, at least 1 ΔE00;
 *   "chart: EDITION"   how far a real chart is from its edition; with loose chips "chip: ID" of the
 *                      nearest one, so that two people with the same chip share its error.
 * Spots of one photo carry the same tags, so what they share cancels in their difference.
 * chart: the one of the calibration. photo, id: names, cut to fit.
 * wanted: the condition of the reading. A calibration in another one (a chart without spectra) is
 * converted through the estimated spectrum and marked so.
 * FH_E_DATA: a colour that cannot be; FH_E_IMPOSSIBLE: one that no reflectance has, where it had
 * to be converted; FH_E_MEMORY. error may be NULL. */
FH_API fh_status fh_spot_reading(const fh_calibration *calibration, const fh_chart *chart,
                                 const fh_spot_result *spot, const char *photo, const char *id,
                                 fh_condition wanted, fh_reading *out, fh_error *error);

/* The readings of one spot in several photos as one: the mean; random covariance from the pixels
 * and from the spread between the photos; the photos' shared errors kept at their mean size under
 * one tag, since the same camera under the same light repeats them. count ≥ 1; all in one
 * condition. *between (may be NULL): the largest ΔE00 between two of them.
 * FH_E_ARGUMENT: count 0; FH_E_DATA: different conditions; FH_E_LIMIT. */
FH_API fh_status fh_spots_pool(const fh_reading *readings, size_t count, fh_reading *out,
                               double *between);

#ifdef __cplusplus
}
#endif
#endif
