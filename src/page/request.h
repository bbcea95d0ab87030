/* What the page asks of the engine: lines of `key=value`, and a body of bytes (a file).
 * In values, a backslash begins \n (new line), \r and \\ . */
#ifndef FARHUE_PAGE_REQUEST_H
#define FARHUE_PAGE_REQUEST_H

#include "base/text.h"

typedef struct page_request {
    fh_slice lines;
    fh_slice body;
} page_request;

/* The value of a key, unescaped, cut to size at a character; "" and false when it is not there. */
bool request_text(const page_request *r, const char *key, char *out, size_t size);

/* The whole value, unescaped, added to a buffer that the caller frees; false when it is not there
 * or memory is out. */
bool request_whole(const page_request *r, const char *key, fh_buffer *out);

/* Keep a text, whole or not at all: FH_E_LIMIT when it needs more than size bytes with its NUL,
 * FH_E_DATA when it is no single line that a job file can hold; out is then left alone. what is
 * the text's name in "The … has 70 characters". */
fh_status keep_line(const char *what, fh_slice text, char *out, size_t size, fh_error *error);

/* The same for the value of a key; "" when it is not there. FH_E_MEMORY. */
fh_status request_line(const page_request *r, const char *key, const char *what, char *out,
                       size_t size, fh_error *error);

/* The value as a number, a decimal comma being taken for a point; false when it is not one. */
bool request_number(const page_request *r, const char *key, double *value);

/* The value as a count of 0 or more. */
bool request_count(const page_request *r, const char *key, size_t *value);

/* The next number of a list separated by blanks, tabs, new lines, semicolons (and commas, when
 * commas is true); advances *rest. False at the end or when what stands there is no number. */
bool list_number(fh_slice *rest, bool commas, double *value);

#endif
