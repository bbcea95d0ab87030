/* CIELAB, LCh and the Jacobian, against lcms2 and finite differences. */
#include "check.h"

#include <lcms2.h>
#include <math.h>

#include "base/random.h"
#include "farhue/colour.h"

/* Source: lcms2's float conversions, a second implementation. */
static void agrees_with_lcms2(void **state)
{
    (void)state;
    fh_xyz white = {96.422, 100.0, 82.521};
    cmsCIEXYZ cms_white = {0.96422, 1.0, 0.82521};
    for (uint64_t i = 0; i < 20000; ++i) {
        fh_lab lab = {100 * fh_random_uniform(2, 0, i, 0), 160 * fh_random_uniform(2, 0, i, 1) - 80,
                      160 * fh_random_uniform(2, 0, i, 2) - 80};
        fh_xyz xyz = fh_xyz_of_lab(lab, white);
        cmsCIELab cms_lab = {lab.L, lab.a, lab.b}, back;
        cmsCIEXYZ cms_xyz;
        cmsLab2XYZ(&cms_white, &cms_xyz, &cms_lab);
        check_close(xyz.X, 100 * cms_xyz.X, 1e-9);
        check_close(xyz.Y, 100 * cms_xyz.Y, 1e-9);
        check_close(xyz.Z, 100 * cms_xyz.Z, 1e-9);
        fh_lab again = fh_lab_of_xyz(xyz, white);
        cmsXYZ2Lab(&cms_white, &back, &cms_xyz);
        check_close(again.L, back.L, 1e-9);
        check_close(again.a, back.a, 1e-9);
        check_close(again.b, back.b, 1e-9);
        check_close(again.L, lab.L, 1e-9);
        check_close(again.a, lab.a, 1e-9);
        check_close(again.b, lab.b, 1e-9);

        fh_lch lch = fh_lch_of_lab(lab);
        cmsCIELCh cms_lch;
        cmsLab2LCh(&cms_lch, &cms_lab);
        check_close(lch.C, cms_lch.C, 1e-9);
        check_close(lch.h, cms_lch.h, 1e-9);
        fh_lab turned = fh_lab_of_lch(lch);
        check_close(turned.a, lab.a, 1e-12 * 200);
        check_close(turned.b, lab.b, 1e-12 * 200);
    }
}

/* Source: the definition in CIE 15: Y/Yn = (6/29)^3 is L* = 8; Y/Yn = 0.18418651851244416 (that is
 * (66/116)^3) is L* = 50. */
static void known_points(void **state)
{
    (void)state;
    fh_xyz white = {94.811, 100.0, 107.304};
    double eight = 216.0 / 24389.0, fifty = 0.18418651851244416;
    check_close(fh_lab_of_xyz((fh_xyz){white.X * eight, 100 * eight, white.Z * eight}, white).L, 8.0,
                1e-12);
    check_close(fh_lab_of_xyz((fh_xyz){white.X * fifty, 100 * fifty, white.Z * fifty}, white).L,
                50.0, 1e-12);
    fh_lab black = fh_lab_of_xyz((fh_xyz){0, 0, 0}, white);
    check(fabs(black.L) < 1e-14 && black.a == 0 && black.b == 0);
}

/* Source: central differences, independent computation. */
static void jacobian(void **state)
{
    (void)state;
    fh_xyz white = {94.811, 100.0, 107.304};
    const fh_xyz points[] = {{20, 30, 40}, {0.3, 0.4, 0.2}, {90, 95, 60}, {5, 0.5, 1}};
    for (size_t p = 0; p < 4; ++p) {
        fh_mat3 j = fh_lab_jacobian(points[p], white);
        for (int axis = 0; axis < 3; ++axis) {
            double h = 1e-6;
            fh_xyz up = points[p], down = points[p];
            *(axis == 0 ? &up.X : axis == 1 ? &up.Y : &up.Z) += h;
            *(axis == 0 ? &down.X : axis == 1 ? &down.Y : &down.Z) -= h;
            fh_lab a = fh_lab_of_xyz(up, white), b = fh_lab_of_xyz(down, white);
            check_close(j.m[0][axis], (a.L - b.L) / (2 * h), 1e-5);
            check_close(j.m[1][axis], (a.a - b.a) / (2 * h), 1e-5);
            check_close(j.m[2][axis], (a.b - b.b) / (2 * h), 1e-5);
        }
    }
}

static void hue_edges(void **state)
{
    (void)state;
    check(fh_lch_of_lab((fh_lab){50, 0, 0}).h == 0.0);
    check_close(fh_lch_of_lab((fh_lab){50, 0, -10}).h, 270.0, 1e-12);
    double h = fh_lch_of_lab((fh_lab){50, 10, -1e-300}).h;
    check(h >= 0.0 && h < 360.0);
    check(isnan(fh_lch_of_lab((fh_lab){50, NAN, 1}).C));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_lcms2),
        cmocka_unit_test(known_points),
        cmocka_unit_test(jacobian),
        cmocka_unit_test(hue_edges),
    };
    return cmocka_run_group_tests_name("lab", tests, NULL, NULL);
}
