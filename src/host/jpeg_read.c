/* JPEG to pixels with libjpeg-turbo. The library reports errors by calling back; setjmp turns that
 * into a status. Damage that the library would paper over (a truncated file filled with grey) is
 * an error here. */
#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>
#include <jerror.h>

#include "base/error.h"
#include "base/memory.h"
#include "host/picture_kinds.h"

/* A progressive file may hold any number of scans; a camera writes about ten. */
enum { MOST_SCANS = 100 };

typedef struct reader {
    struct jpeg_error_mgr manager; /* first: the library hands back a pointer to it */
    struct jpeg_progress_mgr progress;
    jmp_buf escape;
    char message[JMSG_LENGTH_MAX];
    struct jpeg_decompress_struct info;
    fh_picture *picture;
    unsigned orientation;
    fh_status status; /* of our own refusals */
} reader;

static void on_error(j_common_ptr info)
{
    reader *r = (reader *)(void *)info->err;
    if (r->message[0] == '\0') info->err->format_message(info, r->message);
    longjmp(r->escape, 1);
}

/* Warnings (level < 0) mean damaged data, but for those that leave the pixels whole. */
static void on_message(j_common_ptr info, int level)
{
    if (level >= 0) return;
    const int code = info->err->msg_code;
    if (code == JWRN_EXTRANEOUS_DATA || code == JWRN_ADOBE_XFORM || code == JWRN_JFIF_MAJOR) return;
    on_error(info);
}

static void on_output(j_common_ptr info)
{
    (void)info;
}

static void on_progress(j_common_ptr info)
{
    const struct jpeg_decompress_struct *jpeg = (const void *)info;
    reader *r = (reader *)(void *)info->err;
    if (jpeg->input_scan_number <= MOST_SCANS) return;
    memcpy(r->message, "more than 100 scans", sizeof "more than 100 scans");
    longjmp(r->escape, 1);
}

static void read_orientation(reader *r)
{
    r->orientation = 1;
    for (jpeg_saved_marker_ptr m = r->info.marker_list; m; m = m->next) {
        if (m->marker != JPEG_APP0 + 1) continue;
        const unsigned found = fh_exif_orientation(m->data, m->data_length);
        if (found != 1) r->orientation = found;
    }
}

static void read_icc(reader *r)
{
    JOCTET *data = NULL;
    unsigned length = 0;
    fh_picture *picture = r->picture;
    picture->coding = FH_CODING_SRGB;
    if (!jpeg_read_icc_profile(&r->info, &data, &length)) return;
    picture->icc = fh_allocate(length, 1);
    if (picture->icc) {
        memcpy(picture->icc, data, length);
        picture->icc_size = length;
        picture->coding = FH_CODING_ICC;
        picture->coding_said = true;
    } else {
        r->status = FH_E_MEMORY;
    }
    free(data); /* malloc'ed by libjpeg */
}

static fh_status accept_header(reader *r, fh_error *error)
{
    const struct jpeg_decompress_struct *info = &r->info;
    if (info->jpeg_color_space == JCS_CMYK || info->jpeg_color_space == JCS_YCCK)
        return fh_fail(error, FH_E_DATA,
                       "this JPEG holds printing inks (CMYK); export the photo as RGB");
    if (info->num_components != 1 && info->num_components != 3)
        return fh_fail(error, FH_E_DATA, "this JPEG has %d channels; expected 1 or 3",
                       info->num_components);
    return fh_picture_size_check(info->image_width, info->image_height, error);
}

/* Everything that may longjmp, after the header. */
static void read_rows(reader *r, unsigned char *memory, size_t row_bytes)
{
    while (r->info.output_scanline < r->info.output_height) {
        JSAMPROW row = memory + (size_t)r->info.output_scanline * row_bytes;
        jpeg_read_scanlines(&r->info, &row, 1);
    }
    jpeg_finish_decompress(&r->info);
}

static fh_status decode(reader *r, const unsigned char *bytes, size_t size, fh_error *error)
{
    struct jpeg_decompress_struct *info = &r->info;
    if (setjmp(r->escape))
        return fh_fail(error, FH_E_DATA, "the JPEG is damaged or cut off (%s)", r->message);
    jpeg_create_decompress(info);
    info->progress = &r->progress;
    jpeg_mem_src(info, bytes, (unsigned long)size);
    jpeg_save_markers(info, JPEG_APP0 + 1, 0xffff);
    jpeg_save_markers(info, JPEG_APP0 + 2, 0xffff);
    jpeg_read_header(info, TRUE);
    const fh_status accepted = accept_header(r, error);
    if (accepted != FH_OK) return accepted;
    read_orientation(r);
    read_icc(r);
    if (r->status != FH_OK) return fh_fail(error, r->status, "out of memory");
    const unsigned channels = info->num_components == 1 ? 1 : 3;
    info->out_color_space = channels == 1 ? JCS_GRAYSCALE : JCS_RGB;
    const size_t row_bytes = (size_t)info->image_width * channels;
    r->picture->memory = fh_allocate(info->image_height, row_bytes);
    if (!r->picture->memory)
        return fh_fail(error, FH_E_MEMORY, "not enough memory for %u x %u pixels",
                       info->image_width, info->image_height);
    jpeg_start_decompress(info);
    read_rows(r, r->picture->memory, row_bytes);
    const fh_pixels pixels =
        fh_pixels_packed(r->picture->memory, info->image_width, info->image_height, channels, 8);
    r->picture->pixels = fh_pixels_upright(pixels, r->orientation);
    return FH_OK;
}

fh_status fh_jpeg_decode(const unsigned char *bytes, size_t size, fh_picture *picture,
                         fh_error *error)
{
    reader *r = fh_allocate(1, sizeof *r);
    if (!r) return fh_fail(error, FH_E_MEMORY, "out of memory");
    r->info.err = jpeg_std_error(&r->manager);
    r->manager.error_exit = on_error;
    r->manager.emit_message = on_message;
    r->manager.output_message = on_output;
    r->progress.progress_monitor = on_progress;
    r->picture = picture;
    picture->kind = "JPEG";
    const fh_status status = decode(r, bytes, size, error);
    jpeg_destroy_decompress(&r->info);
    fh_free(r);
    return status;
}
