#include "check.h"

#include <math.h>

#include "base/random.h"

/* Source: table of the normal quantile to 15 digits in Wichura 1988 (AS 241): p = 0.25 gives
 * -0.6744897501960817, p = 0.001 gives -3.090232306167814, p = 1e-20 gives -9.262340089798408. */
static void quantile(void **state)
{
    (void)state;
    check_close(fh_normal_quantile(0.25), -0.6744897501960817, 1e-15);
    check_close(fh_normal_quantile(0.001), -3.090232306167814, 1e-14);
    check_close(fh_normal_quantile(1e-20), -9.262340089798408, 1e-13);
    check(fh_normal_quantile(0.5) == 0.0);
    /* the C library's erfc, an independent way back */
    for (int i = 1; i < 1000; ++i) {
        double p = i / 1000.0;
        check_close(0.5 * erfc(-fh_normal_quantile(p) / sqrt(2.0)), p, 1e-14);
    }
}

/* Source: the FNV-1a test vectors of its authors' reference page, from memory. */
static void stream(void **state)
{
    (void)state;
    check(fh_stream_of("") == UINT64_C(0xcbf29ce484222325));
    check(fh_stream_of("a") == UINT64_C(0xaf63dc4c8601ec8c));
    check(fh_stream_of("foobar") == UINT64_C(0x85944171f73967e8));
}

/* Moments of 200,000 draws; bounds are five standard errors of each moment. */
static void moments(void **state)
{
    (void)state;
    enum { N = 200000 };
    double m1 = 0, m2 = 0, m4 = 0, lag = 0, across = 0, last = 0;
    for (uint64_t i = 0; i < N; ++i) {
        double z = fh_random_normal(7, 11, i, 0), other = fh_random_normal(7, 12, i, 0);
        m1 += z / N, m2 += z * z / N, m4 += z * z * z * z / N;
        lag += z * last / N, across += z * other / N;
        last = z;
    }
    double error = 5 / sqrt((double)N);
    check_close(m1, 0, error);
    check_close(m2, 1, error * sqrt(2.0));
    check_close(m4, 3, error * sqrt(96.0));
    check_close(lag, 0, error);
    check_close(across, 0, error);
}

static void addresses(void **state)
{
    (void)state;
    check(fh_random_bits(1, 2, 3, 4) == fh_random_bits(1, 2, 3, 4));
    check(fh_random_bits(1, 2, 3, 4) != fh_random_bits(1, 2, 4, 3));
    check(fh_random_bits(1, 2, 3, 4) != fh_random_bits(2, 1, 3, 4));
    for (uint64_t i = 0; i < 100000; ++i) {
        double u = fh_random_uniform(0, 0, i, 0);
        check(u > 0.0 && u < 1.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quantile),
        cmocka_unit_test(stream),
        cmocka_unit_test(moments),
        cmocka_unit_test(addresses),
    };
    return cmocka_run_group_tests_name("random", tests, NULL, NULL);
}
