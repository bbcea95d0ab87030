/* A moment of local time, to the minute: no clock, no time zone, no leap second. */
#ifndef FARHUE_MOMENT_H
#define FARHUE_MOMENT_H

#include "farhue/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Minutes since 1970-01-01T00:00 of the Gregorian calendar. */
typedef long long fh_moment;

enum { FH_HOUR = 60, FH_DAY = 24 * FH_HOUR, FH_MOMENT_TEXT = 32 };

/* "2026-03-14", "2026-03-14T18:30" or with a blank for the T [ISO8601]; years 1970 to 9999. A day
 * alone is its midnight, and *day_only (may be NULL) is set. FH_E_DATA for anything else. */
FH_API fh_status fh_moment_parse(const char *text, fh_moment *out, bool *day_only);

/* "2026-03-14T18:30". */
FH_API void fh_moment_text(fh_moment moment, char out[FH_MOMENT_TEXT]);

/* "Sat 14 Mar 18:30", for people. */
FH_API void fh_moment_words(fh_moment moment, char out[FH_MOMENT_TEXT]);

/* Minutes since midnight, 0 to 1439. */
FH_API long fh_moment_of_day(fh_moment moment);

#ifdef __cplusplus
}
#endif
#endif
