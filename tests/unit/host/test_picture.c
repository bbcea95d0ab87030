/* Decoding PNG and JPEG. Expected pixels: by hand, from how the test wrote them with libpng and
   libjpeg. */
#include "check.h"

#include <stdio.h>
#include <jpeglib.h>
#include <math.h>
#include <png.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/picture.h"

/* --- PNG ----------------------------------------------------------------------------------- */

typedef struct blob {
    unsigned char *bytes;
    size_t size;
} blob;

static void blob_write(png_structp png, png_bytep data, size_t length)
{
    blob *b = png_get_io_ptr(png);
    b->bytes = realloc(b->bytes, b->size + length);
    assert_non_null(b->bytes);
    memcpy(b->bytes + b->size, data, length);
    b->size += length;
}

static void blob_flush(png_structp png)
{
    (void)png;
}

typedef struct recipe {
    unsigned width, height;
    int depth, type, interlace;
    double gamma; /* 0: no gAMA chunk */
    const void *icc;
    unsigned icc_size;
} recipe;

/* rows: height rows, tightly packed. */
static blob png_of(const recipe *how, const unsigned char *rows, size_t row_bytes)
{
    blob b = {NULL, 0};
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    png_set_write_fn(png, &b, blob_write, blob_flush);
    png_set_IHDR(png, info, how->width, how->height, how->depth, how->type, how->interlace,
                 PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    if (how->gamma > 0) png_set_gAMA(png, info, how->gamma);
    if (how->icc) png_set_iCCP(png, info, "p", 0, how->icc, how->icc_size);
    if (how->type == PNG_COLOR_TYPE_PALETTE) {
        const png_color palette[4] = {{0, 0, 0}, {255, 0, 0}, {0, 51, 0}, {0, 0, 102}};
        png_set_PLTE(png, info, palette, 4);
    }
    png_write_info(png, info);
    png_bytep *lines = malloc(how->height * sizeof *lines);
    for (unsigned y = 0; y < how->height; y++)
        lines[y] = (png_bytep)(uintptr_t)(rows + y * row_bytes);
    png_write_image(png, lines);
    png_write_end(png, NULL);
    png_destroy_write_struct(&png, &info);
    free(lines);
    return b;
}

static fh_picture decoded(blob b)
{
    fh_picture picture;
    fh_error error = {0};
    if (fh_picture_decode(b.bytes, b.size, &picture, &error) != FH_OK)
        fail_msg("%s", error.message);
    free(b.bytes);
    return picture;
}

static void expect_pixel(const fh_picture *p, size_t x, size_t y, double r, double g, double blue,
                         double tolerance)
{
    const fh_rgb rgb = fh_pixels_at(&p->pixels, x, y, NULL);
    check_close(rgb.r, r, tolerance);
    check_close(rgb.g, g, tolerance);
    check_close(rgb.b, blue, tolerance);
}

static void test_png_depths(void **state)
{
    (void)state;
    const unsigned char two[2] = {0x1b, 0x1b}; /* 2 bits each: 0 1 2 3 */
    fh_picture p = decoded(png_of(&(recipe){4, 2, 2, PNG_COLOR_TYPE_GRAY, 0, 0, NULL, 0}, two, 1));
    assert_int_equal(p.pixels.bits, 8);
    for (unsigned x = 0; x < 4; x++) expect_pixel(&p, x, 1, x / 3.0, x / 3.0, x / 3.0, 1e-12);
    check(!p.coding_said && p.coding == FH_CODING_SRGB);
    fh_picture_free(&p);

    p = decoded(png_of(&(recipe){4, 2, 2, PNG_COLOR_TYPE_PALETTE, 1, 0, NULL, 0}, two, 1));
    expect_pixel(&p, 1, 0, 1, 0, 0, 0);
    expect_pixel(&p, 2, 1, 0, 0.2, 0, 1e-12);
    expect_pixel(&p, 3, 1, 0, 0, 0.4, 1e-12);
    fh_picture_free(&p);

    const unsigned char deep[6] = {0x12, 0x34, 0xff, 0xff, 0x00, 0x01};
    p = decoded(png_of(&(recipe){1, 1, 16, PNG_COLOR_TYPE_RGB, 0, 1.0, NULL, 0}, deep, 6));
    assert_int_equal(p.pixels.bits, 16);
    expect_pixel(&p, 0, 0, 0x1234 / 65535.0, 1, 1 / 65535.0, 1e-12);
    check(p.coding_said && p.coding == FH_CODING_LINEAR);
    fh_picture_free(&p);

    const unsigned char rgba[8] = {10, 20, 30, 255, 40, 50, 60, 0};
    p = decoded(png_of(&(recipe){2, 1, 8, PNG_COLOR_TYPE_RGB_ALPHA, 0, 1 / 1.8, NULL, 0}, rgba, 8));
    double alpha;
    fh_pixels_at(&p.pixels, 1, 0, &alpha);
    check_close(alpha, 0.0, 0.0);
    expect_pixel(&p, 0, 0, 10 / 255.0, 20 / 255.0, 30 / 255.0, 1e-12);
    check(p.coding == FH_CODING_GAMMA);
    check_close(p.exponent, 1.8, 1e-4);
    fh_picture_free(&p);
}

static void test_png_interlaced(void **state)
{
    (void)state;
    unsigned char rows[9 * 9 * 3];
    for (unsigned i = 0; i < sizeof rows; i++) rows[i] = (unsigned char)(i % 251);
    fh_picture p = decoded(png_of(&(recipe){9, 9, 8, PNG_COLOR_TYPE_RGB, 1, 0, NULL, 0}, rows, 27));
    for (unsigned i = 0; i < 81; i++) {
        const double v[3] = {3 * i % 251 / 255.0, (3 * i + 1) % 251 / 255.0,
                             (3 * i + 2) % 251 / 255.0};
        expect_pixel(&p, i % 9, i / 9, v[0], v[1], v[2], 1e-12);
    }
    fh_picture_free(&p);
}

static void paint(void *user, size_t y, unsigned char *row)
{
    (void)user;
    for (size_t i = 0; i < 15; i++) row[i] = (unsigned char)(10 * y + i);
}

static void test_png_round_trip(void **state)
{
    (void)state;
    blob b;
    void *bytes = NULL;
    assert_int_equal(fh_png_encode(5, 3, paint, NULL, &bytes, &b.size, NULL), FH_OK);
    fh_picture p;
    assert_int_equal(fh_picture_decode(bytes, b.size, &p, NULL), FH_OK);
    fh_picture_release(bytes);
    check(p.coding == FH_CODING_SRGB && p.coding_said);
    assert_string_equal(p.kind, "PNG");
    expect_pixel(&p, 4, 2, 32 / 255.0, 33 / 255.0, 34 / 255.0, 1e-12);

    const fh_pixels turned = fh_pixels_upright(p.pixels, 3);
    assert_int_equal(fh_png_encode_pixels(&turned, FH_CODING_LINEAR, &bytes, &b.size, NULL), FH_OK);
    fh_picture q;
    assert_int_equal(fh_picture_decode(bytes, b.size, &q, NULL), FH_OK);
    fh_picture_release(bytes);
    check(q.coding == FH_CODING_LINEAR);
    expect_pixel(&q, 0, 0, 32 / 255.0, 33 / 255.0, 34 / 255.0, 1e-12);
    fh_picture_free(&p);
    fh_picture_free(&q);
    assert_int_equal(fh_png_encode(0, 3, paint, NULL, &bytes, &b.size, NULL), FH_E_ARGUMENT);
}

/* Cut anywhere, a PNG is an error, and nothing leaks (the sanitizer build watches). */
static void test_png_cut(void **state)
{
    (void)state;
    unsigned char rows[20 * 20 * 3];
    for (unsigned i = 0; i < sizeof rows; i++) rows[i] = (unsigned char)(i * i % 253);
    blob b = png_of(&(recipe){20, 20, 8, PNG_COLOR_TYPE_RGB, 0, 0, NULL, 0}, rows, 60);
    for (size_t n = 0; n + 12 < b.size; n += 5) {
        fh_picture p;
        fh_error error = {0};
        assert_int_equal(fh_picture_decode(b.bytes, n, &p, &error), FH_E_DATA);
        check(error.message[0] != '\0');
    }
    free(b.bytes);
}

/* --- JPEG ---------------------------------------------------------------------------------- */

typedef struct jpeg_recipe {
    unsigned width, height;
    int channels;
    J_COLOR_SPACE space;
    unsigned orientation; /* 0: no Exif */
    const void *icc;
    unsigned icc_size;
    int progressive;
} jpeg_recipe;

static blob jpeg_of(const jpeg_recipe *how, const unsigned char *pixels)
{
    struct jpeg_compress_struct info;
    struct jpeg_error_mgr manager;
    unsigned long size = 0;
    blob b = {NULL, 0};
    info.err = jpeg_std_error(&manager);
    jpeg_create_compress(&info);
    jpeg_mem_dest(&info, &b.bytes, &size);
    info.image_width = how->width;
    info.image_height = how->height;
    info.input_components = how->channels;
    info.in_color_space = how->space;
    jpeg_set_defaults(&info);
    jpeg_set_quality(&info, 100, TRUE);
    if (how->channels == 3) info.comp_info[0].h_samp_factor = info.comp_info[0].v_samp_factor = 1;
    if (how->progressive) jpeg_simple_progression(&info);
    jpeg_start_compress(&info, TRUE);
    if (how->orientation) {
        unsigned char exif[32] = "Exif\0\0MM\0*\0\0\0\x08\0\1\x01\x12\0\3\0\0\0\1\0\0\0\0";
        exif[25] = (unsigned char)how->orientation;
        jpeg_write_marker(&info, JPEG_APP0 + 1, exif, sizeof exif);
    }
    if (how->icc) jpeg_write_icc_profile(&info, how->icc, how->icc_size);
    while (info.next_scanline < info.image_height) {
        JSAMPROW row = (JSAMPROW)(uintptr_t)(pixels + (size_t)info.next_scanline * how->width *
                                                          (size_t)how->channels);
        jpeg_write_scanlines(&info, &row, 1);
    }
    jpeg_finish_compress(&info);
    jpeg_destroy_compress(&info);
    b.size = size;
    return b;
}

/* 32 × 16: left half red, right half grey, lower half darker. */
static const unsigned char *two_halves(void)
{
    static unsigned char pixels[32 * 16 * 3];
    for (unsigned i = 0; i < 32 * 16; i++) {
        const unsigned char v = i / 32 < 8 ? 200 : 100;
        pixels[3 * i] = v;
        pixels[3 * i + 1] = pixels[3 * i + 2] = i % 32 < 16 ? 40 : v;
    }
    return pixels;
}

static void test_jpeg(void **state)
{
    (void)state;
    for (int progressive = 0; progressive < 2; progressive++) {
        fh_picture p = decoded(
            jpeg_of(&(jpeg_recipe){32, 16, 3, JCS_RGB, 0, NULL, 0, progressive}, two_halves()));
        assert_int_equal(p.pixels.channels, 3);
        assert_string_equal(p.kind, "JPEG");
        expect_pixel(&p, 4, 4, 200 / 255.0, 40 / 255.0, 40 / 255.0, 2.5 / 255);
        expect_pixel(&p, 28, 12, 100 / 255.0, 100 / 255.0, 100 / 255.0, 2.5 / 255);
        fh_picture_free(&p);
    }
    fh_picture p =
        decoded(jpeg_of(&(jpeg_recipe){32, 16, 1, JCS_GRAYSCALE, 0, NULL, 0, 0}, two_halves()));
    assert_int_equal(p.pixels.channels, 1);
    fh_picture_free(&p);
}

/* Orientation 6: the right side of what is seen is the top of what is stored. */
static void test_jpeg_orientation(void **state)
{
    (void)state;
    fh_picture p =
        decoded(jpeg_of(&(jpeg_recipe){32, 16, 3, JCS_RGB, 6, NULL, 0, 0}, two_halves()));
    assert_int_equal(p.pixels.width, 16);
    assert_int_equal(p.pixels.height, 32);
    expect_pixel(&p, 13, 3, 200 / 255.0, 40 / 255.0, 40 / 255.0, 2.5 / 255);
    expect_pixel(&p, 2, 28, 100 / 255.0, 100 / 255.0, 100 / 255.0, 2.5 / 255);
    fh_picture_free(&p);
}

static void test_embedded_profile(void **state)
{
    (void)state;
    unsigned char junk[300];
    memset(junk, 7, sizeof junk);
    fh_picture p =
        decoded(jpeg_of(&(jpeg_recipe){32, 16, 3, JCS_RGB, 0, junk, sizeof junk, 0}, two_halves()));
    check(p.coding == FH_CODING_ICC && p.coding_said);
    assert_int_equal(p.icc_size, sizeof junk);
    assert_memory_equal(p.icc, junk, sizeof junk);
    fh_profile *profile = NULL;
    assert_int_equal(fh_picture_profile(&p, &profile, NULL), FH_E_DATA); /* it is junk */
    fh_picture_free(&p);
}

static void expect_refusal(const void *bytes, size_t size, fh_status status, const char *says)
{
    fh_picture p = {.exponent = 42};
    fh_error error = {0};
    assert_int_equal(fh_picture_decode(bytes, size, &p, &error), status);
    if (!strstr(error.message, says)) fail_msg("'%s' does not say '%s'", error.message, says);
    check_close(p.exponent, 42, 0); /* untouched */
}

static void test_jpeg_refusals(void **state)
{
    (void)state;
    blob b = jpeg_of(&(jpeg_recipe){32, 16, 3, JCS_RGB, 0, NULL, 0, 0}, two_halves());
    for (size_t n = 3; n + 2 < b.size; n += 3) expect_refusal(b.bytes, n, FH_E_DATA, "cut off");
    /* The frame header claims 60000 × 60000. */
    for (size_t i = 0; i + 8 < b.size; i++) {
        if (b.bytes[i] != 0xff || b.bytes[i + 1] != 0xc0) continue;
        b.bytes[i + 5] = b.bytes[i + 7] = 60000 >> 8;
        b.bytes[i + 6] = b.bytes[i + 8] = 60000 & 255;
    }
    expect_refusal(b.bytes, b.size, FH_E_LIMIT, "60000 x 60000");
    free(b.bytes);
    static unsigned char inks[16 * 16 * 4];
    b = jpeg_of(&(jpeg_recipe){16, 16, 4, JCS_CMYK, 0, NULL, 0, 0}, inks);
    expect_refusal(b.bytes, b.size, FH_E_DATA, "CMYK");
    free(b.bytes);
}

/* --- Other files --------------------------------------------------------------------------- */

static void test_foreign(void **state)
{
    (void)state;
    expect_refusal("", 0, FH_E_DATA, "empty");
    expect_refusal("\0\0\0\x18"
                   "ftypheic\0\0\0\0",
                   16, FH_E_DATA, "HEIC");
    expect_refusal("RIFF\x10\0\0\0WEBPVP8 ", 16, FH_E_DATA, "WebP");
    expect_refusal("II*\0\x08\0\0\0", 8, FH_E_DATA, "TIFF");
    expect_refusal("%PDF-1.7", 8, FH_E_DATA, "PDF");
    expect_refusal("hello world", 11, FH_E_DATA, "no picture");
    expect_refusal("\xff\xd8", 2, FH_E_DATA, "no picture");
    fh_picture_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_png_depths),
        cmocka_unit_test(test_png_interlaced),
        cmocka_unit_test(test_png_round_trip),
        cmocka_unit_test(test_png_cut),
        cmocka_unit_test(test_jpeg),
        cmocka_unit_test(test_jpeg_orientation),
        cmocka_unit_test(test_embedded_profile),
        cmocka_unit_test(test_jpeg_refusals),
        cmocka_unit_test(test_foreign),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
