/* The only door to the heap.
 *
 * A count times a size is checked for overflow here and nowhere else. Blocks are zeroed.
 * Tests make the n-th allocation fail by wrapping calloc and realloc at link time, so the
 * library carries no switch for it. */
#ifndef FARHUE_BASE_MEMORY_H
#define FARHUE_BASE_MEMORY_H

#include <stddef.h>

#include "farhue/status.h"

/* count × size bytes in *product; FH_E_LIMIT when it does not fit a size_t. */
fh_status fh_multiply_sizes(size_t count, size_t size, size_t *product);

/* count × size zeroed bytes, or NULL. A count of 0 gives a block that can be freed. */
void *fh_allocate(size_t count, size_t size);

/* Grow or shrink a block to count × size bytes; what is new is NOT zeroed. On failure NULL, and
 * the old block is still the caller's. block may be NULL. */
void *fh_reallocate(void *block, size_t count, size_t size);

/* Give a block back; NULL is fine. */
void fh_free(void *block);

/* Make room for at least wanted items: doubles *capacity and moves *items. Both untouched on
 * failure (FH_E_MEMORY, FH_E_LIMIT). items points to a pointer of any object type. */
fh_status fh_reserve(void *items, size_t *capacity, size_t wanted, size_t size);

#endif
