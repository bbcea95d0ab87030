/* The robust mean of a patch. Expected values by hand from how the pictures are made. */
#include "check.h"

#include <math.h>
#include <string.h>

#include "farhue/pixels.h"

enum { SIDE = 40 };

static unsigned char picture[SIDE * SIDE * 4];

static fh_profile *linear(void)
{
    fh_profile *profile = NULL;
    assert_int_equal(fh_profile_new(FH_CODING_LINEAR, 1.0, &profile), FH_OK);
    return profile;
}

static void fill(unsigned char r, unsigned char g, unsigned char b)
{
    for (size_t i = 0; i < SIDE * SIDE; i++) {
        picture[4 * i] = r;
        picture[4 * i + 1] = g;
        picture[4 * i + 2] = b;
        picture[4 * i + 3] = 255;
    }
}

static fh_status measure(const fh_shape *shape, fh_patch *out, fh_error *error)
{
    fh_profile *profile = linear();
    const fh_pixels pixels = fh_pixels_packed(picture, SIDE, SIDE, 4, 8);
    const fh_status status = fh_patch_measure(&pixels, profile, shape, out, error);
    fh_profile_free(profile);
    return status;
}

static void test_flat(void **state)
{
    (void)state;
    fill(51, 102, 204);
    const fh_shape shape = fh_shape_rectangle(5, 5, 10, 10);
    fh_patch patch;
    assert_int_equal(measure(&shape, &patch, NULL), FH_OK);
    check_close(patch.mean.r, 0.2, 1e-12);
    check_close(patch.mean.g, 0.4, 1e-12);
    check_close(patch.mean.b, 0.8, 1e-12);
    check_close(patch.code.b, 0.8, 1e-12);
    check_close(patch.sd.g, 0.0, 1e-12);
    check_close(patch.kept, 1.0, 0.0);
    check_close(patch.clipped, 0.0, 0.0);
    check_close(patch.uneven, 0.0, 1e-12);
}

/* A tenth of the pixels are glints: the mean is that of the others. */
static void test_glints_are_left_out(void **state)
{
    (void)state;
    fill(51, 102, 204);
    for (size_t i = 0; i < SIDE * SIDE; i += 10) memset(picture + 4 * i, 255, 4);
    const fh_shape shape = fh_shape_circle((fh_point){20, 20}, 12);
    fh_patch patch;
    assert_int_equal(measure(&shape, &patch, NULL), FH_OK);
    check_close(patch.mean.r, 0.2, 1e-12);
    check_between(patch.kept, 0.88, 0.92);
    check_between(patch.clipped, 0.08, 0.12);
    check_between(patch.code.r, 0.25, 0.31); /* the plain mean has them */
}

/* A slope from 80 to 119 across the picture: quadrants differ, and the mean is the middle. */
static void test_uneven(void **state)
{
    (void)state;
    fill(0, 0, 0);
    for (size_t i = 0; i < SIDE * SIDE; i++) picture[4 * i + 1] = (unsigned char)(80 + i % SIDE);
    const fh_shape shape = fh_shape_rectangle(-0.5, -0.5, SIDE, SIDE);
    fh_patch patch;
    assert_int_equal(measure(&shape, &patch, NULL), FH_OK);
    check_close(patch.mean.g, 99.5 / 255, 1e-9);
    check_close(patch.uneven, 20.0 / 99.5, 1e-9);
    check_close(patch.dark, 1.0, 0.0);
}

/* A large area is looked at on a lattice. */
static void test_large_area(void **state)
{
    (void)state;
    static unsigned char large[1000 * 600];
    memset(large, 128, sizeof large);
    const fh_pixels pixels = fh_pixels_packed(large, 1000, 600, 1, 8);
    fh_profile *profile = linear();
    const fh_shape shape = fh_shape_rectangle(0, 0, 999, 599);
    fh_patch patch;
    assert_int_equal(fh_patch_measure(&pixels, profile, &shape, &patch, NULL), FH_OK);
    check_between((double)patch.count, 30000, FH_PATCH_PIXELS);
    check_close(patch.mean.r, 128 / 255.0, 1e-12);
    fh_profile_free(profile);
}

static void test_refusals(void **state)
{
    (void)state;
    fill(51, 102, 204);
    fh_patch patch = {.count = 7};
    fh_error error = {0};
    const double nan_value = nan("");
    const fh_shape bad[] = {
        fh_shape_rectangle(35, 5, 10, 10),
        fh_shape_circle((fh_point){3, 20}, 8),
        fh_shape_circle((fh_point){nan_value, 20}, 8),
        fh_shape_circle((fh_point){20, 20}, nan_value),
        fh_shape_circle((fh_point){20, 20}, -3),
        fh_shape_circle((fh_point){20, 20}, 1e300),
        fh_shape_circle((fh_point){20, 20}, 1.2), /* five pixels */
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        error.message[0] = '\0';
        assert_int_equal(measure(&bad[i], &patch, &error), FH_E_DATA);
        check(strlen(error.message) > 0);
    }
    picture[4 * (20 * SIDE + 20) + 3] = 254;
    const fh_shape shape = fh_shape_circle((fh_point){20, 20}, 5);
    assert_int_equal(measure(&shape, &patch, &error), FH_E_DATA);
    assert_non_null(strstr(error.message, "transparent"));
    assert_int_equal(patch.count, 7); /* untouched */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_flat),     cmocka_unit_test(test_glints_are_left_out),
        cmocka_unit_test(test_uneven),   cmocka_unit_test(test_large_area),
        cmocka_unit_test(test_refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
