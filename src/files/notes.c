#include "files/notes.h"

#include <stdarg.h>

#include "base/text.h"

void fh_note(fh_text *notes, const char *format, ...)
{
    char line[512];
    va_list arguments;
    va_start(arguments, format);
    size_t length = fh_format_list(line, sizeof line - 1, format, arguments);
    va_end(arguments);
    line[length++] = '\n';
    fh_sink sink = fh_sink_to_text(notes);
    (void)sink.write(sink.user, line, length);
}
