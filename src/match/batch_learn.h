/* What the paint-outs of a batch teach about its paints and quantities. */
#ifndef FARHUE_MATCH_BATCH_LEARN_H
#define FARHUE_MATCH_BATCH_LEARN_H

#include "farhue/batch.h"

/* The batch as it most likely is. paints: K and S with their factors; blend: index into paints, the
 * quantities that are really in the pot. */
typedef struct fh_batch_state {
    fh_paint paints[FH_MIX_PAINTS];
    fh_blend blend;
    double factor_K[FH_MIX_PAINTS], factor_S[FH_MIX_PAINTS];
    double surprise; /* largest unknown, in standard deviations */
} fh_batch_state;

/* The batch is sound (checked by the caller). FH_E_MEMORY, FH_E_DATA. */
fh_status fh_batch_learn(const fh_paint *shelf, const fh_batch *batch,
                         const fh_batch_options *options, fh_batch_state *out);

#endif
