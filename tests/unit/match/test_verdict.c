/* Verdicts: probabilities against closed forms, the law of propagation and simulated coupons. */
#include "check.h"
#include "exact.h"
#include "reference.h"
#include "starve.h"

#include <math.h>
#include <string.h>

#include "base/random.h"
#include "farhue/aim.h"
#include "farhue/difference.h"
#include "farhue/draw.h"
#include "farhue/estimate.h"
#include "farhue/verdict.h"

static exact_shell shells[EXACT_SHELLS];
static fh_shell shell;
static fh_target target;
static fh_verdict verdict;

static fh_mat3 sigma(double s)
{
    return fh_mat3_diagonal(s * s, s * s, s * s);
}

/* A target without shell under its own light only, so that seen is bare. */
static void plain_target(fh_spectrum reflectance, double tolerance)
{
    fh_reading part = exact_reading("part", reflectance);
    fh_target_init(&target, &part, NULL);
    fh_condition light = fh_condition_default();
    assert_int_equal(fh_target_set_lights(&target, &light, 1, NULL), FH_OK);
    target.tolerance = tolerance;
}

static fh_verdict judge(const fh_reading *candidate, size_t trials, bool settle)
{
    fh_verdict_options options = fh_verdict_defaults();
    options.trials = trials;
    options.settle = settle;
    fh_verdict v;
    fh_error error = {0};
    if (fh_judge(&target, candidate, &options, &v, NULL, NULL, &error))
        fail_msg("judge: %s", error.message);
    return v;
}

static double normal(double x)
{
    return 0.5 * erfc(-x / sqrt(2.0));
}

/* Greys whose lightness alone is uncertain: ΔE00 = |ΔL*|/S_L with S_L at the mean lightness, so
 * that P = Φ((t S_L − ΔL)/u) − Φ((−t S_L − ΔL)/u). Independent computation: the normal
 * distribution; bound: four standard errors of a share of 20000. */
static void probability_of_a_grey(void **state)
{
    (void)state;
    plain_target(fh_spectrum_flat(0.20), 2.0);
    const double u = 0.8;
    for (int i = 0; i < 5; ++i) {
        fh_reading grey = exact_reading("grey", fh_spectrum_flat(0.20 + 0.004 * i));
        grey.random = fh_mat3_diagonal(u * u, 0, 0);
        fh_verdict v = judge(&grey, 20000, false);
        double dL = grey.lab.L - target.part.lab.L;
        double x = (grey.lab.L + target.part.lab.L) / 2.0 - 50.0;
        double limit = 2.0 * (1.0 + 0.015 * x * x / sqrt(20.0 + x * x));
        double p = normal((limit - dL) / u) - normal((-limit - dL) / u);
        check_close(v.p_within, p, 4.0 * sqrt(p * (1.0 - p) / 20000.0) + 1e-3);
        assert_int_equal(v.decision, fh_decide(v.p_within));
    }
}

/* [JCGM106]: accept from 0.95, reject to 0.05. */
static void decisions(void **state)
{
    (void)state;
    assert_int_equal(fh_decide(1.0), FH_ACCEPT);
    assert_int_equal(fh_decide(0.95), FH_ACCEPT);
    assert_int_equal(fh_decide(0.949), FH_MEASURE_AGAIN);
    assert_int_equal(fh_decide(0.051), FH_MEASURE_AGAIN);
    assert_int_equal(fh_decide(0.05), FH_REJECT);
    assert_int_equal(fh_decide((double)NAN), FH_MEASURE_AGAIN);
}

/* Two readings by one instrument differ with the small uncertainty, by two with the large one. */
static void what_is_shared_cancels(void **state)
{
    (void)state;
    plain_target(exact_part(5), 2.0);
    assert_int_equal(fh_reading_add_shared(&target.part, "instrument: one", sigma(1.0)), FH_OK);
    fh_reading near = exact_reading("near", exact_part(5));
    near.lab.L += 3.0;
    near.origin = FH_ORIGIN_LAB;
    fh_reading same = near, other = near;
    assert_int_equal(fh_reading_add_shared(&same, "instrument: one", sigma(1.0)), FH_OK);
    assert_int_equal(fh_reading_add_shared(&other, "instrument: two", sigma(1.0)), FH_OK);
    fh_verdict a = judge(&same, 4000, false), b = judge(&other, 4000, false);
    check_between(a.bare.interval.high - a.bare.interval.low, 0.0, 0.2);
    check_between(b.bare.interval.high - b.bare.interval.low, 2.5, 7.0);
}

/* d(seen ΔE00 under a light)/d(bare Lab of one object), by central differences. */
static fh_vec3 slope(const fh_estimate *moved, const fh_estimate *fixed, const fh_weights *light)
{
    fh_vec3 g;
    fh_spectrum other = fh_shell_look(&shell.curves, &fixed->reflectance);
    for (int k = 0; k < 3; ++k) {
        double dE[2];
        for (int side = 0; side < 2; ++side) {
            fh_vec3 d = {{0, 0, 0}};
            d.v[k] = side ? 0.02 : -0.02;
            fh_spectrum bare = fh_estimate_draw(moved, d, NULL);
            fh_spectrum look = fh_shell_look(&shell.curves, &bare);
            dE[side] = fh_de2000(fh_lab_of_spectrum(&other, light),
                                 fh_lab_of_spectrum(&look, light));
        }
        g.v[k] = (dE[1] - dE[0]) / 0.04;
    }
    return g;
}

static double quadratic(fh_vec3 g, fh_mat3 c)
{
    fh_vec3 x = fh_mat3_apply(c, g);
    return g.v[0] * x.v[0] + g.v[1] * x.v[1] + g.v[2] * x.v[2];
}

/* Where the model is straight over the spread, the Monte Carlo interval is ± 1.96 u of the law of
 * propagation of uncertainty [JCGM100, 5.1.2]. Independent computation: gradients by differences,
 * here; bound: 5 % (the interval of 20000 draws is good to 1.5 %). */
static void agrees_with_propagation(void **state)
{
    (void)state;
    exact_load(shells);
    memset(&shell, 0, sizeof shell);
    for (int i = 0; i < FH_BANDS; ++i) {
        shell.curves.A.v[i] = shells[4].w[i][0];
        shell.curves.B.v[i] = shells[4].w[i][1];
        shell.curves.C.v[i] = shells[4].w[i][2] / shells[4].w[i][1];
    }
    fh_reading part = exact_reading("part", exact_part(5));
    fh_reading candidate = exact_reading("candidate", exact_part(7));
    part.random = sigma(0.15);
    candidate.random = fh_mat3_diagonal(0.01, 0.04, 0.02);
    assert_int_equal(fh_reading_add_shared(&candidate, "instrument: two", sigma(0.2)), FH_OK);
    fh_target_init(&target, &part, &shell);
    fh_verdict v = judge(&candidate, 20000, false);
    fh_estimate p, c;
    assert_int_equal(fh_estimate_of_reading(&part, &p, NULL), FH_OK);
    assert_int_equal(fh_estimate_of_reading(&candidate, &c, NULL), FH_OK);
    for (size_t i = 0; i < v.light_count; ++i) {
        const fh_weights *light = &target.light[i];
        double u = sqrt(quadratic(slope(&p, &c, light), part.random) +
                        quadratic(slope(&c, &p, light), fh_reading_covariance(&candidate)));
        check_close((v.seen[i].interval.high - v.seen[i].interval.low) / (2.0 * 1.96 * u), 1.0,
                    0.05);
        check_close(v.seen[i].interval.median, v.seen[i].dE00, 0.1 * u);
    }
}

/* Coupons whose true colour is known, read with known errors: of those given a probability of
 * about p, the share p is truly within. The error here is drawn by the test's own numbers.
 * Bound: three standard errors of the share (bins of some hundred). */
static void probabilities_are_calibrated(void **state)
{
    (void)state;
    enum { COUPONS = 1500, BINS = 5 };
    plain_target(exact_part(5), 2.0);
    target.part.random = sigma(0.3);
    const fh_reading measured_part = target.part;
    double sum_p[BINS] = {0}, within[BINS] = {0};
    int count[BINS] = {0};
    for (uint64_t i = 0; i < COUPONS; ++i) {
        fh_vec3 e, r;
        fh_reading coupon = exact_reading("coupon", exact_part(5));
        coupon.origin = FH_ORIGIN_LAB;
        coupon.random = sigma(0.6);
        for (uint64_t k = 0; k < 3; ++k) {
            /* uniform in a cube wide enough that its edge is never within */
            r.v[k] = 12.0 * (fh_random_uniform(7, 1, i, k) - 0.5);
            e.v[k] = 0.6 * fh_random_normal(7, 2, i, k) - 0.3 * fh_random_normal(7, 3, i, k);
        }
        /* the part's error is moved to the coupon: only the difference counts */
        fh_lab truth = {coupon.lab.L + r.v[0], coupon.lab.a + r.v[1], coupon.lab.b + r.v[2]};
        bool inside = fh_de2000(measured_part.lab, truth) <= 2.0;
        coupon.lab = (fh_lab){truth.L + e.v[0], truth.a + e.v[1], truth.b + e.v[2]};
        fh_verdict v = judge(&coupon, 300, false);
        int bin = (int)fmin(floor(v.p_within * BINS), BINS - 1);
        sum_p[bin] += v.p_within;
        within[bin] += inside;
        ++count[bin];
    }
    for (int bin = 0; bin < BINS; ++bin) {
        double p = sum_p[bin] / count[bin], spread = sqrt(p * (1.0 - p) / count[bin]);
        check_close(within[bin] / count[bin], p, 3.0 * spread + 0.01);
    }
}

static fh_lab off_by(fh_lab lab, uint64_t stream, uint64_t i, double s)
{
    return (fh_lab){lab.L + s * fh_random_normal(9, stream, i, 0),
                    lab.a + s * fh_random_normal(9, stream, i, 1),
                    lab.b + s * fh_random_normal(9, stream, i, 2)};
}

/* Pairs of workshops whose instruments are each off by a constant of their own (0.5 and 0.8 per
 * axis, normal) and scatter by 0.2; the true coupon anywhere around the target. Of the accepts and
 * of the rejects at most 5 % are wrong. tests/study/study_verdict.c does the same at length. */
static void workshops_err_seldom(void **state)
{
    (void)state;
    const double bias[2] = {0.5, 0.8};
    for (int pair = 0; pair < 2; ++pair) {
        int count[3] = {0}, wrong[3] = {0};
        plain_target(exact_part(5), 4.0);
        const fh_lab truth = target.part.lab;
        target.part.origin = FH_ORIGIN_LAB;
        target.part.random = sigma(0.2);
        assert_int_equal(
            fh_reading_add_shared(&target.part, "instrument: owner", sigma(bias[pair])), FH_OK);
        for (uint64_t i = 0; i < 700; ++i) {
            fh_lab is = truth;
            is.L += 14.0 * (fh_random_uniform(9, 1, i, 0) - 0.5);
            is.a += 14.0 * (fh_random_uniform(9, 1, i, 1) - 0.5);
            is.b += 14.0 * (fh_random_uniform(9, 1, i, 2) - 0.5);
            target.part.lab = off_by(off_by(truth, 2, i, bias[pair]), 3, i, 0.2);
            fh_reading coupon = exact_reading("coupon", exact_part(5));
            coupon.origin = FH_ORIGIN_LAB;
            coupon.lab = off_by(off_by(is, 4, i, bias[pair]), 5, i, 0.2);
            coupon.random = sigma(0.2);
            assert_int_equal(
                fh_reading_add_shared(&coupon, "instrument: helper", sigma(bias[pair])), FH_OK);
            fh_decision said = judge(&coupon, 200, false).decision;
            bool right = fh_de2000(truth, is) <= 4.0;
            ++count[said];
            wrong[said] += said == FH_ACCEPT ? !right : right;
        }
        check(count[FH_ACCEPT] >= 15 && count[FH_REJECT] >= 100);
        check(wrong[FH_ACCEPT] <= 0.05 * count[FH_ACCEPT]);
        check(wrong[FH_REJECT] <= 0.05 * count[FH_REJECT]);
    }
}

/* A coupon of the target's Lab. Known by its Lab alone as the target is, each stands for half of what
 * its estimate leaves open; with a spectrum (that of the estimate) the target for all of it: the same
 * spread in sum, so the same figures but for the draws. Independent computation: variances add. Bound:
 * four standard errors of a median of 20000, some 5 %. */
static void two_labs_miss_alike(void **state)
{
    (void)state;
    fh_estimate estimate;
    fh_reading part = exact_reading("part", exact_part(3));
    part.origin = FH_ORIGIN_LAB;
    fh_target_init(&target, &part, NULL);
    assert_int_equal(fh_estimate_of_reading(&part, &estimate, NULL), FH_OK);
    fh_reading lab = part, spectrum = exact_reading("coupon", estimate.reflectance);
    const fh_verdict both = judge(&lab, 20000, false), one = judge(&spectrum, 20000, false);
    check(both.estimated && one.estimated);
    for (size_t i = 1; i < target.light_count; ++i) {
        const double expected = one.seen[i].interval.median;
        check(expected > 0.3);
        check_close(both.seen[i].interval.median, expected, 0.05 * expected);
    }
}

/* A shell whose readings, like those of part and coupon, come from one instrument: its error moves
 * both looks alike, so that a coupon that equals the part stays certain. */
static void errors_of_the_shell_are_common(void **state)
{
    (void)state;
    exact_load(shells);
    memset(&shell, 0, sizeof shell);
    shell.kind = FH_SHELL_GIVEN;
    shell.method = fh_method_unknown();
    for (int i = 0; i < FH_BANDS; ++i) {
        shell.curves.A.v[i] = shells[0].w[i][0];
        shell.curves.B.v[i] = shells[0].w[i][1];
        shell.curves.C.v[i] = shells[0].w[i][2] / shells[0].w[i][1];
    }
    shell.mode_count = 1;
    shell.mode[0].stream = fh_draw_stream("instrument: one");
    shell.mode[0].step.A = fh_spectrum_flat(0.01);
    shell.mode[0].step.B = fh_spectrum_flat(0.01);
    fh_reading part = exact_reading("part", exact_part(5));
    assert_int_equal(fh_reading_add_shared(&part, "instrument: one", sigma(0.8)), FH_OK);
    fh_target_init(&target, &part, &shell);
    fh_verdict same = judge(&part, 1000, false);
    check_between(same.seen[0].interval.high, 0.0, 1e-4);
    /* another instrument for the coupon, and it is not certain any more */
    fh_reading coupon = exact_reading("coupon", exact_part(5));
    assert_int_equal(fh_reading_add_shared(&coupon, "instrument: two", sigma(0.8)), FH_OK);
    check_between(judge(&coupon, 1000, false).seen[0].interval.high, 1.0, 6.0);
    /* without errors of the readings the shell's own doubt is left, where the two differ */
    fh_reading other = exact_reading("other", exact_part(7));
    target.part.shared_count = 0;
    fh_interval with = judge(&other, 1000, false).seen[0].interval;
    check(with.high - with.low > 0.2);
    shell.mode_count = 0;
    fh_interval without = judge(&other, 1000, false).seen[0].interval;
    check_close(without.high - without.low, 0.0, 1e-6);
}

/* The look of the assembled stack was measured, not the part: candidates are compared with the look
 * itself, so that what the shell hides of the part does not count. The same look taken as a part
 * that was worked back has a much wider interval. */
static void a_measured_look(void **state)
{
    (void)state;
    exact_load(shells);
    memset(&shell, 0, sizeof shell);
    shell.kind = FH_SHELL_GIVEN;
    shell.method = fh_method_unknown();
    for (int i = 0; i < FH_BANDS; ++i) {
        shell.curves.A.v[i] = shells[0].w[i][0];
        shell.curves.B.v[i] = shells[0].w[i][1];
        shell.curves.C.v[i] = shells[0].w[i][2] / shells[0].w[i][1];
    }
    fh_spectrum part = exact_part(5), seen = fh_shell_look(&shell.curves, &part);
    fh_reading look = exact_reading("look", seen), coupon = exact_reading("coupon", part);
    look.origin = FH_ORIGIN_LAB;
    look.random = sigma(0.3);
    fh_aim aim;
    fh_error error = {0};
    assert_int_equal(fh_target_init_look(&target, &look, &shell, &aim, &error), FH_OK);
    check(aim.possible && target.aimed && target.by_look);
    fh_verdict by_look = judge(&coupon, 2000, true);
    check_between(by_look.seen[0].dE00, 0.0, 0.06);
    check_between(by_look.seen[0].interval.high, 0.4, 1.2);
    check_between(by_look.seen[0].p_within, 0.999, 1.0);
    check_close(by_look.seen[0].target.L, look.lab.L, 0.05);
    target.by_look = false;
    fh_verdict by_part = judge(&coupon, 2000, false);
    check(by_part.seen[0].interval.high > 1.5 * by_look.seen[0].interval.high);

    target.by_look = true;
    target.shell = NULL;
    fh_verdict_options options = fh_verdict_defaults();
    assert_int_equal(fh_judge(&target, &coupon, &options, &verdict, NULL, NULL, &error),
                     FH_E_ARGUMENT);
    check(strstr(error.message, "a look without the shell") != NULL);
}

/* A noisy coupon in the middle of doubt is settled by more readings of it; with a shared error as
 * large as the tolerance none will. */
static void what_would_settle_it(void **state)
{
    (void)state;
    plain_target(exact_part(5), 2.0);
    fh_reading coupon = exact_reading("coupon", exact_part(5));
    coupon.origin = FH_ORIGIN_LAB;
    coupon.lab.L += 1.0;
    coupon.random = sigma(1.5);
    fh_verdict v = judge(&coupon, 3000, true);
    assert_int_equal(v.decision, FH_MEASURE_AGAIN);
    check(v.settle.candidate >= 2 && v.settle.candidate <= 50);
    check(v.settle.both >= 1 && v.settle.both <= v.settle.candidate);
    coupon.random = fh_mat3_scale(coupon.random,
                                  1.0 / (1.0 + (double)v.settle.candidate));
    check(judge(&coupon, 3000, false).decision != FH_MEASURE_AGAIN);

    assert_int_equal(fh_reading_add_shared(&coupon, "instrument: other", sigma(2.0)), FH_OK);
    v = judge(&coupon, 3000, true);
    assert_int_equal(v.decision, FH_MEASURE_AGAIN);
    assert_int_equal(v.settle.candidate, 0);
    assert_int_equal(v.settle.both, 0);
}

/* Own requirement: the part itself, whose measured look was worked back, is what is wanted, and is
 * accepted behind the shell (see test_aim.c for Lab alone). */
static void the_part_of_a_worked_back_look(void **state)
{
    (void)state;
    exact_load(shells);
    for (int s = 0; s < EXACT_SHELLS; s += 2)
        for (int p = 0; p < EXACT_PARTS; ++p) {
            shell = (fh_shell){.method = fh_method_unknown()};
            for (size_t i = 0; i < FH_BANDS; ++i) {
                shell.curves.A.v[i] = shells[s].w[i][0];
                shell.curves.B.v[i] = shells[s].w[i][1];
                shell.curves.C.v[i] = shells[s].w[i][2] / shells[s].w[i][1];
            }
            const fh_spectrum own = exact_part(p), seen = fh_shell_look(&shell.curves, &own);
            fh_reading look = exact_reading("look", seen), part = exact_reading("part", own);
            fh_aim aim;
            assert_int_equal(fh_aim_at(&shell, &look, &aim, NULL), FH_OK);
            fh_target_init(&target, &aim.inner, &shell);
            fh_verdict v = judge(&part, 1000, false);
            if (v.decision != FH_ACCEPT) fail_msg("shell %d, part %d: P %g", s, p, v.p_within);
            check(!v.estimated);
        }
}

/* A part that is too light everywhere, the tolerance between what it shows by day and under the
 * lamp: no metamerism. By the words of the header. */
static void too_light_is_no_metamerism(void **state)
{
    (void)state;
    const fh_spectrum own = exact_part(5);
    fh_reading part = exact_reading("part", own);
    fh_reading lighter = exact_reading("lighter", fh_spectrum_add(fh_spectrum_flat(0.0), own, 1.1));
    fh_target_init(&target, &part, NULL);
    fh_verdict v = judge(&lighter, 200, false);
    const double day = v.seen[0].dE00, lamp = fmax(v.seen[1].dE00, v.seen[2].dE00);
    check(lamp > day + 1e-3);
    target.tolerance = 0.5 * (day + lamp);
    v = judge(&lighter, 200, false);
    check(v.seen[0].dE00 < target.tolerance);
    check(v.seen[1].metamerism < 0.5 && v.seen[2].metamerism < 0.5);
    check(!v.lamp_fails);
}

/* Metamers of shared/reference/metamers_spectra.csv, equal under D65/10: fit in daylight and fail
 * under a lamp, and say so. */
static void metamers_are_marked(void **state)
{
    (void)state;
    reference table = reference_load("metamers_spectra.csv");
    size_t marked = 0, pairs = 0;
    for (size_t row = 0; row < table.rows;) {
        enum { MOST = 128 };
        double nm[MOST], value[2][MOST], pair = reference_number(&table, row, "pair");
        size_t count = 0;
        for (; row < table.rows && reference_number(&table, row, "pair") == pair; ++row) {
            assert_true(count < MOST);
            nm[count] = reference_number(&table, row, "nm");
            value[0][count] = reference_number(&table, row, "R1");
            value[1][count++] = reference_number(&table, row, "R2");
        }
        fh_spectrum s[2];
        for (int i = 0; i < 2; ++i)
            assert_int_equal(fh_spectrum_resample(nm, value[i], count, &s[i], NULL), FH_OK);
        fh_reading part = exact_reading("part", s[0]), candidate = exact_reading("other", s[1]);
        fh_target_init(&target, &part, NULL);
        fh_verdict v = judge(&candidate, 200, false);
        ++pairs;
        /* they match at 5 nm to 1e-9; on the working grid of 10 nm within 0.1 */
        check_between(v.seen[0].dE00, 0.0, 0.1);
        bool fails = v.seen[1].dE00 > 2.0 || v.seen[2].dE00 > 2.0;
        assert_int_equal(v.lamp_fails, fails);
        /* made equal under the first light they keep nearly all of their difference */
        check_close(v.seen[0].metamerism, 0.0, 0.0);
        check_close(v.seen[1].metamerism, v.seen[1].dE00, 0.1);
        marked += v.lamp_fails;
        if (fails) check(v.worst > 0 && v.decision == FH_REJECT);
    }
    reference_free(&table);
    check(pairs >= 2 && marked >= 1);
}

static void refusals(void **state)
{
    (void)state;
    fh_verdict_options options = fh_verdict_defaults();
    fh_error error = {0};
    plain_target(exact_part(5), 2.0);
    fh_reading good = exact_reading("good", exact_part(5)), bad = good;
    verdict.p_within = 7.0;
    bad.random.m[0][1] = 3.0;
    assert_int_equal(fh_judge(&target, &bad, &options, &verdict, NULL, NULL, &error), FH_E_DATA);
    bad = good;
    bad.lab.a = (double)NAN;
    assert_int_equal(fh_judge(&target, &bad, &options, &verdict, NULL, NULL, &error), FH_E_DATA);
    bad = good;
    bad.origin = FH_ORIGIN_LAB;
    bad.lab = (fh_lab){20, 120, 120};
    assert_int_equal(fh_judge(&target, &bad, &options, &verdict, NULL, NULL, &error),
                     FH_E_IMPOSSIBLE);
    bad = good;
    bad.method.specular = FH_SPECULAR_EXCLUDED;
    target.part.method.specular = FH_SPECULAR_INCLUDED;
    assert_int_equal(fh_judge(&target, &bad, &options, &verdict, NULL, NULL, &error), FH_E_DATA);
    check(strstr(error.message, "good was measured with the mirror reflection excluded") != NULL);
    options.trials = 10;
    assert_int_equal(fh_judge(&target, &good, &options, &verdict, NULL, NULL, &error),
                     FH_E_ARGUMENT);
    check_close(verdict.p_within, 7.0, 0.0);
}

static void survives_want_of_memory(void **state)
{
    (void)state;
    plain_target(exact_part(5), 2.0);
    target.part.origin = FH_ORIGIN_LAB;
    fh_reading good = exact_reading("good", exact_part(5));
    fh_verdict_options options = {.trials = 200, .seed = 1};
    verdict.p_within = 7.0;
    for (long n = 0;; ++n) {
        starve_after(n);
        fh_status status = fh_judge(&target, &good, &options, &verdict, NULL, NULL, NULL);
        if (!starve_end()) break;
        assert_int_equal(status, FH_E_MEMORY);
        check_close(verdict.p_within, 7.0, 0.0);
    }
    check(verdict.p_within <= 1.0);
}

static bool stop(void *user, double done)
{
    (void)done;
    *(int *)user += 1;
    return false;
}

static void can_be_stopped(void **state)
{
    (void)state;
    int calls = 0;
    fh_verdict_options options = fh_verdict_defaults();
    plain_target(exact_part(5), 2.0);
    fh_reading good = exact_reading("good", exact_part(5));
    assert_int_equal(fh_judge(&target, &good, &options, &verdict, stop, &calls, NULL),
                     FH_E_STOPPED);
    assert_int_equal(calls, 1);
}

/* No uncertainty, the same spectrum: certain, and every figure zero. */
static void identical(void **state)
{
    (void)state;
    plain_target(exact_part(6), 2.0);
    fh_reading same = exact_reading("same", exact_part(6));
    fh_verdict v = judge(&same, 200, true);
    assert_int_equal(v.decision, FH_ACCEPT);
    check_close(v.p_within, 1.0, 0.0);
    check_close(v.bare.interval.high, 0.0, 1e-6);
    check(!v.lamp_fails && !v.estimated);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(decisions),
        cmocka_unit_test(probability_of_a_grey),
        cmocka_unit_test(what_is_shared_cancels),
        cmocka_unit_test(agrees_with_propagation),
        cmocka_unit_test(probabilities_are_calibrated),
        cmocka_unit_test(workshops_err_seldom),
        cmocka_unit_test(two_labs_miss_alike),
        cmocka_unit_test(errors_of_the_shell_are_common),
        cmocka_unit_test(a_measured_look),
        cmocka_unit_test(what_would_settle_it),
        cmocka_unit_test(the_part_of_a_worked_back_look),
        cmocka_unit_test(too_light_is_no_metamerism),
        cmocka_unit_test(metamers_are_marked),
        cmocka_unit_test(refusals),
        cmocka_unit_test(survives_want_of_memory),
        cmocka_unit_test(can_be_stopped),
        cmocka_unit_test(identical),
    };
    return cmocka_run_group_tests_name("verdict", tests, NULL, NULL);
}
