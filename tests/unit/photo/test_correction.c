/* Corrections on made-up cameras, whose truth is known by construction. */
#include "check.h"

#include <math.h>
#include <string.h>

#include "farhue/correction.h"
#include "farhue/difference.h"

enum { COUNT = 24 };
static const fh_condition D65 = {FH_ILLUMINANT_D65, FH_OBSERVER_10};

/* 24 colours spread over the solid, from an integer sequence. */
static fh_lab colour(size_t i)
{
    const double turn = (double)(i * 137 % 360) * 3.14159265358979 / 180.0;
    const double L = 25.0 + (double)(i * 53 % 65),
                 C = i % 6 == 5 ? 0.0 : L * (0.2 + 0.07 * (double)(i % 5));
    return (fh_lab){L, C * cos(turn), C * sin(turn)};
}

/* A camera: XYZ = m t, so rgb = m⁻¹ (XYZ − offset), then the light's slope and a tone curve. */
typedef struct camera {
    double offset, tone, slope;
} camera;

static void shoot(camera cam, fh_known *known)
{
    const fh_mat3 m = {{{45, 33, 16}, {24, 68, 8}, {3, 11, 90}}};
    fh_mat3 inverse;
    assert_int_equal(fh_mat3_inverse(m, &inverse), FH_OK);
    const fh_xyz white = fh_weights_of(D65).white;
    for (size_t i = 0; i < COUNT; i++) {
        const fh_lab lab = colour(i);
        const fh_xyz xyz = fh_xyz_of_lab(lab, white);
        const fh_vec3 light = fh_mat3_apply(
            inverse, (fh_vec3){{xyz.X - cam.offset, xyz.Y - cam.offset, xyz.Z - cam.offset}});
        known[i] = (fh_known){.lab = lab, .weight = 1.0};
        known[i].at = (fh_point){(double)(i % 6) / 2.5 - 1.0, (double)(i / 6) / 2.5 - 0.6};
        const double s = 1.0 + cam.slope * known[i].at.x;
        const double e = 1.0 / cam.tone;
        known[i].rgb =
            (fh_rgb){pow(light.v[0], e) / s, pow(light.v[1], e) / s, pow(light.v[2], e) / s};
    }
}

static double worst(const fh_correction *fit, const fh_known *known)
{
    double most = 0.0;
    for (size_t i = 0; i < COUNT; i++)
        most =
            fmax(most, fh_de2000(known[i].lab, fh_correction_lab(fit, known[i].rgb, known[i].at)));
    return most;
}

static void test_plain_is_exact_for_a_linear_camera(void **state)
{
    (void)state;
    fh_known known[COUNT];
    shoot((camera){0, 1, 0}, known);
    fh_correction fit;
    assert_int_equal(fh_correction_plain(known, COUNT, D65, &fit), FH_OK);
    check_close(worst(&fit, known), 0.0, 1e-6);
    check_close(fit.m[0][0], 45, 1e-6);
    check_close(fit.m[2][1], 11, 1e-6);
    /* Weight 0 leaves a patch out. */
    known[3].rgb.r = 5.0;
    known[3].weight = 0.0;
    assert_int_equal(fh_correction_plain(known, COUNT, D65, &fit), FH_OK);
    check_close(fit.m[0][0], 45, 1e-6);
}

/* Each model removes the fault it stands for; the priors cost at most some hundredths. */
static void test_models_remove_their_fault(void **state)
{
    (void)state;
    const struct {
        camera cam;
        fh_model model;
    } cases[] = {
        {{0.8, 1.0, 0.0}, {FH_FORM_MATRIX, true, false, false}},
        {{0.0, 1.25, 0.0}, {FH_FORM_MATRIX, false, true, false}},
        {{0.0, 1.0, 0.1}, {FH_FORM_MATRIX, false, false, true}},
        {{0.5, 0.85, -0.08}, {FH_FORM_MATRIX, true, true, true}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        fh_known known[COUNT];
        fh_correction plain, fit;
        double error[COUNT];
        shoot(cases[i].cam, known);
        assert_int_equal(fh_correction_plain(known, COUNT, D65, &plain), FH_OK);
        check(worst(&plain, known) > 1.0);
        assert_int_equal(fh_correction_fit(cases[i].model, known, COUNT, D65, &fit, error, NULL),
                         FH_OK);
        check_close(worst(&fit, known), 0.0, 0.1);
        check_close(error[4],
                    fh_de2000(known[4].lab, fh_correction_lab(&fit, known[4].rgb, known[4].at)),
                    1e-12);
    }
}

/* The light of a root polynomial follows exposure: k times the light gives k times XYZ. */
static void test_roots_follow_exposure(void **state)
{
    (void)state;
    fh_known known[COUNT];
    fh_correction fit;
    shoot((camera){0, 1.1, 0}, known);
    const fh_model roots = {FH_FORM_ROOTS, false, false, false};
    assert_int_equal(fh_correction_fit(roots, known, COUNT, D65, &fit, NULL, NULL), FH_OK);
    const fh_xyz one = fh_correction_xyz(&fit, (fh_rgb){0.2, 0.3, 0.1}, (fh_point){0, 0});
    const fh_xyz half = fh_correction_xyz(&fit, (fh_rgb){0.1, 0.15, 0.05}, (fh_point){0, 0});
    check_close(half.X, one.X / 2, 1e-9);
    check_close(half.Y, one.Y / 2, 1e-9);
    check_close(half.Z, one.Z / 2, 1e-9);
}

/* One patch in shadow moves a plain fit, hardly the robust one. */
static void test_a_stray_patch(void **state)
{
    (void)state;
    fh_known known[COUNT];
    fh_correction plain, fit;
    double error[COUNT], left_out[COUNT];
    shoot((camera){0, 1, 0}, known);
    known[8].rgb = (fh_rgb){known[8].rgb.r * 0.4, known[8].rgb.g * 0.4, known[8].rgb.b * 0.4};
    const fh_model matrix = {FH_FORM_MATRIX, false, false, false};
    assert_int_equal(fh_correction_plain(known, COUNT, D65, &plain), FH_OK);
    assert_int_equal(fh_correction_fit(matrix, known, COUNT, D65, &fit, error, left_out), FH_OK);
    double mean_plain = 0.0, mean_fit = 0.0;
    for (size_t i = 0; i < COUNT; i++) {
        if (i == 8) continue;
        mean_plain +=
            fh_de2000(known[i].lab, fh_correction_lab(&plain, known[i].rgb, known[i].at)) / 23;
        mean_fit += error[i] / 23;
    }
    check(error[8] > 10.0);
    check(left_out[8] > 10.0);
    check(mean_fit < 0.1);
    check(mean_fit < 0.2 * mean_plain);
}

/* The error by leverage equals the error of really leaving a patch out, to a few percent. */
static void test_left_out_by_leverage(void **state)
{
    (void)state;
    fh_known known[COUNT];
    shoot((camera){0.4, 1.1, 0}, known);
    const fh_model model = {FH_FORM_MATRIX, false, false, false};
    fh_correction fit;
    double left_out[COUNT];
    assert_int_equal(fh_correction_fit(model, known, COUNT, D65, &fit, NULL, left_out), FH_OK);
    double by_leverage = 0.0, really = 0.0;
    for (size_t i = 0; i < COUNT; i++) {
        fh_correction without;
        known[i].weight = 0.0;
        assert_int_equal(fh_correction_fit(model, known, COUNT, D65, &without, NULL, NULL), FH_OK);
        known[i].weight = 1.0;
        really += fh_de2000(known[i].lab, fh_correction_lab(&without, known[i].rgb, known[i].at));
        by_leverage += left_out[i];
    }
    check_between(by_leverage / really, 0.9, 1.1);
}

static void test_too_little(void **state)
{
    (void)state;
    fh_known known[COUNT];
    shoot((camera){0, 1, 0}, known);
    fh_correction fit = {.tone = 42};
    assert_int_equal(fh_correction_plain(known, 2, D65, &fit), FH_E_DATA);
    for (size_t i = 0; i < COUNT; i++) known[i].rgb = (fh_rgb){0.1 * (double)i, 0.1 * (double)i, 0};
    assert_int_equal(fh_correction_plain(known, COUNT, D65, &fit), FH_E_DATA);
    const fh_model roots = {FH_FORM_ROOTS, true, true, true};
    assert_int_equal(fh_correction_fit(roots, known, 4, D65, &fit, NULL, NULL), FH_E_DATA);
    assert_int_equal(fh_correction_fit(roots, known, 0, D65, &fit, NULL, NULL), FH_E_DATA);
    known[2].rgb.g = NAN;
    const fh_model matrix = {FH_FORM_MATRIX, false, false, false};
    assert_int_equal(fh_correction_fit(matrix, known, COUNT, D65, &fit, NULL, NULL), FH_E_DATA);
    check_close(fit.tone, 42, 0);
}

/* Gains alone take a grey card: neutral stays neutral at any lightness. */
static void test_gains(void **state)
{
    (void)state;
    const fh_known grey = {.rgb = {0.25, 0.2, 0.12}, .lab = {50, 0, 0}, .weight = 1.0};
    fh_correction fit;
    const fh_model gains = {FH_FORM_GAINS, false, false, false};
    assert_int_equal(fh_correction_fit(gains, &grey, 1, D65, &fit, NULL, NULL), FH_OK);
    const fh_lab half = fh_correction_lab(&fit, (fh_rgb){0.125, 0.1, 0.06}, (fh_point){0, 0});
    check_close(fh_correction_lab(&fit, grey.rgb, (fh_point){0, 0}).L, 50, 1e-3);
    check_close(half.a, 0, 1e-3);
    check_close(half.b, 0, 1e-3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plain_is_exact_for_a_linear_camera),
        cmocka_unit_test(test_models_remove_their_fault),
        cmocka_unit_test(test_roots_follow_exposure),
        cmocka_unit_test(test_a_stray_patch),
        cmocka_unit_test(test_left_out_by_leverage),
        cmocka_unit_test(test_too_little),
        cmocka_unit_test(test_gains),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
