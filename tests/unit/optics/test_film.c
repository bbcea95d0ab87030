#include "check.h"
#include "reference.h"

#include "exact.h"
#include "farhue/film.h"

#include <math.h>
#include <string.h>

/* shared/reference/watercolour13_ladders.csv: measured layers of 13 paints in 11 quantities on
 * white paper. K and S from every other quantity predict the others. 0.01, 0.03 … against 0.02,
 * 0.04 … */
static void watercolour_ladders(void **state)
{
    (void)state;
    reference table = reference_load("watercolour13_ladders.csv");
    const size_t first = reference_column(&table, "380");
    enum { MOST = 20 };
    fh_reading look[MOST], paper;
    double amount[MOST], sum = 0.0, worst = 0.0;
    char paint[64] = "", worst_paint[64] = "";
    size_t count = 0, paints = 0;
    for (size_t row = 0; row <= table.rows; ++row) {
        bool end = row == table.rows;
        if (!end && strcmp(reference_text(&table, row, "kind"), "R") != 0) continue;
        const char *name = end ? "" : reference_text(&table, row, "paint");
        if (count > 0 && strcmp(name, paint) != 0) { /* a ladder is complete */
            fh_film_sample sample[MOST];
            fh_film film;
            fh_film_report report;
            size_t odd = 0;
            for (size_t k = 0; k < count; k += 2)
                sample[odd++] = (fh_film_sample){&look[k], &paper, amount[k]};
            check(fh_film_fit(FH_FILM_COAT, sample, odd, 0.0, &film, &report, NULL) == FH_OK);
            double mean = 0.0, even = 0.0;
            for (size_t k = 1; k < count; k += 2, ++even) {
                fh_spectrum predicted = fh_film_look(&film, amount[k], &paper.reflectance);
                mean += exact_difference(&predicted, &look[k].reflectance);
            }
            mean /= even;
            print_message("# %s: index %.2f, fitted %.2f, predicted %.2f\n", paint, film.index,
                          report.mean, mean);
            sum += mean;
            ++paints;
            if (mean > worst) {
                worst = mean;
                strcpy(worst_paint, paint);
            }
            count = 0;
        }
        if (end) break;
        fh_spectrum R;
        for (size_t i = 0; i < FH_BANDS; ++i) R.v[i] = reference_number_at(&table, row, first + i);
        if (strcmp(name, "paper") == 0) {
            paper = exact_reading("paper", R);
            continue;
        }
        strcpy(paint, name);
        look[count] = exact_reading(name, R);
        amount[count++] = reference_number(&table, row, "ml");
    }
    check(paints == 13);
    print_message("# mean %.2f, worst %s %.2f\n", sum / (double)paints, worst_paint, worst);
    check_between(sum / (double)paints, 0.0, 2.0);
    assert_string_equal(worst_paint, "burnt_sienna"); /* as docs/accuracy.md says */
    reference_free(&table);
}

static fh_film made(fh_film_kind kind, fh_reading look[2], fh_reading backing[2],
                    fh_film_sample sample[2], double amount)
{
    fh_film truth = {.kind = kind, .index = 1.5};
    check(fh_surface_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &truth.surface) == FH_OK);
    check(fh_sheet_of(1.5, FH_GEOMETRY_45_0, FH_SPECULAR_EXCLUDED, &truth.sheet) == FH_OK);
    truth.top = truth.surface;
    truth.K = exact_part(6);
    truth.S = exact_part(5);
    for (int b = 0; b < 2; ++b) {
        fh_spectrum grey = fh_spectrum_flat(b ? 0.85 : 0.04);
        backing[b] = exact_reading("backing", grey);
        look[b] = exact_reading("look", fh_film_look(&truth, amount, &grey));
        sample[b] = (fh_film_sample){&look[b], &backing[b], amount};
    }
    return truth;
}

/* Independent computation: readings made from known K and S give them back, per mm. */
static void black_and_white_give_K_and_S(void **state)
{
    (void)state;
    fh_reading look[2], backing[2];
    fh_film_sample sample[2];
    for (int kind = 0; kind < 2; ++kind) {
        fh_film film, truth = made((fh_film_kind)kind, look, backing, sample, 0.8);
        fh_film_report report;
        check(fh_film_fit(truth.kind, sample, 2, 1.5, &film, &report, NULL) == FH_OK);
        check_all_close(film.K.v, truth.K.v, FH_BANDS, 2e-3);
        check_all_close(film.S.v, truth.S.v, FH_BANDS, 2e-3);
        check_between(report.worst, 0.0, 0.01);
        fh_spectrum grey = fh_spectrum_flat(0.3), a = fh_film_look(&film, 2.0, &grey);
        fh_spectrum b = fh_film_look(&truth, 2.0, &grey);
        check_between(fh_spectrum_distance(a, b), 0.0, 1e-3);
    }
}

/* The film of a matt face is that of the truth, and its look has the veil again. */
static void check_without_veil(const fh_film *film, const fh_film *truth, const fh_reading *look)
{
    const fh_spectrum grey = fh_spectrum_flat(0.04), again = fh_film_look(film, 0.8, &grey);
    check_all_close(film->K.v, truth->K.v, FH_BANDS, 2e-3);
    check_all_close(film->S.v, truth->S.v, FH_BANDS, 2e-3);
    check_all_close(again.v, look->reflectance.v, FH_BANDS, 1e-4);
}

/* Readings of a matt coat over matt cards, with their gloss: the mirror light that a matt face
 * spreads is taken off before the fit and is there again in what the film is said to look like.
 * Independent computation: r(45°) of index 1.5 is 0.050240 (Fresnel, by hand), the gloss of a
 * smooth face 89.13; so gloss 10 leaves 0.050240 (1 − 10/89.13) = 0.044603. Without the gloss that
 * light would be taken for paint. */
static void gloss_is_taken_off(void **state)
{
    (void)state;
    const double veil = 0.044603;
    const fh_spectrum one = fh_spectrum_flat(1.0);
    fh_reading look[2], backing[2];
    fh_film_sample sample[2];
    fh_film film, truth = made(FH_FILM_COAT, look, backing, sample, 0.8);
    for (int b = 0; b < 2; ++b) {
        fh_reading *both[2] = {&look[b], &backing[b]};
        for (int k = 0; k < 2; ++k) {
            both[k]->reflectance = fh_spectrum_add(both[k]->reflectance, one, veil);
            both[k]->method.gloss = 10.0;
        }
    }
    check(fh_film_fit(FH_FILM_COAT, sample, 2, 0.0, &film, NULL, NULL) == FH_OK);
    check_close(film.index, 1.5, 0.0);
    check_without_veil(&film, &truth, &look[0]);
}

/* The same of a matt wall, whose backings, behind air, stay as they are read. */
static void gloss_of_a_wall_is_taken_off(void **state)
{
    (void)state;
    const double veil = 0.044603; /* as above */
    fh_reading look[2], backing[2];
    fh_film_sample sample[2];
    fh_film film, truth = made(FH_FILM_WALL, look, backing, sample, 0.8);
    for (int b = 0; b < 2; ++b) {
        look[b].reflectance = fh_spectrum_add(look[b].reflectance, fh_spectrum_flat(1.0), veil);
        look[b].method.gloss = backing[b].method.gloss = 10.0;
    }
    check(fh_film_fit(FH_FILM_WALL, sample, 2, 1.5, &film, NULL, NULL) == FH_OK);
    check_without_veil(&film, &truth, &look[0]);
}

/* What one reading says of its way holds for those that don't say it: with the mirror reflection
 * included (r(8°) = 0.040006 by Fresnel, by hand), gloss adds nothing, and two that contradict each
 * other are found whatever the first one says. */
static void what_one_reading_says_holds_for_all(void **state)
{
    (void)state;
    fh_reading look[2], backing[2];
    fh_film_sample sample[2];
    fh_error error = {0};
    fh_film film;
    (void)made(FH_FILM_COAT, look, backing, sample, 0.8);
    for (int b = 0; b < 2; ++b) {
        look[b].method = backing[b].method = fh_method_unknown();
        look[b].reflectance = fh_spectrum_add(look[b].reflectance, fh_spectrum_flat(1.0), 0.040006);
        look[b].method.gloss = 10.0;
    }
    look[1].method.geometry = FH_GEOMETRY_8_D;
    look[1].method.specular = FH_SPECULAR_INCLUDED;
    check(fh_film_fit(FH_FILM_COAT, sample, 2, 1.5, &film, NULL, NULL) == FH_OK);
    check(film.geometry == FH_GEOMETRY_8_D && film.specular == FH_SPECULAR_INCLUDED);
    check_close(film.top.outer, 0.040006, 5e-7);
    backing[0].method.geometry = FH_GEOMETRY_45_0;
    check(fh_film_fit(FH_FILM_COAT, sample, 2, 1.5, &film, NULL, &error) == FH_E_DATA);
    check(strstr(error.message, "different geometries") != NULL);
}

static void limits(void **state)
{
    (void)state;
    fh_reading look[2], backing[2];
    fh_film_sample sample[2];
    fh_film film = made(FH_FILM_COAT, look, backing, sample, 1.0);
    fh_spectrum grey = fh_spectrum_flat(0.3), none = fh_film_look(&film, 0.0, &grey);
    check_all_close(none.v, grey.v, FH_BANDS, 1e-14);
    fh_spectrum thick = fh_film_thick(&film), black = fh_spectrum_flat(0.0);
    fh_spectrum much = fh_film_look(&film, 500.0, &black);
    check_all_close(much.v, thick.v, FH_BANDS, 1e-6);
}

/* Own requirement: a film over one card says nothing more when that is said twice. */
static void one_reading_twice_is_one(void **state)
{
    (void)state;
    fh_reading look[2], backing[2];
    fh_film_sample sample[2];
    fh_error error = {0};
    fh_film film = made(FH_FILM_COAT, look, backing, sample, 1.0);
    strcpy(look[0].id, "film");
    const fh_film_sample first = sample[0], twice[2] = {first, first};
    check(fh_film_fit(FH_FILM_COAT, twice, 2, 1.5, &film, NULL, &error) == FH_E_DATA);
    check(strstr(error.message, "one and the same, film; expected it over another backing") !=
          NULL);
    check(fh_film_fit(FH_FILM_COAT, twice, 1, 1.5, &film, NULL, NULL) == FH_OK);
    fh_film_sample thicker[2] = {first, first};
    thicker[1].amount *= 2.0;
    check(fh_film_fit(FH_FILM_COAT, thicker, 2, 1.5, &film, NULL, NULL) == FH_OK);
}

static void bad_input(void **state)
{
    (void)state;
    fh_reading look[2], backing[2];
    fh_film_sample sample[2];
    fh_film film = made(FH_FILM_COAT, look, backing, sample, 1.0), out = {.index = -1};
    fh_error error = {0};
    check(fh_film_fit(FH_FILM_COAT, sample, 0, 1.5, &out, NULL, &error) == FH_E_ARGUMENT);
    check(fh_film_fit(FH_FILM_COAT, sample, 2, 0.9, &out, NULL, &error) == FH_E_ARGUMENT);
    check(fh_film_fit(FH_FILM_WALL, sample, 2, 0.0, &out, NULL, &error) == FH_E_ARGUMENT);
    sample[1].amount = 0.0;
    check(fh_film_fit(FH_FILM_COAT, sample, 2, 1.5, &out, NULL, &error) == FH_E_ARGUMENT);
    sample[1].amount = 1.0;
    look[1].reflectance.v[3] = (double)NAN;
    check(fh_film_fit(FH_FILM_COAT, sample, 2, 1.5, &out, NULL, &error) != FH_OK);
    look[1].reflectance.v[3] = 0.3;
    look[0].method.geometry = FH_GEOMETRY_8_D;
    look[1].method.geometry = FH_GEOMETRY_45_0;
    check(fh_film_fit(FH_FILM_COAT, sample, 2, 1.5, &out, NULL, &error) == FH_E_DATA);
    check_close(out.index, -1, 0);
    check(film.kind == FH_FILM_COAT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(watercolour_ladders),
        cmocka_unit_test(black_and_white_give_K_and_S),
        cmocka_unit_test(gloss_is_taken_off),
        cmocka_unit_test(gloss_of_a_wall_is_taken_off),
        cmocka_unit_test(what_one_reading_says_holds_for_all),
        cmocka_unit_test(limits),
        cmocka_unit_test(one_reading_twice_is_one),
        cmocka_unit_test(bad_input),
    };
    return cmocka_run_group_tests_name("optics/film", tests, NULL, NULL);
}
