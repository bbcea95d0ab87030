#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "farhue/difference.h"
#include "farhue/paints.h"
#include "starve.h"

/* The invented shelf that the project ships, made by an awk script with its own two-flux formulas
 * (independent computation: demo/pots.sh). */
static char *load_pots(size_t *length)
{
    static char text[1 << 17];
    FILE *file = fopen("swatches/pots.txt", "rb");
    if (!file) file = fopen("../swatches/pots.txt", "rb");
    assert_non_null(file);
    *length = fread(text, 1, sizeof text - 1, file);
    text[*length] = '\0';
    fclose(file);
    return text;
}

static void the_shipped_shelf_fits(void **state)
{
    (void)state;
    size_t length;
    const char *text = load_pots(&length);
    fh_paints p = {0};
    fh_error error = {0};
    if (fh_paints_read(text, length, NULL, &p, NULL, NULL, &error)) fail_msg("%s", error.message);
    assert_int_equal(p.count, 8);
    assert_int_equal(p.coats, 22);
    check_between(p.dE_worst, 0.0, 0.15);
    check(p.geometry == FH_GEOMETRY_45_0);
    check(p.notes.length == 0);
    const size_t red = fh_paints_find(&p, "red");
    check(red != FH_NONE && !p.paints[red].single);
    check_close(p.paints[red].density, 1.12, 0.0);
    check_close(p.paints[red].drop, 0.05, 0.0);
    assert_int_equal(fh_paints_find(&p, "pink"), FH_NONE);
    /* K/S of the awk script at 580 nm: (0.05 + 4.5/(1 + e^−0.8) + 0.8 e^−4) / (0.14 + 0.26 (1 −
     * 1/(1 + e^(−20/14)))) = 3.1695 / 0.1903. The file holds 1.1 %, rounded to 0.1 %: within 5 %.
     */
    const double q = p.paints[red].K.v[20] / p.paints[red].S.v[20];
    check_close(q, 3.1695 / 0.1903, 0.05 * 3.1695 / 0.1903);
    fh_paints_free(&p);
}

#define HEAD "CGATS.17\nGEOMETRY \"45/0\"\nWEIGHTING_FUNCTION \"D65/10\"\n"
#define TINTS                                                                                      \
    HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PERCENT_1 PAINT_2 PERCENT_2 LAB_L LAB_A LAB_B\n"    \
         "END_DATA_FORMAT\nBEGIN_DATA\n"

static fh_status read_text(const char *text, fh_paints *p, fh_error *error)
{
    *p = (fh_paints){0};
    *error = (fh_error){0};
    return fh_paints_read(text, strlen(text), NULL, p, NULL, NULL, error);
}

static void lab_alone_is_estimated_and_said(void **state)
{
    (void)state;
    fh_paints p;
    fh_error error;
    assert_int_equal(read_text(TINTS "a white 100 \"\" \"\" 95 0 2\nb red 100 \"\" \"\" 40 55 30\n"
                                     "c red 20 white 80 68 35 8\nEND_DATA\n",
                               &p, &error),
                     FH_OK);
    assert_int_equal(p.count, 2);
    check(p.paints[0].estimated && p.paints[1].estimated);
    check_close(p.paints[1].spread, 0.2, 0.0);
    check(strstr(p.notes.bytes, "estimated from Lab: white, red") != NULL);
    check(strstr(p.notes.bytes, "nothing is read") == NULL);
    fh_paints_free(&p);
}

static void a_library_is_masstones(void **state)
{
    (void)state;
    fh_paints p;
    fh_error error;
    assert_int_equal(read_text(HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B\n"
                                    "END_DATA_FORMAT\nBEGIN_DATA\nP1 sand 70 5 20\nP2 brick 40 30 "
                                    "25\nEND_DATA\n",
                               &p, &error),
                     FH_OK);
    assert_int_equal(p.count, 2);
    check(p.paints[0].single);
    assert_string_equal(p.paints[1].name, "brick");
    check(strstr(p.notes.bytes, "masstone alone") != NULL);
    fh_paints_free(&p);
}

/* Films over a black and a white card, made with K = 0.5 and S = 1 in every band by the forward
 * model (which test_mix.c checks). */
static void films_lie_on_their_backing(void **state)
{
    (void)state;
    fh_paint truth = fh_paint_blank();
    truth.K = fh_spectrum_flat(0.5);
    truth.S = fh_spectrum_flat(1.0);
    const fh_surface face = fh_mix_options_default().surface;
    const fh_blend blend = {1, {0}, {1.5}};
    const fh_spectrum black = fh_spectrum_flat(0.05), white = fh_spectrum_flat(0.8);
    const double over_black = fh_blend_film(&truth, &blend, &face, &black).v[0];
    const double over_white = fh_blend_film(&truth, &blend, &face, &white).v[0];
    char text[1024];
    snprintf(
        text, sizeof text,
        "CGATS.17\nGEOMETRY \"45/0\"\nSPECTRAL_UNIT \"factor\"\nBEGIN_DATA_FORMAT\nSAMPLE_ID "
        "PAINT_1 PARTS_1 FILM_AMOUNT SAMPLE_BACKING R400 R500 R600\nEND_DATA_FORMAT\nBEGIN_DATA\n"
        "k \"\" \"\" \"\" \"\" 0.05 0.05 0.05\nw \"\" \"\" \"\" \"\" 0.8 0.8 0.8\n"
        "fk clay 1 1.5 k %.7f %.7f %.7f\nfw clay 1 1.5 w %.7f %.7f %.7f\nEND_DATA\n",
        over_black, over_black, over_black, over_white, over_white, over_white);
    fh_paints p;
    fh_error error;
    if (read_text(text, &p, &error)) fail_msg("%s", error.message);
    assert_int_equal(p.count, 1);
    assert_int_equal(p.coats, 2);
    check(!p.paints[0].single);
    for (size_t i = 0; i < FH_BANDS; ++i) {
        check_close(p.paints[0].K.v[i], 0.5, 0.02);
        check_close(p.paints[0].S.v[i], 1.0, 0.02);
    }
    fh_paints_free(&p);
}

/* Two tables of matt coats (GLOSS 10) in the sphere, mirror reflection included, made with
 * K = 0.5, S = 1 of one paint and K = 0.02, S = 1 of another by the forward model (which test_mix.c
 * checks). What one table doesn't say of its way is as the other says; with the mirror reflection
 * included no gloss adds anything, so the face throws back r(8°) = 0.040006 of index 1.5 (Fresnel,
 * by hand). */
static void tables_share_their_way_of_reading(void **state)
{
    (void)state;
    fh_paint truth[2] = {fh_paint_blank(), fh_paint_blank()};
    fh_surface face;
    double R[3];
    const fh_blend made[3] = {{1, {0}, {1.0}}, {1, {1}, {1.0}}, {2, {0, 1}, {0.3, 0.7}}};
    assert_int_equal(fh_surface_of(1.5, FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED, &face), FH_OK);
    truth[0].K = fh_spectrum_flat(0.5);
    truth[1].K = fh_spectrum_flat(0.02);
    truth[0].S = truth[1].S = fh_spectrum_flat(1.0);
    for (size_t i = 0; i < 3; ++i) R[i] = fh_blend_opaque(truth, &made[i], &face).v[0];
    for (int stated = 0; stated < 2; ++stated) {
        char text[1200];
        snprintf(text, sizeof text,
                 "CGATS.17\n%sSPECTRAL_UNIT \"factor\"\nBEGIN_DATA_FORMAT\n"
                 "SAMPLE_ID PAINT_1 PARTS_1 GLOSS R400 R500 R600\nEND_DATA_FORMAT\nBEGIN_DATA\n"
                 "a dark 1 10 %.7f %.7f %.7f\nb light 1 10 %.7f %.7f %.7f\nEND_DATA\n"
                 "CGATS.17\nGEOMETRY \"8/d\"\nSPECULAR \"included\"\nSPECTRAL_UNIT \"factor\"\n"
                 "BEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 PAINT_2 PARTS_2 GLOSS R400 R500 "
                 "R600\nEND_DATA_FORMAT\nBEGIN_DATA\nc dark 3 light 7 10 %.7f %.7f %.7f\n"
                 "END_DATA\n",
                 stated ? "GEOMETRY \"8/d\"\nSPECULAR \"included\"\n" : "", R[0], R[0], R[0], R[1],
                 R[1], R[1], R[2], R[2], R[2]);
        fh_paints p;
        fh_error error;
        if (read_text(text, &p, &error)) fail_msg("%zu: %s", error.line, error.message);
        check_close(p.face.outer, 0.040006, 5e-7);
        check_between(p.dE_worst, 0.0, 0.05); /* seven digits in the file */
        fh_paints_free(&p);
    }
}

/* A photo counts as 45°:0°, beside readings that say so as well as alone. */
static void a_photo_goes_with_45_0(void **state)
{
    (void)state;
    static const char text[] =
        "CGATS.17\nWEIGHTING_FUNCTION \"D65/10\"\nBEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 "
        "GEOMETRY LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\na red 1 photo 40 50 30\n"
        "b white 1 45/0 90 0 0\nc blue 1 photo 30 0 -30\nEND_DATA\n";
    fh_paints p;
    fh_error error;
    if (read_text(text, &p, &error)) fail_msg("%s", error.message);
    check(p.geometry == FH_GEOMETRY_45_0 && p.specular == FH_SPECULAR_EXCLUDED);
    fh_paints_free(&p);
}

/* Dark masstones that are glossy, their mixture read matt. By hand: L* 29.8 is Y 0.06155; a face of
 * index 1.5 and gloss 5 adds r(45°) (1 - 5/89.137) = 0.04742, so that the paint alone has 0.01413,
 * L* 12.05, below the 13.03 of L* 14.4 without 0.050240 (1 - 85/89.137). L* 40, in the same way, is
 * 30.66. */
static void lightness_is_compared_without_the_veil(void **state)
{
    (void)state;
    static const char *const text =
        HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 PAINT_2 PARTS_2 GLOSS LAB_L LAB_A "
             "LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\na brown 1 \"\" \"\" 85 14.4 2 2\n"
             "b blue 1 \"\" \"\" 85 13 0 -2\nc brown 1 blue 1 5 %s 0 0\nEND_DATA\n";
    char with[600];
    fh_paints p;
    fh_error error;
    snprintf(with, sizeof with, text, "29.8");
    if (read_text(with, &p, &error)) fail_msg("%s", error.message);
    fh_paints_free(&p);
    snprintf(with, sizeof with, text, "40.0");
    assert_int_equal(read_text(with, &p, &error), FH_E_DATA);
    check(strstr(error.message, "c (L* 30.7 without the mirror light of its face) is lighter than "
                                "each of its paints (at most 13.0)") != NULL);
}

static void mistakes_are_named(void **state)
{
    (void)state;
    static const struct {
        const char *text, *expected; /* with "LINE: " before it where the line is looked at */
    } cases[] = {
        {TINTS "a red 20 white 70 50 0 0\nEND_DATA\n", "sum to 90"},
        {TINTS "a red -20 white 120 50 0 0\nEND_DATA\n", "negative part"},
        {TINTS "a red 50 red 50 50 0 0\nEND_DATA\n", "same paint twice"},
        {TINTS "a \"\" 50 red 50 50 0 0\nEND_DATA\n", "parts without a paint"},
        {TINTS
         "a red 100 \"\" \"\" 40 0 0\nb white 100 \"\" \"\" 90 0 0\nc red 10 white 90 95 0 0\n"
         "END_DATA\n",
         "10: c (L* 95.0) is lighter than each of its paints"},
        {TINTS "a \"\" \"\" \"\" \"\" 40 0 0\nEND_DATA\n", "no coat holds a paint"},
        {TINTS "a red 100 \"\" \"\" 40 0 0\nEND_DATA\nBEGIN_DATA_FORMAT\nPAINT DENSITY_G_ML\n"
               "END_DATA_FORMAT\nBEGIN_DATA\nred 1.1\nred 1.2\nEND_DATA\n",
         "twice"},
        {TINTS "a red 100 \"\" \"\" 40 0 0\nEND_DATA\nBEGIN_DATA_FORMAT\nPAINT DENSITY_G_ML\n"
               "END_DATA_FORMAT\nBEGIN_DATA\nblue 1.1\nEND_DATA\n",
         "no coat holds this paint"},
        {TINTS "a red 100 \"\" \"\" 40 0 0\nEND_DATA\nBEGIN_DATA_FORMAT\nPAINT DENSITY_G_ML\n"
               "END_DATA_FORMAT\nBEGIN_DATA\nred 0\nEND_DATA\n",
         "above 0"},
        {HEAD "PAINT_INDEX 0.9\nBEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 LAB_L LAB_A LAB_B\n"
              "END_DATA_FORMAT\nBEGIN_DATA\na red 1 40 0 0\nEND_DATA\n",
         "refractive index"},
        {HEAD
         "BEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n"
         "a red 40 0 0\nEND_DATA\n",
         "no parts beside it"},
        {HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 FILM_AMOUNT BACKING LAB_L LAB_A LAB_B\n"
              "END_DATA_FORMAT\nBEGIN_DATA\na red 1 0.1 card 40 0 0\nEND_DATA\n",
         "8: the film a lies on \"card\", which is not in the file"},
        {HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 GEOMETRY LAB_L LAB_A LAB_B\n"
              "END_DATA_FORMAT\nBEGIN_DATA\na red 1 45/0 40 0 0\nb white 1 8:de 90 0 0\nEND_DATA\n",
         "9: b was read in another geometry"},
        {HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 GLOSS LAB_L LAB_A LAB_B\n"
              "END_DATA_FORMAT\nBEGIN_DATA\na red 1 80 40 0 0\nb white 1 171 90 0 0\nEND_DATA\n",
         "9: b has a 60° gloss of 171"},
        {HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 LAB_L LAB_A LAB_B\n"
              "END_DATA_FORMAT\nBEGIN_DATA\na red 1 40 0 0\nb white 1 40 120 0\nEND_DATA\n",
         "9: no reflectance can have"},
        {HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 FILM_AMOUNT BACKING GLOSS LAB_L LAB_A "
              "LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\na red 1 0.1 card 80 40 0 0\n"
              "card \"\" \"\" \"\" \"\" 171 90 0 0\nEND_DATA\n",
         "9: card has a 60° gloss of 171"},
        {HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 FILM_AMOUNT BACKING LAB_L LAB_A LAB_B\n"
              "END_DATA_FORMAT\nBEGIN_DATA\na red 1 0.1 a 40 0 0\nEND_DATA\n",
         "8: the film a lies on itself; expected SAMPLE_BACKING to be"},
        {HEAD "SPECTRAL_UNIT \"factor\"\nBEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 R400 R500 "
              "R600\nEND_DATA_FORMAT\nBEGIN_DATA\na red 1 0.1 0.2 0.3\nb white 1 0.9 1.02 0.9\n"
              "END_DATA\n",
         "10: b reflects 1.0"},
        {HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 LAB_L LAB_A LAB_B\n"
              "END_DATA_FORMAT\nBEGIN_DATA\na red 1e-322 40 0 0\nEND_DATA\n",
         "8: no part of a coat; expected 0, or a number from 0.000001 to 1000000"},
        {HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n"
              "a 40 0 0\n\"b=2\" 50 0 0\nEND_DATA\n",
         "9: the id of a paint holds , or ="},
        {HEAD "BEGIN_DATA_FORMAT\nSAMPLE_ID WEIGHT\nEND_DATA_FORMAT\nBEGIN_DATA\na 1\nEND_DATA\n",
         "no coats in the file"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; ++i) {
        fh_paints p;
        fh_error error;
        check(read_text(cases[i].text, &p, &error) != FH_OK);
        char told[FH_ERROR_MESSAGE + 24];
        snprintf(told, sizeof told, "%zu: %s", error.line, error.message);
        if (!strstr(told, cases[i].expected))
            fail_msg("case %zu: \"%s\" without \"%s\"", i, told, cases[i].expected);
        check(p.paints == NULL);
    }
}

static void memory_may_run_out_anywhere(void **state)
{
    (void)state;
    static const char text[] = TINTS "a white 100 \"\" \"\" 95 0 2\nb red 100 \"\" \"\" 40 55 30\n"
                                     "END_DATA\n";
    for (long n = 0;; n += n < 60 ? 1 : 37) { /* the fit asks for the same few blocks 36 times */
        fh_paints p = {0};
        fh_error error = {0};
        starve_after(n);
        const fh_status status =
            fh_paints_read(text, sizeof text - 1, NULL, &p, NULL, NULL, &error);
        const bool failed = starve_end();
        fh_paints_free(&p);
        if (!failed) break;
        check(status == FH_E_MEMORY || status == FH_OK); /* a note may find no memory */
    }
}

/* A coat of the shipped pots (45/0, index 1.5), read otherwise. r(8°) = 0.040006 and r(45°) =
 * 0.050240 of index 1.5, 89.137 units of a smooth face: Fresnel, by hand. */
static void a_coat_read_in_another_way(void **state)
{
    (void)state;
    size_t length;
    const char *text = load_pots(&length);
    fh_paints p = {0};
    fh_paints_look look;
    fh_error error = {0};
    fh_method as = fh_method_unknown();
    assert_int_equal(fh_paints_read(text, length, NULL, &p, NULL, NULL, NULL), FH_OK);
    assert_int_equal(fh_paints_look_of(&p, NULL, &as, "part", &look, NULL), FH_OK);
    check(!look.carried && look.gloss < 0.0);
    check_close(look.surface.enter, p.face.enter, 0.0);
    const fh_blend alone = {1, {0}, {1.0}};
    const fh_film coat = fh_paints_coat(&p, &alone, &look.surface);
    check(coat.geometry == FH_GEOMETRY_45_0 && coat.specular == FH_SPECULAR_EXCLUDED);

    as.geometry = FH_GEOMETRY_PHOTO; /* counts as 45/0 */
    assert_int_equal(fh_paints_look_of(&p, NULL, &as, "part", &look, NULL), FH_OK);
    check(!look.carried);

    as.geometry = FH_GEOMETRY_8_D;
    p.specular = FH_SPECULAR_EXCLUDED;
    as.specular = FH_SPECULAR_INCLUDED;
    assert_int_equal(fh_paints_look_of(&p, NULL, &as, "part", &look, &error), FH_E_DATA);
    check(strstr(error.message, "part was read with specular included, the paints with specular "
                                "excluded; expected one mode for both, or the gloss") != NULL);
    const fh_finish matt = {0.0, 0.0}, clear = {1.5, -1.0}, half = {1.6, 50.0};
    assert_int_equal(fh_paints_look_of(&p, &matt, &as, "part", &look, NULL), FH_OK);
    check(look.carried);
    check_close(look.gloss, 0.0, 0.0);
    check_close(look.surface.outer, 0.040006, 5e-7); /* included: whatever the gloss */
    as = fh_method_unknown();
    assert_int_equal(fh_paints_look_of(&p, &matt, &as, "part", &look, NULL), FH_OK);
    check_close(look.surface.outer, 0.050240, 5e-7);
    check_close(look.surface.inner, p.surface.inner, 0.0);
    assert_int_equal(fh_paints_look_of(&p, &clear, &as, "part", &look, NULL), FH_OK);
    check_close(look.gloss, 89.137, 0.001);
    check_close(look.surface.outer, 0.0, 0.0);
    /* Index 1.6 at 45°: r = 0.064434 (Fresnel, by hand); its gloss is kept as asked for. */
    assert_int_equal(fh_paints_look_of(&p, &half, &as, "part", &look, NULL), FH_OK);
    check_close(look.surface.enter, 1.0 - 0.064434, 1e-6);
    check_close(look.gloss, half.gloss, 0.0);

    as.geometry = FH_GEOMETRY_45_0;
    as.specular = FH_SPECULAR_INCLUDED;
    assert_int_equal(fh_paints_look_of(&p, &matt, &as, "part", &look, &error), FH_E_DATA);
    check(strstr(error.message, "don't go together") != NULL);
    p.surface_fitted = true;
    assert_int_equal(fh_paints_look_of(&p, &matt, &as, "part", &look, &error), FH_E_DATA);
    check(strstr(error.message, "whose surface is fitted") != NULL);
    p.surface_fitted = false;
    p.index = 1.0;
    as = fh_method_unknown();
    assert_int_equal(fh_paints_look_of(&p, &matt, &as, "part", &look, &error), FH_E_IMPOSSIBLE);
    assert_int_equal(fh_paints_look_of(&p, &clear, &as, "part", &look, &error), FH_OK);
    fh_paints_free(&p);
}

/* Two paint-outs of the shipped pots (45/0, index 1.5). Veils: r(45°) = 0.050240 times what is
 * missing of 89.137 units, as above. */
static void paint_outs_have_a_face_of_their_own(void **state)
{
    (void)state;
    size_t length;
    const char *text = load_pots(&length);
    fh_paints p = {0};
    fh_batch_options faces = {.noise = 7.0};
    fh_error error = {0};
    fh_reading out[2] = {fh_reading_blank(), fh_reading_blank()}, part = fh_reading_blank();
    fh_batch batch = {.step_count = 2, .step = {{.paint_out = &out[0]}, {.paint_out = &out[1]}}};
    const fh_finish none = {0.0, -1.0}, matt = {0.0, 10.0}, clear = {1.5, -1.0};
    const double veil_10 = 0.050240 * (1.0 - 10.0 / 89.137);
    const double veil_42 = 0.050240 * (1.0 - 42.0 / 89.137);
    assert_int_equal(fh_paints_read(text, length, NULL, &p, NULL, NULL, NULL), FH_OK);
    out[0].method.geometry = FH_GEOMETRY_8_D;
    out[0].method.specular = FH_SPECULAR_EXCLUDED;
    strcpy(out[0].id, "first");
    strcpy(out[1].id, "second");
    assert_int_equal(fh_paints_batch_faces(&p, &matt, true, &part, &batch, &faces, &error),
                     FH_E_DATA);
    check(strstr(error.message, "paint-outs first and second were read in different ways") != NULL);
    check_close(faces.surface.enter, 0.0, 0.0);
    /* What isn't stated is as the file's, and a photo counts as 45/0. */
    out[0].method = fh_method_unknown();
    out[0].method.geometry = FH_GEOMETRY_45_0;
    assert_int_equal(fh_paints_batch_faces(&p, &matt, true, &part, &batch, &faces, &error), FH_OK);
    out[1].method.geometry = FH_GEOMETRY_PHOTO;
    assert_int_equal(fh_paints_batch_faces(&p, &matt, true, &part, &batch, &faces, &error), FH_OK);
    faces = (fh_batch_options){.noise = 7.0};
    out[1].method = out[0].method;

    /* No gloss is stated: as the file's coats are, or as wished for. */
    assert_int_equal(fh_paints_batch_faces(&p, &matt, true, &part, &batch, &faces, NULL), FH_OK);
    check_close(faces.surface.outer, veil_10, 5e-7);
    check_close(faces.finish.outer, veil_10, 5e-7);
    check_close(faces.noise, 7.0, 0.0);
    assert_int_equal(fh_paints_batch_faces(&p, &matt, false, &part, &batch, &faces, NULL), FH_OK);
    check_close(faces.surface.outer, p.face.outer, 0.0);
    check_close(faces.finish.outer, veil_10, 5e-7);

    /* Their own gloss: it goes before the file's, and the part shares it unless wished otherwise.
     */
    out[0].method.gloss = 40.0;
    out[1].method.gloss = 44.0;
    assert_int_equal(fh_paints_batch_faces(&p, &none, false, &part, &batch, &faces, NULL), FH_OK);
    check_close(faces.surface.outer, veil_42, 5e-7);
    check_close(faces.finish.outer, veil_42, 5e-7);
    assert_int_equal(fh_paints_batch_faces(&p, &matt, false, &part, &batch, &faces, NULL), FH_OK);
    check_close(faces.surface.outer, veil_42, 5e-7);
    check_close(faces.finish.outer, veil_10, 5e-7);
    assert_int_equal(fh_paints_batch_faces(&p, &clear, false, &part, &batch, &faces, NULL), FH_OK);
    check_close(faces.surface.outer, veil_42, 5e-7);
    check_close(faces.finish.outer, 0.0, 0.0);
    assert_int_equal(fh_paints_batch_faces(&p, &clear, true, &part, &batch, &faces, NULL), FH_OK);
    check_close(faces.surface.outer, veil_42, 5e-7);
    check_close(faces.finish.outer, veil_42, 5e-7);

    out[1].method.gloss = 51.0;
    assert_int_equal(fh_paints_batch_faces(&p, &none, false, &part, &batch, &faces, &error),
                     FH_E_DATA);
    check(strstr(error.message, "first and second have a 60° gloss of 40 and 51") != NULL);
    fh_paints_free(&p);
}

/* Coats that don't say how they were read are taken as 45/0, and carried to a sphere from there. */
static void what_is_not_said_is_carried_too(void **state)
{
    (void)state;
#define COAT                                                                                       \
    "WEIGHTING_FUNCTION \"D65/10\"\nBEGIN_DATA_FORMAT\nSAMPLE_ID PAINT_1 PARTS_1 LAB_L LAB_A "     \
    "LAB_B\n"                                                                                      \
    "END_DATA_FORMAT\nBEGIN_DATA\na white 1 95 0 2\nEND_DATA\n"
    static const char *const same[] = {"CGATS.17\nGEOMETRY \"45/0\"\n" COAT, "CGATS.17\n" COAT};
    fh_error error = {0};
    fh_paints p = {0};
    fh_paints_look look;
    fh_method as = fh_method_unknown();
    as.geometry = FH_GEOMETRY_8_D;
    for (size_t k = 0; k < 2; ++k) {
        assert_int_equal(read_text(same[k], &p, &error), FH_OK);
        assert_int_equal(p.geometry, FH_GEOMETRY_45_0);
        as.specular = FH_SPECULAR_EXCLUDED;
        assert_int_equal(fh_paints_look_of(&p, NULL, &as, "part", &look, &error), FH_OK);
        check(look.carried);
        check_close(look.surface.enter, 1.0 - 0.040006, 5e-7); /* r(8°), as above */
        as.specular = FH_SPECULAR_INCLUDED;
        assert_int_equal(fh_paints_look_of(&p, NULL, &as, "part", &look, &error), FH_E_DATA);
        check(strstr(error.message, "or the gloss of the coat") != NULL);
        as.specular = FH_SPECULAR_UNKNOWN;
        assert_int_equal(fh_paints_look_of(&p, NULL, &as, "part", &look, &error), FH_E_DATA);
        check(strstr(error.message, "without its specular mode") != NULL);
        fh_paints_free(&p);
    }
    assert_int_equal(read_text("CGATS.17\nSPECULAR included\n" COAT, &p, &error), FH_E_DATA);
    check(strstr(error.message, "without a geometry; expected GEOMETRY 8/d") != NULL);
#undef COAT
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_shipped_shelf_fits),
        cmocka_unit_test(lab_alone_is_estimated_and_said),
        cmocka_unit_test(a_coat_read_in_another_way),
        cmocka_unit_test(paint_outs_have_a_face_of_their_own),
        cmocka_unit_test(what_is_not_said_is_carried_too),
        cmocka_unit_test(a_library_is_masstones),
        cmocka_unit_test(films_lie_on_their_backing),
        cmocka_unit_test(tables_share_their_way_of_reading),
        cmocka_unit_test(a_photo_goes_with_45_0),
        cmocka_unit_test(lightness_is_compared_without_the_veil),
        cmocka_unit_test(mistakes_are_named),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
