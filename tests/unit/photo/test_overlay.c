/* The overlay: lines where the marks are, the photo elsewhere. */
#include "check.h"

#include <string.h>

#include "farhue/overlay.h"

enum { WIDTH = 120, HEIGHT = 90 };
static unsigned char grey[WIDTH * HEIGHT], drawn[HEIGHT][3 * WIDTH];

static void draw(const fh_outline *marks, size_t count)
{
    fh_profile *profile = NULL;
    assert_int_equal(fh_profile_new(FH_CODING_SRGB, 1, &profile), FH_OK);
    memset(grey, 128, sizeof grey);
    const fh_overlay overlay = {.pixels = fh_pixels_packed(grey, WIDTH, HEIGHT, 1, 8),
                                .profile = profile,
                                .marks = marks,
                                .count = count,
                                .block = 1};
    size_t width, height;
    fh_overlay_size(&overlay, &width, &height);
    assert_int_equal(width, WIDTH);
    assert_int_equal(height, HEIGHT);
    for (size_t y = 0; y < HEIGHT; y++) fh_overlay_row(&overlay, y, drawn[y]);
    fh_profile_free(profile);
}

static int at(size_t x, size_t y)
{
    return drawn[y][3 * x + 1];
}

static void test_marks(void **state)
{
    (void)state;
    fh_outline marks[3];
    memset(marks, 0, sizeof marks);
    marks[0].kind = FH_OUTLINE_USED;
    marks[0].shape = fh_shape_rectangle(10, 10, 20, 20);
    marks[1].kind = FH_OUTLINE_REJECTED;
    marks[1].shape = fh_shape_rectangle(40, 10, 20, 20);
    const fh_shape circle = fh_shape_circle((fh_point){50, 60}, 12);
    marks[2] = fh_overlay_spot(&circle, "ring-7");
    draw(marks, 3);
    assert_int_equal(at(10, 20), 255); /* the outline */
    assert_int_equal(at(11, 20), 0);   /* black beside it */
    assert_int_equal(at(20, 20), 128); /* the photo inside */
    assert_int_equal(at(50, 20), 255); /* crossed out */
    assert_int_equal(at(62, 60), 255); /* the circle, drawn twice */
    assert_int_equal(at(38, 60), 255);
    assert_int_equal(at(34, 60), 255);
    assert_int_equal(at(50, 60), 128);
    assert_int_equal(at(100, 80), 128);
}

static void test_chart(void **state)
{
    (void)state;
    const fh_point corners[4] = {{30, 30}, {80, 30}, {80, 60}, {30, 60}};
    fh_grid grid;
    fh_outline marks[24];
    assert_int_equal(fh_grid_from_corners(corners, 4, 6, &grid, NULL), FH_OK);
    fh_calibration *c = fh_calibration_new();
    c->count = 24;
    c->exclusion[9] = FH_PATCH_CLIPPED;
    fh_overlay_chart(c, &grid, 0.5, marks);
    assert_string_equal(marks[0].text, "1");
    assert_string_equal(marks[5].text, "6");
    assert_string_equal(marks[18].text, "19");
    assert_string_equal(marks[23].text, "24");
    assert_string_equal(marks[7].text, "");
    assert_int_equal(marks[9].kind, FH_OUTLINE_REJECTED);
    assert_int_equal(marks[8].kind, FH_OUTLINE_USED);
    check(marks[0].label.x < 25 && marks[5].label.x > 85);
    draw(marks, 24);
    fh_calibration_free(c);
}

/* A spot has its name beside it, from its left end; near the edge it is moved in. Own requirement.
 * The L of the font of 3 × 5 dots: left column of five, foot of three. */
static void test_names(void **state)
{
    (void)state;
    const fh_shape circle = fh_shape_circle((fh_point){20, 45}, 10);
    fh_outline mark = fh_overlay_spot(&circle, "l");
    assert_string_equal(mark.text, "l");
    draw(&mark, 1);
    const size_t left = 33, top = 40; /* by hand: 20 + 10 + 0.15 × 10 + 2, and 45 − 10/2 */
    for (size_t y = 0; y < 10; y++) assert_int_equal(at(left, top + y), 255);
    assert_int_equal(at(left + 4, top), 0);
    assert_int_equal(at(left + 4, top + 9), 255);
    const fh_shape edge = fh_shape_circle((fh_point){105, 45}, 10);
    mark = fh_overlay_spot(&edge, "l");
    draw(&mark, 1);
    assert_int_equal(at(110, 40), 255); /* 120 wide: 120 − 8 − 2 */
    const fh_outline named = fh_overlay_spot(&edge, "a name that is too long for it");
    assert_string_equal(named.text, "a name that is too long");
}

/* Marks beyond the photo are cut, not written. */
static void test_beyond(void **state)
{
    (void)state;
    fh_outline marks[2];
    memset(marks, 0, sizeof marks);
    marks[0].shape = fh_shape_rectangle(-30, -30, 60, 60);
    strcpy(marks[0].text, "3");
    marks[0].label = (fh_point){-5, -5};
    const fh_shape circle = fh_shape_circle((fh_point){119, 89}, 40);
    marks[1] = fh_overlay_spot(&circle, "12");
    draw(marks, 2);
    assert_int_equal(at(30, 10), 255);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_marks),
        cmocka_unit_test(test_chart),
        cmocka_unit_test(test_names),
        cmocka_unit_test(test_beyond),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
