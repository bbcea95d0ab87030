/* Replies of the page's door as JSON. Commas are set by the writer; text is escaped so that it is
 * safe inside a script as well. A number that is not finite becomes null. */
#ifndef FARHUE_PAGE_JSON_H
#define FARHUE_PAGE_JSON_H

#include "base/text.h"
#include "farhue/reading.h"
#include "farhue/sink.h"

typedef struct page_json {
    fh_buffer buffer;
    bool comma;
} page_json;

void json_open(page_json *j, const char *key, char bracket); /* key NULL inside a list */
void json_close(page_json *j, char bracket);
void json_text(page_json *j, const char *key, const char *value);
void json_number(page_json *j, const char *key, double value);
void json_count(page_json *j, const char *key, size_t value);
void json_bool(page_json *j, const char *key, bool value);
void json_lab(page_json *j, const char *key, fh_lab lab);
void json_condition(page_json *j, const char *key, fh_condition condition);
void json_spectrum(page_json *j, const char *key, const fh_spectrum *spectrum);

/* A colour to show: "hex", and "outside": true when no screen can. */
void json_screen(page_json *j, const char *key, fh_lab lab);

/* A drawing, which is then freed; an empty text when status says that there is none. */
void json_drawing(page_json *j, const char *key, fh_text *svg, fh_status status);

#endif
