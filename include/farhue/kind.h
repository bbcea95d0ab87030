/* What kind of file some bytes are, by their first bytes: to name what cannot be read. */
#ifndef FARHUE_KIND_H
#define FARHUE_KIND_H

#include "farhue/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fh_kind {
    FH_KIND_UNKNOWN,
    FH_KIND_EMPTY,
    FH_KIND_TEXT, /* no NUL in the first 4 KiB, and no other kind */
    FH_KIND_PNG,
    FH_KIND_JPEG,
    FH_KIND_HEIC,
    FH_KIND_AVIF,
    FH_KIND_WEBP,
    FH_KIND_TIFF, /* many raw formats begin like this as well */
    FH_KIND_RAW,  /* raw formats with a beginning of their own */
    FH_KIND_GIF,
    FH_KIND_BMP,
    FH_KIND_PDF,
    FH_KIND_ZIP, /* spreadsheets are packed like this */
    FH_KIND_UTF16
} fh_kind;

/* The kind of length bytes. */
FH_API fh_kind fh_kind_of(const void *bytes, size_t length);

/* "a HEIC picture", "a PDF document"; never NULL. */
FH_API const char *fh_kind_name(fh_kind kind);

/* What to do to have the file read as a picture, or as a table: "export it as JPEG or PNG".
 * Never NULL. */
FH_API const char *fh_kind_advice(fh_kind kind, bool wanted_picture);

#ifdef __cplusplus
}
#endif
#endif
