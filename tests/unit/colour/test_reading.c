/* Readings: what is shared cancels in a difference, what is not stays. */
#include "check.h"

#include <math.h>
#include <string.h>

#include "farhue/draw.h"
#include "farhue/reading.h"

static fh_reading reading(const char *id, const char *source, double random, double shared)
{
    fh_reading r = fh_reading_blank();
    strcpy(r.id, id);
    r.lab = (fh_lab){60, 10, 20};
    r.random = fh_mat3_diagonal(random * random, random * random, random * random);
    if (source) {
        double s = shared * shared;
        assert_int_equal(fh_reading_add_shared(&r, source, fh_mat3_diagonal(s, s, s)), FH_OK);
    }
    return r;
}

/* The law of propagation (JCGM 100, 5.2) by hand: same source 2·0.1², two sources + 2·0.5². */
static void shared_error_cancels(void **state)
{
    (void)state;
    fh_reading a = reading("a", "instrument one", 0.1, 0.5);
    fh_reading b = reading("b", "instrument one", 0.1, 0.5);
    fh_reading c = reading("c", "instrument two", 0.1, 0.5);
    fh_mat3 v;
    assert_int_equal(fh_reading_difference_covariance(&a, &b, &v), FH_OK);
    check_close(v.m[1][1], 0.02, 1e-15);
    assert_int_equal(fh_reading_difference_covariance(&a, &c, &v), FH_OK);
    check_close(v.m[1][1], 0.52, 1e-15);
    fh_mat3 back;
    assert_int_equal(fh_reading_difference_covariance(&c, &a, &back), FH_OK);
    check_close(back.m[1][1], 0.52, 1e-15);
    /* one source, two sizes: the difference of the factors, 0.5 − 0.2 */
    fh_reading d = reading("d", "instrument one", 0.0, 0.2);
    assert_int_equal(fh_reading_difference_covariance(&a, &d, &v), FH_OK);
    check_close(v.m[0][0], 0.01 + 0.09, 1e-15);
}

/* The Monte Carlo draws have the covariance that the law of propagation gives; bound: five
 * standard errors of a variance from N draws. */
static void draws_agree_with_propagation(void **state)
{
    (void)state;
    enum { N = 40000 };
    fh_reading a = reading("a", "chart photo", 0.1, 0.5), b = reading("b", "chart photo", 0.2, 0.3);
    a.shared[0].covariance.m[0][1] = a.shared[0].covariance.m[1][0] = 0.1;
    fh_mat3 law;
    assert_int_equal(fh_reading_difference_covariance(&a, &b, &law), FH_OK);
    fh_drawer da, db;
    assert_int_equal(fh_drawer_of(&a, "part#a", &da), FH_OK);
    assert_int_equal(fh_drawer_of(&b, "shelf#b", &db), FH_OK);
    fh_mat3 seen = {{{0}}};
    for (uint64_t t = 0; t < N; ++t) {
        fh_vec3 ea = fh_draw_error(&da, 5, t), eb = fh_draw_error(&db, 5, t);
        for (int i = 0; i < 3; ++i)
            for (int j = 0; j < 3; ++j)
                seen.m[i][j] += (ea.v[i] - eb.v[i]) * (ea.v[j] - eb.v[j]) / N;
    }
    for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j)
            check_close(seen.m[i][j], law.m[i][j],
                        5 * sqrt((law.m[i][i] * law.m[j][j] + law.m[i][j] * law.m[i][j]) / N));
}

static void adding_sources(void **state)
{
    (void)state;
    fh_reading r = reading("r", "one", 0, 0.3);
    assert_int_equal(fh_reading_add_shared(&r, "one", fh_mat3_diagonal(0.16, 0.16, 0.16)), FH_OK);
    assert_int_equal(r.shared_count, 1);
    check_close(r.shared[0].covariance.m[2][2], 0.25, 1e-15);
    assert_int_equal(fh_reading_add_shared(&r, "bad", fh_mat3_diagonal(-1, 1, 1)), FH_E_DATA);
    char name[3] = "s0";
    for (int i = 1; i < FH_SHARED_MAX; ++i) {
        name[1] = (char)('0' + i);
        assert_int_equal(fh_reading_add_shared(&r, name, fh_mat3_diagonal(1, 1, 1)), FH_OK);
    }
    assert_int_equal(fh_reading_add_shared(&r, "one more", fh_mat3_diagonal(1, 1, 1)), FH_E_LIMIT);
    check_close(fh_reading_covariance(&r).m[0][0], 0.25 + (FH_SHARED_MAX - 1), 1e-12);
}

static void check_refuses(void **state)
{
    (void)state;
    fh_error error;
    bool glow = true;
    fh_reading r = reading("r", NULL, 0.1, 0);
    assert_int_equal(fh_reading_check(&r, &glow, &error), FH_OK);
    check(!glow);
    const fh_lab impossible[] = {{-1, 0, 0}, {150, 0, 0}, {50, 300, 0}, {50, 0, -201}, {NAN, 0, 0}};
    for (size_t i = 0; i < 5; ++i) {
        fh_reading bad = r;
        bad.lab = impossible[i];
        assert_int_equal(fh_reading_check(&bad, NULL, &error), FH_E_DATA);
        check(strstr(error.message, "expected") != NULL);
    }
    r.origin = FH_ORIGIN_SPECTRUM;
    r.reflectance = fh_spectrum_flat(0.5);
    r.reflectance.v[3] = 1.1;
    assert_int_equal(fh_reading_check(&r, &glow, &error), FH_OK);
    check(glow);
    const double wrong[] = {-0.1, 1.3, NAN, INFINITY};
    for (size_t i = 0; i < 4; ++i) {
        r.reflectance.v[3] = wrong[i];
        assert_int_equal(fh_reading_check(&r, NULL, &error), FH_E_DATA);
    }
    r.reflectance.v[3] = 0.5;
    r.random.m[0][1] = 9;
    assert_int_equal(fh_reading_check(&r, NULL, &error), FH_E_DATA);
}

/* By hand: L* 60, 61, 62 have variance 1; of the mean 1/3, widened by (4.30/1.96)²
 * (Student's t for 2 degrees of freedom, JCGM 100 table G.2). */
static void pooling(void **state)
{
    (void)state;
    fh_reading r[3];
    for (int i = 0; i < 3; ++i) {
        r[i] = reading("r", "photo", 0.1, 0.4);
        r[i].lab.L = 60 + i;
    }
    fh_reading pooled;
    assert_int_equal(fh_reading_pool(r, 3, &pooled, NULL), FH_OK);
    check_close(pooled.lab.L, 61, 1e-12);
    check_close(pooled.random.m[0][0], (4.30 / 1.96) * (4.30 / 1.96) / 3, 1e-12);
    check_close(pooled.shared[0].covariance.m[0][0], 0.16, 1e-12); /* does not average out */
    assert_int_equal(pooled.repeats, 3);
    /* no spread at all: the stated random part, over n */
    for (int i = 0; i < 3; ++i) r[i].lab.L = 60;
    assert_int_equal(fh_reading_pool(r, 3, &pooled, NULL), FH_OK);
    check_close(pooled.random.m[0][0], 0.01 / 3, 1e-15);

    fh_error error;
    assert_int_equal(fh_reading_pool(r, 0, &pooled, &error), FH_E_ARGUMENT);
    r[1].condition.illuminant = FH_ILLUMINANT_A;
    assert_int_equal(fh_reading_pool(r, 3, &pooled, &error), FH_E_DATA);
    check(strstr(error.message, "conditions") != NULL);
    /* by hand: photo is on 2 of 3 readings, (2/3)² 0.16; the other on 1, 0.16/9 */
    r[1] = reading("x", "another photo", 0.1, 0.4);
    assert_int_equal(fh_reading_pool(r, 3, &pooled, &error), FH_OK);
    assert_int_equal(pooled.shared_count, 2);
    check_close(pooled.shared[0].covariance.m[0][0], 4.0 / 9 * 0.16, 1e-15);
    check_close(pooled.shared[1].covariance.m[0][0], 0.16 / 9, 1e-15);
    fh_reading many[FH_SHARED_MAX + 1];
    for (int i = 0; i <= FH_SHARED_MAX; ++i) {
        char source[2] = {(char)('a' + i), 0};
        many[i] = reading("y", source, 0.1, 0.4);
    }
    assert_int_equal(fh_reading_pool(many, FH_SHARED_MAX + 1, &pooled, &error), FH_E_LIMIT);
}

static void pooling_spectra(void **state)
{
    (void)state;
    fh_weights w = fh_weights_of(fh_condition_default());
    fh_reading r[2];
    for (int i = 0; i < 2; ++i) {
        r[i] = reading("r", NULL, 0, 0);
        r[i].origin = FH_ORIGIN_SPECTRUM;
        r[i].reflectance = fh_spectrum_flat(0.2 + 0.2 * i);
        r[i].lab = fh_lab_of_spectrum(&r[i].reflectance, &w);
    }
    fh_reading pooled;
    assert_int_equal(fh_reading_pool(r, 2, &pooled, NULL), FH_OK);
    fh_spectrum mean = fh_spectrum_flat(0.3);
    check_all_close(pooled.reflectance.v, mean.v, FH_BANDS, 1e-15);
    check_close(pooled.lab.L, fh_lab_of_spectrum(&mean, &w).L, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shared_error_cancels), cmocka_unit_test(draws_agree_with_propagation),
        cmocka_unit_test(adding_sources),       cmocka_unit_test(check_refuses),
        cmocka_unit_test(pooling),              cmocka_unit_test(pooling_spectra),
    };
    return cmocka_run_group_tests_name("reading", tests, NULL, NULL);
}
