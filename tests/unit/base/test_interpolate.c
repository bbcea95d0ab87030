#include "check.h"

#include <math.h>

#include "base/interpolate.h"

/* Away from the ends Sprague's quintic reproduces polynomials up to degree 4; an independent
 * computation, the polynomial itself. The points that CIE 167:2005 sets beyond the ends continue
 * straight lines only, so the two outer intervals are held to a line. */
static void sprague_is_exact_for_polynomials(void **state)
{
    (void)state;
    double p[9], line[9];
    for (int i = 0; i < 9; ++i) {
        p[i] = 1 + i - 0.5 * i * i + 0.03 * i * i * i - 0.004 * pow(i, 4);
        line[i] = 3 - 0.25 * i;
    }
    for (double x = 2; x <= 6; x += 0.0625)
        check_close(fh_sprague(p, 9, x), 1 + x - 0.5 * x * x + 0.03 * x * x * x - 0.004 * pow(x, 4),
                    1e-11);
    for (double x = 0; x <= 8; x += 0.0625) check_close(fh_sprague(line, 9, x), 3 - 0.25 * x, 1e-12);
    for (int i = 0; i < 9; ++i) check_close(fh_sprague(p, 9, i), p[i], 1e-12);
}

/* Source: the midpoint weights of Sprague's formula, 1/256 (3, −25, 150, 150, −25, 3), the classic
 * halving rule of six points, from memory. */
static void sprague_midpoint(void **state)
{
    (void)state;
    const double halves[6] = {3 / 256.0, -25 / 256.0, 150 / 256.0, 150 / 256.0, -25 / 256.0, 3 / 256.0};
    double w[6];
    fh_sprague_basis(0.5, w);
    check_all_close(w, halves, 6, 1e-16);
    for (double t = 0; t <= 1; t += 0.125) {
        fh_sprague_basis(t, w);
        check_close(w[0] + w[1] + w[2] + w[3] + w[4] + w[5], 1.0, 1e-15);
    }
}

static void cubic_stays_between_points(void **state)
{
    (void)state;
    const double x[] = {380, 400, 430, 500, 510, 700}, y[] = {0.1, 0.1, 0.9, 0.95, 0.2, 0.1};
    for (int i = 0; i < 6; ++i) check(fh_monotone_cubic(x, y, 6, x[i]) == y[i]);
    for (int i = 0; i < 5; ++i)
        for (double t = 0; t <= 1; t += 0.01) {
            double v = fh_monotone_cubic(x, y, 6, x[i] + t * (x[i + 1] - x[i]));
            check_between(v, fmin(y[i], y[i + 1]) - 1e-15, fmax(y[i], y[i + 1]) + 1e-15);
        }
    const double line[] = {1, 2};
    check_close(fh_monotone_cubic(x, line, 2, 395), 1.75, 1e-15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sprague_is_exact_for_polynomials),
        cmocka_unit_test(sprague_midpoint),
        cmocka_unit_test(cubic_stays_between_points),
    };
    return cmocka_run_group_tests_name("interpolate", tests, NULL, NULL);
}
