/* Pixels to PNG in memory, row by row. An sRGB chunk says how the values are meant. */
#include <png.h>
#include <setjmp.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/picture.h"

typedef struct writer {
    jmp_buf escape;
    char message[160];
    png_structp png;
    png_infop info;
    unsigned char *bytes;
    size_t size, capacity;
    unsigned char *row;
} writer;

static void on_error(png_structp png, png_const_charp message)
{
    writer *w = png_get_error_ptr(png);
    strncpy(w->message, message, sizeof w->message - 1);
    longjmp(w->escape, 1);
}

static void on_warning(png_structp png, png_const_charp message)
{
    (void)png;
    (void)message;
}

static void on_write(png_structp png, png_bytep data, size_t length)
{
    writer *w = png_get_io_ptr(png);
    if (fh_reserve(&w->bytes, &w->capacity, w->size + length, 1) != FH_OK)
        png_error(png, "out of memory");
    memcpy(w->bytes + w->size, data, length);
    w->size += length;
}

static void on_flush(png_structp png)
{
    (void)png;
}

/* What is to be written: painted rows, or a view. */
typedef struct source {
    size_t width, height;
    unsigned channels, bits;
    fh_coding coding;
    fh_paint_row paint;
    void *user;
} source;

static void write_all(writer *w, const source *from)
{
    const int type = from->channels == 1 ? PNG_COLOR_TYPE_GRAY : PNG_COLOR_TYPE_RGB;
    const uint16_t one = 1;
    unsigned char first;
    memcpy(&first, &one, 1);
    png_set_IHDR(w->png, w->info, (png_uint_32)from->width, (png_uint_32)from->height,
                 (int)from->bits, type, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
                 PNG_FILTER_TYPE_DEFAULT);
    if (from->coding == FH_CODING_LINEAR)
        png_set_gAMA(w->png, w->info, 1.0);
    else
        png_set_sRGB_gAMA_and_cHRM(w->png, w->info, PNG_sRGB_INTENT_RELATIVE);
    png_write_info(w->png, w->info);
    if (from->bits == 16 && first == 1) png_set_swap(w->png);
    for (size_t y = 0; y < from->height; y++) {
        from->paint(from->user, y, w->row);
        png_write_row(w->png, w->row);
    }
    png_write_end(w->png, NULL);
}

static fh_status encode(writer *w, const source *from, fh_error *error)
{
    if (setjmp(w->escape))
        return fh_fail(error, FH_E_MEMORY, "the PNG cannot be written (%s)", w->message);
    w->png = png_create_write_struct(PNG_LIBPNG_VER_STRING, w, on_error, on_warning);
    w->info = w->png ? png_create_info_struct(w->png) : NULL;
    w->row = fh_allocate(from->width, from->channels * from->bits / 8);
    if (!w->info || !w->row) return fh_fail(error, FH_E_MEMORY, "out of memory");
    png_set_write_fn(w->png, w, on_write, on_flush);
    write_all(w, from);
    return FH_OK;
}

static fh_status run(const source *from, void **bytes, size_t *size, fh_error *error)
{
    if (from->width == 0 || from->height == 0 || from->width > FH_PICTURE_SIDE ||
        from->height > FH_PICTURE_SIDE)
        return fh_fail(error, FH_E_ARGUMENT, "a PNG of %zu x %zu pixels is not written",
                       from->width, from->height);
    writer *w = fh_allocate(1, sizeof *w);
    if (!w) return fh_fail(error, FH_E_MEMORY, "out of memory");
    const fh_status status = encode(w, from, error);
    png_destroy_write_struct(&w->png, &w->info);
    fh_free(w->row);
    if (status == FH_OK) {
        *bytes = w->bytes;
        *size = w->size;
    } else {
        fh_free(w->bytes);
    }
    fh_free(w);
    return status;
}

fh_status fh_png_encode(size_t width, size_t height, fh_paint_row paint, void *user, void **bytes,
                        size_t *size, fh_error *error)
{
    const source from = {width, height, 3, 8, FH_CODING_SRGB, paint, user};
    return run(&from, bytes, size, error);
}

static void copy_row(void *user, size_t y, unsigned char *row)
{
    const fh_pixels *p = user;
    const unsigned channels = p->channels < 3 ? 1 : 3;
    const size_t length = channels * p->bits / 8;
    const unsigned char *at = p->data + (ptrdiff_t)y * p->down;
    for (size_t x = 0; x < p->width; x++, at += p->right, row += length) memcpy(row, at, length);
}

fh_status fh_png_encode_pixels(const fh_pixels *pixels, fh_coding coding, void **bytes,
                               size_t *size, fh_error *error)
{
    fh_pixels view = *pixels;
    const source from = {view.width, view.height, view.channels < 3 ? 1u : 3u, view.bits, coding,
                         copy_row,   &view};
    return run(&from, bytes, size, error);
}
