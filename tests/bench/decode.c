/* Decoding a photo, beside a plain loop over libpng and libjpeg that reads the same pixels. */
#include "bench.h"

#include "farhue/picture.h"

#include <png.h>
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>

enum { WIDTH = 1200, HEIGHT = 800 };

typedef struct {
    void *bytes;
    size_t size;
    unsigned char *pixels;
} photo;

static double ours(void *data, size_t count)
{
    const photo *p = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        fh_picture picture;
        if (fh_picture_decode(p->bytes, p->size, &picture, NULL) != FH_OK) abort();
        sum += picture.pixels.data[0];
        fh_picture_free(&picture);
    }
    return sum;
}

static double plain_png(void *data, size_t count)
{
    const photo *p = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        png_image image;
        memset(&image, 0, sizeof image);
        image.version = PNG_IMAGE_VERSION;
        if (!png_image_begin_read_from_memory(&image, p->bytes, p->size)) abort();
        image.format = PNG_FORMAT_RGB;
        unsigned char *pixels = malloc(PNG_IMAGE_SIZE(image));
        if (!pixels || !png_image_finish_read(&image, NULL, pixels, 0, NULL)) abort();
        sum += pixels[0];
        free(pixels);
    }
    return sum;
}

static double plain_jpeg(void *data, size_t count)
{
    const photo *p = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        struct jpeg_decompress_struct jpeg;
        struct jpeg_error_mgr errors;
        jpeg.err = jpeg_std_error(&errors);
        jpeg_create_decompress(&jpeg);
        jpeg_mem_src(&jpeg, p->bytes, p->size);
        jpeg_read_header(&jpeg, TRUE);
        jpeg_start_decompress(&jpeg);
        unsigned char *pixels = malloc((size_t)WIDTH * HEIGHT * 3);
        if (!pixels) abort();
        while (jpeg.output_scanline < jpeg.output_height) {
            JSAMPROW row = pixels + (size_t)jpeg.output_scanline * WIDTH * 3;
            jpeg_read_scanlines(&jpeg, &row, 1);
        }
        jpeg_finish_decompress(&jpeg);
        jpeg_destroy_decompress(&jpeg);
        sum += pixels[0];
        free(pixels);
    }
    return sum;
}

/* A picture with the slopes and the grain of a photo. */
static void draw(unsigned char *pixels)
{
    unsigned grain = 1;
    for (size_t i = 0; i < (size_t)WIDTH * HEIGHT * 3; i++) {
        grain = grain * 1664525u + 1013904223u;
        pixels[i] = (unsigned char)(60 + i % (WIDTH * 3) / 30 + i / 40000 + (grain >> 29));
    }
}

static void as_png(photo *p)
{
    fh_pixels view = fh_pixels_packed(p->pixels, WIDTH, HEIGHT, 3, 8);
    if (fh_png_encode_pixels(&view, FH_CODING_SRGB, &p->bytes, &p->size, NULL) != FH_OK) abort();
}

static void as_jpeg(photo *p)
{
    struct jpeg_compress_struct jpeg;
    struct jpeg_error_mgr errors;
    unsigned char *bytes = NULL;
    unsigned long size = 0;
    jpeg.err = jpeg_std_error(&errors);
    jpeg_create_compress(&jpeg);
    jpeg_mem_dest(&jpeg, &bytes, &size);
    jpeg.image_width = WIDTH;
    jpeg.image_height = HEIGHT;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, 92, TRUE);
    jpeg_start_compress(&jpeg, TRUE);
    while (jpeg.next_scanline < HEIGHT) {
        JSAMPROW row = p->pixels + (size_t)jpeg.next_scanline * WIDTH * 3;
        jpeg_write_scanlines(&jpeg, &row, 1);
    }
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    p->bytes = bytes;
    p->size = size;
}

int main(void)
{
    photo png = {NULL, 0, malloc((size_t)WIDTH * HEIGHT * 3)};
    if (!png.pixels) return 4;
    draw(png.pixels);
    photo jpeg = png;
    as_png(&png);
    as_jpeg(&jpeg);

    bench_title("Photo of 1200 × 800");
    double yardstick = bench_time(plain_png, &png, 10);
    bench_line("PNG, plain libpng", yardstick, 0.0);
    bench_line("PNG, fh_picture_decode", bench_time(ours, &png, 10), yardstick);
    yardstick = bench_time(plain_jpeg, &jpeg, 20);
    bench_line("JPEG, plain libjpeg", yardstick, 0.0);
    bench_line("JPEG, fh_picture_decode", bench_time(ours, &jpeg, 20), yardstick);

    fh_picture_release(png.bytes);
    free(jpeg.bytes);
    free(png.pixels);
    return 0;
}
