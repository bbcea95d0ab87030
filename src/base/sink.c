/* A text in memory as a sink. */
#include <string.h>

#include "farhue/sink.h"

#include "base/memory.h"

static fh_status append(void *user, const char *bytes, size_t length)
{
    fh_text *text = user;
    if (length > (size_t)-1 / 2 - text->length) return FH_E_LIMIT;
    fh_status status = fh_reserve(&text->bytes, &text->capacity, text->length + length + 1, 1);
    if (status) return status;
    if (length) memcpy(text->bytes + text->length, bytes, length);
    text->length += length;
    text->bytes[text->length] = '\0';
    return FH_OK;
}

fh_sink fh_sink_to_text(fh_text *text)
{
    return (fh_sink){append, text};
}

void fh_text_free(fh_text *text)
{
    fh_free(text->bytes);
    *text = (fh_text){0};
}
