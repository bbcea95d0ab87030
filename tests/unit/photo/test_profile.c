/* Codings. sRGB known points: [IEC61966]. Profiles are built with lcms2 in the test, so that the
   light they stand for is known from their own curves and primaries. */
#include "check.h"

#include <lcms2.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/profile.h"
#include "starve.h"

static fh_rgb through(const fh_profile *profile, double r, double g, double b)
{
    fh_rgb rgb = {r, g, b};
    fh_profile_linear(profile, &rgb, 1);
    return rgb;
}

static void test_plain_codings(void **state)
{
    (void)state;
    fh_profile *p = NULL;
    assert_int_equal(fh_profile_new(FH_CODING_SRGB, 0.0, &p), FH_OK);
    check_close(through(p, 0.5, 1.0, 0.04045).r, 0.21404114, 1e-7);
    check_close(through(p, 0.5, 1.0, 0.04045).g, 1.0, 1e-12);
    check_close(through(p, 0.5, 1.0, 0.04045).b, 0.04045 / 12.92, 1e-9);
    fh_profile_free(p);
    assert_int_equal(fh_profile_new(FH_CODING_GAMMA, 1.8, &p), FH_OK);
    check_close(through(p, 0.5, 0.0, 1.0).r, pow(0.5, 1.8), 1e-15);
    fh_profile_free(p);
    assert_int_equal(fh_profile_new(FH_CODING_LINEAR, 0.0, &p), FH_OK);
    check_close(through(p, 0.3, 0.0, 1.0).r, 0.3, 0.0);
    fh_profile_free(p);
    assert_int_equal(fh_profile_new(FH_CODING_GAMMA, 0.0, &p), FH_E_ARGUMENT);
    assert_int_equal(fh_profile_new(FH_CODING_ICC, 1.0, &p), FH_E_ARGUMENT);
    fh_profile_free(NULL);
}

/* The bytes of an lcms2 profile; closes it. */
static void *bytes_of(cmsHPROFILE icc, cmsUInt32Number *size)
{
    assert_non_null(icc);
    assert_true(cmsSaveProfileToMem(icc, NULL, size));
    void *bytes = malloc(*size);
    assert_non_null(bytes);
    assert_true(cmsSaveProfileToMem(icc, bytes, size));
    cmsCloseProfile(icc);
    return bytes;
}

static fh_profile *loaded(cmsHPROFILE icc)
{
    cmsUInt32Number size;
    void *bytes = bytes_of(icc, &size);
    fh_profile *profile = NULL;
    fh_error error = {0};
    if (fh_profile_from_icc(bytes, size, &profile, &error) != FH_OK) fail_msg("%s", error.message);
    free(bytes);
    return profile;
}

/* An sRGB profile gives linear sRGB. Tolerance: the s15Fixed16 numbers in the profile (1.5e-5)
   and their white, which is not exactly the ICC's D50. */
static void test_matrix_profile(void **state)
{
    (void)state;
    fh_profile *p = loaded(cmsCreate_sRGBProfile());
    for (int i = 0; i <= 10; i++) {
        const double v = i / 10.0;
        const fh_rgb rgb = through(p, v, 1.0 - v, 0.25);
        check_close(rgb.r, fh_srgb_decode(v), 3e-4);
        check_close(rgb.g, fh_srgb_decode(1.0 - v), 3e-4);
        check_close(rgb.b, fh_srgb_decode(0.25), 3e-4);
    }
    fh_profile_free(p);
}

static void test_grey_profile(void **state)
{
    (void)state;
    cmsToneCurve *curve = cmsBuildGamma(NULL, 2.0);
    fh_profile *p = loaded(cmsCreateGrayProfile(cmsD50_xyY(), curve));
    cmsFreeToneCurve(curve);
    const fh_rgb rgb = through(p, 0.5, 0.5, 0.5);
    check_close(rgb.r, 0.25, 3e-4);
    check_close(rgb.g, 0.25, 3e-4);
    check_close(rgb.b, 0.25, 3e-4);
    fh_profile_free(p);
}

/* In the 16-bit Lab coding of version 2 profiles [ICC2022], table 12 of 6.3.4.2. */
static cmsInt32Number lab_of_rgb(const cmsUInt16Number in[], cmsUInt16Number out[], void *cargo)
{
    (void)cargo;
    const cmsCIEXYZ white = *cmsD50_XYZ();
    const double v[3] = {in[0] / 65535.0, in[1] / 65535.0, in[2] / 65535.0};
    const cmsCIEXYZ xyz = {white.X * v[0], white.Y * v[1] * v[1], white.Z * v[2]};
    cmsCIELab lab;
    cmsXYZ2Lab(&white, &lab, &xyz);
    out[0] = (cmsUInt16Number)(lab.L * 652.8 + 0.5);
    out[1] = (cmsUInt16Number)((lab.a + 128.0) * 256.0 + 0.5);
    out[2] = (cmsUInt16Number)((lab.b + 128.0) * 256.0 + 0.5);
    return TRUE;
}

/* A table profile (A2B0 from RGB to Lab): Y is the square of green. Tolerance: the table's own
   interpolation at 33 points. */
static void test_table_profile(void **state)
{
    (void)state;
    cmsHPROFILE icc = cmsCreateProfilePlaceholder(NULL);
    cmsSetProfileVersion(icc, 2.4);
    cmsSetDeviceClass(icc, cmsSigInputClass);
    cmsSetColorSpace(icc, cmsSigRgbData);
    cmsSetPCS(icc, cmsSigLabData);
    cmsPipeline *lut = cmsPipelineAlloc(NULL, 3, 3);
    cmsStage *table = cmsStageAllocCLut16bit(NULL, 33, 3, 3, NULL);
    assert_true(cmsStageSampleCLut16bit(table, lab_of_rgb, NULL, 0));
    assert_true(cmsPipelineInsertStage(lut, cmsAT_END, table));
    assert_true(cmsWriteTag(icc, cmsSigAToB0Tag, lut));
    cmsPipelineFree(lut);
    cmsUInt32Number size;
    void *bytes = bytes_of(icc, &size);
    fh_profile *p = NULL;
    fh_error error = {0};
    if (fh_profile_from_icc(bytes, size, &p, &error) != FH_OK) fail_msg("%s", error.message);
    free(bytes);
    /* Equal relative X, Y, Z is neutral: r = g = b in any primaries of that white. */
    const fh_rgb rgb = through(p, 0.25, 0.5, 0.25);
    check_close(rgb.r, 0.25, 2e-3);
    check_close(rgb.g, 0.25, 2e-3);
    check_close(rgb.b, 0.25, 2e-3);
    fh_profile_free(p);
}

static void test_refusals(void **state)
{
    (void)state;
    fh_profile *p = NULL;
    fh_error error = {0};
    unsigned char junk[256] = {0};
    assert_int_equal(fh_profile_from_icc(junk, 10, &p, &error), FH_E_DATA);
    assert_int_equal(fh_profile_from_icc(junk, sizeof junk, &p, &error), FH_E_DATA);
    assert_non_null(strstr(error.message, "damaged"));
    cmsUInt32Number size;
    void *lab = bytes_of(cmsCreateLab4Profile(NULL), &size);
    assert_int_equal(fh_profile_from_icc(lab, size, &p, &error), FH_E_DATA);
    assert_non_null(strstr(error.message, "RGB"));
    free(lab);
    /* A profile cut short anywhere is refused or read, never worse. */
    void *srgb = bytes_of(cmsCreate_sRGBProfile(), &size);
    for (cmsUInt32Number n = 0; n < size; n += 7) {
        p = NULL;
        if (fh_profile_from_icc(srgb, n, &p, NULL) == FH_OK) through(p, 0.5, 0.5, 0.5);
        fh_profile_free(p);
    }
    free(srgb);
}

static void test_without_memory(void **state)
{
    (void)state;
    cmsUInt32Number size;
    void *srgb = bytes_of(cmsCreate_sRGBProfile(), &size);
    for (long n = 0;; n++) {
        fh_profile *p = NULL;
        starve_after(n);
        const fh_status status = fh_profile_from_icc(srgb, size, &p, NULL);
        const bool starved = starve_end();
        fh_profile_free(p);
        if (!starved) break;
        assert_int_equal(status, FH_E_MEMORY);
    }
    free(srgb);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plain_codings), cmocka_unit_test(test_matrix_profile),
        cmocka_unit_test(test_grey_profile),  cmocka_unit_test(test_table_profile),
        cmocka_unit_test(test_refusals),      cmocka_unit_test(test_without_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
