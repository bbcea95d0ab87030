/* Views of pixels. Expected places: the figure of the eight orientations in [Exif232], worked by
   hand on a picture of 3 × 2 pixels whose values are 0–5 in reading order. */
#include "check.h"

#include "farhue/pixels.h"

static const unsigned char SIX[6] = {0, 51, 102, 153, 204, 255};

/* The pixels of a view in reading order, as 0–5. */
static void expect_order(unsigned orientation, size_t width, const int *expected)
{
    const fh_pixels p = fh_pixels_upright(fh_pixels_packed(SIX, 3, 2, 1, 8), orientation);
    assert_int_equal(p.width, width);
    assert_int_equal(p.width * p.height, 6);
    for (size_t i = 0; i < 6; i++) {
        const fh_rgb rgb = fh_pixels_at(&p, i % width, i / width, NULL);
        check_close_at(rgb.g * 5.0, expected[i], 1e-12, "pixel", __FILE__, (int)orientation);
    }
}

static void test_orientations(void **state)
{
    (void)state;
    expect_order(1, 3, (const int[]){0, 1, 2, 3, 4, 5});
    expect_order(2, 3, (const int[]){2, 1, 0, 5, 4, 3});
    expect_order(3, 3, (const int[]){5, 4, 3, 2, 1, 0});
    expect_order(4, 3, (const int[]){3, 4, 5, 0, 1, 2});
    expect_order(5, 2, (const int[]){0, 3, 1, 4, 2, 5});
    expect_order(6, 2, (const int[]){3, 0, 4, 1, 5, 2}); /* camera held with its right side up */
    expect_order(7, 2, (const int[]){5, 2, 4, 1, 3, 0});
    expect_order(8, 2, (const int[]){2, 5, 1, 4, 0, 3});
    expect_order(0, 3, (const int[]){0, 1, 2, 3, 4, 5});
    expect_order(9, 3, (const int[]){0, 1, 2, 3, 4, 5});
}

static void test_parts_and_channels(void **state)
{
    (void)state;
    const fh_pixels part = fh_pixels_part(fh_pixels_packed(SIX, 3, 2, 1, 8), 1, 1, 2, 1);
    check_close(fh_pixels_at(&part, 0, 0, NULL).r, 0.8, 1e-12);
    check_close(fh_pixels_at(&part, 1, 0, NULL).b, 1.0, 1e-12);

    const uint16_t deep[4] = {0, 13107, 65535, 32768};
    const fh_pixels rgba = fh_pixels_packed(deep, 1, 1, 4, 16);
    double alpha;
    const fh_rgb rgb = fh_pixels_at(&rgba, 0, 0, &alpha);
    check_close(rgb.r, 0.0, 0.0);
    check_close(rgb.g, 0.2, 1e-12);
    check_close(rgb.b, 1.0, 0.0);
    check_close(alpha, 32768 / 65535.0, 1e-12);
    const fh_pixels opaque = fh_pixels_packed(SIX, 3, 2, 1, 8);
    fh_pixels_at(&opaque, 0, 0, &alpha);
    check_close(alpha, 1.0, 0.0);
}

static void test_shapes(void **state)
{
    (void)state;
    const fh_shape circle = fh_shape_circle((fh_point){10, 10}, 2.0);
    check(fh_shape_contains(&circle, (fh_point){12, 10}));
    check(!fh_shape_contains(&circle, (fh_point){11.5, 11.5}));
    const fh_shape box = fh_shape_rectangle(1, 2, 3, 4);
    check(fh_shape_contains(&box, (fh_point){2, 3}));
    check(!fh_shape_contains(&box, (fh_point){4.1, 3}));
    check_close(fh_shape_centre(&box).x, 2.5, 1e-12);
    check_close(fh_shape_centre(&box).y, 4.0, 1e-12);
    /* An arrowhead: the notch is outside. */
    fh_shape arrow = fh_shape_rectangle(0, 0, 0, 0);
    arrow.points[0] = (fh_point){0, 0};
    arrow.points[1] = (fh_point){10, 5};
    arrow.points[2] = (fh_point){0, 10};
    arrow.points[3] = (fh_point){5, 5};
    check(fh_shape_contains(&arrow, (fh_point){6, 5}));
    check(!fh_shape_contains(&arrow, (fh_point){3, 5}));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_orientations),
        cmocka_unit_test(test_parts_and_channels),
        cmocka_unit_test(test_shapes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
