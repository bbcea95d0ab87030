/* Status codes and the error that readers and writers fill in.
 *
 * Pure computing returns values. What can fail returns an fh_status; its outputs are written last
 * and stay untouched on failure. Functions that read or write people's data also take an
 * fh_error that says where the trouble is, what was found and what was expected. */
#ifndef FARHUE_STATUS_H
#define FARHUE_STATUS_H

#include <stdbool.h>
#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__) && !defined(FH_API)
#define FH_API __attribute__((visibility("default")))
#elif !defined(FH_API)
#define FH_API
#endif

#if defined(__GNUC__)
#define FH_PRINTF(at, first) __attribute__((format(printf, at, first)))
#else
#define FH_PRINTF(at, first)
#endif

typedef enum fh_status {
    FH_OK = 0,
    FH_E_ARGUMENT,   /* a value outside its stated domain */
    FH_E_DATA,       /* input data that cannot be right, or not enough of it */
    FH_E_IMPOSSIBLE, /* well-formed, but no physical answer exists; the nearest may be given */
    FH_E_MEMORY,     /* an allocation failed */
    FH_E_IO,         /* reading or writing failed */
    FH_E_LIMIT,      /* a stated limit would be exceeded (size, count) */
    FH_E_STOPPED     /* the progress callback asked to stop */
} fh_status;

enum { FH_ERROR_FILE = 256, FH_ERROR_MESSAGE = 512 };

/* Where and why something failed.
 * file may be empty; line and column count from 1, 0 where they do not apply. */
typedef struct fh_error {
    fh_status status;
    size_t line;
    size_t column;
    char file[FH_ERROR_FILE];
    char message[FH_ERROR_MESSAGE]; /* UTF-8, "what was found; what was expected" */
} fh_error;

/* A short English phrase for a status, never NULL. */
FH_API const char *fh_status_text(fh_status status);

/* Called between pieces of long work; done runs from 0 to 1. Returning false stops the work,
 * which then reports FH_E_STOPPED. */
typedef bool (*fh_progress)(void *user, double done);

#ifdef __cplusplus
}
#endif
#endif
