/* Bringing the two people's instruments together in the page: the same chips, read by both. */
#ifndef FARHUE_PAGE_TIE_H
#define FARHUE_PAGE_TIE_H

#include "farhue/tie.h"

#include "page/desk.h"

enum { TIE_WHY = 200 };

/* The tie of the chips that both trays hold by the same id. FH_E_DATA: fewer than FH_TIE_LEAST of
 * them, and as fh_tie_find. */
fh_status tie_of(const desk_state *job, fh_tie *out, fh_error *error);

/* The tie when the job wants one and the chips give one; else false, and why (may be NULL) says
 * what is missing, empty when none is wanted. */
bool tie_wanted(const desk_state *job, fh_tie *out, char *why, size_t size);

/* A candidate as it is judged: corrected by the tie (NULL: as it is) where that applies. why (may
 * be NULL) gets a sentence when it does not. */
fh_reading tie_move(const fh_tie *tie, const fh_reading *reading, char *why, size_t size);

/* Both in one, for a single candidate. */
fh_reading tie_candidate(const desk_state *job, const fh_reading *reading, char *why, size_t size);

#endif
