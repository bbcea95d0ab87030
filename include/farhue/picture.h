/* Picture files: bytes to pixels and back. Native only: the page decodes with the browser. */
#ifndef FARHUE_PICTURE_H
#define FARHUE_PICTURE_H

#include "farhue/pixels.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Larger pictures are refused before anything is allocated for their pixels. */
enum { FH_PICTURE_SIDE = 65500, FH_PICTURE_PIXELS = 268435456 };

/* A decoded picture, upright. Owned by the caller, freed with fh_picture_free. */
typedef struct fh_picture {
    fh_pixels pixels; /* a view of memory */
    void *memory;
    void *icc; /* embedded ICC profile or NULL */
    size_t icc_size;
    fh_coding coding; /* what the file says: ICC where icc is set, else sRGB, linear or gamma */
    double exponent;  /* for FH_CODING_GAMMA */
    bool coding_said; /* false: the file says nothing and sRGB is the convention */
    const char *kind; /* "PNG", "JPEG" or "camera raw", static */
} fh_picture;

/* Decode a whole file held in memory: PNG (1–16 bit, grey, palette, RGB, with alpha, interlaced)
 * or JPEG (baseline or progressive, grey or YCbCr; Exif orientation applied), and camera raw as
 * linear light of 16 bits where the build has LibRaw.
 * FH_E_DATA with a sentence: truncated or damaged files, CMYK, and HEIC, WebP, TIFF, PDF and the
 * like by name; FH_E_LIMIT: more than FH_PICTURE_PIXELS pixels; FH_E_MEMORY.
 * error may be NULL. */
FH_API fh_status fh_picture_decode(const void *bytes, size_t size, fh_picture *out,
                                   fh_error *error);

/* Give back what fh_picture_decode took; the picture is then empty. NULL is fine. */
FH_API void fh_picture_free(fh_picture *picture);

/* The profile that the picture asks for; the caller frees it with fh_profile_free. FH_E_DATA: an ICC
 * profile that is damaged or of no RGB or grey input; FH_E_ARGUMENT: an exponent that cannot be;
 * FH_E_MEMORY. error may be NULL. */
FH_API fh_status fh_picture_profile(const fh_picture *picture, fh_profile **out, fh_error *error);

/* Fills in row y of a picture to be written: width pixels of 3 channels, 8 bit. */
typedef void (*fh_paint_row)(void *user, size_t y, unsigned char *row);

/* Encode an 8-bit RGB picture as PNG with an sRGB chunk, row by row.
 * *bytes is owned by the caller: fh_picture_release. FH_E_ARGUMENT: a side of 0 or above
 * FH_PICTURE_SIDE; FH_E_MEMORY. error may be NULL. */
FH_API fh_status fh_png_encode(size_t width, size_t height, fh_paint_row paint, void *user,
                               void **bytes, size_t *size, fh_error *error);

/* The same from a view of any channels and depth (alpha is dropped, 16 bit kept as 16 bit);
 * coding FH_CODING_LINEAR writes gAMA 1.0 instead of the sRGB chunk. */
FH_API fh_status fh_png_encode_pixels(const fh_pixels *pixels, fh_coding coding, void **bytes,
                                      size_t *size, fh_error *error);

/* Free the bytes of an encoded picture; NULL is fine. */
FH_API void fh_picture_release(void *bytes);

#ifdef __cplusplus
}
#endif
#endif
