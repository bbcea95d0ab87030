/* The tie on simulated pairs of instruments whose errors are known. */
#include "check.h"
#include "exact.h"
#include "reference.h"
#include "starve.h"

#include <math.h>
#include <string.h>

#include "base/random.h"
#include "farhue/difference.h"
#include "farhue/tie.h"

enum { PATCHES = 24, OBJECTS = 6 };

static fh_spectrum patch[PATCHES];
static fh_reading owner[PATCHES], helper[PATCHES];

/* Six objects: two lighter neutrals, and blue, green, red, yellow. */
static const size_t object[OBJECTS] = {18, 21, 12, 13, 14, 15};

static fh_mat3 sigma(double s)
{
    return fh_mat3_diagonal(s * s, s * s, s * s);
}

/* tests/data/chart24_spectra_average30_10nm.csv: the average of 30 charts, measured. */
static void load_patches(void)
{
    reference table = reference_load("chart24_spectra_average30_10nm.csv");
    assert_int_equal(table.rows, FH_BANDS);
    assert_int_equal(table.columns, PATCHES + 1);
    for (size_t p = 0; p < PATCHES; ++p)
        for (size_t i = 0; i < FH_BANDS; ++i)
            patch[p].v[i] = reference_number_at(&table, i, p + 1);
    reference_free(&table);
}

/* A simulated instrument: scale, zero, wavelength shift in nm, repeatability in R. */
typedef struct instrument {
    double scale, zero, shift, noise;
} instrument;

static fh_reading measure(const fh_spectrum *truth, instrument with, const char *source,
                          uint64_t stream)
{
    fh_spectrum r;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double at = (double)i + with.shift / 10.0;
        double low = fmin(fmax(floor(at), 0.0), FH_BANDS - 2.0), part = at - low;
        double value = (1.0 - part) * truth->v[(size_t)low] + part * truth->v[(size_t)low + 1];
        r.v[i] = with.scale * value + with.zero +
                 with.noise * fh_random_normal(3, stream, i, 0);
    }
    fh_reading reading = exact_reading("object", r);
    reading.random = sigma(0.05);
    assert_int_equal(fh_reading_add_shared(&reading, source, sigma(0.6)), FH_OK);
    return reading;
}

static void measure_all(uint64_t pair)
{
    instrument ours = {1.0, 0.0, 0.0, 0.0003}, theirs = {.noise = 0.0003};
    theirs.scale = 1.0 + 0.012 * fh_random_normal(4, 1, pair, 0);
    theirs.zero = 0.004 * fh_random_uniform(4, 1, pair, 1);
    theirs.shift = 1.0 * fh_random_normal(4, 1, pair, 2);
    for (size_t p = 0; p < PATCHES; ++p) {
        owner[p] = measure(&patch[p], ours, "instrument: owner", 100 * pair + p);
        helper[p] = measure(&patch[p], theirs, "instrument: helper", 100 * pair + 50 + p);
        owner[p].origin = helper[p].origin = FH_ORIGIN_LAB;
    }
}

static fh_tie tie_objects(double lot, size_t count)
{
    fh_reading a[OBJECTS], b[OBJECTS];
    for (size_t i = 0; i < count; ++i) {
        a[i] = owner[object[i]];
        b[i] = helper[object[i]];
    }
    fh_tie tie;
    fh_error error = {0};
    if (fh_tie_find("pair", a, b, count, lot, &tie, &error)) fail_msg("tie: %s", error.message);
    return tie;
}

/* Twenty pairs of instruments (photometric scale 1.2 %, zero up to 0.004, wavelength 1 nm): on the
 * eighteen patches that were not tied, the mean ΔE00 between the two falls by half and more. */
static void error_falls_by_half(void **state)
{
    (void)state;
    load_patches();
    double before = 0.0, after = 0.0;
    for (uint64_t pair = 0; pair < 20; ++pair) {
        measure_all(pair);
        fh_tie tie = tie_objects(0.0, OBJECTS);
        for (size_t p = 0; p < PATCHES; ++p) {
            bool used = false;
            for (size_t i = 0; i < OBJECTS; ++i) used = used || object[i] == p;
            if (used) continue;
            before += fh_de2000(owner[p].lab, helper[p].lab);
            after += fh_de2000(owner[p].lab, fh_tie_lab(&tie, helper[p].lab));
        }
    }
    print_message("# tie: mean difference %.2f before, %.2f after\n", before / 360, after / 360);
    check(after < 0.5 * before);
}

/* A constant offset between two instruments is found as one, and the rest is small. */
static void finds_an_offset(void **state)
{
    (void)state;
    load_patches();
    measure_all(0);
    for (size_t p = 0; p < PATCHES; ++p) {
        helper[p] = owner[p];
        strcpy(helper[p].shared[0].source, "instrument: helper");
        helper[p].lab.L += 0.8;
        helper[p].lab.b -= 0.6;
    }
    fh_tie tie = tie_objects(0.0, OBJECTS);
    assert_int_equal(tie.kind, FH_TIE_OFFSET);
    check_close(tie.offset.v[0], -0.8, 0.01);
    check_close(tie.offset.v[1], 0.0, 0.01);
    check_close(tie.offset.v[2], 0.6, 0.01);
    check_between(tie.after, 0.0, 0.02);
}

/* Instruments that agree are left alone. */
static void leaves_agreement_alone(void **state)
{
    (void)state;
    load_patches();
    instrument same = {1.0, 0.0, 0.0, 0.0003};
    for (size_t p = 0; p < PATCHES; ++p) {
        owner[p] = measure(&patch[p], same, "instrument: owner", 900 + p);
        helper[p] = measure(&patch[p], same, "instrument: helper", 950 + p);
    }
    fh_tie tie = tie_objects(0.0, OBJECTS);
    check_between(tie.after, 0.0, 0.15);
    check(tie.after <= tie.before);
}

/* The stated error of a corrected reading covers what is left: the mean of the squared residuals,
 * each divided by its variance, is near 1 or below (3 axes). */
static void covariance_covers_what_is_left(void **state)
{
    (void)state;
    load_patches();
    double sum = 0.0;
    int count = 0;
    for (uint64_t pair = 0; pair < 20; ++pair) {
        measure_all(pair);
        fh_tie tie = tie_objects(0.0, OBJECTS);
        fh_mat3 inverse;
        assert_int_equal(fh_mat3_inverse(tie.covariance, &inverse), FH_OK);
        for (size_t p = 0; p < PATCHES; ++p) {
            fh_lab got = fh_tie_lab(&tie, helper[p].lab), want = owner[p].lab;
            fh_vec3 r = {{got.L - want.L, got.a - want.a, got.b - want.b}};
            fh_vec3 x = fh_mat3_apply(inverse, r);
            sum += (r.v[0] * x.v[0] + r.v[1] * x.v[1] + r.v[2] * x.v[2]) / 3.0;
            ++count;
        }
    }
    print_message("# tie: mean squared residual %.2f of the stated variance\n", sum / count);
    check_between(sum / count, 0.2, 2.0);
}

/* The helper's source gives way to the owner's, so that it cancels; the tie's own comes on top. */
static void sources_are_exchanged(void **state)
{
    (void)state;
    load_patches();
    measure_all(3);
    fh_tie tie = tie_objects(0.2, OBJECTS);
    fh_reading coupon = helper[7], moved;
    assert_int_equal(fh_reading_add_shared(&coupon, "gloss", sigma(0.1)), FH_OK);
    assert_int_equal(fh_tie_apply(&tie, &coupon, &moved, NULL), FH_OK);
    assert_int_equal(moved.shared_count, 3);
    assert_string_equal(moved.shared[0].source, "gloss");
    assert_string_equal(moved.shared[1].source, "instrument: owner");
    assert_string_equal(moved.shared[2].source, "tie: pair");
    fh_mat3 apart, tied;
    assert_int_equal(fh_reading_difference_covariance(&owner[7], &coupon, &apart), FH_OK);
    assert_int_equal(fh_reading_difference_covariance(&owner[7], &moved, &tied), FH_OK);
    check(tied.m[0][0] < apart.m[0][0] && tied.m[2][2] < apart.m[2][2]);

    /* a measured spectrum moves with its Lab */
    coupon = helper[7];
    coupon.origin = FH_ORIGIN_SPECTRUM;
    fh_weights w = fh_weights_of(coupon.condition);
    assert_int_equal(fh_tie_apply(&tie, &coupon, &moved, NULL), FH_OK);
    fh_lab from_spectrum = fh_lab_of_spectrum(&moved.reflectance, &w);
    check_close(fh_de1976(from_spectrum, moved.lab), 0.0, 1e-3);
}

/* The helper's photo: its camera mixes the channels by some percent and sees flare; the objects lie
 * in the photo with the part. The error of the other patches falls by half and more, and the tags
 * of chart and photo both give way. */
static void a_photo_is_tied(void **state)
{
    (void)state;
    load_patches();
    double before = 0.0, after = 0.0;
    for (uint64_t pair = 0; pair < 10; ++pair) {
        measure_all(pair);
        fh_xyz white = fh_weights_of(owner[0].condition).white;
        for (size_t p = 0; p < PATCHES; ++p) {
            fh_xyz t = fh_xyz_of_lab(owner[p].lab, white);
            const double v[3] = {t.X, t.Y, t.Z};
            double seen[3];
            for (uint64_t k = 0; k < 3; ++k) {
                seen[k] = 0.2 + 0.2 * fh_random_uniform(8, 1, pair, k);
                for (uint64_t m = 0; m < 3; ++m)
                    seen[k] += v[m] * ((k == m) + 0.02 * fh_random_normal(8, 2 + k, pair, m));
                seen[k] *= 1.0 + 0.003 * fh_random_normal(8, 9 + k, pair, p);
            }
            helper[p].lab = fh_lab_of_xyz((fh_xyz){seen[0], seen[1], seen[2]}, white);
            helper[p].shared_count = 0;
            assert_int_equal(fh_reading_add_shared(&helper[p], "chart: 24 patches", sigma(0.5)), 0);
            assert_int_equal(fh_reading_add_shared(&helper[p], "photo: desk.jpg", sigma(1.0)), 0);
        }
        fh_tie tie = tie_objects(0.0, OBJECTS);
        fh_reading moved;
        assert_int_equal(fh_tie_apply(&tie, &helper[0], &moved, NULL), FH_OK);
        assert_int_equal(moved.shared_count, 2);
        assert_string_equal(moved.shared[0].source, "instrument: owner");
        for (size_t p = 0; p < PATCHES; ++p) {
            bool used = false;
            for (size_t i = 0; i < OBJECTS; ++i) used = used || object[i] == p;
            if (used) continue;
            before += fh_de2000(owner[p].lab, helper[p].lab);
            after += fh_de2000(owner[p].lab, fh_tie_lab(&tie, helper[p].lab));
        }
    }
    print_message("# tie of a photo: mean %.2f before, %.2f after\n", before / 180, after / 180);
    check(after < 0.5 * before);
}

/* Readings that were carried from another condition have an error "estimate: ID" each: no other
 * means of measuring, and kept by a corrected reading. */
static void estimates_are_no_instruments(void **state)
{
    (void)state;
    load_patches();
    measure_all(4);
    for (size_t i = 0; i < OBJECTS; ++i) {
        char source[FH_SOURCE] = "estimate: a";
        source[10] = (char)('a' + i);
        assert_int_equal(fh_reading_add_shared(&helper[object[i]], source, sigma(0.5)), FH_OK);
    }
    fh_tie tie = tie_objects(0.0, OBJECTS);
    assert_int_equal(tie.from_count, 1);
    fh_reading moved;
    assert_int_equal(fh_tie_apply(&tie, &helper[object[0]], &moved, NULL), FH_OK);
    assert_int_equal(moved.shared_count, 3);
    assert_string_equal(moved.shared[0].source, "estimate: a");
}

/* The lot spread adds to the covariance; nothing else changes. */
static void lot_spread_counts(void **state)
{
    (void)state;
    load_patches();
    measure_all(5);
    fh_tie none = tie_objects(0.0, OBJECTS), some = tie_objects(0.4, OBJECTS);
    check_close(some.covariance.m[1][1] - none.covariance.m[1][1], 0.16, 1e-12);
    check_close(some.after, none.after, 0.0);
}

static void refusals(void **state)
{
    (void)state;
    load_patches();
    measure_all(1);
    fh_tie tie = {.objects = 77};
    fh_error error = {0};
    assert_int_equal(fh_tie_find("x", owner, helper, 3, 0.0, &tie, &error), FH_E_ARGUMENT);
    check(strstr(error.message, "3 objects measured by both; expected 4 to 64") != NULL);
    assert_int_equal(fh_tie_find("x", owner, helper, 6, -0.1, &tie, &error), FH_E_ARGUMENT);
    assert_int_equal(fh_tie_find("", owner, helper, 6, 0.1, &tie, &error), FH_E_ARGUMENT);
    fh_reading one_colour[4] = {owner[0], owner[0], owner[0], owner[0]};
    assert_int_equal(fh_tie_find("x", one_colour, helper, 4, 0.0, &tie, &error), FH_E_DATA);
    helper[2].condition.observer = FH_OBSERVER_2;
    assert_int_equal(fh_tie_find("x", owner, helper, 6, 0.0, &tie, &error), FH_E_DATA);
    measure_all(1);
    strcpy(helper[2].shared[0].source, "instrument: another");
    assert_int_equal(fh_tie_find("x", owner, helper, 6, 0.0, &tie, &error), FH_E_DATA);
    measure_all(1);
    helper[1].lab.b = (double)NAN;
    assert_int_equal(fh_tie_find("x", owner, helper, 6, 0.0, &tie, &error), FH_E_DATA);
    assert_int_equal(tie.objects, 77);

    measure_all(1);
    tie = tie_objects(0.0, 4);
    fh_reading moved;
    fh_reading stranger = owner[0];
    assert_int_equal(fh_tie_apply(&tie, &stranger, &moved, &error), FH_E_DATA);
    check(strstr(error.message, "expected the same instrument, or the same photo") != NULL);
    stranger = helper[0];
    stranger.condition.illuminant = FH_ILLUMINANT_A;
    assert_int_equal(fh_tie_apply(&tie, &stranger, &moved, &error), FH_E_DATA);
}

static void survives_want_of_memory(void **state)
{
    (void)state;
    load_patches();
    measure_all(1);
    fh_tie tie = {.objects = 77};
    for (long n = 0;; ++n) {
        starve_after(n);
        fh_status status = fh_tie_find("x", owner, helper, 6, 0.0, &tie, NULL);
        if (!starve_end()) break;
        assert_int_equal(status, FH_E_MEMORY);
        assert_int_equal(tie.objects, 77);
    }
    assert_int_equal(tie.objects, 6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(error_falls_by_half),
        cmocka_unit_test(finds_an_offset),
        cmocka_unit_test(leaves_agreement_alone),
        cmocka_unit_test(covariance_covers_what_is_left),
        cmocka_unit_test(sources_are_exchanged),
        cmocka_unit_test(a_photo_is_tied),
        cmocka_unit_test(estimates_are_no_instruments),
        cmocka_unit_test(lot_spread_counts),
        cmocka_unit_test(refusals),
        cmocka_unit_test(survives_want_of_memory),
    };
    return cmocka_run_group_tests_name("tie", tests, NULL, NULL);
}
