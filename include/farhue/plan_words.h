/* A plan told to people: sentences, and a drawing of a route. */
#ifndef FARHUE_PLAN_WORDS_H
#define FARHUE_PLAN_WORDS_H

#include "farhue/plan.h"
#include "farhue/sink.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_SPAN = 32, FH_STEP_TEXT = 96, FH_OUTLOOK = 288 };

/* "3 d 4 h", "45 min", "1 h 30 min"; with a minus where negative. */
FH_API void fh_words_of_span(long long minutes, char out[FH_SPAN]);

/* What is to be done: "coat 2", "let coat 2 dry", "the long print". */
FH_API void fh_words_of_step(const fh_plan_step *step, char out[FH_STEP_TEXT]);

/* "fits, done Sat 8 Feb 15:00 at the earliest, 2 d 3 h to spare", or "DOES NOT FIT, done …, 5 h too
 * late". The route is one of fh_plan with these facts; so below. */
FH_API void fh_words_of_route(const fh_plan_facts *facts, const fh_plan_route *route,
                              char out[FH_OUTLOOK]);

/* What that asks for: "open until Wed 5 Feb 13:00; then it is too late to get the filament", with
 * ", so decide today" where it closes before midnight; "closed, unless 5 h are saved; …" with the
 * longest step without spare time; "nothing is left to do". */
FH_API void fh_words_of_outlook(const fh_plan_facts *facts, const fh_plan_route *route,
                                char out[FH_OUTLOOK]);

/* The route along its days, as an <svg> of the kind of farhue/diagram.h: a bar for each step from
 * its earliest start, dark where somebody is busy, a line on to where it must be over, and the
 * deadline. Returns the sink's status. */
FH_API fh_status fh_diagram_route(fh_sink sink, const fh_plan_facts *facts,
                                  const fh_plan_route *route);

#ifdef __cplusplus
}
#endif
#endif
