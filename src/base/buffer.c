/* The growing text of base/text.h. */
#include <string.h>

#include "base/memory.h"
#include "base/text.h"

void fh_buffer_add(fh_buffer *buffer, fh_slice piece)
{
    if (buffer->failed) return;
    if (piece.length > (size_t)-1 / 2 - buffer->length ||
        fh_reserve(&buffer->text, &buffer->capacity, buffer->length + piece.length + 1, 1)) {
        buffer->failed = true;
        return;
    }
    if (piece.length) memcpy(buffer->text + buffer->length, piece.start, piece.length);
    buffer->length += piece.length;
    buffer->text[buffer->length] = '\0';
}

void fh_buffer_text(fh_buffer *buffer, const char *text)
{
    fh_buffer_add(buffer, fh_slice_of(text));
}

void fh_buffer_format(fh_buffer *buffer, const char *format, ...)
{
    char piece[1024];
    va_list arguments;
    va_start(arguments, format);
    size_t length = fh_format_list(piece, sizeof piece, format, arguments);
    va_end(arguments);
    fh_buffer_add(buffer, (fh_slice){piece, length});
}

void fh_buffer_free(fh_buffer *buffer)
{
    fh_free(buffer->text);
    *buffer = (fh_buffer){0};
}
