/* Finding the chart in real photos and in rendered scenes. */
#include "check.h"
#include "files.h"
#include "reference.h"
#include "scene.h"
#include "starve.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/find.h"
#include "farhue/picture.h"

/* Source: chart24_published.csv, the first edition. */
static fh_chart *published_chart(void)
{
    reference table = reference_load("chart24_published.csv");
    fh_chart *chart = NULL;
    assert_int_equal(
        fh_chart_new(4, 6, (fh_condition){FH_ILLUMINANT_D50, FH_OBSERVER_2}, &chart), FH_OK);
    for (size_t i = 0; i < chart->count; ++i)
        chart->editions[0].lab[i] =
            (fh_lab){reference_number(&table, i, "Lpre"), reference_number(&table, i, "apre"),
                     reference_number(&table, i, "bpre")};
    reference_free(&table);
    return chart;
}

static double worst_corner(const fh_point found[4], const fh_point expected[4])
{
    double worst = 0;
    for (int k = 0; k < 4; ++k)
        worst = fmax(worst, hypot(found[k].x - expected[k].x, found[k].y - expected[k].y));
    return worst;
}

/* Source: the corners measured on the photos (corners.csv beside them), good to 2 % of the pitch;
 * a tenth of the pitch is what a window of patches can be off. */
static void real_photo(const char *name, const fh_point corners[4], double pitch)
{
    size_t size;
    void *bytes = photo_bytes(name, &size);
    fh_chart *chart = published_chart();
    fh_picture picture;
    fh_error error = {0};
    assert_int_equal(fh_picture_decode(bytes, size, &picture, &error), FH_OK);
    fh_found found;
    fh_status status = fh_chart_find(&picture.pixels, chart, NULL, NULL, &found, &error);
    if (status) print_message("%s: %s\n", name, error.message);
    assert_int_equal(status, FH_OK);
    check_close_at(worst_corner(found.corners, corners) / pitch, 0, 0.1, name, __FILE__, __LINE__);
    check(!found.doubtful);
    if (strcmp(name, "hand_held_sun.jpg") == 0) /* the hand's shadow lies on patch 1 */
        check(found.hidden[0] && found.visible >= 22);
    fh_picture_free(&picture);
    free(bytes);
    fh_chart_free(chart);
}

static void real_photos(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        fh_point corners[4];
        double pitch;
    } photos[] = {
        {"hand_held_sun.jpg", {{260.5, 302.2}, {510.4, 302.0}, {516.3, 443.3}, {261.0, 452.1}}, 49},
        {"studio_gamma.jpg", {{790.1, 574.0}, {2260.1, 566.5}, {2282.6, 1447.2}, {775.2, 1451.0}}, 288},
        {"studio_linear.jpg", {{790.3, 574.2}, {2259.5, 566.6}, {2283.8, 1447.2}, {773.8, 1451.9}}, 287},
        {"chamber_even.png", {{233.6, 170.1}, {231.0, 275.8}, {168.5, 274.4}, {170.5, 168.7}}, 21},
        {"close_up_portrait.png", {{225.0, 57.3}, {223.9, 331.0}, {67.3, 330.6}, {58.5, 60.1}}, 56},
        {"chart_in_case.png", {{94.6, 338.7}, {98.5, 105.7}, {237.9, 106.9}, {234.7, 340.5}}, 47},
    };
    for (size_t i = 0; i < sizeof photos / sizeof *photos; ++i)
        real_photo(photos[i].name, photos[i].corners, photos[i].pitch);
}

/* A leaf hides nine patches and more: refused, or found in the right place with the hidden patches
 * named. Hidden wholly are 7, 13, 14, 19 and 20 (README beside the photo). */
static void under_a_leaf(void **state)
{
    (void)state;
    size_t size;
    void *bytes = photo_bytes("occluded_by_leaf.png", &size);
    fh_chart *chart = published_chart();
    fh_picture picture;
    fh_error error = {0};
    assert_int_equal(fh_picture_decode(bytes, size, &picture, &error), FH_OK);
    fh_found found;
    if (fh_chart_find(&picture.pixels, chart, NULL, NULL, &found, &error) == FH_OK) {
        const fh_point corners[4] = {{560.6, 373.5}, {550.6, 820.2}, {276.3, 817.3}, {283.5, 367.1}};
        check_close(worst_corner(found.corners, corners) / 90, 0, 0.1);
        check(found.hidden[6] && found.hidden[12] && found.hidden[13] && found.hidden[18] &&
              found.hidden[19]);
        check(found.warning[0] != '\0');
    } else {
        assert_non_null(strstr(error.message, "corners"));
    }
    fh_picture_free(&picture);
    free(bytes);
    fh_chart_free(chart);
}

/* The first scenes of the study; all 200 are tests/study/find_chart.c. */
static void rendered_scenes(void **state)
{
    (void)state;
    fh_chart *chart = published_chart();
    for (uint64_t seed = 2; seed < 7; ++seed) {
        scene s = scene_render(chart, chart->editions[0].lab, seed);
        fh_pixels pixels = fh_pixels_packed(s.rgb, s.width, s.height, 3, 8);
        fh_found found;
        fh_error error = {0};
        assert_int_equal(fh_chart_find(&pixels, chart, NULL, NULL, &found, &error), FH_OK);
        check_close(worst_corner(found.corners, s.corners) / s.pitch, 0, 0.1);
        scene_free(&s);
    }
    fh_chart_free(chart);
}

static void other_board_is_refused(void **state)
{
    (void)state;
    fh_chart *chart = published_chart();
    scene s = scene_render(chart, chart->editions[0].lab, 19); /* one with other colours */
    check(!s.present);
    fh_pixels pixels = fh_pixels_packed(s.rgb, s.width, s.height, 3, 8);
    fh_found found;
    fh_error error = {0};
    assert_int_equal(fh_chart_find(&pixels, chart, NULL, NULL, &found, &error), FH_E_DATA);
    assert_non_null(strstr(error.message, "no chart"));
    scene_free(&s);
    fh_chart_free(chart);
}

/* A scene beside itself: two charts alike, so which one is meant has to be said. */
static void two_charts_are_not_guessed(void **state)
{
    (void)state;
    fh_chart *chart = published_chart();
    scene s = scene_render(chart, chart->editions[0].lab, 3);
    unsigned char *twice = malloc(2 * 3 * s.width * s.height);
    assert_non_null(twice);
    for (size_t y = 0; y < s.height; ++y)
        for (size_t half = 0; half < 2; ++half)
            memcpy(twice + 3 * s.width * (2 * y + half), s.rgb + 3 * s.width * y, 3 * s.width);
    fh_pixels pixels = fh_pixels_packed(twice, 2 * s.width, s.height, 3, 8);
    fh_found found;
    fh_error error = {0};
    assert_int_equal(fh_chart_find(&pixels, chart, NULL, NULL, &found, &error), FH_E_DATA);
    assert_non_null(strstr(error.message, "two places"));
    free(twice);
    scene_free(&s);
    fh_chart_free(chart);
}

/* The same scene, seen in a mirror. */
static void mirrored_is_named(void **state)
{
    (void)state;
    fh_chart *chart = published_chart();
    scene s = scene_render(chart, chart->editions[0].lab, 3);
    fh_pixels pixels = fh_pixels_upright(fh_pixels_packed(s.rgb, s.width, s.height, 3, 8), 2);
    fh_found found;
    fh_error error = {0};
    assert_int_equal(fh_chart_find(&pixels, chart, NULL, NULL, &found, &error), FH_E_DATA);
    assert_non_null(strstr(error.message, "mirrored"));
    scene_free(&s);
    fh_chart_free(chart);
}

static bool stop(void *user, double done)
{
    (void)done;
    return --*(int *)user > 0;
}

static void edges(void **state)
{
    (void)state;
    fh_chart *chart = published_chart();
    fh_found found;
    memset(&found, 7, sizeof found);
    fh_found before = found;
    fh_error error = {0};
    unsigned char plain[64 * 48 * 3];
    memset(plain, 128, sizeof plain);
    fh_pixels pixels = fh_pixels_packed(plain, 64, 48, 3, 8);
    assert_int_equal(fh_chart_find(&pixels, chart, NULL, NULL, &found, &error), FH_E_DATA);
    fh_pixels dot = fh_pixels_packed(plain, 1, 1, 3, 8);
    assert_int_equal(fh_chart_find(&dot, chart, NULL, NULL, &found, &error), FH_E_DATA);
    int calls = 3;
    assert_int_equal(fh_chart_find(&pixels, chart, stop, &calls, &found, &error), FH_E_STOPPED);
    for (long n = 0;; ++n) {
        starve_after(n);
        fh_status status = fh_chart_find(&pixels, chart, NULL, NULL, &found, &error);
        if (!starve_end()) break;
        assert_int_equal(status, FH_E_MEMORY);
    }
    fh_chart *strip;
    assert_int_equal(fh_chart_new(2, 6, chart->condition, &strip), FH_OK);
    assert_int_equal(fh_chart_find(&pixels, strip, NULL, NULL, &found, &error), FH_E_ARGUMENT);
    assert_memory_equal(&found, &before, sizeof before);
    fh_chart_free(strip);
    fh_chart_free(chart);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(real_photos),       cmocka_unit_test(under_a_leaf),
        cmocka_unit_test(rendered_scenes),   cmocka_unit_test(other_board_is_refused),
        cmocka_unit_test(mirrored_is_named), cmocka_unit_test(two_charts_are_not_guessed),
        cmocka_unit_test(edges),
    };
    return cmocka_run_group_tests_name("find", tests, NULL, NULL);
}
