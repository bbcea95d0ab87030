/* First bytes of common formats, from their public specifications. */
#include "farhue/kind.h"

#include <string.h>

enum { SNIFF = 4096 };

typedef struct magic {
    size_t at;
    const char *bytes;
    size_t length;
    fh_kind kind;
} magic;

#define MAGIC(at, text, kind)                                                                      \
    {                                                                                              \
        at, text, sizeof(text) - 1, kind                                                           \
    }

static const magic table[] = {
    MAGIC(0, "\x89PNG\r\n\x1a\n", FH_KIND_PNG),
    MAGIC(0, "\xff\xd8\xff", FH_KIND_JPEG),
    MAGIC(4, "ftypheic", FH_KIND_HEIC),
    MAGIC(4, "ftypheix", FH_KIND_HEIC),
    MAGIC(4, "ftyphevc", FH_KIND_HEIC),
    MAGIC(4, "ftypmif1", FH_KIND_HEIC),
    MAGIC(4, "ftypmsf1", FH_KIND_HEIC),
    MAGIC(4, "ftypavif", FH_KIND_AVIF),
    MAGIC(4, "ftypavis", FH_KIND_AVIF),
    MAGIC(4, "ftypcrx ", FH_KIND_RAW),
    MAGIC(8, "WEBP", FH_KIND_WEBP),
    MAGIC(0, "II*\0", FH_KIND_TIFF),
    MAGIC(0, "MM\0*", FH_KIND_TIFF),
    MAGIC(0, "II+\0", FH_KIND_TIFF),
    MAGIC(0, "MM\0+", FH_KIND_TIFF),
    MAGIC(0, "IIRO", FH_KIND_RAW),
    MAGIC(0, "IIU\0", FH_KIND_RAW),
    MAGIC(0, "FUJIFILMCCD-RAW", FH_KIND_RAW),
    MAGIC(0, "GIF8", FH_KIND_GIF),
    MAGIC(0, "BM", FH_KIND_BMP),
    MAGIC(0, "%PDF-", FH_KIND_PDF),
    MAGIC(0, "PK\3\4", FH_KIND_ZIP),
    MAGIC(0, "\xff\xfe", FH_KIND_UTF16),
    MAGIC(0, "\xfe\xff", FH_KIND_UTF16),
};

/* Two letters are little to go by: a bitmap also has its reserved words at 0. */
static bool is_bitmap(const unsigned char *bytes, size_t length)
{
    return length >= 10 && memcmp(bytes + 6, "\0\0\0\0", 4) == 0;
}

fh_kind fh_kind_of(const void *bytes, size_t length)
{
    const unsigned char *b = bytes;
    if (length == 0) return FH_KIND_EMPTY;
    for (size_t i = 0; i < sizeof table / sizeof *table; ++i) {
        const magic *m = &table[i];
        if (length < m->at + m->length || memcmp(b + m->at, m->bytes, m->length)) continue;
        if (m->kind == FH_KIND_BMP && !is_bitmap(b, length)) continue;
        if (m->kind == FH_KIND_WEBP && memcmp(b, "RIFF", 4)) continue;
        return m->kind;
    }
    size_t sniff = length < SNIFF ? length : SNIFF;
    return memchr(b, 0, sniff) ? FH_KIND_UNKNOWN : FH_KIND_TEXT;
}

const char *fh_kind_name(fh_kind kind)
{
    switch (kind) {
    case FH_KIND_UNKNOWN:
        break;
    case FH_KIND_EMPTY:
        return "an empty file";
    case FH_KIND_TEXT:
        return "a text file";
    case FH_KIND_PNG:
        return "a PNG picture";
    case FH_KIND_JPEG:
        return "a JPEG picture";
    case FH_KIND_HEIC:
        return "a HEIC picture";
    case FH_KIND_AVIF:
        return "an AVIF picture";
    case FH_KIND_WEBP:
        return "a WebP picture";
    case FH_KIND_TIFF:
        return "a TIFF picture";
    case FH_KIND_RAW:
        return "a camera's raw picture";
    case FH_KIND_GIF:
        return "a GIF picture";
    case FH_KIND_BMP:
        return "a BMP picture";
    case FH_KIND_PDF:
        return "a PDF document";
    case FH_KIND_ZIP:
        return "a packed file (spreadsheets are packed like this)";
    case FH_KIND_UTF16:
        return "a text file in UTF-16";
    }
    return "a binary file of an unknown kind";
}

const char *fh_kind_advice(fh_kind kind, bool wanted_picture)
{
    if (wanted_picture) return "export it as JPEG or PNG";
    switch (kind) {
    case FH_KIND_PNG:
    case FH_KIND_JPEG:
    case FH_KIND_HEIC:
    case FH_KIND_AVIF:
    case FH_KIND_WEBP:
    case FH_KIND_TIFF:
    case FH_KIND_RAW:
    case FH_KIND_GIF:
    case FH_KIND_BMP:
        return "expected a table of readings; farhue sample makes one from a photo";
    case FH_KIND_ZIP:
    case FH_KIND_PDF:
        return "export the table as CSV or text";
    case FH_KIND_UTF16:
        return "save it as UTF-8 text";
    default:
        return "expected a table of readings as text";
    }
}
