/* Which kind of file is it, and can it be read? By its first bytes, never by its name. */
#include "farhue/picture.h"

#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "host/picture_kinds.h"

typedef struct kind {
    size_t at;
    const char *magic;
    size_t length;
    const char *name;
} kind;

/* The signatures are those of the formats' own specifications. */
static const kind FOREIGN[] = {
    {4, "ftypheic", 8, "a HEIC picture"},
    {4, "ftypheix", 8, "a HEIC picture"},
    {4, "ftyphevc", 8, "a HEIC picture"},
    {4, "ftypmif1", 8, "a HEIF picture"},
    {4, "ftypmsf1", 8, "a HEIF picture"},
    {4, "ftypavif", 8, "an AVIF picture"},
    {4, "ftyp", 4, "a film or HEIF file"},
    {8, "WEBP", 4, "a WebP picture"},
    {0, "%PDF", 4, "a PDF document"},
    {0, "GIF8", 4, "a GIF picture"},
    {0, "BM", 2, "a BMP picture"},
    {0, "\xff\x0a", 2, "a JPEG XL picture"},
    {0, "\0\0\0\x0cJXL ", 8, "a JPEG XL picture"},
    {0, "\0\0\0\x0cjP  ", 8, "a JPEG 2000 picture"},
};

/* TIFF, in which most cameras wrap their raw data, and the wrappings of some makers. */
static const kind RAW[] = {
    {0, "II*\0", 4, NULL}, {0, "MM\0*", 4, NULL},    {0, "IIRO", 4, NULL},     {0, "IIRS", 4, NULL},
    {0, "IIU\0", 4, NULL}, {0, "FUJIFILM", 8, NULL}, {4, "ftypcrx ", 8, NULL},
};

static bool begins(const unsigned char *bytes, size_t size, size_t at, const char *magic,
                   size_t length)
{
    return size >= at + length && memcmp(bytes + at, magic, length) == 0;
}

static bool is_raw(const unsigned char *bytes, size_t size)
{
    for (size_t i = 0; i < sizeof RAW / sizeof RAW[0]; i++)
        if (begins(bytes, size, RAW[i].at, RAW[i].magic, RAW[i].length)) return true;
    return false;
}

static fh_status name_foreign(const unsigned char *bytes, size_t size, fh_error *error)
{
    if (size == 0) return fh_fail(error, FH_E_DATA, "the file is empty; expected a JPEG or PNG");
    for (size_t i = 0; i < sizeof FOREIGN / sizeof FOREIGN[0]; i++) {
        const kind *k = &FOREIGN[i];
        if (begins(bytes, size, k->at, k->magic, k->length))
            return fh_fail(error, FH_E_DATA, "this is %s; export the photo as JPEG or PNG",
                           k->name);
    }
    return fh_fail(error, FH_E_DATA, "this is no picture that can be read; expected JPEG or PNG");
}

fh_status fh_picture_size_check(size_t width, size_t height, fh_error *error)
{
    if (width == 0 || height == 0)
        return fh_fail(error, FH_E_DATA, "the picture is %zu x %zu pixels; expected at least one",
                       width, height);
    if (width > FH_PICTURE_SIDE || height > FH_PICTURE_SIDE ||
        width > (size_t)FH_PICTURE_PIXELS / height)
        return fh_fail(error, FH_E_LIMIT,
                       "the picture claims %zu x %zu pixels; at most %d million are read", width,
                       height, FH_PICTURE_PIXELS / 1000000);
    return FH_OK;
}

fh_status fh_picture_decode(const void *bytes, size_t size, fh_picture *out, fh_error *error)
{
    fh_picture picture;
    memset(&picture, 0, sizeof picture);
    fh_status status;
    if (begins(bytes, size, 0, "\x89PNG\r\n\x1a\n", 8)) {
        status = fh_png_decode(bytes, size, &picture, error);
    } else if (begins(bytes, size, 0, "\xff\xd8\xff", 3)) {
        status = fh_jpeg_decode(bytes, size, &picture, error);
    } else if (is_raw(bytes, size)) {
        status = fh_raw_decode(bytes, size, &picture, error);
    } else {
        return name_foreign(bytes, size, error);
    }
    if (status != FH_OK) {
        fh_picture_free(&picture);
        return status;
    }
    *out = picture;
    return FH_OK;
}

void fh_picture_free(fh_picture *picture)
{
    if (!picture) return;
    fh_free(picture->memory);
    fh_free(picture->icc);
    memset(picture, 0, sizeof *picture);
}

void fh_picture_release(void *bytes)
{
    fh_free(bytes);
}

fh_status fh_picture_profile(const fh_picture *picture, fh_profile **out, fh_error *error)
{
    if (picture->coding == FH_CODING_ICC)
        return fh_profile_from_icc(picture->icc, picture->icc_size, out, error);
    const fh_status status = fh_profile_new(picture->coding, picture->exponent, out);
    return status == FH_OK ? status : fh_fail(error, status, "the picture's coding is unusable");
}
