/* Makes the n-th allocation fail, to test that a call reports FH_E_MEMORY, leaks nothing and
   leaves its outputs alone. Test programs are linked with calloc and realloc wrapped, the only
   two ways in which the library gets memory.

       for (long n = 0;; n++) {
           starve_after(n);
           fh_status status = fh_thing(...);
           if (!starve_end()) break;          // n allocations were enough: all paths were seen
           check(status == FH_E_MEMORY);
       } */
#ifndef FARHUE_TESTS_STARVE_H
#define FARHUE_TESTS_STARVE_H

#include <stdbool.h>

/* The next n allocations succeed, those after them fail. */
void starve_after(long n);

/* Allocations succeed again. Returns whether any has failed since starve_after. */
bool starve_end(void);

#endif
