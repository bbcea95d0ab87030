/* Median and 95 % interval of a Monte Carlo sample. */
#ifndef FARHUE_MATCH_SPREAD_H
#define FARHUE_MATCH_SPREAD_H

#include "farhue/verdict.h"

/* Sort ascending, in place, without recursion or memory. No NaN. */
void fh_sort_floats(float *values, size_t count);

/* The probabilistically symmetric 95 % interval [JCGM101, 7.7] and the median. Sorts values.
 * count at least 1. */
fh_interval fh_spread_of(float *values, size_t count);

/* The share of values that are at most limit. */
double fh_share_within(const float *values, size_t count, double limit);

#endif
