/* PNG to pixels with libpng: any bit depth and colour type to 8 or 16 bits of grey or RGB, alpha
 * kept (a window with transparent pixels is refused later). What the file says about its coding
 * is reported in the order of the PNG specification: iCCP, sRGB, gAMA. */
#include <png.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "host/picture_kinds.h"

typedef struct reader {
    const unsigned char *bytes;
    size_t size, at;
    jmp_buf escape;
    char message[160];
    png_structp png;
    png_infop info;
    fh_picture *picture;
    png_bytep *rows;
    bool starved;
} reader;

static void on_error(png_structp png, png_const_charp message)
{
    reader *r = png_get_error_ptr(png);
    strncpy(r->message, message, sizeof r->message - 1);
    longjmp(r->escape, 1);
}

static void on_warning(png_structp png, png_const_charp message)
{
    (void)png;
    (void)message;
}

static void on_read(png_structp png, png_bytep out, size_t length)
{
    reader *r = png_get_io_ptr(png);
    if (length > r->size - r->at) png_error(png, "the file ends too early");
    memcpy(out, r->bytes + r->at, length);
    r->at += length;
}

static png_voidp on_allocate(png_structp png, png_alloc_size_t size)
{
    reader *r = png_get_mem_ptr(png);
    void *block = fh_allocate(1, size);
    r->starved = r->starved || !block;
    return block;
}

static void on_free(png_structp png, png_voidp block)
{
    (void)png;
    fh_free(block);
}

static void read_coding(reader *r)
{
    fh_picture *picture = r->picture;
    png_charp name;
    png_bytep profile;
    png_uint_32 length;
    int method, intent;
    double gamma;
    picture->coding = FH_CODING_SRGB;
    if (png_get_iCCP(r->png, r->info, &name, &method, &profile, &length)) {
        picture->icc = fh_allocate(length, 1);
        r->starved = !picture->icc;
        if (r->starved) png_error(r->png, "out of memory");
        memcpy(picture->icc, profile, length);
        picture->icc_size = length;
        picture->coding = FH_CODING_ICC;
        picture->coding_said = true;
    } else if (png_get_sRGB(r->png, r->info, &intent)) {
        picture->coding_said = true;
    } else if (png_get_gAMA(r->png, r->info, &gamma) && gamma >= 0.2 && gamma <= 5.0) {
        picture->coding_said = true;
        if (gamma > 0.99 && gamma < 1.01)
            picture->coding = FH_CODING_LINEAR;
        else if (gamma < 0.45 || gamma > 0.46)
            picture->coding = FH_CODING_GAMMA;
        picture->exponent = 1.0 / gamma;
    }
}

static void set_transformations(reader *r)
{
    const unsigned type = png_get_color_type(r->png, r->info);
    const unsigned depth = png_get_bit_depth(r->png, r->info);
    const uint16_t one = 1;
    unsigned char first;
    memcpy(&first, &one, 1);
    if (type == PNG_COLOR_TYPE_PALETTE) png_set_palette_to_rgb(r->png);
    if (type == PNG_COLOR_TYPE_GRAY && depth < 8) png_set_expand_gray_1_2_4_to_8(r->png);
    if (png_get_valid(r->png, r->info, PNG_INFO_tRNS)) png_set_tRNS_to_alpha(r->png);
    if (depth == 16 && first == 1) png_set_swap(r->png);
    png_set_interlace_handling(r->png);
    png_read_update_info(r->png, r->info);
}

static void read_pixels(reader *r)
{
    const size_t width = png_get_image_width(r->png, r->info);
    const size_t height = png_get_image_height(r->png, r->info);
    const size_t row_bytes = png_get_rowbytes(r->png, r->info);
    unsigned char *memory = fh_allocate(height, row_bytes);
    r->picture->memory = memory;
    r->rows = fh_allocate(height, sizeof *r->rows);
    r->starved = !memory || !r->rows;
    if (r->starved) png_error(r->png, "out of memory");
    for (size_t y = 0; y < height; y++) r->rows[y] = memory + y * row_bytes;
    png_read_image(r->png, r->rows);
    png_read_end(r->png, NULL);
    r->picture->pixels = fh_pixels_packed(memory, width, height, png_get_channels(r->png, r->info),
                                          png_get_bit_depth(r->png, r->info));
}

static fh_status decode(reader *r, fh_error *error)
{
    if (setjmp(r->escape) && r->starved)
        return fh_fail(error, FH_E_MEMORY, "not enough memory for the PNG");
    if (r->message[0])
        return fh_fail(error, FH_E_DATA, "the PNG is damaged or cut off (%s)", r->message);
    r->png = png_create_read_struct_2(PNG_LIBPNG_VER_STRING, r, on_error, on_warning, r,
                                      on_allocate, on_free);
    r->info = r->png ? png_create_info_struct(r->png) : NULL;
    if (!r->info) return fh_fail(error, FH_E_MEMORY, "out of memory");
    png_set_read_fn(r->png, r, on_read);
    png_set_user_limits(r->png, 0x7fffffff, 0x7fffffff); /* our own limit speaks instead */
    png_set_chunk_malloc_max(r->png, 64u * 1024 * 1024);
    png_set_chunk_cache_max(r->png, 128);
    png_read_info(r->png, r->info);
    const fh_status accepted = fh_picture_size_check(png_get_image_width(r->png, r->info),
                                                     png_get_image_height(r->png, r->info), error);
    if (accepted != FH_OK) return accepted;
    read_coding(r);
    set_transformations(r);
    read_pixels(r);
    return FH_OK;
}

fh_status fh_png_decode(const unsigned char *bytes, size_t size, fh_picture *picture,
                        fh_error *error)
{
    reader *r = fh_allocate(1, sizeof *r);
    if (!r) return fh_fail(error, FH_E_MEMORY, "out of memory");
    r->bytes = bytes;
    r->size = size;
    r->picture = picture;
    picture->kind = "PNG";
    const fh_status status = decode(r, error);
    png_destroy_read_struct(&r->png, &r->info, NULL);
    fh_free(r->rows);
    fh_free(r);
    return status;
}
