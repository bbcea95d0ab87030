#include "check.h"

#include <lcms2.h>
#include <math.h>

#include "farhue/colour.h"

/* Source: IEC 61966-2-1, the matrix as printed, four decimals. */
static void printed_matrix(void **state)
{
    (void)state;
    const double printed[3][3] = {
        {0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}};
    for (int i = 0; i < 3; ++i) {
        fh_xyz c = fh_xyz_of_srgb((fh_rgb){i == 0, i == 1, i == 2});
        check_close(c.X / 100, printed[0][i], 0.00005 + 1e-9);
        check_close(c.Y / 100, printed[1][i], 0.00005 + 1e-9);
        check_close(c.Z / 100, printed[2][i], 0.00005 + 1e-9);
    }
    fh_xyz white = fh_xyz_of_srgb((fh_rgb){1, 1, 1});
    check_close(white.X, fh_srgb_white().X, 1e-12);
    check_close(white.Z, fh_srgb_white().Z, 1e-12);
}

/* Source: lcms2's parametric curve type 4 with the constants of the standard. */
static void transfer_curve(void **state)
{
    (void)state;
    const cmsFloat64Number p[5] = {2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045};
    cmsToneCurve *curve = cmsBuildParametricToneCurve(NULL, 4, p);
    for (int i = 0; i <= 1000; ++i) {
        double v = i / 1000.0;
        /* lcms2 evaluates in float */
        check_close(fh_srgb_decode(v), (double)cmsEvalToneCurveFloat(curve, (float)v), 2e-7);
        check_close(fh_srgb_encode(fh_srgb_decode(v)), v, 1e-7); /* the standard's own seam */
    }
    cmsFreeToneCurve(curve);
    check(fh_srgb_decode(-0.5) == -fh_srgb_decode(0.5));
    check_close(fh_srgb_encode(0.0031308), 0.04045, 1e-7);
}

static void screen(void **state)
{
    (void)state;
    bool inside = false;
    fh_rgb grey = fh_screen_of_lab((fh_lab){53.585013, 0, 0}, &inside); /* Y of sRGB 128: 0.2158605 */
    check(inside);
    check_close(grey.r * 255, 128, 0.01);
    check_close(grey.g * 255, 128, 0.01);
    check_close(grey.b * 255, 128, 0.01);
    fh_rgb red = fh_screen_of_lab((fh_lab){60, 120, 80}, &inside);
    check(!inside && red.g >= 0.0 && red.b >= 0.0);
    check_close(red.r, 1.0, 1e-15);
    (void)fh_screen_of_lab((fh_lab){100, 0, 0}, &inside);
    check(inside);
    (void)fh_screen_of_lab((fh_lab){NAN, 0, 0}, &inside);
    check(!inside);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(printed_matrix),
        cmocka_unit_test(transfer_curve),
        cmocka_unit_test(screen),
    };
    return cmocka_run_group_tests_name("srgb", tests, NULL, NULL);
}
