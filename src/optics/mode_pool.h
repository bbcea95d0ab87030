/* A pool of independent errors of a shell that keeps their joint covariance in few modes. */
#ifndef FARHUE_OPTICS_MODE_POOL_H
#define FARHUE_OPTICS_MODE_POOL_H

#include "farhue/shell.h"

enum { FH_POOL = 44 };

/* Zero it before use. */
typedef struct fh_mode_pool {
    size_t count;
    fh_shell_curves step[FH_POOL];
} fh_mode_pool;

/* Add one error; when the pool is full it is first brought down to half. */
fh_status fh_mode_pool_add(fh_mode_pool *pool, const fh_shell_curves *step);

/* Bring the pool down to at most wanted modes with the same total variance; what the weakest ones
 * held is spread over the others. */
fh_status fh_mode_pool_reduce(fh_mode_pool *pool, size_t wanted);

#endif
