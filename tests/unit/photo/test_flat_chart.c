/* The pictures that the tests of the program use. They are drawn here, so that their truth is
 * known, and compared with the files; FARHUE_WRITE_DATA=1 writes the files anew.
 * tests/data/chart_flat.png: even light. chart_uneven.png: light that rises from 0.6 to 1 from the
 * left edge to the right one. sheet_uneven.png: a white sheet (Lab 85, 0, 0) in that same light.
 *
 * 240 × 160 pixels, sRGB: a grey ground, 24 patches of 16 × 16 at a pitch of 24 whose first centre
 * is (40, 40), in the colours published for the first edition (D50/2, Bradford to D65); beside
 * them a spot of Lab 60, 10, 20 (D50/2) at (200, 40), a clipped one at (200, 80), and one that is
 * half 60, 10, 20 and half 50, 10, 20 at (200, 120), all 24 × 24. */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "chart24.h"
#include "farhue/calibration.h"
#include "farhue/picture.h"
#include "farhue/spots.h"
#include "files.h"
#include "starve.h"

enum { WIDTH = 240, HEIGHT = 160 };
static const fh_condition D50 = {FH_ILLUMINANT_D50, FH_OBSERVER_2};

static double slope; /* of the light, from edge to edge */
static unsigned char drawn[WIDTH * HEIGHT * 3];

static void box(size_t x, size_t y, size_t wide, size_t tall, fh_lab lab)
{
    const fh_xyz white = fh_weights_of(D50).white;
    const fh_xyz xyz = fh_xyz_of_lab(lab, white);
    const fh_vec3 moved =
        fh_mat3_apply(fh_bradford(white, fh_srgb_white()), (fh_vec3){{xyz.X, xyz.Y, xyz.Z}});
    const fh_rgb rgb = fh_srgb_of_xyz((fh_xyz){moved.v[0], moved.v[1], moved.v[2]});
    const double light[3] = {rgb.r, rgb.g, rgb.b};
    for (size_t r = y; r < y + tall; r++) {
        for (size_t c = x; c < x + wide; c++) {
            for (size_t k = 0; k < 3; k++) {
                const double here = 0.8 + slope * ((double)c / WIDTH - 0.5);
                const double code = 255.0 * fh_srgb_encode(light[k] * (slope ? here : 1.0)) + 0.5;
                drawn[3 * (r * WIDTH + c) + k] = (unsigned char)(code < 0.0     ? 0.0
                                                                 : code > 255.0 ? 255.0
                                                                                : code);
            }
        }
    }
}

static void draw(void)
{
    fh_chart *chart = chart24();
    box(0, 0, WIDTH, HEIGHT, (fh_lab){45, 0, 0});
    for (size_t i = 0; i < 24; i++)
        box(32 + 24 * (i % 6), 32 + 24 * (i / 6), 16, 16, chart->editions[0].lab[i]);
    box(188, 28, 24, 24, (fh_lab){60, 10, 20});
    box(188, 68, 24, 24, (fh_lab){110, 0, 0});
    box(188, 108, 12, 24, (fh_lab){60, 10, 20});
    box(200, 108, 12, 24, (fh_lab){50, 10, 20});
    fh_chart_free(chart);
}

static void copy_row(void *user, size_t y, unsigned char *row)
{
    (void)user;
    memcpy(row, drawn + 3 * WIDTH * y, 3 * WIDTH);
}

static void expect_file(const char *name)
{
    if (getenv("FARHUE_WRITE_DATA")) {
        void *bytes = NULL;
        size_t length;
        assert_int_equal(fh_png_encode(WIDTH, HEIGHT, copy_row, NULL, &bytes, &length, NULL), 0);
        FILE *file = fopen(name, "wb");
        assert_non_null(file);
        assert_int_equal(fwrite(bytes, 1, length, file), length);
        fclose(file);
        fh_picture_release(bytes);
    }
    size_t size;
    void *bytes = file_bytes(name, &size);
    assert_non_null(bytes);
    fh_picture picture;
    assert_int_equal(fh_picture_decode(bytes, size, &picture, NULL), FH_OK);
    free(bytes);
    assert_memory_equal(picture.memory, drawn, sizeof drawn);
    fh_picture_free(&picture);
}

static void test_files_are_as_drawn(void **state)
{
    (void)state;
    draw();
    expect_file("tests/data/chart_flat.png");
    slope = 0.4;
    draw();
    expect_file("tests/data/chart_uneven.png");
    box(0, 0, WIDTH, HEIGHT, (fh_lab){85, 0, 0});
    expect_file("tests/data/sheet_uneven.png");
    slope = 0.0;
}

/* In the light of the sheet a patch is as in even light. */
static void test_flatten(void **state)
{
    (void)state;
    fh_patch patch = {.mean = {0.2, 0.3, 0.4}, .sd = {0.02, 0, 0}, .plain = {0.2, 0.3, 0.4}};
    const fh_patch sheet = {.mean = {0.5, 0.4, 0.0}};
    fh_patch_flatten(&patch, &sheet, (fh_rgb){0.4, 0.4, 0.4});
    check_close(patch.mean.r, 0.16, 1e-12);
    check_close(patch.mean.g, 0.3, 1e-12);
    check_close(patch.mean.b, 0.4, 0); /* the sheet is black there */
    check_close(patch.sd.r, 0.016, 1e-12);
}

/* The spot comes out as it was drawn, to within 8-bit steps and the cyan patch that sRGB cannot
   show; its reading carries both sources. */
static void test_spot(void **state)
{
    (void)state;
    draw();
    const fh_pixels pixels = fh_pixels_packed(drawn, WIDTH, HEIGHT, 3, 8);
    const fh_point corners[4] = {{39.5, 39.5}, {159.5, 39.5}, {159.5, 111.5}, {39.5, 111.5}};
    fh_profile *profile = NULL;
    fh_grid grid;
    fh_patch patches[24], patch;
    fh_chart *chart = NULL;
    fh_calibration *c = fh_calibration_new();
    assert_int_equal(fh_profile_new(FH_CODING_SRGB, 1, &profile), FH_OK);
    assert_int_equal(fh_grid_from_corners(corners, 4, 6, &grid, NULL), FH_OK);
    assert_int_equal(fh_grid_measure(&grid, &pixels, profile, 0.44, patches, NULL), FH_OK);
    assert_int_equal(fh_chart_24(&chart), FH_OK);
    check_between(fh_neutral_exponent(chart, patches), 1.9, 2.5);
    const fh_calibrate_options options = {.condition = D50, .edition = -1};
    assert_int_equal(fh_calibrate(chart, patches, &options, NULL, NULL, c, NULL), FH_OK);
    assert_int_equal(c->edition, 0);
    check(c->edition_odds > 1.1);
    const fh_shape shape = fh_shape_circle((fh_point){200, 40}, 9);
    assert_int_equal(fh_patch_measure(&pixels, profile, &shape, &patch, NULL), FH_OK);
    const fh_point place = fh_grid_place(&grid, (fh_point){200, 40});
    check_close(place.x, 160.5 / 24, 1e-9);
    check_close(place.y, 0.5 / 24, 1e-9);
    fh_spot_result spot;
    assert_int_equal(fh_calibration_spot(c, &patch, fh_chart_place(chart, place.x, place.y), &spot),
                     FH_OK);
    check_close(spot.lab.L, 60, 0.6);
    check_close(spot.lab.a, 10, 0.6);
    check_close(spot.lab.b, 20, 0.6);
    check_close(spot.expected, 1.0, 0.3);
    check(spot.inside);
    fh_reading reading;
    assert_int_equal(fh_spot_reading(c, chart, &spot, "x.png", "s", D50, &reading, NULL), FH_OK);
    assert_int_equal(reading.shared_count, 2);
    assert_string_equal(reading.shared[0].source, "photo: x.png");
    assert_string_equal(reading.shared[1].source,
                        "chart: 24 patches, first edition, white L* 96.5");
    fh_calibration_free(c);
    fh_chart_free(chart);
    fh_profile_free(profile);
}

/* The built-in chart is the published one. */
static void test_built_in_chart(void **state)
{
    (void)state;
    fh_chart *built_in = NULL, *reference_chart = chart24();
    assert_int_equal(fh_chart_24(&built_in), FH_OK);
    for (size_t i = 0; i < 24; i++) {
        for (size_t e = 0; e < 2; e++) {
            check_close(built_in->editions[e].lab[i].L, reference_chart->editions[e].lab[i].L, 0);
            check_close(built_in->editions[e].lab[i].b, reference_chart->editions[e].lab[i].b, 0);
        }
        check_all_close(built_in->chips[i].reflectance.v, reference_chart->chips[i].reflectance.v,
                        FH_BANDS, 0);
    }
    fh_lab d65[24];
    assert_int_equal(
        fh_chart_lab(built_in, 0, (fh_condition){FH_ILLUMINANT_D65, FH_OBSERVER_10}, d65), FH_OK);
    check_close(d65[18].a, 0, 1.5); /* white stays near neutral */
    built_in->chips[7].has_spectrum = false;
    assert_int_equal(fh_chart_lab(built_in, 0, (fh_condition){FH_ILLUMINANT_A, FH_OBSERVER_2}, d65),
                     FH_E_IMPOSSIBLE);
    assert_int_equal(fh_chart_lab(built_in, 0, D50, d65), FH_OK);
    fh_chart_free(built_in);
    fh_chart_free(reference_chart);
    fh_chart *none = NULL;
    assert_int_equal(fh_chart_new(0, 6, D50, &none), FH_E_ARGUMENT);
    assert_int_equal(fh_chart_new(40, 40, D50, &none), FH_E_ARGUMENT);
}

/* Three photos of one spot: the mean, the spread in the random part, one tag for the photos. */
static void test_pool(void **state)
{
    (void)state;
    fh_reading r[3], pooled;
    for (int i = 0; i < 3; i++) {
        char source[] = "photo: a.jpg";
        source[7] = (char)('a' + i);
        r[i] = fh_reading_blank();
        r[i].lab = (fh_lab){50 + i, 0, 0};
        assert_int_equal(fh_reading_add_shared(&r[i], source, fh_mat3_identity()), FH_OK);
        assert_int_equal(fh_reading_add_shared(&r[i], "chart: x", fh_mat3_identity()), FH_OK);
    }
    double between;
    assert_int_equal(fh_spots_pool(r, 3, &pooled, &between), FH_OK);
    check_close(pooled.lab.L, 51, 1e-12);
    check_close(pooled.random.m[0][0], 1.0 / 3, 1e-12); /* s² = 1, n = 3 */
    assert_int_equal(pooled.shared_count, 2);
    assert_string_equal(pooled.shared[1].source, "photo: a.jpg, b.jpg, c.jpg");
    check_close(pooled.shared[1].covariance.m[0][0], 1, 1e-12);
    check_between(between, 1.5, 2.5);
    assert_int_equal(pooled.repeats, 3);
    r[2].condition = D50;
    assert_int_equal(fh_spots_pool(r, 3, &pooled, NULL), FH_E_DATA);
    assert_int_equal(fh_spots_pool(r, 0, &pooled, NULL), FH_E_ARGUMENT);
}

/* Every allocation on the way may fail: that is said, and outputs stay as they were. */
static void test_without_memory(void **state)
{
    (void)state;
    size_t size;
    void *bytes = file_bytes("tests/data/chart_flat.png", &size);
    draw();
    for (long n = 0;; n++) {
        fh_picture picture = {.exponent = 42};
        starve_after(n);
        const fh_status status = fh_picture_decode(bytes, size, &picture, NULL);
        if (!starve_end()) {
            fh_picture_free(&picture);
            break;
        }
        assert_int_equal(status, FH_E_MEMORY);
        check_close(picture.exponent, 42, 0);
    }
    free(bytes);
    const fh_pixels pixels = fh_pixels_packed(drawn, WIDTH, HEIGHT, 3, 8);
    const fh_point corners[4] = {{39.5, 39.5}, {159.5, 39.5}, {159.5, 111.5}, {39.5, 111.5}};
    fh_profile *profile = NULL;
    fh_grid grid;
    fh_patch patches[24];
    fh_chart *chart = NULL;
    fh_calibration *c = fh_calibration_new();
    assert_int_equal(fh_profile_new(FH_CODING_SRGB, 1, &profile), FH_OK);
    assert_int_equal(fh_grid_from_corners(corners, 4, 6, &grid, NULL), FH_OK);
    for (long n = 0;; n++) {
        starve_after(n);
        const fh_status status = fh_grid_measure(&grid, &pixels, profile, 0.44, patches, NULL);
        if (!starve_end()) break;
        assert_int_equal(status, FH_E_MEMORY);
    }
    for (long n = 0; !chart; n++) {
        starve_after(n);
        const fh_status status = fh_chart_24(&chart);
        if (starve_end()) assert_int_equal(status, FH_E_MEMORY);
    }
    const fh_calibrate_options options = {.condition = D50, .edition = 0, .plain = true};
    for (long n = 0;; n++) {
        starve_after(n);
        c->count = 77;
        const fh_status status = fh_calibrate(chart, patches, &options, NULL, NULL, c, NULL);
        if (!starve_end()) break;
        assert_int_equal(status, FH_E_MEMORY);
        assert_int_equal(c->count, 77);
    }
    fh_calibration_free(c);
    fh_chart_free(chart);
    fh_profile_free(profile);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_files_are_as_drawn),
        cmocka_unit_test(test_flatten),
        cmocka_unit_test(test_spot),
        cmocka_unit_test(test_built_in_chart),
        cmocka_unit_test(test_pool),
        cmocka_unit_test(test_without_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
