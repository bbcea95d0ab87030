/* Ranking candidates by how they look behind the shell. */
#ifndef FARHUE_RANK_H
#define FARHUE_RANK_H

#include "farhue/verdict.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_WHY = 256 };

/* One place in the list. */
typedef struct fh_ranked {
    size_t index;   /* of the candidate in the array that was given */
    bool judged;    /* false: it could not be compared and stands at the end */
    char why[FH_WHY]; /* the reason then; else empty */
    unsigned group; /* from 1: those of one group cannot be told apart from its first */
    double p_first; /* probability that the first of the list is better than this one */
    fh_verdict verdict;
} fh_ranked;

typedef struct fh_rank_options {
    size_t trials;     /* for candidates that may matter, 200 to 20000 */
    size_t far_trials; /* for those that are clearly off, 50 to trials */
    size_t near_most;  /* how many may matter at most, at least 1 */
    uint64_t seed;
} fh_rank_options;

/* 2000 and 100 trials, the nearest 100, seed 1. */
FH_API fh_rank_options fh_rank_defaults(void);

/* Rank count candidates: by the median seen ΔE00 under their worst light, smallest first. All are
 * drawn together, each source of error once a trial, so that what they share with each other and
 * with the target cancels. A candidate whose seen ΔE00 by the readings alone is among the
 * near_most smallest gets all trials, the others far_trials; its verdict says how many.
 *
 * Candidate j falls into the group of the first candidate i of that group unless
 * P(i better than j) exceeds 0.95 on common draws; ties count half.
 *
 * out: room for count results. progress may be NULL. Errors as fh_judge, but a candidate that
 * cannot be compared is no error. error may be NULL. */
FH_API fh_status fh_rank(const fh_target *target, const fh_reading *candidates, size_t count,
                         const fh_rank_options *options, fh_ranked *out, fh_progress progress,
                         void *user, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
