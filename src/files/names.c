#include "files/names.h"

#include <stdint.h>
#include <string.h>

#include "base/memory.h"

enum { FIRST_SIZE = 64 };

fh_names fh_names_begin(bool fold)
{
    return (fh_names){.fold = fold};
}

void fh_names_end(fh_names *names)
{
    fh_free(names->slots);
    *names = (fh_names){0};
}

/* FNV-1a, with letters in lower case when they are folded. */
static size_t hash(const fh_names *names, const char *text)
{
    uint64_t h = 0xCBF29CE484222325u;
    for (; *text; ++text) {
        unsigned char c = (unsigned char)*text;
        if (names->fold && c >= 'A' && c <= 'Z') c = (unsigned char)(c + 32);
        h = (h ^ c) * 0x100000001B3u;
    }
    return (size_t)(h ^ h >> 32);
}

static bool equal(const fh_names *names, const char *a, const char *b)
{
    return names->fold ? fh_slice_is_fold(fh_slice_of(a), b) : strcmp(a, b) == 0;
}

/* The slot that holds text, or the free one where it belongs. */
static const char **slot(const fh_names *names, const char *text)
{
    size_t i = hash(names, text) & (names->size - 1);
    while (names->slots[i] && !equal(names, names->slots[i], text)) i = (i + 1) & (names->size - 1);
    return &names->slots[i];
}

static fh_status grow(fh_names *names)
{
    fh_names bigger = {.size = names->size ? 2 * names->size : FIRST_SIZE, .fold = names->fold};
    bigger.slots = fh_allocate(bigger.size, sizeof *bigger.slots);
    if (!bigger.slots) return FH_E_MEMORY;
    for (size_t i = 0; i < names->size; ++i)
        if (names->slots[i]) *slot(&bigger, names->slots[i]) = names->slots[i];
    bigger.count = names->count;
    fh_free(names->slots);
    *names = bigger;
    return FH_OK;
}

fh_status fh_names_add(fh_names *names, const char *text, bool *twice)
{
    if (2 * (names->count + 1) > names->size && grow(names)) return FH_E_MEMORY;
    const char **place = slot(names, text);
    *twice = *place != NULL;
    if (!*place) {
        *place = text;
        ++names->count;
    }
    return FH_OK;
}
