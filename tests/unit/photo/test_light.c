/* Light and warnings on made-up patches: the truth is how they are made. */
#include "check.h"
#include "starve.h"

#include <math.h>
#include <string.h>

#include "farhue/light.h"

static const fh_condition D50 = {FH_ILLUMINANT_D50, FH_OBSERVER_2};

/* The built-in chart under light that changes across it, seen by a linear camera. */
typedef struct scene {
    double across, down, colour; /* change from edge to edge; colour: red up, blue down */
    double grain;                /* relative sd of the pixels */
} scene;

static fh_chart *chart(void)
{
    fh_chart *made = NULL;
    assert_int_equal(fh_chart_24(&made), FH_OK);
    return made;
}

static void shoot(const fh_chart *from, scene s, fh_patch *patches)
{
    const fh_xyz white = fh_weights_of(D50).white;
    for (size_t i = 0; i < from->count; i++) {
        const fh_point at = fh_chart_place(from, (double)(i % 6), (double)(i / 6));
        const fh_xyz xyz = fh_xyz_of_lab(from->editions[0].lab[i], white);
        const double light = exp(s.across * at.x / 2 + s.down * at.y / 1.2);
        const double red = exp(s.colour * at.x / 4);
        const double v[3] = {(0.7 * xyz.X + 0.3 * xyz.Y) / 120 * light * red, xyz.Y / 120 * light,
                             (0.8 * xyz.Z + 0.1 * xyz.Y) / 120 * light / red};
        memset(&patches[i], 0, sizeof patches[i]);
        patches[i].mean = patches[i].plain = patches[i].code = (fh_rgb){v[0], v[1], v[2]};
        patches[i].sd = (fh_rgb){s.grain * v[0], s.grain * v[1], s.grain * v[2]};
        patches[i].count = 400;
        patches[i].kept = 1.0;
    }
}

static fh_calibration *calibrate(const fh_chart *from, const fh_patch *patches)
{
    fh_calibration *c = fh_calibration_new();
    const fh_calibrate_options options = {.condition = D50, .edition = -1};
    fh_error error = {0};
    if (fh_calibrate(from, patches, &options, NULL, NULL, c, &error)) fail_msg("%s", error.message);
    return c;
}

static const fh_warning *find(const fh_warnings *warnings, fh_fault fault)
{
    for (size_t i = 0; i < warnings->count; i++)
        if (warnings->items[i].fault == fault) return &warnings->items[i];
    return NULL;
}

static void judge(scene s, fh_light *light, fh_warnings *warnings)
{
    fh_chart *from = chart();
    fh_patch patches[24];
    shoot(from, s, patches);
    fh_calibration *c = calibrate(from, patches);
    memset(warnings, 0, sizeof *warnings);
    assert_int_equal(fh_light_of(c, light), FH_OK);
    fh_judge_photo(c, from, patches, NULL, warnings);
    fh_calibration_free(c);
    fh_chart_free(from);
}

static void test_even_light(void **state)
{
    (void)state;
    fh_light light;
    fh_warnings warnings;
    judge((scene){0, 0, 0, 0.01}, &light, &warnings);
    check_close(light.across, 0, 0.01);
    check_close(light.colour_across, 0, 0.01);
    assert_int_equal(warnings.count, 0);
}

static void test_uneven_light(void **state)
{
    (void)state;
    fh_light light;
    fh_warnings warnings;
    judge((scene){0.3, -0.1, 0, 0.01}, &light, &warnings);
    check_close(light.across, 0.3, 0.05);
    check_close(light.down, -0.1, 0.05);
    check(find(&warnings, FH_FAULT_UNEVEN) != NULL);
    assert_null(find(&warnings, FH_FAULT_MIXED));
}

static void test_mixed_light(void **state)
{
    (void)state;
    fh_light light;
    fh_warnings warnings;
    judge((scene){0, 0, 0.4, 0.01}, &light, &warnings);
    check_close(light.colour_across, 0.4, 0.1);
    check(find(&warnings, FH_FAULT_MIXED) != NULL);
    assert_null(find(&warnings, FH_FAULT_UNEVEN));
}

static void test_noise_blur_and_clipping(void **state)
{
    (void)state;
    fh_light light;
    fh_warnings warnings;
    judge((scene){0, 0, 0, 0.2}, &light, &warnings);
    check_close(find(&warnings, FH_FAULT_NOISE)->value, 0.2, 1e-9);

    fh_chart *from = chart();
    fh_patch patches[24], rims[24];
    shoot(from, (scene){0, 0, 0, 0.01}, patches);
    patches[18].clipped = 1.0;
    patches[3].mean = patches[3].plain = (fh_rgb){0.5, 0.1, 0.4}; /* something lies on it */
    memcpy(rims, patches, sizeof rims);
    for (size_t i = 0; i < 24; i++) rims[i].plain.g *= 0.93;
    fh_calibration *c = calibrate(from, patches);
    memset(&warnings, 0, sizeof warnings);
    fh_judge_photo(c, from, patches, rims, &warnings);
    check_close(find(&warnings, FH_FAULT_BLUR)->value, 0.07, 1e-9);
    assert_non_null(strstr(find(&warnings, FH_FAULT_CLIPPED)->text, "patch 19 is clipped (100 %"));
    assert_non_null(strstr(find(&warnings, FH_FAULT_MISFIT)->text,
                           "patches does not fit and is left out (patch 4)"));
    assert_string_equal(fh_exclusion_text(c->exclusion[3]), "does not fit");
    fh_calibration_free(c);
    fh_chart_free(from);
}

static fh_spot_result result_of(fh_calibration *c, fh_patch *spot, fh_point at)
{
    fh_spot_result result;
    assert_int_equal(fh_calibration_spot(c, spot, at, &result), FH_OK);
    return result;
}

static void test_spots(void **state)
{
    (void)state;
    fh_chart *from = chart();
    fh_patch patches[24];
    shoot(from, (scene){0, 0, 0, 0.01}, patches);
    fh_calibration *c = calibrate(from, patches);
    const fh_point at = {0, 0};
    fh_warnings warnings = {0};

    fh_patch spot = patches[21]; /* a grey of the chart: nothing to say */
    fh_spot_result result = result_of(c, &spot, at);
    fh_judge_spot(c, patches, &spot, at, &result, &warnings);
    assert_int_equal(warnings.count, 0);

    spot.clipped = 0.01, spot.uneven = 0.2, spot.count = 4;
    fh_judge_spot(c, patches, &spot, at, &result, &warnings);
    check(find(&warnings, FH_FAULT_CLIPPED) && find(&warnings, FH_FAULT_PATCHY) &&
          find(&warnings, FH_FAULT_SIZE));

    /* Twice as light as the white patch: no reflecting surface. */
    spot = patches[18];
    spot.mean = (fh_rgb){1.6 * spot.mean.r, 1.6 * spot.mean.g, 1.6 * spot.mean.b};
    result = result_of(c, &spot, at);
    memset(&warnings, 0, sizeof warnings);
    fh_judge_spot(c, patches, &spot, at, &result, &warnings);
    check(find(&warnings, FH_FAULT_RANGE) && find(&warnings, FH_FAULT_GLOW));
    check(!result.inside);

    /* More warnings than fit are counted. */
    for (int i = 0; i < 20; i++) fh_judge_spot(c, patches, &spot, at, &result, &warnings);
    assert_int_equal(warnings.count, FH_WARNINGS);
    check(warnings.missed > 0);
    fh_calibration_free(c);
    fh_chart_free(from);
}

/* Each status that the headers name, with nothing written. */
static void test_what_fails(void **state)
{
    (void)state;
    fh_chart *from = chart();
    fh_patch patches[24];
    shoot(from, (scene){0, 0, 0, 0.01}, patches);
    fh_calibration *c = calibrate(from, patches);
    fh_light light = {.across = -7};
    fh_spot_result result = {.expected = -7};
    const fh_point middle = {0, 0};
    for (long n = 0;; n++) {
        starve_after(n);
        fh_status status = fh_light_of(c, &light);
        if (!starve_end()) break;
        assert_int_equal(status, FH_E_MEMORY);
        check_close(light.across, -7, 0);
    }
    for (long n = 0;; n++) {
        starve_after(n);
        fh_status status = fh_calibration_spot(c, &patches[9], middle, &result);
        if (!starve_end()) break;
        assert_int_equal(status, FH_E_MEMORY);
        check_close(result.expected, -7, 0);
    }
    light.across = result.expected = -7;
    for (size_t i = 7; i < 24; i++) c->known[i].weight = 0;
    assert_int_equal(fh_light_of(c, &light), FH_E_DATA); /* seven are left */
    for (size_t i = 0; i < 7; i++) c->known[i].weight = 0;
    assert_int_equal(fh_calibration_spot(c, &patches[9], middle, &result), FH_E_DATA);
    check_close(light.across, -7, 0);
    check_close(result.expected, -7, 0);
    fh_calibration_free(c);
    fh_calibration *none = fh_calibration_new();
    fh_calibrate_none(D50, none);
    assert_int_equal(fh_light_of(none, &light), FH_E_DATA);
    assert_int_equal(fh_calibration_spot(none, &patches[9], middle, &result), FH_OK);
    check(isinf(result.nearest) && result.expected >= 1);
    fh_calibration_free(none);
    fh_chart_free(from);
}

static void test_names(void **state)
{
    (void)state;
    for (int i = 0; i < FH_FAULT_COUNT; i++)
        for (int k = 0; k < i; k++)
            assert_string_not_equal(fh_fault_name((fh_fault)i), fh_fault_name((fh_fault)k));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_even_light),  cmocka_unit_test(test_uneven_light),
        cmocka_unit_test(test_mixed_light), cmocka_unit_test(test_noise_blur_and_clipping),
        cmocka_unit_test(test_spots),       cmocka_unit_test(test_what_fails),
        cmocka_unit_test(test_names),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
