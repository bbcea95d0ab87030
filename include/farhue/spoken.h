/* The spoken code: a bare target in twelve characters, short enough to read out by phone.
 *
 * It carries the colour of the inner part measured alone, the condition and the safe bare
 * tolerance; the shell, the lights and the spectrum travel in the spec only.
 *
 *   K7QF-3M0A-9XPD      three groups of four, the alphabet of [Crockford2002]
 *
 * Fifty bits of content and two Reed–Solomon check characters over GF(32) [Reed1960], at a
 * distance of 3: any one or two wrong characters are noticed, every swap of two among them. */
#ifndef FARHUE_SPOKEN_H
#define FARHUE_SPOKEN_H

#include "farhue/reading.h"
#include "farhue/spec.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What the code carries. */
typedef struct fh_spoken {
    fh_condition condition; /* a standard illuminant, not a lamp from a file */
    fh_lab lab;             /* to 0.1; L* 0–102.3, a* and b* within ±204.7 */
    double tolerance;       /* bare ΔE00 to 0.1, rounded down; 0: not stated; 6.3: 6.3 or more */
} fh_spoken;

enum { FH_SPOKEN_TEXT = 15, FH_SPOKEN_WORDS = 144 };

/* What a code carries of a spec. A part that is known by Lab alone goes in the condition that it
 * was read for, with the tolerance there, so that nothing is estimated; a curve in the spec's
 * condition. *estimated: the part is known by Lab alone and for a lamp that no code can carry, so
 * that its figures went through an estimated spectrum. FH_E_MEMORY, and as fh_tolerance_find. */
FH_API fh_status fh_spoken_of_spec(const fh_spec *spec, fh_spoken *out, bool *estimated,
                                   fh_error *error);

/* Write the code. FH_E_ARGUMENT: a lamp from a file, a value outside the ranges above, or a
 * tolerance that is negative or not finite; error (may be NULL) says which. */
FH_API fh_status fh_spoken_write(const fh_spoken *target, char out[FH_SPOKEN_TEXT],
                                 fh_error *error);

/* Read a code as it was heard or typed: letters in either case, O for 0, I and L for 1, spaces
 * and dashes anywhere. FH_E_DATA with a sentence in error (may be NULL): a character that no code
 * has (its place in column), too few or too many of them, a check that fails, or a newer version.
 * The result may have the rounding of fh_spoken only. */
FH_API fh_status fh_spoken_read(const char *text, fh_spoken *out, fh_error *error);

/* The target of a code as a reading: Lab alone, with the uncertainty of its rounding. */
FH_API fh_reading fh_spoken_reading(const fh_spoken *target);

/* The code in the ICAO spelling alphabet [ICAO10], groups separated by commas:
 * "Kilo seven Quebec Foxtrot, three …". Characters other than those of a code are left out. */
FH_API void fh_spoken_words(const char *code, char out[FH_SPOKEN_WORDS]);

/* The sentence that goes with every code: what it carries and what it does not, and whether its
 * figures are estimated. Static. */
FH_API const char *fh_spoken_note(bool estimated);

#ifdef __cplusplus
}
#endif
#endif
