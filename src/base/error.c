#include "base/error.h"

#include <stdarg.h>
#include <string.h>

#include "base/text.h"

const char *fh_status_text(fh_status status)
{
    switch (status) {
    case FH_OK: return "done";
    case FH_E_ARGUMENT: return "a value is outside its range";
    case FH_E_DATA: return "the input data cannot be used";
    case FH_E_IMPOSSIBLE: return "no physical answer exists";
    case FH_E_MEMORY: return "out of memory";
    case FH_E_IO: return "reading or writing failed";
    case FH_E_LIMIT: return "a size limit was exceeded";
    case FH_E_STOPPED: return "stopped on request";
    }
    return "unknown status";
}

fh_status fh_fail(fh_error *error, fh_status status, const char *format, ...)
{
    if (error) {
        va_list arguments;
        va_start(arguments, format);
        fh_format_list(error->message, sizeof error->message, format, arguments);
        va_end(arguments);
        error->status = status;
        error->line = 0;
        error->column = 0;
    }
    return status;
}

fh_status fh_fail_at(fh_error *error, fh_status status, size_t line, size_t column,
                     const char *format, ...)
{
    if (error) {
        va_list arguments;
        va_start(arguments, format);
        fh_format_list(error->message, sizeof error->message, format, arguments);
        va_end(arguments);
        error->status = status;
        error->line = line;
        error->column = column;
    }
    return status;
}

fh_status fh_fail_in(fh_error *error, fh_status status, const char *file)
{
    if (error && status != FH_OK && error->file[0] == '\0' && file)
        fh_copy_text(error->file, sizeof error->file, file);
    return status;
}
