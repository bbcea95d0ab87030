/* The perspective grid. Expected places: independent computation by a pinhole camera in the test,
   and by hand where the chart is seen square on. */
#include "check.h"

#include <math.h>
#include <string.h>

#include "farhue/chart.h"

static void test_square_on(void **state)
{
    (void)state;
    const fh_point corners[4] = {{10, 20}, {110, 20}, {110, 80}, {10, 80}};
    fh_grid grid;
    assert_int_equal(fh_grid_from_corners(corners, 4, 6, &grid, NULL), FH_OK);
    check_close(fh_grid_at(&grid, 2, 3).x, 50.0, 1e-9);
    check_close(fh_grid_at(&grid, 2, 3).y, 80.0, 1e-9);
    check_close(fh_grid_pitch(&grid), 20.0, 1e-9);
    const fh_shape window = fh_grid_window(&grid, 1, 1, 0.5);
    check_close(window.points[0].x, 25.0, 1e-9);
    check_close(window.points[2].y, 45.0, 1e-9);
}

/* A plane tilted before a pinhole: x = X / (1 + tX + uY), the same for y. */
static fh_point seen(double X, double Y)
{
    const double w = 1.0 + 0.05 * X - 0.03 * Y;
    return (fh_point){(200.0 + 40.0 * X + 3.0 * Y) / w, (100.0 - 5.0 * X + 45.0 * Y) / w};
}

static void test_perspective(void **state)
{
    (void)state;
    const fh_point corners[4] = {seen(0, 0), seen(5, 0), seen(5, 3), seen(0, 3)};
    fh_grid grid;
    assert_int_equal(fh_grid_from_corners(corners, 4, 6, &grid, NULL), FH_OK);
    for (int r = 0; r < 4; r++) {
        for (int c = 0; c < 6; c++) {
            check_close(fh_grid_at(&grid, c, r).x, seen(c, r).x, 1e-9);
            check_close(fh_grid_at(&grid, c, r).y, seen(c, r).y, 1e-9);
        }
    }
}

static void test_refusals(void **state)
{
    (void)state;
    const struct {
        fh_point corners[4];
        const char *says;
    } cases[] = {
        {{{10, 20}, {110, 20}, {10, 80}, {110, 80}}, "cross"},
        {{{10, 20}, {10, 80}, {110, 80}, {110, 20}}, "counter-clockwise"},
        {{{10, 20}, {60, 20}, {110, 20}, {10, 80}}, "line"},
        {{{10, 20}, {10, 20}, {110, 80}, {10, 80}}, "line"},
        {{{10, 20}, {110, 20}, {40, 40}, {10, 80}}, "cross"}, /* not convex */
        {{{10, 20}, {NAN, 20}, {110, 80}, {10, 80}}, "no place"},
        {{{10, 20}, {1e30, 20}, {110, 80}, {10, 80}}, "no place"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        fh_grid grid = {.rows = 99};
        fh_error error = {0};
        assert_int_equal(fh_grid_from_corners(cases[i].corners, 4, 6, &grid, &error), FH_E_DATA);
        if (!strstr(error.message, cases[i].says)) fail_msg("case %zu: %s", i, error.message);
        assert_int_equal(grid.rows, 99);
    }
    const fh_point corners[4] = {{10, 20}, {110, 20}, {110, 80}, {10, 80}};
    fh_grid grid;
    assert_int_equal(fh_grid_from_corners(corners, 1, 6, &grid, NULL), FH_E_ARGUMENT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_square_on),
        cmocka_unit_test(test_perspective),
        cmocka_unit_test(test_refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
