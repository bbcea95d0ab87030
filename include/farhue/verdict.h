/* The verdict on a candidate: accept, reject or measure again.
 *
 * It rests on the probability that the candidate, seen through the shell, lies within the
 * tolerance under every stated light, given all that is known of the readings [JCGM106]. */
#ifndef FARHUE_VERDICT_H
#define FARHUE_VERDICT_H

#include <stdint.h>

#include "farhue/target.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fh_decision {
    FH_ACCEPT,       /* P(within under every light) is 0.95 or more */
    FH_REJECT,       /* it is 0.05 or less */
    FH_MEASURE_AGAIN /* neither: these readings do not settle it */
} fh_decision;

/* A 95 % interval and its median. */
typedef struct fh_interval {
    double low, median, high;
} fh_interval;

/* Target and candidate in one view: behind the shell under one light, or bare. */
typedef struct fh_sight {
    fh_condition condition;
    fh_lab target, candidate; /* by the readings as they stand */
    double dE00;              /* between these two */
    fh_interval interval;     /* of the ΔE00, by the uncertainties */
    double p_within;          /* of the tolerance; for the bare view of the same figure */
    double metamerism; /* special index [CIE15] in ΔE00 of the looks, from the first light to this
                          one, by the readings as they stand; 0 for the first light and bare */
} fh_sight;

/* What would settle a case that these readings leave open, if the mean stays where it is. */
typedef struct fh_settle {
    unsigned candidate; /* so many more readings of the candidate; 0: none will */
    unsigned both;      /* or so many more of candidate and reference part each; 0: none will */
} fh_settle;

typedef struct fh_verdict {
    fh_decision decision;
    double p_within; /* under every light at once */
    fh_sight bare;
    size_t light_count;
    fh_sight seen[FH_LIGHTS_MAX]; /* in the order of the target's lights */
    size_t worst;                 /* index of the light with the largest median */
    bool lamp_fails; /* metamerism: by the readings as they stand within the tolerance in every
                        daylight, outside under a lamp, and with an index of 1 or more */
    bool converted;  /* the candidate was carried into the target's specular mode by its gloss */
    bool estimated;  /* the spectrum of target or candidate is estimated from Lab */
    fh_settle settle;
    size_t trials; /* Monte Carlo draws behind the figures */
} fh_verdict;

typedef struct fh_verdict_options {
    size_t trials; /* 200 to 100000 */
    uint64_t seed; /* the same seed, the same figures, on every machine */
    bool settle;   /* work out fh_settle too (several times the work, only for an open case) */
} fh_verdict_options;

/* 10000 trials, seed 1, settle. */
FH_API fh_verdict_options fh_verdict_defaults(void);

/* Judge one candidate. progress may be NULL.
 * FH_E_ARGUMENT: options outside their range; FH_E_DATA: a target or reading that is not sound,
 * or specular modes that cannot be compared; FH_E_IMPOSSIBLE: a Lab that no reflectance gives;
 * FH_E_STOPPED; FH_E_MEMORY. */
FH_API fh_status fh_judge(const fh_target *target, const fh_reading *candidate,
                          const fh_verdict_options *options, fh_verdict *out,
                          fh_progress progress, void *user, fh_error *error);

/* The decision for a probability: 0.95 and more accept, 0.05 and less reject. */
FH_API fh_decision fh_decide(double p_within);

/* "accept", "reject", "measure again". Static. */
FH_API const char *fh_decision_text(fh_decision decision);

#ifdef __cplusplus
}
#endif
#endif
