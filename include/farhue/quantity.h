/* Quantities of paint as people have them: millilitres, grams, drops. */
#ifndef FARHUE_QUANTITY_H
#define FARHUE_QUANTITY_H

#include "farhue/batch.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fh_quantity_unit { FH_MILLILITRES, FH_GRAMS, FH_DROPS } fh_quantity_unit;

typedef struct fh_quantity {
    double value;
    fh_quantity_unit unit;
} fh_quantity;

/* Read "20ml", "0.05 g", "1drop", "3 drops"; a number alone is ml. FH_E_ARGUMENT with a sentence:
 * no such quantity, or not above 0 and at most 10⁶. error may be NULL. */
FH_API fh_status fh_quantity_parse(const char *text, size_t length, fh_quantity *out,
                                   fh_error *error);

/* The same in ml of a paint. FH_E_DATA: grams or drops of a paint whose density or drop isn't
 * known. */
FH_API fh_status fh_quantity_ml(fh_quantity quantity, const fh_paint *paint, double *ml,
                                fh_error *error);

/* And in ml of a blend, whose grams and drops follow from its shares (sum 1). Errors alike. */
FH_API fh_status fh_quantity_ml_of_blend(fh_quantity quantity, const fh_paint *shelf,
                                         const fh_blend *blend, double *ml, fh_error *error);

/* Put "white=14ml,red=3.5" into a step of a batch, on top of what is there; paints that the batch
 * doesn't have yet are added to it. FH_E_ARGUMENT with a sentence: not of that form; FH_E_DATA: a
 * paint that isn't on the shelf, or as fh_quantity_ml; FH_E_LIMIT: more than FH_MIX_PAINTS paints.
 * *batch may be changed in part then. */
FH_API fh_status fh_quantity_add(const char *text, const fh_paint *shelf, size_t shelf_count,
                                 size_t step, fh_batch *batch, fh_error *error);

/* The place of the paint of that id in a batch, added to it when it is new. FH_E_DATA, FH_E_LIMIT
 * as above. */
FH_API fh_status fh_batch_place(const char *id, const fh_paint *shelf, size_t shelf_count,
                                fh_batch *batch, size_t *place, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
