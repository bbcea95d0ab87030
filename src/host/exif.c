/* The orientation tag of an Exif block: a TIFF structure of which only the first directory is
 * read [Exif232]. Every offset is checked against the block; what does not fit says nothing. */
#include <string.h>

#include "host/picture_kinds.h"

typedef struct block {
    const unsigned char *bytes;
    size_t size;
    bool little;
} block;

static size_t read16(const block *b, size_t at)
{
    const size_t low = b->bytes[b->little ? at : at + 1];
    const size_t high = b->bytes[b->little ? at + 1 : at];
    return low | high << 8;
}

static size_t read32(const block *b, size_t at)
{
    const size_t first = read16(b, at), second = read16(b, at + 2);
    return b->little ? first | second << 16 : second | first << 16;
}

unsigned fh_exif_orientation(const unsigned char *bytes, size_t size)
{
    enum { ORIENTATION = 0x0112, SHORT = 3 };
    if (size < 14 || memcmp(bytes, "Exif\0\0", 6) != 0) return 1;
    block b = {bytes + 6, size - 6, bytes[6] == 'I'};
    if (!(b.bytes[0] == 'I' && b.bytes[1] == 'I') && !(b.bytes[0] == 'M' && b.bytes[1] == 'M'))
        return 1;
    if (read16(&b, 2) != 42) return 1;
    const size_t directory = read32(&b, 4);
    if (directory > b.size - 2) return 1;
    const size_t count = read16(&b, directory);
    for (size_t i = 0; i < count; i++) {
        const size_t at = directory + 2 + 12 * i;
        if (at + 12 > b.size) return 1;
        if (read16(&b, at) != ORIENTATION || read16(&b, at + 2) != SHORT) continue;
        const size_t value = read16(&b, at + 8);
        return value >= 1 && value <= 8 ? (unsigned)value : 1;
    }
    return 1;
}
