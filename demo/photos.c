/* Renders the photos that the owner of the Ondrel tide clock takes; everything in them is invented.
 *
 *   photos FOLDER     part-1.jpg part-2.jpg part-3.png look-1.jpg look-2.jpg, the helper's
 * shelf.jpg, and photos.txt that says where the corner patches and the spots are
 *
 * A phone looks down on a grey card with a 24-patch chart and the dial ring, bare or under its
 * hood. Light of daylight colour falls in unevenly, the sensor's sensitivities are not the
 * eye's, light scatters in the lens, the sensor is noisy, and the phone balances white, applies a
 * matrix of its own and the sRGB tone curve, and writes eight bits. The chart itself strays from
 * the published figures as real charts do. */
#include "chart.h"
#include "filaments.h"
#include "trace.h"

#include <stdio.h>
#include <stdlib.h>

#include <jpeglib.h>
#include <png.h>

enum { WIDTH = 1200, HEIGHT = 800, SUPER = 2 };

typedef struct {
    double c[3];
} rgb;

/* What lies on the table: the card, the chart's frame, the ring's face, the place under the label,
 * the hood's rim over the card, the 24 patches, and eight coupons on the helper's table. */
enum { CARD, FRAME, FACE, SHELTERED, HOOD, PATCH, COUPON = PATCH + PATCHES, COUPONS = 8 };
enum { MATERIALS = COUPON + COUPONS };

/* Which filaments the coupons are printed in. */
static const size_t PRINTED[COUPONS] = {4, 5, 6, 7, 8, 10, 11, 16};

typedef struct {
    const char *name;
    bool turned;        /* the chart, by 180° */
    bool hooded;        /* the ring is seen through the hood */
    bool shelf;         /* coupons in place of the ring */
    double turn;        /* the camera, in degrees */
    double left, near_; /* light at the left edge and the near edge, relative to the middle */
    double exposure;
    uint64_t seed;
} shot;

static const shot SHOTS[] = {
    {"part-1.jpg", false, false, false, 1.5, 0.03, -0.015, 0.90, 11},
    {"part-2.jpg", true, false, false, -1.0, 0.025, -0.02, 0.86, 12},
    {"part-3.png", false, false, false, 2.5, -0.035, 0.02, 0.93, 13},
    {"look-1.jpg", false, true, false, 0.5, 0.025, 0.01, 0.88, 14},
    {"look-2.jpg", true, true, false, -2.0, -0.03, -0.01, 0.91, 15},
    {"shelf.jpg", false, false, true, 1.0, 0.02, 0.02, 0.90, 16},
};

/* Light by the window: bluish daylight, not any standard one. */
static double light_at(double nm)
{
    return 0.55 + 0.55 * hump(nm, 465.0, 70.0) + 0.35 * hump(nm, 560.0, 70.0) +
           0.25 * hump(nm, 640.0, 60.0);
}

/* The sensor behind its three filters. */
static double sensor_at(int channel, double nm)
{
    switch (channel) {
    case 0:
        return hump(nm, 600.0, 36.0) + 0.06 * hump(nm, 450.0, 25.0) + 0.05 * hump(nm, 540.0, 30.0);
    case 1:
        return hump(nm, 535.0, 44.0) + 0.04 * hump(nm, 620.0, 30.0);
    default:
        return hump(nm, 462.0, 30.0) + 0.05 * hump(nm, 530.0, 30.0);
    }
}

static rgb seen_by_sensor(const curve *reflectance)
{
    rgb out;
    for (int k = 0; k < 3; k++) {
        double sum = 0.0, white = 0.0;
        for (size_t b = 0; b < BANDS; b++) {
            double weight = light_at(band_nm(b)) * sensor_at(k, band_nm(b));
            sum += weight * reflectance->v[b];
            white += weight;
        }
        out.c[k] = sum / white; /* balanced on the light */
    }
    return out;
}

/* The patches of this one chart: each off the published figures by about 1 %, smoothly. */
static curve own_patch(size_t index)
{
    dice d = {700 + index};
    double gain = 1.0 + 0.008 * normal(&d), tilt = 0.006 * normal(&d);
    curve c = CHART[index];
    for (size_t b = 0; b < BANDS; b++) c.v[b] *= gain + tilt * ((double)b - 17.5) / 17.5;
    return c;
}

static void materials(bool hooded, rgb out[MATERIALS])
{
    curve of[MATERIALS];
    of[CARD] = curve_of(card_at);
    of[FACE] = curve_of(face_at);
    of[SHELTERED] = curve_of(sheltered_at);
    of[HOOD] = of[CARD];
    for (size_t b = 0; b < BANDS; b++) of[FRAME].v[b] = 0.035;
    if (hooded) {
        hood h = {HOOD_MM, HOOD_INDEX, HOOD_SCATTER, curve_of(hood_at), false};
        hood_look look = trace_hood(&h, 60000, 3);
        of[FACE] = look_over(&look, of[FACE]);
        of[SHELTERED] = look_over(&look, of[SHELTERED]);
        of[HOOD] = look_over(&look, of[CARD]);
    }
    for (size_t i = 0; i < PATCHES; i++) of[PATCH + i] = own_patch(i);
    for (size_t i = 0; i < COUPONS; i++) of[COUPON + i] = curve_of_swatch(&FILAMENTS[PRINTED[i]]);
    for (size_t i = 0; i < MATERIALS; i++) out[i] = seen_by_sensor(&of[i]);
}

/* Millimetres on the table, from its middle; x to the right, y towards the viewer. */
typedef struct {
    double x, y;
} place;

static const place CHART_AT = {-57.0, 0.0}, RING_AT = {83.0, 4.0};
static const double PITCH = 26.0, PATCH_HALF = 11.0, FRAME_EDGE = 4.0;
static const double RING_IN = 22.0, RING_OUT = 48.0, HOOD_OUT = 56.0;

/* The middle of a patch. */
static place patch_at(size_t index, bool turned)
{
    size_t i = turned ? PATCHES - 1 - index : index;
    place p = {CHART_AT.x + PITCH * ((double)(i % CHART_COLUMNS) - 2.5),
               CHART_AT.y + PITCH * ((double)(i / CHART_COLUMNS) - 1.5)};
    return p;
}

static place coupon_at(size_t index)
{
    place p = {RING_AT.x - 22.0 + 44.0 * (double)(index % 2), -66.0 + 44.0 * (double)(index / 2)};
    return p;
}

static int coupon_or_card(place p)
{
    for (size_t i = 0; i < COUPONS; i++) {
        place c = coupon_at(i);
        if (fabs(p.x - c.x) < 16.0 && fabs(p.y - c.y) < 16.0) return COUPON + (int)i;
    }
    return CARD;
}

static int material_at(place p, const shot *s)
{
    double x = p.x - CHART_AT.x, y = p.y - CHART_AT.y;
    double half_w = 3.0 * PITCH + FRAME_EDGE, half_h = 2.0 * PITCH + FRAME_EDGE;
    if (fabs(x) < half_w && fabs(y) < half_h) {
        double column = floor(x / PITCH + 3.0), row = floor(y / PITCH + 2.0);
        double dx = x - PITCH * (column - 2.5), dy = y - PITCH * (row - 1.5);
        if (column < 0.0 || column > 5.0 || row < 0.0 || row > 3.0 || fabs(dx) > PATCH_HALF ||
            fabs(dy) > PATCH_HALF)
            return FRAME;
        int index = (int)(row * CHART_COLUMNS + column);
        return PATCH + (s->turned ? PATCHES - 1 - index : index);
    }
    if (s->shelf) return coupon_or_card(p);
    double rx = p.x - RING_AT.x, ry = p.y - RING_AT.y, r = hypot(rx, ry);
    if (r > RING_IN && r < RING_OUT) /* the label sat in the lower third */
        return ry > 0.9 * fabs(rx) ? SHELTERED : FACE;
    return s->hooded && r < HOOD_OUT ? HOOD : CARD;
}

/* The camera looks down a little from the near side: a projective map from picture to table. */
static place table_of_pixel(double px, double py, const shot *s)
{
    double u = (px - WIDTH / 2.0) / WIDTH * 290.0, v = (py - HEIGHT / 2.0) / WIDTH * 290.0;
    double depth = 1.0 + 0.00022 * v, turn = s->turn * 3.141592653589793 / 180.0;
    place p = {(cos(turn) * u + sin(turn) * v) / depth, (cos(turn) * v - sin(turn) * u) / depth};
    return p;
}

/* Its inverse. */
static place pixel_of_table(place p, const shot *s)
{
    double turn = s->turn * 3.141592653589793 / 180.0;
    double a = cos(turn) * p.x - sin(turn) * p.y, b = sin(turn) * p.x + cos(turn) * p.y;
    double v = b / (1.0 - 0.00022 * b), u = a * (1.0 + 0.00022 * v);
    place out = {u * WIDTH / 290.0 + WIDTH / 2.0, v * WIDTH / 290.0 + HEIGHT / 2.0};
    return out;
}

/* Bright on one side, and darker towards the corners. */
static double light_on(place p, const shot *s)
{
    double r2 = (p.x * p.x + p.y * p.y) / (145.0 * 145.0);
    return (1.0 - s->left * p.x / 145.0 + s->near_ * p.y / 97.0) * (1.0 - 0.03 * r2);
}

static rgb exposed(int px, int py, const shot *s, const rgb look[MATERIALS])
{
    rgb sum = {{0.0, 0.0, 0.0}};
    for (int i = 0; i < SUPER * SUPER; i++) {
        place p = table_of_pixel(px + (i % SUPER + 0.5) / SUPER, py + (i / SUPER + 0.5) / SUPER, s);
        const rgb *m = &look[material_at(p, s)];
        double light = light_on(p, s) * s->exposure / (SUPER * SUPER);
        for (int k = 0; k < 3; k++) sum.c[k] += light * m->c[k];
    }
    return sum;
}

static unsigned char tone(double linear)
{
    double v = linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1.0 / 2.4) - 0.055;
    return (unsigned char)(255.0 * fmin(fmax(v, 0.0), 1.0) + 0.5);
}

/* What the phone makes of a sensor reading: flare, noise, its matrix, the tone curve. */
static void develop(rgb in, dice *d, unsigned char out[3])
{
    static const double matrix[3][3] = {
        {2.20, -1.34, 0.14}, {-0.35, 1.77, -0.42}, {0.12, -0.56, 1.44}};
    double raw[3];
    for (int k = 0; k < 3; k++) {
        double clean = in.c[k] + 0.0012; /* light scattered in the lens */
        raw[k] = fmin(clean + sqrt(6e-7 + 1.5e-4 * clean) * normal(d), 1.0);
    }
    for (int k = 0; k < 3; k++)
        out[k] = tone(matrix[k][0] * raw[0] + matrix[k][1] * raw[1] + matrix[k][2] * raw[2]);
}

static bool write_jpeg(const char *path, unsigned char *pixels)
{
    FILE *file = fopen(path, "wb");
    if (!file) return false;
    struct jpeg_compress_struct jpeg;
    struct jpeg_error_mgr errors;
    jpeg.err = jpeg_std_error(&errors);
    jpeg_create_compress(&jpeg);
    jpeg_stdio_dest(&jpeg, file);
    jpeg.image_width = WIDTH;
    jpeg.image_height = HEIGHT;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, 94, TRUE);
    jpeg_start_compress(&jpeg, TRUE);
    while (jpeg.next_scanline < HEIGHT) {
        JSAMPROW row = pixels + (size_t)jpeg.next_scanline * WIDTH * 3;
        jpeg_write_scanlines(&jpeg, &row, 1);
    }
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    return fclose(file) == 0;
}

static bool write_png(const char *path, const unsigned char *pixels)
{
    png_image image;
    memset(&image, 0, sizeof image);
    image.version = PNG_IMAGE_VERSION;
    image.width = WIDTH;
    image.height = HEIGHT;
    image.format = PNG_FORMAT_RGB;
    return png_image_write_to_file(&image, path, 0, pixels, 0, NULL) != 0;
}

static bool take(const char *folder, const shot *s, unsigned char *pixels)
{
    rgb look[MATERIALS];
    materials(s->hooded, look);
    dice d = {s->seed};
    for (int y = 0; y < HEIGHT; y++)
        for (int x = 0; x < WIDTH; x++)
            develop(exposed(x, y, s, look), &d, pixels + ((size_t)y * WIDTH + (size_t)x) * 3);
    char path[512];
    int length = snprintf(path, sizeof path, "%s/%s", folder, s->name);
    if (length < 0 || (size_t)length >= sizeof path) return false;
    return strstr(s->name, ".png") ? write_png(path, pixels) : write_jpeg(path, pixels);
}

/* Corner patches in the order first, end of the first row, last, start of the last row. */
static void describe(FILE *file, const shot *s)
{
    static const size_t corners[4] = {0, 5, 23, 18};
    fprintf(file, "%s corners", s->name);
    for (size_t i = 0; i < 4; i++) {
        place p = pixel_of_table(patch_at(corners[i], s->turned), s);
        fprintf(file, " %.0f,%.0f", p.x, p.y);
    }
    for (size_t i = 0; s->shelf && i < COUPONS; i++) {
        place p = pixel_of_table(coupon_at(i), s);
        fprintf(file, "  %s %.0f,%.0f", FILAMENTS[PRINTED[i]].id, p.x, p.y);
    }
    if (s->shelf) {
        fputc('\n', file);
        return;
    }
    double middle = 0.5 * (RING_IN + RING_OUT);
    place face = {RING_AT.x, RING_AT.y - middle}, label = {RING_AT.x, RING_AT.y + middle};
    face = pixel_of_table(face, s);
    label = pixel_of_table(label, s);
    fprintf(file, "  face %.0f,%.0f  sheltered %.0f,%.0f\n", face.x, face.y, label.x, label.y);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fputs("photos: expected one folder\n", stderr);
        return 2;
    }
    char path[512];
    int length = snprintf(path, sizeof path, "%s/photos.txt", argv[1]);
    FILE *file = length > 0 && (size_t)length < sizeof path ? fopen(path, "w") : NULL;
    unsigned char *pixels = malloc((size_t)WIDTH * HEIGHT * 3);
    bool ok = file && pixels;
    for (size_t i = 0; ok && i < sizeof SHOTS / sizeof *SHOTS; i++) {
        ok = take(argv[1], &SHOTS[i], pixels);
        if (ok) describe(file, &SHOTS[i]);
    }
    free(pixels);
    if (file && fclose(file) != 0) ok = false;
    if (!ok) fprintf(stderr, "photos: cannot write to %s\n", argv[1]);
    return ok ? 0 : 4;
}
