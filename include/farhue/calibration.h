/* A photo made into an instrument: which patches can be trusted, the correction they give, how
 * well it does on patches that it has not seen, and the colour of a spot with its uncertainty. */
#ifndef FARHUE_CALIBRATION_H
#define FARHUE_CALIBRATION_H

#include "farhue/chart.h"
#include "farhue/correction.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Why a patch does not take part. */
typedef enum fh_exclusion {
    FH_PATCH_USED,
    FH_PATCH_CLIPPED,  /* more than 2 % of its pixels at the top of the scale */
    FH_PATCH_TEXTURED, /* something lies on it: its pixels differ too much */
    FH_PATCH_MISFIT,   /* shadow, glare, dirt: it does not fit the other patches */
    FH_PATCH_COVERED   /* it looks like patches that do not fit, not like itself */
} fh_exclusion;

/* "used", "clipped", … */
FH_API const char *fh_exclusion_text(fh_exclusion reason);

typedef struct fh_calibrate_options {
    fh_condition condition; /* of the readings to be made */
    bool plain;             /* the yardstick, 3 × 3 on every patch that is not clipped */
    long edition;           /* of the chart, or −1: the one that fits better */
    const fh_point *places; /* where each patch is, or NULL: on the chart's own grid */
    bool few;               /* loose chips: as few as one, their error eked out by experience */
} fh_calibrate_options;

/* A place on the chart's own scale (−1 … 1 along the rows) for a place in columns and rows. */
FH_API fh_point fh_chart_place(const fh_chart *chart, double column, double row);

/* What a chart in a photo came to. Errors are ΔE00 in `condition`. */
typedef struct fh_calibration {
    fh_condition condition;
    bool plain;
    size_t count; /* patches of the chart */
    size_t used;  /* that take part */
    fh_known known[FH_CHART_PATCHES];
    fh_exclusion exclusion[FH_CHART_PATCHES];
    double fitted[FH_CHART_PATCHES];   /* ΔE00 of each patch in the final fit */
    double left_out[FH_CHART_PATCHES]; /* ΔE00 when fitted without it, choice of model included */
    size_t edition;
    double edition_odds; /* how much better than the next one: ratio of mean errors, 1 for one */
    fh_correction correction;
    double fitted_mean, fitted_max;      /* over the patches used */
    double left_out_mean, left_out_high; /* mean and 95th percentile, patches used */
    double plain_mean, plain_max;        /* the yardstick's own fit, better edition */
    double plain_left_out_mean;          /* the yardstick, left out */
    double spread;                       /* of the chart's edition, ΔE00 */
    double experience; /* ΔE00 that so few chips give by experience, 0 where it is not needed */
} fh_calibration;

/* Calibrate on measured patches (chart->count of them, in order).
 * FH_E_DATA with a sentence: fewer than 6 patches can be used (with few: none), or more than half
 * of them do not fit. FH_E_IMPOSSIBLE: the chart has no spectra and the condition is not its own.
 * FH_E_MEMORY, FH_E_STOPPED. *out is large: allocate it with fh_calibration_new. */
FH_API fh_status fh_calibrate(const fh_chart *chart, const fh_patch *patches,
                              const fh_calibrate_options *options, fh_progress progress, void *user,
                              fh_calibration *out, fh_error *error);

/* No reference at all: the picture is taken at its word (sRGB light), with the uncertainty that
 * this has by experience. */
FH_API void fh_calibrate_none(fh_condition condition, fh_calibration *out);

/* Memory for a calibration, and its end. */
FH_API fh_calibration *fh_calibration_new(void);
FH_API void fh_calibration_free(fh_calibration *calibration);

/* What is asked of a spot. */
typedef struct fh_spot_result {
    fh_lab lab;
    fh_mat3 random;       /* from the noise of the pixels */
    double expected;      /* ΔE00 expected of the correction at this colour, at least 1 */
    fh_mat3 shared;       /* the same as a covariance of Lab */
    double nearest;       /* ΔE00 to the nearest patch used; infinite when there is none */
    size_t nearest_patch; /* its index */
    bool inside;          /* the colour lies within the range of the patches used */
} fh_spot_result;

/* The colour of a measured patch at a place on the chart's scale; patches near its colour count
 * more in the correction than those far from it.
 * calibration: by fh_calibrate or fh_calibrate_none; the colour is Lab in its condition.
 * patch: by fh_patch_measure from the same photo, its light 1 at the largest sample value.
 * at: as fh_chart_place gives it, -1 to 1 along the rows; outside, the light is extrapolated.
 * FH_E_DATA: weighted for this colour, the patches are too few or too much alike for the model;
 * FH_E_MEMORY. *out holds values only, nothing to free, and is untouched on failure. */
FH_API fh_status fh_calibration_spot(const fh_calibration *calibration, const fh_patch *patch,
                                     fh_point at, fh_spot_result *out);

#ifdef __cplusplus
}
#endif
#endif
