/* Monte Carlo draws of the error of a reading (JCGM 101 [JCGM101]).
 *
 * A trial draws each source of error once. The draw is addressed by the source's tag, so every
 * reading that carries the tag gets the same standard normals, through its own covariance: what
 * is shared cancels in a difference, what is not stays. */
#ifndef FARHUE_DRAW_H
#define FARHUE_DRAW_H

#include <stdint.h>

#include "farhue/reading.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A stream of random numbers for a name: the same name, the same stream. */
FH_API uint64_t fh_draw_stream(const char *name);

/* Standard normal number index of a stream in a trial. */
FH_API double fh_draw_normal(uint64_t seed, uint64_t stream, uint64_t trial, uint64_t index);

/* A reading made ready for drawing: the factors of its covariances. */
typedef struct fh_drawer {
    uint64_t own_stream;
    fh_mat3 random;
    size_t shared_count;
    uint64_t stream[FH_SHARED_MAX];
    fh_mat3 shared[FH_SHARED_MAX];
} fh_drawer;

/* own_name tells this reading's random error apart from that of every other reading of the run,
 * e.g. "shelf.txt#sand". FH_E_DATA: a covariance that is not positive semi-definite. */
FH_API fh_status fh_drawer_of(const fh_reading *reading, const char *own_name, fh_drawer *out);

/* The error of the reading's Lab in one trial: (ΔL*, Δa*, Δb*). */
FH_API fh_vec3 fh_draw_error(const fh_drawer *drawer, uint64_t seed, uint64_t trial);

#ifdef __cplusplus
}
#endif
#endif
