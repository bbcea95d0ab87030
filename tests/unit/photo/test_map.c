/* The difference map on pictures whose colours are known by construction. */
#include "check.h"

#include <string.h>

#include "farhue/difference.h"
#include "farhue/map.h"
#include "photo/figures.h"

enum { WIDTH = 64, HEIGHT = 40 };
static unsigned char grey[WIDTH * HEIGHT], other[WIDTH * HEIGHT];

/* Linear light is Y: a correction that keeps grey grey. */
static fh_correction plain(void)
{
    fh_correction c = {.tone = 1.0};
    c.condition = (fh_condition){FH_ILLUMINANT_D65, FH_OBSERVER_2};
    c.white = fh_weights_of(c.condition).white;
    c.m[0][0] = c.white.X, c.m[1][1] = c.white.Y, c.m[2][2] = c.white.Z;
    return c;
}

static fh_lab lab_of(const fh_correction *c, double code)
{
    return fh_correction_lab(c, (fh_rgb){code / 255, code / 255, code / 255}, (fh_point){0, 0});
}

static void test_from_a_colour(void **state)
{
    (void)state;
    fh_profile *profile = NULL;
    const fh_correction c = plain();
    assert_int_equal(fh_profile_new(FH_CODING_LINEAR, 1, &profile), FH_OK);
    memset(grey, 100, sizeof grey);
    grey[5 * WIDTH + 7] = 140;
    fh_map map = {.top = 5.0, .block = 1, .from = lab_of(&c, 100)};
    map.photo = (fh_map_photo){.pixels = fh_pixels_packed(grey, WIDTH, HEIGHT, 1, 8),
                               .profile = profile,
                               .correction = &c};
    check_close(fh_map_at(&map, 3, 3), 0, 1e-9);
    check_close(fh_map_at(&map, 7, 5), fh_de2000(lab_of(&c, 100), lab_of(&c, 140)), 1e-9);
    size_t width, height;
    fh_map_size(&map, &width, &height);
    assert_int_equal(width, WIDTH);
    check(height > HEIGHT);
    unsigned char row[3 * WIDTH];
    fh_map_row(&map, 5, row);
    check(row[3 * 7] > 200 && row[3 * 6] < 40);
    for (size_t y = 0; y < height; y++) { /* pure greys everywhere, in the scale too */
        fh_map_row(&map, y, row);
        for (size_t x = 0; x < WIDTH; x++)
            check(row[3 * x] == row[3 * x + 1] && row[3 * x] == row[3 * x + 2]);
    }
    fh_map_row(&map, HEIGHT + 8, row); /* the bar */
    check(row[0] < 40 && row[3 * (WIDTH - 1)] == 255);

    /* Blocks are averaged as light: one pixel of 140 among 15 of 100 is 102.5. */
    map.block = 4;
    fh_map_size(&map, &width, &height);
    assert_int_equal(width, WIDTH / 4);
    check_close(fh_map_at(&map, 1, 1), fh_de2000(lab_of(&c, 100), lab_of(&c, 102.5)), 1e-9);
    fh_profile_free(profile);
}

static void test_between_photos(void **state)
{
    (void)state;
    fh_profile *profile = NULL;
    const fh_correction c = plain();
    assert_int_equal(fh_profile_new(FH_CODING_LINEAR, 1, &profile), FH_OK);
    memset(grey, 100, sizeof grey);
    memset(other, 100, sizeof other);
    other[2 * WIDTH + 2] = 50;
    fh_map_photo second = {.pixels = fh_pixels_packed(other, WIDTH, HEIGHT, 1, 8),
                           .profile = profile,
                           .correction = &c};
    fh_map map = {.top = 5.0, .block = 1, .other = &second};
    map.photo = second;
    map.photo.pixels = fh_pixels_packed(grey, WIDTH, HEIGHT, 1, 8);
    check_close(fh_map_at(&map, 9, 9), 0, 1e-9);
    check_close(fh_map_at(&map, 2, 2), fh_de2000(lab_of(&c, 100), lab_of(&c, 50)), 1e-9);
    fh_profile_free(profile);
}

static void test_block(void **state)
{
    (void)state;
    const fh_pixels large = fh_pixels_packed(grey, 6000, 4000, 1, 8);
    assert_int_equal(fh_map_block(&large, 1600), 4);
    const fh_pixels small = fh_pixels_packed(grey, 64, 40, 1, 8);
    assert_int_equal(fh_map_block(&small, 1600), 1);
}

/* "2.5" is three letters; a 1 has its stem in the middle. */
static void test_figures(void **state)
{
    (void)state;
    assert_int_equal(fh_figures_width(2.5), fh_figures_width(125));
    assert_int_equal(fh_figures_width(10), fh_figures_width(7.0) * 2);
    check(fh_figures_dot(1, 2, 0) && !fh_figures_dot(1, 0, 0) && !fh_figures_dot(1, 100, 0));
    check(!fh_figures_dot(1, 2, 100));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_from_a_colour),
        cmocka_unit_test(test_between_photos),
        cmocka_unit_test(test_block),
        cmocka_unit_test(test_figures),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
