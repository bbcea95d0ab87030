#include "scene.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"

/* Random numbers of one scene, by name. */
static double uniform(uint64_t seed, const char *what, uint64_t index, double low, double high)
{
    return low + (high - low) * fh_random_uniform(seed, fh_stream_of(what), 0, index);
}

/* Everything that decides a pixel. */
struct world {
    uint64_t seed;
    double to_board[9]; /* pixels → board, homogeneous */
    size_t rows, columns;
    double gap;            /* share of the pitch between patches */
    double frame[3];       /* board colour, linear */
    double (*patch)[3];    /* linear camera RGB of every patch */
    double ground[3];      /* background colour */
    double light[3];       /* gradient x, y and curvature */
    double width, height;
    struct thing {
        double x, y, a, b, turn, rgb[3];
        bool round, on_top;
    } things[40];
    size_t thing_count;
};

static void multiply(const double a[9], const double b[9], double out[9])
{
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j)
            out[3 * i + j] = a[3 * i] * b[j] + a[3 * i + 1] * b[3 + j] + a[3 * i + 2] * b[6 + j];
}

static fh_point apply(const double h[9], double x, double y)
{
    double w = h[6] * x + h[7] * y + h[8];
    return (fh_point){(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w};
}

static void invert(const double m[9], double out[9])
{
    out[0] = m[4] * m[8] - m[5] * m[7], out[1] = m[2] * m[7] - m[1] * m[8];
    out[2] = m[1] * m[5] - m[2] * m[4], out[3] = m[5] * m[6] - m[3] * m[8];
    out[4] = m[0] * m[8] - m[2] * m[6], out[5] = m[2] * m[3] - m[0] * m[5];
    out[6] = m[3] * m[7] - m[4] * m[6], out[7] = m[1] * m[6] - m[0] * m[7];
    out[8] = m[0] * m[4] - m[1] * m[3];
}

/* Board coordinates: patch centres at whole numbers, column 0 and row 0 first. */
static void place_board(struct world *w, scene *s)
{
    double turn = uniform(w->seed, "turn", 0, 0, 6.283185307179586);
    double c = cos(turn), d = sin(turn);
    double span = hypot((double)w->columns, (double)w->rows);
    double most = fmin(w->width, w->height) / span;
    double pitch = most * uniform(w->seed, "size", 0, 0.22, 0.92);
    if (pitch < 18) pitch = 18;
    double room_x = fmax(0.0, w->width - pitch * span), room_y = fmax(0.0, w->height - pitch * span);
    double x = w->width / 2 + room_x * uniform(w->seed, "place", 0, -0.45, 0.45);
    double y = w->height / 2 + room_y * uniform(w->seed, "place", 1, -0.45, 0.45);
    double tilt = 0.22 / span; /* the far side up to about a quarter smaller */
    const double centre[9] = {1, 0, -(double)(w->columns - 1) / 2, 0, 1, -(double)(w->rows - 1) / 2,
                              0, 0, 1};
    const double turned[9] = {pitch * c, -pitch * d, 0, pitch * d, pitch * c, 0,
                              uniform(w->seed, "tilt", 0, -tilt, tilt),
                              uniform(w->seed, "tilt", 1, -tilt, tilt), 1};
    const double moved[9] = {1, 0, x, 0, 1, y, 0, 0, 1};
    double one[9], to_pixels[9];
    multiply(turned, centre, one);
    multiply(moved, one, to_pixels);
    invert(to_pixels, w->to_board);
    double C = (double)(w->columns - 1), R = (double)(w->rows - 1);
    const double at[4][2] = {{0, 0}, {C, 0}, {C, R}, {0, R}};
    for (int k = 0; k < 4; ++k) s->corners[k] = apply(to_pixels, at[k][0], at[k][1]);
    s->pitch = HUGE_VAL;
    for (int k = 0; k < 4; ++k) {
        fh_point a = s->corners[k], b = s->corners[(k + 1) % 4];
        s->pitch = fmin(s->pitch, hypot(a.x - b.x, a.y - b.y) / (k % 2 ? R : C));
    }
}

/* A camera that mixes channels under a coloured light: about what white balance leaves over. */
static void colour_patches(struct world *w, const fh_chart *chart, const fh_lab *lab, bool present)
{
    fh_xyz white = fh_weights_of((fh_condition){FH_ILLUMINANT_D50, FH_OBSERVER_2}).white;
    fh_mat3 adapt = fh_bradford(white, fh_srgb_white());
    double exposure = uniform(w->seed, "exposure", 0, 0.45, 0.95);
    for (size_t i = 0; i < chart->count; ++i) {
        fh_lab colour = lab[i];
        if (!present)
            colour = (fh_lab){uniform(w->seed, "other", 3 * i, 20, 95),
                              uniform(w->seed, "other", 3 * i + 1, -60, 60),
                              uniform(w->seed, "other", 3 * i + 2, -60, 60)};
        fh_xyz xyz = fh_xyz_of_lab(colour, white);
        fh_vec3 v = fh_mat3_apply(adapt, (fh_vec3){{xyz.X, xyz.Y, xyz.Z}});
        fh_rgb rgb = fh_srgb_of_xyz((fh_xyz){v.v[0], v.v[1], v.v[2]});
        const double in[3] = {rgb.r, rgb.g, rgb.b};
        for (int k = 0; k < 3; ++k) {
            double mix = uniform(w->seed, "mix", (uint64_t)k, 0.0, 0.15);
            double other = (in[(k + 1) % 3] + in[(k + 2) % 3]) / 2;
            double gain = uniform(w->seed, "gain", (uint64_t)k, 0.8, 1.0) * exposure;
            w->patch[i][k] = fmax(0.0, gain * ((1 - mix) * in[k] + mix * other));
        }
    }
}

static void place_things(struct world *w, const scene *s)
{
    size_t clutter = (size_t)uniform(w->seed, "clutter", 0, 2, 28);
    for (size_t i = 0; i < clutter; ++i) {
        struct thing *t = &w->things[w->thing_count++];
        double size = uniform(w->seed, "thing size", i, 0.02, 0.25) * fmin(w->width, w->height);
        *t = (struct thing){.x = uniform(w->seed, "thing x", i, 0, w->width),
                            .y = uniform(w->seed, "thing y", i, 0, w->height),
                            .a = size,
                            .b = size * uniform(w->seed, "thing shape", i, 0.3, 1.0),
                            .turn = uniform(w->seed, "thing turn", i, 0, 3.14159),
                            .round = i % 3 == 0};
        for (int k = 0; k < 3; ++k)
            t->rgb[k] = uniform(w->seed, "thing colour", 3 * i + (uint64_t)k, 0.01, 0.8);
    }
    if (uniform(w->seed, "cover", 0, 0, 1) < 0.3) { /* a finger or a leaf over a corner */
        size_t corner = (size_t)uniform(w->seed, "cover", 1, 0, 3.999);
        struct thing *t = &w->things[w->thing_count++];
        double size = s->pitch * uniform(w->seed, "cover", 2, 0.5, 1.5);
        *t = (struct thing){.x = s->corners[corner].x, .y = s->corners[corner].y, .a = size,
                            .b = size, .rgb = {0.45, 0.28, 0.2}, .round = true, .on_top = true};
    }
}

static bool inside_thing(const struct thing *t, double x, double y)
{
    double c = cos(t->turn), d = sin(t->turn);
    double u = (c * (x - t->x) + d * (y - t->y)) / t->a, v = (c * (y - t->y) - d * (x - t->x)) / t->b;
    return t->round ? u * u + v * v < 1 : fabs(u) < 1 && fabs(v) < 1;
}

/* Linear colour of a point of the picture. */
static void shade(const struct world *w, double x, double y, double out[3])
{
    const double *rgb = w->ground;
    bool board = false;
    for (size_t i = 0; i < w->thing_count; ++i)
        if (!w->things[i].on_top && inside_thing(&w->things[i], x, y)) rgb = w->things[i].rgb;
    fh_point at = apply(w->to_board, x, y);
    double C = (double)w->columns, R = (double)w->rows;
    if (at.x > -0.8 && at.y > -0.8 && at.x < C - 0.2 && at.y < R - 0.2) {
        rgb = w->frame;
        board = true;
        double fx = fabs(at.x - floor(at.x + 0.5)), fy = fabs(at.y - floor(at.y + 0.5));
        double half = 0.5 - w->gap / 2;
        if (fx < half && fy < half && at.x > -0.5 && at.y > -0.5 && at.x < C - 0.5 && at.y < R - 0.5)
            rgb = w->patch[(size_t)floor(at.y + 0.5) * w->columns + (size_t)floor(at.x + 0.5)];
    }
    for (size_t i = 0; i < w->thing_count; ++i)
        if (w->things[i].on_top && inside_thing(&w->things[i], x, y)) rgb = w->things[i].rgb;
    double u = x / w->width - 0.5, v = y / w->height - 0.5;
    double light = 1 + w->light[0] * u + w->light[1] * v + w->light[2] * (u * u + v * v);
    double texture = board ? 0.0
                           : uniform(w->seed, "texture", (uint64_t)(y * 7919 + x / 2), -0.04, 0.04);
    for (int k = 0; k < 3; ++k) out[k] = fmax(0.0, rgb[k] * light * (1 + texture));
}

static void paint(const struct world *w, scene *s)
{
    double blur = uniform(w->seed, "blur", 0, 0.4, fmin(1.6, s->pitch / 22));
    double noise = uniform(w->seed, "noise", 0, 0.3, 2.0);
    for (size_t y = 0; y < s->height; ++y)
        for (size_t x = 0; x < s->width; ++x) {
            double sum[3] = {0, 0, 0};
            for (int k = 0; k < 9; ++k) { /* 3 × 3 samples over the blur's width */
                double c[3];
                shade(w, (double)x + blur * (k % 3 - 1) / 1.5, (double)y + blur * (k / 3 - 1) / 1.5, c);
                for (int i = 0; i < 3; ++i) sum[i] += c[i] / 9;
            }
            for (int i = 0; i < 3; ++i) {
                uint64_t at = 3 * (y * s->width + x) + (uint64_t)i;
                double v = 255 * fh_srgb_encode(sum[i]) +
                           noise * fh_random_normal(w->seed, fh_stream_of("grain"), 0, at);
                s->rgb[at] = (unsigned char)(v < 0 ? 0 : v > 255 ? 255 : v + 0.5);
            }
        }
}

static size_t count_covered(const struct world *w, const fh_chart *chart, const scene *s)
{
    size_t covered = 0;
    for (size_t i = 0; i < chart->count; ++i) {
        /* between the corners, bilinear: near enough to count */
        double u = (double)(i % chart->columns) / (double)(chart->columns - 1);
        double v = (double)(i / chart->columns) / (double)(chart->rows - 1);
        double x = (1 - v) * ((1 - u) * s->corners[0].x + u * s->corners[1].x) +
                   v * ((1 - u) * s->corners[3].x + u * s->corners[2].x);
        double y = (1 - v) * ((1 - u) * s->corners[0].y + u * s->corners[1].y) +
                   v * ((1 - u) * s->corners[3].y + u * s->corners[2].y);
        for (size_t k = 0; k < w->thing_count; ++k)
            if (w->things[k].on_top && inside_thing(&w->things[k], x, y)) {
                ++covered;
                break;
            }
    }
    return covered;
}

scene scene_render(const fh_chart *chart, const fh_lab *lab, uint64_t seed)
{
    scene s = {.present = seed % 20 != 19};
    s.width = (size_t)uniform(seed, "width", 0, 400, 720);
    s.height = (size_t)uniform(seed, "height", 0, 400, 720);
    struct world w = {.seed = seed, .rows = chart->rows, .columns = chart->columns};
    w.width = (double)s.width, w.height = (double)s.height;
    w.gap = uniform(seed, "gap", 0, 0.08, 0.25);
    double dark = uniform(seed, "frame", 0, 0.01, 0.05);
    for (int k = 0; k < 3; ++k) {
        w.frame[k] = dark;
        w.ground[k] = uniform(seed, "ground", (uint64_t)k, 0.1, 0.6);
        w.light[k] = uniform(seed, "light", (uint64_t)k, -0.35, 0.35);
    }
    w.patch = calloc(chart->count, sizeof *w.patch);
    s.rgb = malloc(3 * s.width * s.height);
    if (!w.patch || !s.rgb) abort();
    place_board(&w, &s);
    colour_patches(&w, chart, lab, s.present);
    place_things(&w, &s);
    paint(&w, &s);
    s.covered = count_covered(&w, chart, &s);
    free(w.patch);
    return s;
}

void scene_free(scene *done)
{
    free(done->rgb);
    *done = (scene){0};
}
