#include "starve.h"

#include <stddef.h>

static long allowance = -1; /* -1: no limit */
static bool refused = false;

void starve_after(long n)
{
    allowance = n;
    refused = false;
}

bool starve_end(void)
{
    allowance = -1;
    return refused;
}

static bool refuse(void)
{
    if (allowance < 0) return false;
    if (allowance == 0) return refused = true;
    allowance--;
    return false;
}

/* The linker (--wrap) sends calls of calloc here, and __real_calloc is the one of libc. */
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *block, size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *block, size_t size);

void *__wrap_calloc(size_t count, size_t size)
{
    return refuse() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *block, size_t size)
{
    return refuse() ? NULL : __real_realloc(block, size);
}
