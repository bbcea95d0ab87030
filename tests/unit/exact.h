/* Exact shells for tests: the Monte Carlo table of shells over an air gap, and invented parts. */
#ifndef FARHUE_TESTS_EXACT_H
#define FARHUE_TESTS_EXACT_H

#include "farhue/spectrum.h"
#include "farhue/reading.h"
#include "farhue/shell.h"

/* One shell in one geometry: bands × counts of meeting the part (the w_k of the table). */
typedef struct exact_shell {
    const char *shell, *geometry;
    double w[FH_BANDS][13];
    double mirror[FH_BANDS]; /* reflection of the first face */
} exact_shell;

enum { EXACT_SHELLS = 6 };

/* All six of shell_air_gap_monte_carlo.csv; skips the test when the table isn't there. */
void exact_load(exact_shell shells[EXACT_SHELLS]);

/* The exact look over a part, by the series in the table's head. */
fh_spectrum exact_look(const exact_shell *shell, const fh_spectrum *part);

enum { EXACT_PARTS = 8 };

/* Part 0–4: grey 0.10, 0.20, 0.50, 0.70, 0.95; 5–7: invented beige, teal and brick. */
fh_spectrum exact_part(int which);

/* A reading of a spectrum without uncertainty, D65/10. */
fh_reading exact_reading(const char *id, fh_spectrum reflectance);

/* Curves of an invented shell that rise evenly over the bands. */
fh_shell_curves exact_ramps(void);

/* Readings without uncertainty over flat backings of these reflectances, by themselves and through
 * exact_ramps(); the samples point at them. All three have room for count. */
void exact_over_flats(const double *grey, size_t count, fh_reading *looks, fh_reading *backings,
                      fh_shell_sample *samples);

/* ΔE00 of two spectra under D65/10. */
double exact_difference(const fh_spectrum *a, const fh_spectrum *b);

#endif
