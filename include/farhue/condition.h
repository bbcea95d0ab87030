/* The condition of a colour: illuminant and observer.
 *
 * A colour without its condition is not a colour; every Lab and XYZ travels with one. */
#ifndef FARHUE_CONDITION_H
#define FARHUE_CONDITION_H

#include "farhue/matrix.h"
#include "farhue/spectrum.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fh_illuminant {
    FH_ILLUMINANT_A,
    FH_ILLUMINANT_C,
    FH_ILLUMINANT_D50,
    FH_ILLUMINANT_D55,
    FH_ILLUMINANT_D65,
    FH_ILLUMINANT_D75,
    FH_ILLUMINANT_F2,
    FH_ILLUMINANT_F7,
    FH_ILLUMINANT_F11,
    FH_ILLUMINANT_LED_B1, /* 2731 K, the usual lamp at home */
    FH_ILLUMINANT_LED_B3, /* 4103 K */
    FH_ILLUMINANT_COUNT,
    FH_ILLUMINANT_FILE = FH_ILLUMINANT_COUNT /* given by the user, see fh_weights_from_power */
} fh_illuminant;

typedef enum fh_observer {
    FH_OBSERVER_2,  /* CIE 1931, 2 degrees */
    FH_OBSERVER_10, /* CIE 1964, 10 degrees */
    FH_OBSERVER_COUNT
} fh_observer;

typedef struct fh_condition {
    fh_illuminant illuminant;
    fh_observer observer;
} fh_condition;

/* D65/10, the default. */
FH_API fh_condition fh_condition_default(void);

/* Same illuminant and same observer. */
FH_API bool fh_condition_equal(fh_condition a, fh_condition b);

/* "D65", "LED-B1"…; "file" for FH_ILLUMINANT_FILE. Never NULL. */
FH_API const char *fh_illuminant_name(fh_illuminant illuminant);

enum { FH_CONDITION_TEXT = 16 };

/* "D65/10" into out. */
FH_API void fh_condition_text(fh_condition condition, char out[FH_CONDITION_TEXT]);

/* Read "D65/10", "LED-B1/2", "A/10" (letters in either case). FH_E_DATA for anything else,
 * FH_ILLUMINANT_FILE included. */
FH_API fh_status fh_condition_parse(const char *text, fh_condition *out);

/* X, Y, Z in percent, Y = 100 for the perfect diffuser. */
typedef struct fh_xyz {
    double X, Y, Z;
} fh_xyz;

/* The weights that turn a 36-band reflectance into XYZ:  X = Σ x_i R_i, and so on.
 *
 * CMF × illuminant at 5 nm over 380–780 nm, folded through the Sprague interpolation from the
 * 36 bands (the ends held), so that a measured curve needs no further interpolation. white is
 * the sum of the same weights: R = 1 is exactly neutral. [CIE15] */
typedef struct fh_weights {
    fh_condition condition;
    fh_spectrum x, y, z;
    fh_xyz white;
} fh_weights;

/* Weights of a standard condition. condition.illuminant must be below FH_ILLUMINANT_COUNT
 * (asserted); the computation takes some microseconds, so keep the value around loops. */
FH_API fh_weights fh_weights_of(fh_condition condition);

enum { FH_POWER_COUNT = 81 }; /* 380–780 nm by 5 nm */

/* Weights for a lamp given by its relative spectral power at 380, 385 … 780 nm.
 * FH_E_DATA when a value is negative or not finite, or all are 0. */
FH_API fh_status fh_weights_from_power(const double power[FH_POWER_COUNT], fh_observer observer,
                                       fh_weights *out);

/* Relative spectral power of a standard illuminant at 380, 385 … 780 nm (81 values, static). */
FH_API const double *fh_illuminant_power(fh_illuminant illuminant);

/* Tristimulus values of a reflectance. */
FH_API fh_xyz fh_xyz_of_spectrum(const fh_spectrum *reflectance, const fh_weights *weights);

#ifdef __cplusplus
}
#endif
#endif
