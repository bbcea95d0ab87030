/* Text of a file, before anything is read from it: valid UTF-8, no control characters. */
#ifndef FARHUE_FILES_PLAIN_H
#define FARHUE_FILES_PLAIN_H

#include "base/text.h"

/* A place in a text; column counts characters from 1. */
typedef struct fh_cursor {
    const char *at, *end;
    size_t line, column;
} fh_cursor;

/* The text without a byte-order mark. Errors with the place: malformed UTF-8 (with the advice to
 * save as UTF-8), NUL or another control character than tab, CR, LF; characters that reverse the
 * direction of writing, which could make a name look like another one. */
fh_status fh_plain_text(const char *text, size_t length, fh_slice *out, fh_error *error);

fh_cursor fh_cursor_of(fh_slice text);

bool fh_cursor_done(const fh_cursor *cursor);

/* Whether the cursor stands at a CR or LF. */
bool fh_cursor_line_end(const fh_cursor *cursor);

/* One byte onwards (within a line), and past a line end: CR, LF or both. */
void fh_cursor_step(fh_cursor *cursor);
void fh_cursor_next_line(fh_cursor *cursor);

void fh_cursor_skip_blanks(fh_cursor *cursor); /* blanks and tabs */

#endif
