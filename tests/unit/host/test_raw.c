/* Camera raw: a Bayer DNG that the test writes [ISO12234], against the linear data it was made
   from. Built without LibRaw, it must be named and refused. */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "farhue/picture.h"

enum { WIDTH = 96, HEIGHT = 64, BLACK = 512, WHITE = 15000, TAGS = 24 };

/* Six areas of 32 × 32, linear light 0–1 in r, g, b. The last one is clipped in green. */
static const double AREA[6][3] = {{0.8, 0.8, 0.8},    {0.4, 0.2, 0.1}, {0.1, 0.3, 0.6},
                                  {0.05, 0.05, 0.05}, {0.6, 0.5, 0.1}, {0.5, 1.3, 0.4}};

static const double *area_at(size_t x, size_t y)
{
    return AREA[y / 32 * 3 + x / 32];
}

typedef struct dng {
    unsigned char bytes[2048 + 2 * WIDTH * HEIGHT];
    size_t size;
    size_t tag_count, extra; /* where values longer than four bytes go */
} dng;

static void put(dng *d, size_t at, unsigned long value, size_t length)
{
    for (size_t i = 0; i < length; i++) d->bytes[at + i] = (unsigned char)(value >> 8 * i);
}

/* A tag of the first directory: type 1 byte, 2 text, 3 short, 4 long, 5 and 10 fractions. */
static void tag(dng *d, unsigned id, unsigned type, size_t count, const void *value)
{
    static const size_t size[11] = {0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8};
    const size_t at = 10 + 12 * d->tag_count++, length = size[type] * count;
    put(d, at, id, 2);
    put(d, at + 2, type, 2);
    put(d, at + 4, count, 4);
    if (length <= 4) {
        memcpy(d->bytes + at + 8, value, length);
    } else {
        put(d, at + 8, d->extra, 4);
        memcpy(d->bytes + d->extra, value, length);
        d->extra += length + length % 2;
    }
}

static void tag_long(dng *d, unsigned id, unsigned long value)
{
    const unsigned char four[4] = {(unsigned char)value, (unsigned char)(value >> 8),
                                   (unsigned char)(value >> 16), (unsigned char)(value >> 24)};
    tag(d, id, 4, 1, four);
}

static void tag_short(dng *d, unsigned id, unsigned value)
{
    const unsigned char two[2] = {(unsigned char)value, (unsigned char)(value >> 8)};
    tag(d, id, 3, 1, two);
}

static void fractions(dng *d, unsigned id, unsigned type, size_t count, const int *tenths)
{
    unsigned char out[9 * 8] = {0};
    for (size_t i = 0; i < count; i++) {
        out[8 * i] = (unsigned char)tenths[i];
        out[8 * i + 4] = 10;
    }
    tag(d, id, type, count, out);
}

static void directory(dng *d, size_t data)
{
    const unsigned char two_two[4] = {2, 0, 2, 0}, rggb[4] = {0, 1, 1, 2},
                        version[4] = {1, 4, 0, 0};
    const int identity[9] = {10, 0, 0, 0, 10, 0, 0, 0, 10}, neutral[3] = {10, 10, 10};
    tag_long(d, 254, 0);
    tag_long(d, 256, WIDTH);
    tag_long(d, 257, HEIGHT);
    tag_short(d, 258, 16);
    tag_short(d, 259, 1);
    tag_short(d, 262, 32803);
    tag(d, 271, 2, 8, "Invented");
    tag(d, 272, 2, 9, "Invented1");
    tag_long(d, 273, (unsigned long)data);
    tag_short(d, 274, 1);
    tag_short(d, 277, 1);
    tag_long(d, 278, HEIGHT);
    tag_long(d, 279, 2 * WIDTH * HEIGHT);
    tag_short(d, 284, 1);
    tag(d, 33421, 3, 2, two_two);
    tag(d, 33422, 1, 4, rggb);
    tag(d, 50706, 1, 4, version);
    tag(d, 50708, 2, 9, "Invented1");
    tag_short(d, 50714, BLACK);
    tag_long(d, 50717, WHITE);
    fractions(d, 50721, 10, 9, identity);
    fractions(d, 50728, 5, 3, neutral);
    tag_short(d, 50778, 21);
}

static dng *bayer(void)
{
    dng *d = calloc(1, sizeof *d);
    assert_non_null(d);
    const size_t data = 1024;
    memcpy(d->bytes, "II*\0\x08\0\0\0", 8);
    d->extra = 10 + 12 * TAGS + 4;
    directory(d, data);
    put(d, 8, d->tag_count, 2);
    assert_true(d->tag_count <= TAGS && d->extra <= data);
    for (size_t y = 0; y < HEIGHT; y++) {
        for (size_t x = 0; x < WIDTH; x++) {
            const double v = area_at(x, y)[x % 2 + y % 2];
            const double level = BLACK + v * (WHITE - BLACK);
            put(d, data + 2 * (y * WIDTH + x), (unsigned long)(level > WHITE ? WHITE : level), 2);
        }
    }
    d->size = data + 2 * WIDTH * HEIGHT;
    return d;
}

#ifdef FH_HAVE_LIBRAW

/* The same data as a 16-bit linear PNG gives the same light, to a step of the raw data. */
static void test_against_linear_png(void **state)
{
    (void)state;
    static unsigned short linear[WIDTH * HEIGHT * 3];
    for (size_t i = 0; i < WIDTH * HEIGHT; i++)
        for (size_t c = 0; c < 3; c++) {
            const double v = area_at(i % WIDTH, i / WIDTH)[c];
            linear[3 * i + c] = (unsigned short)(65535 * (v > 1 ? 1 : v) + 0.5);
        }
    const fh_pixels view = fh_pixels_packed(linear, WIDTH, HEIGHT, 3, 16);
    void *bytes = NULL;
    size_t size;
    assert_int_equal(fh_png_encode_pixels(&view, FH_CODING_LINEAR, &bytes, &size, NULL), FH_OK);
    fh_picture png, raw;
    assert_int_equal(fh_picture_decode(bytes, size, &png, NULL), FH_OK);
    fh_picture_release(bytes);
    dng *d = bayer();
    fh_error error = {0};
    if (fh_picture_decode(d->bytes, d->size, &raw, &error)) fail_msg("%s", error.message);
    free(d);
    assert_string_equal(raw.kind, "camera raw");
    assert_int_equal(raw.coding, FH_CODING_LINEAR);
    assert_int_equal(raw.pixels.width, WIDTH);
    assert_int_equal(raw.pixels.height, HEIGHT);
    fh_profile *profile = NULL;
    assert_int_equal(fh_picture_profile(&raw, &profile, NULL), FH_OK);
    for (size_t i = 0; i < 6; i++) {
        const fh_shape shape =
            fh_shape_rectangle((double)(i % 3 * 32 + 6), (double)(i / 3 * 32 + 6), 20, 20);
        fh_patch a, b;
        assert_int_equal(fh_patch_measure(&png.pixels, profile, &shape, &a, NULL), FH_OK);
        assert_int_equal(fh_patch_measure(&raw.pixels, profile, &shape, &b, NULL), FH_OK);
        check_close(b.mean.r, a.mean.r, 2e-4);
        check_close(b.mean.g, a.mean.g, 2e-4);
        check_close(b.mean.b, a.mean.b, 2e-4);
        check_close(b.clipped, i == 5, 0); /* highlights stay clipped, and marked */
    }
    fh_profile_free(profile);
    fh_picture_free(&png);
    fh_picture_free(&raw);
}

static void test_cut(void **state)
{
    (void)state;
    dng *d = bayer();
    for (size_t n = 8; n < d->size - 64; n += n < 1100 ? 13 : 997) {
        fh_picture raw;
        fh_error error = {0};
        assert_int_equal(fh_picture_decode(d->bytes, n, &raw, &error), FH_E_DATA);
        check(error.message[0] != '\0');
    }
    free(d);
}

static void test_plain_tiff(void **state)
{
    (void)state;
    fh_picture raw;
    fh_error error = {0};
    assert_int_equal(fh_picture_decode("II*\0\x08\0\0\0\0\0\0\0\0\0", 14, &raw, &error), FH_E_DATA);
    assert_non_null(strstr(error.message, "TIFF"));
}

#else

static void test_named_and_refused(void **state)
{
    (void)state;
    dng *d = bayer();
    fh_picture raw;
    fh_error error = {0};
    assert_int_equal(fh_picture_decode(d->bytes, d->size, &raw, &error), FH_E_DATA);
    assert_non_null(strstr(error.message, "camera raw"));
    free(d);
}

#endif

int main(void)
{
    const struct CMUnitTest tests[] = {
#ifdef FH_HAVE_LIBRAW
        cmocka_unit_test(test_against_linear_png),
        cmocka_unit_test(test_cut),
        cmocka_unit_test(test_plain_tiff),
#else
        cmocka_unit_test(test_named_and_refused),
#endif
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
