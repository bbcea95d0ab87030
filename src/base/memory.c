#include "base/memory.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

fh_status fh_multiply_sizes(size_t count, size_t size, size_t *product)
{
    if (size != 0 && count > SIZE_MAX / size) return FH_E_LIMIT;
    *product = count * size;
    return FH_OK;
}

void *fh_allocate(size_t count, size_t size)
{
    size_t bytes;
    if (fh_multiply_sizes(count, size, &bytes)) return NULL;
    return calloc(bytes ? bytes : 1, 1);
}

void *fh_reallocate(void *block, size_t count, size_t size)
{
    size_t bytes;
    if (fh_multiply_sizes(count, size, &bytes)) return NULL;
    return realloc(block, bytes ? bytes : 1);
}

void fh_free(void *block)
{
    free(block);
}

fh_status fh_reserve(void *items, size_t *capacity, size_t wanted, size_t size)
{
    if (wanted <= *capacity) return FH_OK;
    size_t grown = *capacity < 8 ? 8 : *capacity;
    while (grown < wanted) {
        if (grown > SIZE_MAX / 2) return FH_E_LIMIT;
        grown *= 2;
    }
    size_t bytes;
    if (fh_multiply_sizes(grown, size, &bytes)) return FH_E_LIMIT;

    /* Copied as bytes: the caller's pointer may point to any type. */
    void *old;
    memcpy(&old, items, sizeof old);
    void *moved = fh_reallocate(old, grown, size);
    if (!moved) return FH_E_MEMORY;
    memcpy(items, &moved, sizeof moved);
    *capacity = grown;
    return FH_OK;
}
