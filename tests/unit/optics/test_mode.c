#include "check.h"

#include <math.h>
#include <string.h>

#include "exact.h"
#include "farhue/surface.h"

static const fh_method trapped = {.geometry = FH_GEOMETRY_8_D, .specular = FH_SPECULAR_EXCLUDED},
                       open = {.geometry = FH_GEOMETRY_8_D, .specular = FH_SPECULAR_INCLUDED},
                       ring = {.geometry = FH_GEOMETRY_45_0},
                       photo = {.geometry = FH_GEOMETRY_PHOTO};

/* A reading in the sphere with the mirror reflection. */
static fh_reading open_reading(double gloss)
{
    fh_reading r = exact_reading("tile", exact_part(6));
    r.method.geometry = FH_GEOMETRY_8_D;
    r.method.specular = FH_SPECULAR_INCLUDED;
    r.method.gloss = gloss;
    for (size_t i = 0; i < FH_BANDS; ++i) r.reflectance.v[i] = 0.05 + 0.8 * r.reflectance.v[i];
    const fh_weights w = fh_weights_of(r.condition);
    r.lab = fh_lab_of_spectrum(&r.reflectance, &w);
    return r;
}

/* r(8°) of index 1.5 is 0.040006, a smooth face has 89.137 units (Fresnel, by hand): with half of
 * that gloss the trap takes out half of it, in every band. Lab is that of the spectrum. */
static void the_trap_takes_out_the_mirrored_share(void **state)
{
    (void)state;
    fh_reading in = open_reading(44.5685), out;
    assert_int_equal(fh_reading_in_mode(&in, &trapped, 1.5, &out, NULL), FH_OK);
    for (size_t i = 0; i < FH_BANDS; ++i)
        check_close(out.reflectance.v[i], in.reflectance.v[i] - 0.020003, 1e-6);
    const fh_weights w = fh_weights_of(in.condition);
    const fh_lab lab = fh_lab_of_spectrum(&out.reflectance, &w);
    check_close(out.lab.L, lab.L, 1e-9);
    check_close(out.lab.a, lab.a, 1e-9);
    check_close(out.lab.b, lab.b, 1e-9);
    assert_int_equal(out.method.specular, FH_SPECULAR_EXCLUDED);

    /* Lab alone comes out at the same. */
    fh_reading bare = in, back;
    bare.origin = FH_ORIGIN_LAB;
    assert_int_equal(fh_reading_in_mode(&bare, &trapped, 1.5, &bare, NULL), FH_OK);
    check_close(bare.lab.L, lab.L, 1e-9);
    check_close(bare.lab.b, lab.b, 1e-9);

    /* And back again. */
    assert_int_equal(fh_reading_in_mode(&out, &open, 1.5, &back, NULL), FH_OK);
    check_close(back.lab.L, in.lab.L, 1e-9);
}

/* 15 % of the shift stays open: on the grey axis d L* = (116/3) (Y/100)^(−2/3) × 0.15 × 0.040006 by
 * calculus, for a smooth face; L* 50 is Y = 18.4187 afterwards (CIE 15). */
static void the_shift_is_uncertain(void **state)
{
    (void)state;
    fh_reading in = fh_reading_blank(), out;
    strcpy(in.id, "grey");
    in.method.geometry = FH_GEOMETRY_8_D;
    in.method.specular = FH_SPECULAR_INCLUDED;
    in.method.gloss = 95.0;
    in.lab.L = 116.0 * cbrt(0.184187 + 0.040006) - 16.0;
    in.random = fh_mat3_diagonal(0.04, 0.04, 0.04);
    assert_int_equal(fh_reading_in_mode(&in, &trapped, 1.5, &out, NULL), FH_OK);
    check_close(out.lab.L, 50.0, 1e-3);
    assert_int_equal(out.shared_count, 1);
    assert_string_equal(out.shared[0].source, FH_SOURCE_GLOSS);
    const double by = 116.0 / 3.0 * pow(0.184187, -2.0 / 3.0) * 0.15 * 0.040006;
    check_close(sqrt(out.shared[0].covariance.m[0][0]), by, 1e-3);
    /* Errors grow with the slope: (0.224193/0.184187)^(2/3). */
    const double slope = pow(0.224193 / 0.184187, 2.0 / 3.0);
    check_close(sqrt(out.random.m[0][0]), 0.2 * slope, 1e-4);
}

/* 45°:0° never holds the mirror reflection, so against a sphere's reading that does both faces
 * count. Of index 1.5, smooth (Fresnel, by hand): sphere outer 0.040006, k = 0.959994 × (1 −
 * 0.596346) = 0.387505; 45°:0° outer 0, k = (1 − 0.050240) × 0.96/2.25 = 0.405231. 0.2 there is
 * 0.405231/0.387505 × (0.2 − 0.040006) = 0.167312 here. */
static void a_ring_never_sees_the_mirror(void **state)
{
    (void)state;
    fh_reading in = open_reading(95.0), out, back;
    for (size_t i = 0; i < FH_BANDS; ++i) in.reflectance.v[i] = 0.2;
    const fh_weights w = fh_weights_of(in.condition);
    in.lab = fh_lab_of_spectrum(&in.reflectance, &w);
    const fh_method *const ways[] = {&ring, &photo};
    for (size_t i = 0; i < 2; ++i) {
        assert_int_equal(fh_reading_in_mode(&in, ways[i], 1.5, &out, NULL), FH_OK);
        check_close(out.reflectance.v[7], 0.167312, 1e-6);
        check_close(out.lab.L, fh_lab_of_spectrum(&out.reflectance, &w).L, 1e-9);
        assert_int_equal(out.method.geometry, FH_GEOMETRY_45_0);
        assert_int_equal(out.method.specular, FH_SPECULAR_EXCLUDED);
    }
    /* A sphere with the trap is in that mode already, and unstated 45°:0° is as well. */
    assert_int_equal(fh_reading_in_mode(&out, &trapped, 1.5, &back, NULL), FH_OK);
    check_close(back.reflectance.v[7], out.reflectance.v[7], 0.0);
    out.method.specular = FH_SPECULAR_UNKNOWN;
    assert_int_equal(fh_reading_in_mode(&out, &open, 1.5, &back, NULL), FH_OK);
    check_close(back.reflectance.v[7], 0.2, 1e-9);
    check_close(back.lab.L, in.lab.L, 1e-9);
    /* Matt: r(45°) = 0.050240 is spread over all directions, the sphere sees 0.040006 as before. */
    in.method.gloss = 0.0;
    assert_int_equal(fh_reading_in_mode(&in, &ring, 1.5, &out, NULL), FH_OK);
    check_close(out.reflectance.v[7], 0.167312 + 0.050240, 3e-6);
}

static void what_cannot_be_converted(void **state)
{
    (void)state;
    fh_error error = {0};
    fh_reading in = open_reading(-1.0), out = {.repeats = 77};
    assert_int_equal(fh_reading_in_mode(&in, &trapped, 1.5, &out, &error), FH_E_DATA);
    check(strstr(error.message, "the gloss of tile is not known; expected GLOSS") != NULL);
    in.method.gloss = 80.0;
    in.method.geometry = FH_GEOMETRY_45_0; /* which can't include it */
    assert_int_equal(fh_reading_in_mode(&in, &trapped, 1.5, &out, &error), FH_E_DATA);
    check(strstr(error.message, "only a sphere sees the mirror reflection") != NULL);
    in.method.geometry = FH_GEOMETRY_UNKNOWN;
    in.method.specular = FH_SPECULAR_EXCLUDED;
    assert_int_equal(fh_reading_in_mode(&in, &open, 1.5, &out, &error), FH_E_DATA);
    check(strstr(error.message, "the geometry of tile is not known") != NULL);
    in.method.specular = FH_SPECULAR_INCLUDED;
    in.method.geometry = FH_GEOMETRY_8_D;
    in.reflectance.v[20] = 0.01;
    assert_int_equal(fh_reading_in_mode(&in, &trapped, 1.5, &out, &error), FH_E_DATA);
    check(strstr(error.message, "reflects less than its 60° gloss of 80 mirrors") != NULL);
    in.origin = FH_ORIGIN_LAB;
    in.lab = (fh_lab){20.0, 0.0, 0.0}; /* Y = 2.99 */
    assert_int_equal(fh_reading_in_mode(&in, &trapped, 1.5, &out, &error), FH_E_DATA);
    /* A deep yellow: Y = 28 leaves room, Z/Zn = ((L + 16) / 116 − b / 200)³ = 0.014 doesn't. */
    in.lab = (fh_lab){60.0, 0.0, 82.7};
    assert_int_equal(fh_reading_in_mode(&in, &trapped, 1.5, &out, &error), FH_E_DATA);
    in.lab.b = 0.0;
    in.lab.L = 60.0;
    assert_int_equal(fh_reading_in_mode(&in, &trapped, 0.5, &out, &error), FH_E_ARGUMENT);
    for (int i = 0; i < FH_SHARED_MAX; ++i) {
        char source[2] = {(char)('a' + i), '\0'};
        assert_int_equal(fh_reading_add_shared(&in, source, fh_mat3_diagonal(1, 1, 1)), FH_OK);
    }
    assert_int_equal(fh_reading_in_mode(&in, &trapped, 1.5, &out, &error), FH_E_LIMIT);
    assert_int_equal(out.repeats, 77);

    check(fh_methods_clash(&open, &ring) && fh_methods_clash(&photo, &open));
    check(!fh_methods_clash(&trapped, &ring) && !fh_methods_clash(&open, &open));

    /* Nothing to do: the same mode, or one that isn't known. */
    assert_int_equal(fh_reading_in_mode(&in, &open, 1.5, &out, NULL), FH_OK);
    check_close(out.lab.L, in.lab.L, 0.0);
    in.method.specular = FH_SPECULAR_UNKNOWN; /* in a sphere */
    check(!fh_methods_clash(&in.method, &trapped));
    assert_int_equal(fh_reading_in_mode(&in, &trapped, 1.5, &out, NULL), FH_OK);
    assert_int_equal(out.shared_count, FH_SHARED_MAX);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_trap_takes_out_the_mirrored_share),
        cmocka_unit_test(the_shift_is_uncertain),
        cmocka_unit_test(a_ring_never_sees_the_mirror),
        cmocka_unit_test(what_cannot_be_converted),
    };
    return cmocka_run_group_tests_name("optics/mode", tests, NULL, NULL);
}
