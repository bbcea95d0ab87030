/* Assertions on doubles for cmocka tests. Debian's cmocka 1.1.5 compares floats only coarsely and
   prints them with six digits; these print what was found, what was expected and by how much
   they differ, with the line of the test. */
#ifndef FARHUE_TESTS_CHECK_H
#define FARHUE_TESTS_CHECK_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

/* Fails unless |actual - expected| <= tolerance. NaN fails on either side; an infinity equals
   only itself. */
#define check_close(actual, expected, tolerance)                                                   \
    check_close_at((actual), (expected), (tolerance), #actual, __FILE__, __LINE__)

/* The same for arrays of `count` doubles; names the first index that differs. */
#define check_all_close(actual, expected, count, tolerance)                                        \
    check_all_close_at((actual), (expected), (count), (tolerance), #actual, __FILE__, __LINE__)

/* Fails unless low <= actual <= high. */
#define check_between(actual, low, high)                                                           \
    check_between_at((actual), (low), (high), #actual, __FILE__, __LINE__)

/* Fails unless the condition holds; prints the condition itself. */
#define check(condition) check_at((condition) ? 1 : 0, #condition, __FILE__, __LINE__)

/* The functions behind the macros: a table-driven test calls them with a text of its own, such as
   the name of the row. */
void check_close_at(double actual, double expected, double tolerance, const char *what,
                    const char *file, int line);
void check_all_close_at(const double *actual, const double *expected, size_t count,
                        double tolerance, const char *what, const char *file, int line);
void check_between_at(double actual, double low, double high, const char *what, const char *file,
                      int line);
void check_at(int holds, const char *what, const char *file, int line);

#endif
