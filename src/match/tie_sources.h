/* The readings that a tie is made from, and their sources. */
#ifndef FARHUE_MATCH_TIE_SOURCES_H
#define FARHUE_MATCH_TIE_SOURCES_H

#include "farhue/tie.h"

/* Whether a shared source says by what was measured: not what an estimated spectrum, working back
 * from a look or a conversion by gloss left open, which is the reading's own. */
bool fh_tie_is_means(const char *source);

/* Everything that fh_tie_find asks of its input; the same errors. */
fh_status fh_tie_check(const char *id, const fh_reading *owner, const fh_reading *helper,
                       size_t count, double lot, fh_error *error);

/* Fill in from and to of a tie: the helper's means of measuring, and the owner's with the mean of
 * their covariances. */
void fh_tie_note_sources(const fh_reading *owner, const fh_reading *helper, size_t count,
                         fh_tie *tie);

#endif
