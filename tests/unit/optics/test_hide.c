#include "check.h"

#include "exact.h"
#include "farhue/body.h"
#include "farhue/difference.h"
#include "farhue/hide.h"

#include <math.h>
#include <string.h>

static fh_film grey_coat(double K, double S)
{
    const fh_spectrum k = fh_spectrum_flat(K), s = fh_spectrum_flat(S);
    fh_surface face;
    check(fh_surface_of(1.0, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &face) == FH_OK);
    return fh_film_coat(1.0, &face, NULL, &k, &s);
}

/* Independent computation: without a face the contrast ratio is that of Kubelka–Munk,
 * R0 / R(0.8), and the amount for 0.98 is where that is 0.98 (halved here by itself). */
static void contrast_ratio_of_a_grey_coat(void **state)
{
    (void)state;
    fh_film film = grey_coat(0.05, 1.0);
    fh_hide_scene scene = fh_hide_scene_standard();
    double low = 0.0, high = 1000.0;
    for (int i = 0; i < 100; ++i) {
        double x = 0.5 * (low + high);
        fh_body body = fh_body_of((fh_body_pair){0.05 * x, x});
        if (body.R0 / fh_body_over(body, 0.8) >= 0.98)
            high = x;
        else
            low = x;
    }
    double amount;
    check(fh_hide_amount(&film, &scene, (fh_hide_goal){FH_HIDE_RATIO, HUGE_VAL}, 1000.0, &amount) ==
          FH_OK);
    check_close(amount, high, 0.001 * high);
    check_close(fh_hide_at(&film, high, &scene).ratio, 0.98, 1e-9);
}

static void hides_more_when_thicker(void **state)
{
    (void)state;
    fh_film film = grey_coat(0.2, 0.5);
    fh_hide_scene scene = fh_hide_scene_standard();
    fh_hiding before = fh_hide_at(&film, 0.0, &scene);
    check_close(before.ratio, 0.0, 1e-12);
    for (double x = 0.25; x < 40; x *= 2) {
        fh_hiding now = fh_hide_at(&film, x, &scene);
        check(now.ratio > before.ratio && now.dE < before.dE);
        before = now;
    }
}

/* The shell forgives: what is behind an amber shell needs less. */
static void the_shell_forgives(void **state)
{
    (void)state;
    fh_film film = grey_coat(0.2, 0.5);
    fh_shell_curves shell = {
        .A = fh_spectrum_flat(0.1), .B = fh_spectrum_flat(0.3), .C = fh_spectrum_flat(0.1)};
    fh_hide_scene bare = fh_hide_scene_standard(), seen = bare;
    seen.shell = &shell;
    double alone, behind;
    fh_hide_goal goal = {0.0, 1.0};
    check(fh_hide_amount(&film, &bare, goal, 1000.0, &alone) == FH_OK);
    check(fh_hide_amount(&film, &seen, goal, 1000.0, &behind) == FH_OK);
    check(behind < alone);
    check_close(fh_hide_at(&film, behind, &seen).dE, 1.0, 0.02);
}

/* Painting over a part: over a part of the paint's own colour nothing is needed. */
static void over_a_part(void **state)
{
    (void)state;
    fh_film film = grey_coat(0.2, 0.5);
    fh_spectrum same = fh_film_thick(&film), red = exact_part(7);
    fh_hide_scene scene = fh_hide_scene_over(&film, &same);
    check_close(fh_hide_at(&film, 0.1, &scene).dE, 0.0, 1e-6);
    scene = fh_hide_scene_over(&film, &red);
    check(fh_hide_at(&film, 0.1, &scene).dE > 5.0);
    double amount;
    check(fh_hide_amount(&film, &scene, (fh_hide_goal){0.0, 1.0}, 100.0, &amount) == FH_OK);
    check_close(fh_hide_at(&film, amount, &scene).dE, 1.0, 0.01);
}

/* A part as it was read: the same as its curve, less the mirror light of its gloss where that is
 * stated (fh_surface_veil, tested by itself); with Lab alone nothing is known of showing through.
 */
static void over_a_part_as_read(void **state)
{
    (void)state;
    fh_film film = grey_coat(0.2, 0.5);
    fh_reading part = fh_reading_blank();
    fh_hide_scene scene = fh_hide_scene_standard();
    part.origin = FH_ORIGIN_SPECTRUM;
    part.reflectance = exact_part(7);
    check(fh_hide_scene_over_reading(&film, &part, &scene, NULL) == FH_OK);
    check_close(scene.dark.v[9], part.reflectance.v[9], 0.0);
    check_close(scene.light.v[9], fh_film_thick(&film).v[9], 1e-12);
    part.method.geometry = FH_GEOMETRY_45_0;
    part.method.gloss = 10.0;
    const double veil = fh_surface_veil(1.5, &part.method);
    check(veil > 0.01);
    check(fh_hide_scene_over_reading(&film, &part, &scene, NULL) == FH_OK);
    check_close(scene.dark.v[9], part.reflectance.v[9] - veil, 1e-12);

    /* By Lab alone: the estimated spectrum has that Lab. */
    fh_error error = {0};
    const fh_weights day = fh_weights_of(fh_condition_default());
    part.origin = FH_ORIGIN_LAB;
    part.method.gloss = -1.0;
    part.lab = fh_lab_of_spectrum(&part.reflectance, &day);
    check(fh_hide_scene_over_reading(&film, &part, &scene, &error) == FH_OK);
    check_close(fh_de2000(fh_lab_of_spectrum(&scene.dark, &day), part.lab), 0.0, 1e-4);
    const fh_hide_scene before = scene;
    part.lab = (fh_lab){20.0, 120.0, 120.0};
    check(fh_hide_scene_over_reading(&film, &part, &scene, &error) == FH_E_IMPOSSIBLE);
    check_close(scene.dark.v[9], before.dark.v[9], 0.0);
}

/* A part read in the sphere, mirror reflection included, below a coat read in 45/0: a smooth face
 * of index 1.5 reads 0.040006 + 0.956258 R where 45/0 reads R, whatever its gloss, as r(8°) =
 * 0.040006 and (1 − r(8°)) (1 − 0.596346) / ((1 − r(45°)) (1 − r(0°)) / n²) = 0.956258 (Fresnel, by
 * hand).
 */
static void over_a_part_read_in_another_way(void **state)
{
    (void)state;
    const fh_spectrum none = fh_spectrum_flat(0.0), half = fh_spectrum_flat(0.5);
    fh_surface face;
    fh_error error = {0};
    fh_reading part = fh_reading_blank();
    fh_hide_scene scene = fh_hide_scene_standard();
    check(fh_surface_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &face) == FH_OK);
    fh_film film = fh_film_coat(1.5, &face, NULL, &none, &half);
    film.geometry = FH_GEOMETRY_45_0;
    film.specular = FH_SPECULAR_EXCLUDED;
    const fh_spectrum plain = exact_part(7);
    part.origin = FH_ORIGIN_SPECTRUM;
    strcpy(part.id, "print");
    part.method.geometry = FH_GEOMETRY_8_D;
    part.method.specular = FH_SPECULAR_INCLUDED;
    for (int gloss = -1; gloss <= 60; gloss += 61) {
        for (size_t i = 0; i < FH_BANDS; ++i)
            part.reflectance.v[i] = 0.040006 + 0.956258 * plain.v[i];
        part.method.gloss = gloss;
        check(fh_hide_scene_over_reading(&film, &part, &scene, NULL) == FH_OK);
        check_all_close(scene.dark.v, plain.v, FH_BANDS, 1e-5);
    }
    /* Excluded and matt: the share of r(8°) that misses the trap, of 89.137 units when smooth. */
    part.method.specular = FH_SPECULAR_EXCLUDED;
    for (size_t i = 0; i < FH_BANDS; ++i)
        part.reflectance.v[i] = 0.040006 * (1.0 - 60.0 / 89.137) + 0.956258 * plain.v[i];
    check(fh_hide_scene_over_reading(&film, &part, &scene, NULL) == FH_OK);
    check_all_close(scene.dark.v, plain.v, FH_BANDS, 1e-5);

    part.method.specular = FH_SPECULAR_INCLUDED;
    part.reflectance = fh_spectrum_flat(0.02);
    const fh_hide_scene before = scene;
    check(fh_hide_scene_over_reading(&film, &part, &scene, &error) == FH_E_DATA);
    check(strstr(error.message, "print reflects less than the face") != NULL);
    part.method.geometry = FH_GEOMETRY_45_0;
    check(fh_hide_scene_over_reading(&film, &part, &scene, &error) == FH_E_DATA);
    check(strstr(error.message, "don't go together") != NULL);
    check_close(scene.dark.v[9], before.dark.v[9], 0.0);
}

/* Where nothing shows anyway, the least amount that is tried does. */
static void nothing_to_hide(void **state)
{
    (void)state;
    fh_film film = grey_coat(0.2, 0.5);
    const fh_spectrum own = fh_film_thick(&film);
    const fh_hide_scene scene = fh_hide_scene_over(&film, &own);
    double amount = -1.0;
    check(fh_hide_amount(&film, &scene, (fh_hide_goal){0.0, 1.0}, 10.0, &amount) == FH_OK);
    check_close(amount, 1e-4 / 0.7, 1e-12); /* (K + S) X = 10⁻⁴, the least that is tried */
}

/* A black that scatters next to nothing. Independent computation: R over 0 and 0.8 by
 * Kubelka–Munk's closed form (Python, math), halved to the ratio 0.98. */
static void strong_blacks(void **state)
{
    (void)state;
    static const double cases[][3] = {{8.0, 0.08, 0.55578}, {8.0, 0.005, 0.73332}};
    for (size_t i = 0; i < 2; ++i) {
        const fh_film film = grey_coat(cases[i][0], cases[i][1]);
        const fh_hide_scene scene = fh_hide_scene_standard();
        double amount;
        check(fh_hide_amount(&film, &scene, (fh_hide_goal){FH_HIDE_RATIO, HUGE_VAL},
                             fh_film_plenty(&film), &amount) == FH_OK);
        check_close(amount, cases[i][2], 0.001 * cases[i][2]);
    }
}

/* A teal part and an orange paint of the same lightness: with none of it the contrast ratio is met
 * by chance, with a little no more. By the words of the header: from the amount on it is met. */
static void as_light_by_chance(void **state)
{
    (void)state;
    fh_film film = grey_coat(1.0, 1.0);
    for (size_t i = 0; i < FH_BANDS; ++i) film.K.v[i] = i < 20 ? 6.0 : 0.1;
    const fh_spectrum own = fh_film_thick(&film);
    fh_hide_scene scene = fh_hide_scene_over(&film, &own);
    const double Y = fh_xyz_of_spectrum(&own, &scene.weights).Y;
    fh_spectrum part = fh_spectrum_flat(0.05);
    for (size_t i = 0; i < 20; ++i) part.v[i] = 0.6;
    part = fh_spectrum_add(fh_spectrum_flat(0.0), part,
                           Y / fh_xyz_of_spectrum(&part, &scene.weights).Y);
    scene = fh_hide_scene_over(&film, &part);
    check(fh_hide_at(&film, 1e-4, &scene).ratio > 0.98);
    check(fh_hide_at(&film, 0.2, &scene).ratio < 0.95);
    double amount;
    check(fh_hide_amount(&film, &scene, (fh_hide_goal){FH_HIDE_RATIO, HUGE_VAL},
                         fh_film_plenty(&film), &amount) == FH_OK);
    check(amount > 0.2);
    check(fh_hide_at(&film, 0.99 * amount, &scene).ratio < 0.98);
    for (double x = amount; x < 100.0 * amount; x *= 1.01)
        check(fh_hide_at(&film, x, &scene).ratio >= 0.98);
}

/* The part's face is its own, whatever the film's: n = 1.5 and inside 0.3, read at 45°:0° and in
 * both modes of the sphere (Fresnel, by hand, as in test_mode.c), goes under a film without a face
 * as 0.3. */
static void the_part_has_its_own_face(void **state)
{
    (void)state;
    fh_film film = grey_coat(0.3, 1.0);
    film.geometry = FH_GEOMETRY_45_0;
    film.specular = FH_SPECULAR_EXCLUDED;
    const double X = 0.3 / (1.0 - 0.596346 * 0.3);
    const struct {
        fh_geometry geometry;
        fh_specular specular;
        double read;
    } ways[] = {{FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN, 0.405231 * X},
                {FH_GEOMETRY_8_D, FH_SPECULAR_EXCLUDED, 0.387505 * X},
                {FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED, 0.040006 + 0.387505 * X}};
    for (size_t i = 0; i < 3; ++i) {
        fh_reading part = exact_reading("part", fh_spectrum_flat(ways[i].read));
        fh_hide_scene scene;
        part.method.geometry = ways[i].geometry;
        part.method.specular = ways[i].specular;
        check(fh_hide_scene_over_reading(&film, &part, &scene, NULL) == FH_OK);
        check_close(scene.dark.v[7], 0.3, 2e-6);
    }
}

/* By hand. A thousandth of a coat too little still counts, two don't. */
static void amounts_in_coats(void **state)
{
    (void)state;
    check_close(fh_hide_coats(0.09, 0.03), 3.0, 0.0);
    check_close(fh_hide_coats(0.0901, 0.03), 4.0, 0.0);
    check_close(fh_hide_coats(3.0009, 1.0), 3.0, 0.0);
    check_close(fh_hide_coats(3.002, 1.0), 4.0, 0.0);
    check_close(fh_hide_coats(0.2, 1.0), 1.0, 0.0);
    check_close(fh_hide_coats(0.0005, 1.0), 1.0, 0.0); /* painted it is, however little is needed */
}

/* A coat without a face under a clear coat. Masstone of K/S = 0.2/0.5: R_in = 1.4 − √(1.4² − 1) =
 * 0.420204 [Kubelka1948]. Through a face of n = 1.5, 45°:0°, mirror reflection excluded:
 * (1 − r(45°))(1 − r(0°))/n² · R_in / (1 − 0.596346 R_in), r(45°) = 0.050240, r(0°) = 0.04: by hand
 * from Fresnel's formulas. A clear coat of 60° gloss 44.57, half of what a smooth face of that
 * index has, adds half of r(45°). */
static void under_a_clear_coat(void **state)
{
    (void)state;
    fh_film film = grey_coat(0.2, 0.5), covered = film;
    const double R = 1.4 - sqrt(0.96);
    const double seen = 0.949760 * 0.96 / 2.25 * R / (1.0 - 0.596346 * R);
    check_close(fh_film_thick(&film).v[9], R, 1e-4);
    check(fh_surface_of_finish((fh_finish){1.5, -1.0}, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED,
                               &covered.top) == FH_OK);
    check_close(fh_film_thick(&covered).v[9], seen, 1e-4);
    check(seen < R); /* a coat without a face turns darker */
    check(fh_surface_of_finish((fh_finish){1.5, 44.57}, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED,
                               &covered.top) == FH_OK);
    check_close(fh_film_thick(&covered).v[9], seen + 0.5 * 0.050240, 1e-4);

    /* What lies below keeps its face: painted in its own colour, nothing is needed. */
    fh_spectrum same = fh_film_thick(&film);
    fh_hide_scene scene = fh_hide_scene_over(&covered, &same);
    check_close(fh_hide_at(&covered, 0.1, &scene).dE, 0.0, 1e-6);
}

static void bad_goals(void **state)
{
    (void)state;
    fh_film film = grey_coat(0.0, 0.0); /* nothing at all */
    fh_hide_scene scene = fh_hide_scene_standard();
    double amount = -1;
    check(fh_hide_amount(&film, &scene, (fh_hide_goal){0.98, HUGE_VAL}, 10, &amount) ==
          FH_E_IMPOSSIBLE);
    check(fh_hide_amount(&film, &scene, (fh_hide_goal){1.0, 1}, 10, &amount) == FH_E_ARGUMENT);
    check(fh_hide_amount(&film, &scene, (fh_hide_goal){0.0, HUGE_VAL}, 10, &amount) ==
          FH_E_ARGUMENT);
    check(fh_hide_amount(&film, &scene, (fh_hide_goal){0.5, 0.0}, 10, &amount) == FH_E_ARGUMENT);
    check(fh_hide_amount(&film, &scene, (fh_hide_goal){0.5, 1.0}, 0.0, &amount) == FH_E_ARGUMENT);
    check_close(amount, -1, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(contrast_ratio_of_a_grey_coat),
        cmocka_unit_test(hides_more_when_thicker),
        cmocka_unit_test(the_shell_forgives),
        cmocka_unit_test(over_a_part),
        cmocka_unit_test(over_a_part_as_read),
        cmocka_unit_test(over_a_part_read_in_another_way),
        cmocka_unit_test(nothing_to_hide),
        cmocka_unit_test(strong_blacks),
        cmocka_unit_test(as_light_by_chance),
        cmocka_unit_test(the_part_has_its_own_face),
        cmocka_unit_test(amounts_in_coats),
        cmocka_unit_test(under_a_clear_coat),
        cmocka_unit_test(bad_goals),
    };
    return cmocka_run_group_tests_name("optics/hide", tests, NULL, NULL);
}
