/* From Monte Carlo draws to a verdict: shared by fh_judge and fh_rank. */
#ifndef FARHUE_MATCH_JUDGE_H
#define FARHUE_MATCH_JUDGE_H

#include "farhue/verdict.h"
#include "match/trials.h"

/* The looks by the readings as they stand, without any draw, into out; everything else of *out is
 * set to "nothing known yet". */
void fh_judge_looks(const fh_target *target, const fh_reference *reference,
                    const fh_entrant *candidate, fh_verdict *out);

/* Probabilities, intervals, worst light and decision from the entrant's draws. scratch has room
 * for candidate->trials values. */
void fh_judge_draws(const fh_target *target, const fh_entrant *candidate, float *scratch,
                    fh_verdict *out);

/* P(within under every light) from the draws. */
double fh_judge_probability(const fh_target *target, const fh_entrant *candidate);

#endif
