#include <math.h>
#include <string.h>

#include "check.h"
#include "farhue/names.h"
#include "reference.h"

/* Every centre of the published list is nearest to itself [Kelly1958]. */
static void centres_have_their_own_names(void **state)
{
    (void)state;
    reference t = reference_load("iscc_nbs_centroids.csv");
    assert_int_equal(t.rows, 267);
    for (size_t i = 0; i < t.rows; ++i) {
        if (!reference_has(&t, i, "L")) continue;
        const fh_lab lab = {reference_number(&t, i, "L"), reference_number(&t, i, "a"),
                            reference_number(&t, i, "b")};
        fh_colour_name name;
        assert_int_equal(fh_names_near(lab, &name, 1), 1);
        assert_string_equal(name.name, reference_text(&t, i, "name"));
        check_close(name.dE00, 0.0, 0.0); /* also of the blacks below the centre of black */
    }
    reference_free(&t);
}

/* Common practice, no source: what anyone would say. */
static void plain_colours_have_plain_names(void **state)
{
    (void)state;
    static const struct {
        const char *hex_name;
        fh_rgb encoded;
        const char *expected;
    } cases[] = {{"white", {1, 1, 1}, "white"},
                 {"black", {0.07, 0.07, 0.07}, "black"},
                 {"mid grey", {0.5, 0.5, 0.5}, "medium gray"},
                 {"no light at all", {0, 0, 0}, "black"},
                 {"screen red", {1, 0, 0}, "vivid reddish orange"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; ++i) {
        const fh_rgb linear = {fh_srgb_decode(cases[i].encoded.r),
                               fh_srgb_decode(cases[i].encoded.g),
                               fh_srgb_decode(cases[i].encoded.b)};
        fh_reading r = fh_reading_blank();
        r.condition = (fh_condition){FH_ILLUMINANT_D65, FH_OBSERVER_2};
        r.lab = fh_lab_of_xyz(fh_xyz_of_srgb(linear), fh_srgb_white());
        fh_colour_name names[2];
        fh_lab used;
        assert_int_equal(fh_names_of_reading(&r, names, 2, &used, NULL), FH_OK);
        assert_string_equal(names[0].name, cases[i].expected);
        if (used.L >= FH_NAMES_DARKEST) check(names[0].dE00 <= names[1].dE00);
    }
}

/* Own requirement: a dark colour finds its names as if it had the L* of black's centre, and is told
 * how far it really is from them. Independent computation: neutral against neutral ΔE00 is
 * ΔL* / S_L; the mean L* of 4 and 12.9 is 8.45, S_L = 1 + 0.015 × 41.55² / √(20 + 41.55²)
 * = 1.61967, and 8.9 / 1.61967 = 5.4949. */
static void dark_colours_keep_their_difference(void **state)
{
    (void)state;
    fh_colour_name names[2], light[2];
    assert_int_equal(fh_names_near((fh_lab){4, 0, 0}, names, 2), 2);
    assert_int_equal(fh_names_near((fh_lab){FH_NAMES_DARKEST, 0, 0}, light, 2), 2);
    for (int i = 0; i < 2; ++i) assert_int_equal(names[i].number, light[i].number);
    assert_string_equal(names[0].name, "black");
    check_close(names[0].dE00, 5.4949, 0.00005);
    check_close(light[0].dE00, 0.0, 0.0);
}

static void lists_are_in_order_and_complete(void **state)
{
    (void)state;
    fh_colour_name all[300];
    assert_int_equal(fh_names_near((fh_lab){50, 10, 10}, all, 300), 267);
    for (size_t i = 1; i < 267; ++i) check(all[i - 1].dE00 <= all[i].dE00);
    assert_int_equal(fh_names_near((fh_lab){NAN, 0, 0}, all, 3), 0);
    assert_int_equal(fh_names_near((fh_lab){50, 0, 0}, all, 0), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(centres_have_their_own_names),
        cmocka_unit_test(plain_colours_have_plain_names),
        cmocka_unit_test(dark_colours_keep_their_difference),
        cmocka_unit_test(lists_are_in_order_and_complete),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
