/* Random numbers that are a pure function of what they are for.
 *
 * A Monte Carlo draw is addressed by (seed, stream, trial, index): the same source of error gets
 * the same draw for every object it touches, in any order of evaluation, on every machine.
 * Integer arithmetic only, but for the normal variate. */
#ifndef FARHUE_BASE_RANDOM_H
#define FARHUE_BASE_RANDOM_H

#include <stdint.h>

/* FNV-1a of a text: the stream of a named source. */
uint64_t fh_stream_of(const char *name);

/* 64 random bits for an address (three rounds of the SplitMix64 finaliser [Steele2014]). */
uint64_t fh_random_bits(uint64_t seed, uint64_t stream, uint64_t trial, uint64_t index);

/* Uniform on (0,1), never 0 nor 1. */
double fh_random_uniform(uint64_t seed, uint64_t stream, uint64_t trial, uint64_t index);

/* Standard normal, by inversion. */
double fh_random_normal(uint64_t seed, uint64_t stream, uint64_t trial, uint64_t index);

/* The quantile of the standard normal distribution, 0 < p < 1, to about 1e-16 relative
 * (algorithm AS 241, routine PPND16 [Wichura1988]). */
double fh_normal_quantile(double p);

#endif
