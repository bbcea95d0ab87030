#include "check.h"

#include <math.h>
#include <stdio.h>

static int close_enough(double actual, double expected, double tolerance)
{
    if (isinf(actual) || isinf(expected)) return actual == expected;
    return fabs(actual - expected) <= tolerance; /* false for NaN */
}

static void fail_close(double actual, double expected, double tolerance, const char *what,
                       const char *file, int line)
{
    print_error("%s: found %.17g, expected %.17g within %g; they differ by %g\n", what, actual,
                expected, tolerance, actual - expected);
    _fail(file, line);
}

void check_close_at(double actual, double expected, double tolerance, const char *what,
                    const char *file, int line)
{
    if (!close_enough(actual, expected, tolerance))
        fail_close(actual, expected, tolerance, what, file, line);
}

void check_all_close_at(const double *actual, const double *expected, size_t count,
                        double tolerance, const char *what, const char *file, int line)
{
    for (size_t i = 0; i < count; i++) {
        if (close_enough(actual[i], expected[i], tolerance)) continue;
        char name[128];
        snprintf(name, sizeof name, "%s, index %zu", what, i);
        fail_close(actual[i], expected[i], tolerance, name, file, line);
    }
}

void check_between_at(double actual, double low, double high, const char *what, const char *file,
                      int line)
{
    if (low <= actual && actual <= high) return;
    print_error("%s: found %.17g, expected %.17g to %.17g\n", what, actual, low, high);
    _fail(file, line);
}

void check_at(int holds, const char *what, const char *file, int line)
{
    if (holds) return;
    print_error("does not hold: %s\n", what);
    _fail(file, line);
}
