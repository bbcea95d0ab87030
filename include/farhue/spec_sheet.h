/* The sheet to send: a spec as one HTML page for people.
 *
 * Self-contained, without scripts; prints on A4 and Letter, reads on a phone. Neutral greys but for
 * the colours it shows; whatever came from files is escaped. */
#ifndef FARHUE_SPEC_SHEET_H
#define FARHUE_SPEC_SHEET_H

#include "farhue/rank.h"
#include "farhue/sink.h"
#include "farhue/spec.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What goes on the sheet beside the spec; all zero: nothing. Borrowed. */
typedef struct fh_spec_sheet_extra {
    const char *spoken;       /* the spoken code of the bare target, or NULL */
    const char *spoken_words; /* the same in words, and what it carries (fh_spoken_note) */
    const char *spoken_note;
    const fh_reading *candidates; /* a shelf that was ranked against this spec, or NULL */
    const fh_ranked *places;      /* its ranking, as fh_rank gives it */
    size_t count;                 /* of both */
} fh_spec_sheet_extra;

/* Nothing beside the spec. */
FH_API fh_spec_sheet_extra fh_spec_sheet_nothing(void);

/* Write the sheet. extra may be NULL. Returns the sink's status, FH_E_IMPOSSIBLE or FH_E_DATA when
 * the target has no reflectance that could be drawn (error may be NULL), or FH_E_MEMORY. */
FH_API fh_status fh_spec_sheet_write(fh_sink sink, const fh_spec *spec,
                                     const fh_spec_sheet_extra *extra, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
