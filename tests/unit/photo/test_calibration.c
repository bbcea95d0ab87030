/* Calibration on the real photos of the shared data. Corners, patch means and what a plain 3 × 3
   reaches: shared photos/corners.csv and patch_means.csv, made by independent programs. */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "chart24.h"
#include "farhue/calibration.h"
#include "farhue/picture.h"
#include "files.h"

typedef struct photo {
    char name[64];
    fh_picture picture;
    fh_profile *profile;
    fh_grid grid;
    fh_patch patches[24];
    double plain_mean; /* corners.csv */
} photo;

static photo load(const reference *corners, size_t row)
{
    photo p;
    memset(&p, 0, sizeof p);
    snprintf(p.name, sizeof p.name, "%s", reference_text(corners, row, "file"));
    size_t size;
    void *bytes = photo_bytes(p.name, &size);
    fh_error error = {0};
    if (fh_picture_decode(bytes, size, &p.picture, &error)) fail_msg("%s", error.message);
    free(bytes);
    const int linear = strcmp(reference_text(corners, row, "coding"), "linear") == 0;
    assert_int_equal(fh_profile_new(linear ? FH_CODING_LINEAR : FH_CODING_SRGB, 1, &p.profile), 0);
    const fh_point at[4] = {
        {reference_number(corners, row, "x1"), reference_number(corners, row, "y1")},
        {reference_number(corners, row, "x6"), reference_number(corners, row, "y6")},
        {reference_number(corners, row, "x24"), reference_number(corners, row, "y24")},
        {reference_number(corners, row, "x19"), reference_number(corners, row, "y19")}};
    if (fh_grid_from_corners(at, 4, 6, &p.grid, &error)) fail_msg("%s", error.message);
    if (fh_grid_measure(&p.grid, &p.picture.pixels, p.profile, 0.44, p.patches, &error))
        fail_msg("%s: %s", p.name, error.message);
    p.plain_mean = reference_number(corners, row, "dE_mean");
    return p;
}

static void end(photo *p)
{
    fh_picture_free(&p->picture);
    fh_profile_free(p->profile);
}

static reference corners_table(void)
{
    size_t size;
    free(photo_bytes("corners.csv", &size)); /* skips where there are no photos */
    return reference_load("../photos/corners.csv");
}

/* Means of the samples in the windows, within 1 of 255 as the README of the photos asks. */
static void test_patch_means(void **state)
{
    (void)state;
    reference corners = corners_table(), means = reference_load("../photos/patch_means.csv");
    size_t compared = 0;
    for (size_t row = 0; row < corners.rows; row++) {
        photo p = load(&corners, row);
        for (size_t m = 0; m < means.rows; m++) {
            if (strcmp(reference_text(&means, m, "file"), p.name) != 0) continue;
            const size_t i = (size_t)reference_number(&means, m, "patch") - 1;
            const double sd = reference_number(&means, m, "sd");
            if (sd > 8.0) continue; /* an edge crosses the window: its mean hangs on every pixel */
            check_close_at(p.patches[i].code.r * 255, reference_number(&means, m, "R"), 1.0, p.name,
                           __FILE__, (int)i + 1);
            check_close_at(p.patches[i].code.g * 255, reference_number(&means, m, "G"), 1.0, p.name,
                           __FILE__, (int)i + 1);
            check_close_at(p.patches[i].code.b * 255, reference_number(&means, m, "B"), 1.0, p.name,
                           __FILE__, (int)i + 1);
            compared++;
        }
        end(&p);
    }
    check(compared >= 160);
    reference_free(&corners);
    reference_free(&means);
}

static fh_calibration *calibrated(const photo *p, const fh_chart *chart, bool plain,
                                  fh_condition condition)
{
    fh_calibration *c = fh_calibration_new();
    fh_error error = {0};
    const fh_calibrate_options options = {.condition = condition, .plain = plain, .edition = -1};
    if (fh_calibrate(chart, p->patches, &options, NULL, NULL, c, &error))
        fail_msg("%s: %s", p->name, error.message);
    return c;
}

/* The leaf's plain fit in corners.csv leaves out the nine patches that it hides; ours must find
   them by itself. The others use every patch that is not clipped. */
static void test_plain_no_worse_than_published(void **state)
{
    (void)state;
    reference corners = corners_table();
    fh_chart *chart = chart24();
    for (size_t row = 0; row < corners.rows; row++) {
        photo p = load(&corners, row);
        const bool leaf = strstr(p.name, "leaf") != NULL;
        fh_calibration *c =
            calibrated(&p, chart, !leaf, (fh_condition){FH_ILLUMINANT_D50, FH_OBSERVER_2});
        printf("%-22s plain %.2f (published %.1f), %zu patches\n", p.name, c->plain_mean,
               p.plain_mean, c->used);
        check_between_at(c->plain_mean, 0.5, p.plain_mean + 0.1, p.name, __FILE__, __LINE__);
        fh_calibration_free(c);
        end(&p);
    }
    fh_chart_free(chart);
    reference_free(&corners);
}

/* Leave-one-out with the choice of model inside the loop, against the yardstick's own: the mean
   over the photos at least 25 % lower, each at least 10 %. */
static void test_left_out_error(void **state)
{
    (void)state;
    reference corners = corners_table();
    fh_chart *chart = chart24();
    double ours = 0.0, plain = 0.0;
    for (size_t row = 0; row < corners.rows; row++) {
        photo p = load(&corners, row);
        fh_calibration *c =
            calibrated(&p, chart, false, (fh_condition){FH_ILLUMINANT_D50, FH_OBSERVER_2});
        char model[FH_MODEL_TEXT], out[128] = "";
        fh_model_text(c->correction.model, model);
        for (size_t i = 0; i < 24; i++)
            if (c->exclusion[i] != FH_PATCH_USED)
                snprintf(out + strlen(out), sizeof out - strlen(out), " %zu:%s", i + 1,
                         fh_exclusion_text(c->exclusion[i]));
        printf("%-22s left out %.2f, 95 %% %.2f, plain %.2f; %s; edition %zu x%.3f;%s\n", p.name,
               c->left_out_mean, c->left_out_high, c->plain_left_out_mean, model, c->edition,
               c->edition_odds, out);
        check_between_at(c->left_out_mean, 0.3, 0.9 * c->plain_left_out_mean, p.name, __FILE__,
                         __LINE__);
        ours += c->left_out_mean;
        plain += c->plain_left_out_mean;
        fh_calibration_free(c);
        end(&p);
    }
    printf("mean: %.2f against %.2f\n", ours / (double)corners.rows, plain / (double)corners.rows);
    check(ours < 0.75 * plain);
    fh_chart_free(chart);
    reference_free(&corners);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_patch_means),
        cmocka_unit_test(test_plain_no_worse_than_published),
        cmocka_unit_test(test_left_out_error),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
