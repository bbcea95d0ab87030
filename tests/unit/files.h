/* Whole files for tests. */
#ifndef FARHUE_TESTS_FILES_H
#define FARHUE_TESTS_FILES_H

#include <stddef.h>

/* The bytes of a file, NUL-terminated; NULL when it cannot be read. Free with free(). */
void *file_bytes(const char *path, size_t *size);

/* A real photo of the shared data: FARHUE_REFERENCE/../photos/NAME. Skips the running test, saying
   so, where there is none. */
void *photo_bytes(const char *name, size_t *size);

#endif
