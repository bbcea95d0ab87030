/* Where drawings and sheets go: a callback of the caller's that takes bytes in order. */
#ifndef FARHUE_SINK_H
#define FARHUE_SINK_H

#include "farhue/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Takes the next length bytes (UTF-8, not NUL-terminated). A status other than FH_OK stops the
 * writer, which then returns it. */
typedef fh_status (*fh_sink_write)(void *user, const char *bytes, size_t length);

typedef struct fh_sink {
    fh_sink_write write;
    void *user;
} fh_sink;

/* A growing text in memory as a sink's target: start it as {0}, pass fh_sink_to_text(&text),
 * give it back with fh_text_free. text.bytes is NUL-terminated once something was written. */
typedef struct fh_text {
    char *bytes;
    size_t length, capacity;
} fh_text;

/* The sink that appends to text; its only failures are FH_E_MEMORY and FH_E_LIMIT. */
FH_API fh_sink fh_sink_to_text(fh_text *text);

/* Free the bytes and clear the value; an empty value is fine. */
FH_API void fh_text_free(fh_text *text);

#ifdef __cplusplus
}
#endif
#endif
