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
    out[0].method.geometry = FH_GEOMETRY_45_0;
    strcpy(out[0].id, "first");
    strcpy(out[1].id, "second");
    assert_int_equal(fh_paints_batch_faces(&p, &matt, true, &part, &batch, &faces, &error),
                     FH_E_DATA);
    check(strstr(error.message, "paint-outs first and second were read in different ways") != NULL);
    check_close(faces.surface.enter, 0.0, 0.0);
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
        cmocka_unit_test(mistakes_are_named),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
