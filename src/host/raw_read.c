/* Camera raw to linear 16-bit RGB with LibRaw, where the build has it.
 *
 * What is asked of it: black level and white level from the file, every channel scaled alike (a
 * clipped channel then stands at the top of the scale, and the chart does the white balance), no
 * brightening, no camera profile, no curve, no highlight recovery, bilinear interpolation. */
#include "base/error.h"
#include "base/memory.h"
#include "host/picture_kinds.h"

#ifndef FH_HAVE_LIBRAW

fh_status fh_raw_decode(const unsigned char *bytes, size_t size, fh_picture *picture,
                        fh_error *error)
{
    (void)bytes;
    (void)size;
    (void)picture;
    return fh_fail(error, FH_E_DATA,
                   "this is a TIFF picture or a camera raw file; export the photo as JPEG or PNG "
                   "(this build reads no camera raw)");
}

#else

#include <libraw/libraw.h>
#include <string.h>

/* Without it LibRaw writes to stderr. Version 0.20 spells it so. */
#if LIBRAW_COMPILE_CHECK_VERSION_NOTLESS(0, 21)
enum { QUIET = LIBRAW_OPTIONS_NO_DATAERR_CALLBACK };
#else
enum { QUIET = LIBRAW_OPIONS_NO_DATAERR_CALLBACK };
#endif

static fh_status fail(fh_error *error, int code)
{
    if (code == LIBRAW_UNSUFFICIENT_MEMORY)
        return fh_fail(error, FH_E_MEMORY, "not enough memory for the camera raw file");
    if (code == LIBRAW_FILE_UNSUPPORTED || code == LIBRAW_NOT_IMPLEMENTED)
        return fh_fail(
            error, FH_E_DATA,
            "this is a TIFF picture, or a camera raw file of an unknown kind; export the "
            "photo as JPEG or PNG");
    return fh_fail(error, FH_E_DATA,
                   "this TIFF picture or camera raw file is damaged or cut off (%s); export the "
                   "photo as JPEG or PNG",
                   libraw_strerror(code));
}

static void ask_for_plain_light(libraw_output_params_t *ask)
{
    for (int c = 0; c < 4; c++) ask->user_mul[c] = 1.0f;
    ask->use_camera_wb = 0;
    ask->use_auto_wb = 0;
    ask->output_color = 0;
    ask->output_bps = 16;
    ask->gamm[0] = ask->gamm[1] = 1.0;
    ask->no_auto_bright = 1;
    ask->adjust_maximum_thr = 0.0f;
    ask->highlight = 0;
    ask->user_qual = 0;
}

static fh_status copy(const libraw_processed_image_t *from, fh_picture *picture, fh_error *error)
{
    if (from->type != LIBRAW_IMAGE_BITMAP || from->bits != 16 ||
        (from->colors != 1 && from->colors != 3))
        return fh_fail(error, FH_E_DATA,
                       "the camera raw file has %u channels of %u bits; expected 1 "
                       "or 3 of 16",
                       from->colors, from->bits);
    const size_t row = (size_t)from->width * from->colors * 2;
    const fh_status status = fh_picture_size_check(from->width, from->height, error);
    if (status != FH_OK) return status;
    if (from->data_size < row * from->height)
        return fh_fail(error, FH_E_DATA, "the camera raw file gives too few pixels");
    picture->memory = fh_allocate(from->height, row);
    if (!picture->memory) return fh_fail(error, FH_E_MEMORY, "not enough memory for the photo");
    memcpy(picture->memory, from->data, row * from->height);
    picture->pixels =
        fh_pixels_packed(picture->memory, from->width, from->height, from->colors, 16);
    picture->coding = FH_CODING_LINEAR;
    picture->coding_said = true;
    return FH_OK;
}

static fh_status develop(libraw_data_t *raw, const unsigned char *bytes, size_t size,
                         fh_picture *picture, fh_error *error)
{
    int code = libraw_open_buffer(raw, (void *)(uintptr_t)bytes, size);
    if (code != LIBRAW_SUCCESS) return fail(error, code);
    fh_status status = fh_picture_size_check(raw->sizes.raw_width, raw->sizes.raw_height, error);
    if (status == FH_OK) status = fh_picture_size_check(raw->sizes.width, raw->sizes.height, error);
    if (status != FH_OK) return status;
    ask_for_plain_light(&raw->params);
    code = libraw_unpack(raw);
    if (code == LIBRAW_SUCCESS) code = libraw_dcraw_process(raw);
    if (code != LIBRAW_SUCCESS) return fail(error, code);
    libraw_processed_image_t *image = libraw_dcraw_make_mem_image(raw, &code);
    if (!image) return fail(error, code);
    status = copy(image, picture, error);
    libraw_dcraw_clear_mem(image);
    return status;
}

fh_status fh_raw_decode(const unsigned char *bytes, size_t size, fh_picture *picture,
                        fh_error *error)
{
    libraw_data_t *raw = libraw_init(QUIET);
    if (!raw) return fh_fail(error, FH_E_MEMORY, "out of memory");
    picture->kind = "camera raw";
    const fh_status status = develop(raw, bytes, size, picture, error);
    libraw_close(raw);
    return status;
}

#endif
