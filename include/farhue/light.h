/* What is wrong with a photo: warnings with their figures. */
#ifndef FARHUE_LIGHT_H
#define FARHUE_LIGHT_H

#include "farhue/calibration.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fh_fault {
    FH_FAULT_CLIPPED, /* pixels at the top of the scale */
    FH_FAULT_MISFIT,  /* patches in shadow, under glare, dirty or hidden */
    FH_FAULT_UNEVEN,  /* the light falls off across the chart */
    FH_FAULT_MIXED,   /* its colour changes across the chart */
    FH_FAULT_BLUR,    /* patch rims differ from patch centres */
    FH_FAULT_NOISE,   /* grain that leaves the mean uncertain */
    FH_FAULT_POOR,    /* the correction does badly on patches it has not seen */
    FH_FAULT_SIZE,    /* a spot much larger or smaller than the patches */
    FH_FAULT_RANGE,   /* a colour outside the chart's range */
    FH_FAULT_GLOW,    /* lighter or purer than any reflecting surface: fluorescence or glare */
    FH_FAULT_PATCHY,  /* a spot that is not one colour */
    FH_FAULT_FAR,     /* light extrapolated far beyond the chart */
    FH_FAULT_PLACE,   /* a chart that was found with doubt */
    FH_FAULT_COUNT
} fh_fault;

/* One word for a fault, for programs: "clipped", "misfit", … */
FH_API const char *fh_fault_name(fh_fault fault);

/* A warning: value is beyond limit, in the unit that the sentence says. */
typedef struct fh_warning {
    fh_fault fault;
    double value, limit;
    char text[192];
} fh_warning;

enum { FH_WARNINGS = 16 };

/* The warnings of a photo or of a spot; more than fit are counted in missed. */
typedef struct fh_warnings {
    size_t count, missed;
    fh_warning items[FH_WARNINGS];
} fh_warnings;

/* How light varies across the chart, from all patches: the change from the left edge of the chart
 * to the right and from top to bottom, as a share of the middle (0.1: a tenth lighter at the right,
 * or below), and that of its colour (red against blue, the same share). Errors are one standard
 * deviation, in the same unit. */
typedef struct fh_light {
    double across, down; /* brightness */
    double colour_across, colour_down;
    double error, colour_error;
} fh_light;

/* The light of a calibrated photo.
 * calibration: by fh_calibrate; patches of weight 0, and those without light, do not count.
 * FH_E_DATA: fewer than 8 patches are left, or they lie on one line or are too much alike to tell
 * light from colour; FH_E_MEMORY. *out holds values only, and is untouched on failure. */
FH_API fh_status fh_light_of(const fh_calibration *calibration, fh_light *out);

/* Judge the photo as a whole. patches: as given to fh_calibrate; rims: the same patches through
 * wider windows (0.62 of the pitch), or NULL. Adds to out. */
FH_API void fh_judge_photo(const fh_calibration *calibration, const fh_chart *chart,
                           const fh_patch *patches, const fh_patch *rims, fh_warnings *out);

/* Judge a spot: its patch, its place on the chart's scale, what came out. Adds to out. */
FH_API void fh_judge_spot(const fh_calibration *calibration, const fh_patch *patches,
                          const fh_patch *spot, fh_point at, const fh_spot_result *result,
                          fh_warnings *out);

#ifdef __cplusplus
}
#endif
#endif
