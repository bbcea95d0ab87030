/* Plain words for colours that differ: which way, and how much. */
#ifndef FARHUE_WORDS_H
#define FARHUE_WORDS_H

#include "farhue/difference.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_WORDS = 96, FH_PHRASE = 160, FH_CHANCE = 24, FH_LAB_WORDS = 64 };

/* "L* 71.2, a* −2.4, b* 14.8", with a true minus sign, for people; "not known" for what is not
 * finite or beyond 9999. */
FH_API void fh_words_of_lab(fh_lab lab, char out[FH_LAB_WORDS]);

/* In which direction a sample misses the reference, the largest part first:
 * "too yellow, a little too light".
 *
 * The parts are those of CIEDE2000. A part is named from 0.5 and when it is at least a third of
 * the largest; it is "a little" below 1, "much" from 4 (common practice, no source). Chroma and
 * hue of colours that are nearly grey (chroma below 10 on both sides) are told as too red, green,
 * yellow or blue; of others as too vivid or too dull, and as the hue towards which it leans.
 * Nothing to name: "no visible difference". Not finite: "not known". */
FH_API void fh_words_of_difference(fh_lab reference, fh_lab sample, char out[FH_WORDS]);

/* How a ΔE00 looks, 1 side by side, 2 close, 4 across the room (common practice, no source):
 * "not visible side by side", "visible only side by side", "visible from close",
 * "visible across the room"; "not known" for what is negative or not finite. Static. */
FH_API const char *fh_words_of_size(double dE00);

/* Both in one phrase: "too yellow, a little too light (visible from close)"; below ΔE00 1 "a little
 * too light, though not visible side by side", or only "no visible difference". Not finite: "not
 * known". */
FH_API void fh_words_with_size(fh_lab reference, fh_lab sample, char out[FH_PHRASE]);

/* What a difference in yellowness index (fh_yellowness) of pale plastic means: "hardly yellower",
 * "slightly yellower", "plainly yellower", "strongly yellower" from 2, 8, 20, and the same with
 * "less yellow" for negative ones (common practice, no source); "not known" when not finite.
 * Static. */
FH_API const char *fh_words_of_yellowing(double difference);

/* A probability to so many decimals, 1 to 6: "0.973"; what would round to 1 or 0, which no finite
 * number of draws shows, is "above 0.999" or "below 0.001". Outside 0 to 1: "not known". */
FH_API void fh_words_of_probability(double p, int decimals, char out[FH_CHANCE]);

/* The same as a whole percentage: "97 %", "above 99 %", "below 1 %", "not known". */
FH_API void fh_words_of_chance(double p, char out[FH_CHANCE]);

/* A light by what it is, "daylight", "filament lamp", "LED lamp, warm"; never NULL. Static. */
FH_API const char *fh_words_of_light(fh_illuminant illuminant);

#ifdef __cplusplus
}
#endif
#endif
