#include "check.h"

#include "exact.h"
#include "farhue/shell_words.h"

#include <string.h>

static fh_shell shell;
static fh_shell_report report;
static const char *const names[] = {"black card", "grey card", "white tape"};

/* Words of a shell over three backings; the last one as given. The caller frees them. */
static fh_text words_over(fh_spectrum white, double B, size_t count)
{
    fh_shell_curves truth = {.A = fh_spectrum_flat(0.05), .C = fh_spectrum_flat(0.1)};
    truth.B = fh_spectrum_flat(B);
    for (size_t i = 0; i < 5; ++i) truth.B.v[i] = 0.001;
    fh_reading look[3], backing[3];
    fh_shell_sample sample[3];
    for (size_t b = 0; b < count; ++b) {
        fh_spectrum part = b == 0 ? white : fh_spectrum_flat(b == 1 ? 0.05 : 0.35);
        backing[b] = exact_reading(names[2 - b], part);
        look[b] = exact_reading("shell", fh_shell_look(&truth, &part));
        sample[b] = (fh_shell_sample){&look[b], &backing[b]};
    }
    fh_shell_options options = fh_shell_options_default();
    fh_error error = {0};
    if (fh_shell_fit(sample, count, &options, &shell, &report, &error))
        fail_msg("%s", error.message);
    fh_text text = {0};
    check(fh_shell_explain(&shell, &report, names, fh_sink_to_text(&text)) == FH_OK);
    return text;
}

static void a_good_shell(void **state)
{
    (void)state;
    fh_text text = words_over(fh_spectrum_flat(0.9), 0.5, 3);
    check(strstr(text.bytes, "Fitted to 3 backings"));
    check(strstr(text.bytes, "Reading noise leaves a look uncertain by"));
    check(strstr(text.bytes, "once more") || strstr(text.bytes, "further backing"));
    check(strstr(text.bytes, "At 380–420 nm the inner part can't be seen"));
    check(strstr(text.bytes, "comes from the part, the rest from"));
    check(!strstr(text.bytes, "fails"));
    check(!strstr(text.bytes, "geometry isn't stated"));
    check(!strstr(text.bytes, "glows"));
    check(!strstr(text.bytes, "alike"));
    fh_text_free(&text);
}

static void things_to_distrust(void **state)
{
    (void)state;
    fh_spectrum paper = fh_spectrum_flat(0.85);
    for (size_t i = 4; i <= 8; ++i) paper.v[i] = 1.0;
    fh_text text = words_over(paper, 0.5, 3);
    check(strstr(text.bytes, "it glows"));
    fh_text_free(&text);
    text = words_over(fh_spectrum_flat(0.25), 0.5, 2);
    check(strstr(text.bytes, "The backings are alike"));
    fh_text_free(&text);
    text = words_over(fh_spectrum_flat(0.9), 0.005, 3);
    check(strstr(text.bytes, "Nothing of the inner part can be seen"));
    check(strstr(text.bytes, "matters little"));
    fh_text_free(&text);
    text = words_over(fh_spectrum_flat(0.9), 0.5, 2);
    check(strstr(text.bytes, "Two readings"));
    fh_text_free(&text);
}

/* Independent computation: port 8 mm, gap 2 mm: 1 - 16/(16 + 4) = 0.2. */
static void a_gap_under_the_head(void **state)
{
    (void)state;
    fh_shell_curves truth = {.A = fh_spectrum_flat(0.05), .C = fh_spectrum_flat(0.1)};
    truth.B = fh_spectrum_flat(0.5);
    fh_reading look[2], backing[2];
    fh_shell_sample sample[2];
    for (int b = 0; b < 2; ++b) {
        fh_spectrum part = fh_spectrum_flat(b ? 0.9 : 0.05);
        backing[b] = exact_reading(names[b], part);
        look[b] = exact_reading("shell", fh_shell_look(&truth, &part));
        look[b].method.port_mm = 8.0;
        look[b].method.gap_mm = 2.0;
        sample[b] = (fh_shell_sample){&look[b], &backing[b]};
    }
    fh_shell_options options = fh_shell_options_default();
    check(fh_shell_fit(sample, 2, &options, &shell, &report, NULL) == FH_OK);
    check_close(report.gap_loss, 0.2, 1e-12);
    fh_text text = {0};
    check(fh_shell_explain(&shell, &report, names, fh_sink_to_text(&text)) == FH_OK);
    check(strstr(text.bytes, "loses about 20 %"));
    fh_text_free(&text);
}

/* Own requirement: curves that miss their own reading say nothing of the look. A shell whose light
 * doesn't come from behind is no clear sheet. */
static void a_fit_that_fails(void **state)
{
    (void)state;
    fh_reading backing = exact_reading(names[0], fh_spectrum_flat(0.04));
    fh_reading look = exact_reading("shell", fh_spectrum_flat(0.3));
    backing.method.geometry = look.method.geometry = FH_GEOMETRY_45_0;
    fh_shell_sample sample = {&look, &backing};
    fh_shell_options options = fh_shell_options_default();
    assert_int_equal(fh_shell_fit(&sample, 1, &options, &shell, &report, NULL), FH_OK);
    check(report.dE[0] > 3 && fh_shell_fit_fails(&report));
    fh_text text = {0};
    check(fh_shell_explain(&shell, &report, names, fh_sink_to_text(&text)) == FH_OK);
    check(strstr(text.bytes, "So the fit fails"));
    check(strstr(text.bytes, "over a second backing"));
    check(!strstr(text.bytes, "comes from the part, the rest"));
    check(!strstr(text.bytes, "geometry isn't stated"));
    fh_text_free(&text);
}

/* Own requirement: a geometry that is taken, and changes the curves, is told. */
static void a_geometry_that_is_taken(void **state)
{
    (void)state;
    fh_reading passed = exact_reading("hood", fh_spectrum_flat(0.8));
    fh_shell_options options = fh_shell_options_default();
    options.transmittance = &passed;
    options.clear = true;
    for (int known = 0; known < 2; ++known) {
        fh_text text = {0};
        passed.method.geometry = known ? FH_GEOMETRY_8_D : FH_GEOMETRY_UNKNOWN;
        assert_int_equal(fh_shell_fit(NULL, 0, &options, &shell, &report, NULL), FH_OK);
        check(fh_shell_explain(&shell, &report, names, fh_sink_to_text(&text)) == FH_OK);
        const char *told =
            strstr(text.bytes, "geometry isn't stated: the sheet is taken as seen by "
                               "a 45/0");
        check(known ? told == NULL : told != NULL);
        fh_text_free(&text);
    }
}

static fh_status full(void *user, const char *bytes, size_t length)
{
    (void)user, (void)bytes, (void)length;
    return FH_E_IO;
}

static void a_sink_that_fails(void **state)
{
    (void)state;
    fh_text text = words_over(fh_spectrum_flat(0.9), 0.5, 3);
    check(fh_shell_explain(&shell, &report, names, (fh_sink){full, NULL}) == FH_E_IO);
    fh_text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_good_shell),
        cmocka_unit_test(things_to_distrust),
        cmocka_unit_test(a_gap_under_the_head),
        cmocka_unit_test(a_fit_that_fails),
        cmocka_unit_test(a_geometry_that_is_taken),
        cmocka_unit_test(a_sink_that_fails),
    };
    return cmocka_run_group_tests_name("show/shell_words", tests, NULL, NULL);
}
