/* Lines that are too long for a terminal, broken between words. */
#include "cli/terminal.h"

#include <string.h>

#include "cli/table.h"

/* A label before two blanks ("Target   red…") counts up to this column. */
enum { LABEL = 14 };

static size_t width_of(fh_slice text)
{
    size_t columns = 0;
    for (size_t i = 0; i < text.length; ++i) columns += (text.start[i] & 0xC0) != 0x80;
    return columns;
}

static size_t blanks_at(fh_slice line, size_t at)
{
    size_t n = 0;
    while (at + n < line.length && line.start[at + n] == ' ') ++n;
    return n;
}

/* Where the following lines begin: under the text behind a label, else under the line's begin. */
static size_t hanging(fh_slice line, size_t width)
{
    const size_t indent = blanks_at(line, 0);
    for (size_t i = indent; i < line.length && i < LABEL; ++i) {
        const size_t n = blanks_at(line, i);
        if (n >= 2 && 2 * (i + n) <= width) return width_of((fh_slice){line.start, i + n});
        i += n;
    }
    return 2 * indent <= width ? indent : 0;
}

void cli_wrap(fh_slice line, size_t width, size_t indent, fh_buffer *out)
{
    size_t column = blanks_at(line, 0), at = column;
    if (indent == CLI_HANGING) indent = hanging(line, width);
    fh_buffer_add(out, (fh_slice){line.start, at});
    for (bool first = true; at < line.length; first = false) {
        size_t end = at;
        while (end < line.length && line.start[end] != ' ') ++end;
        const fh_slice word = {line.start + at, end - at};
        const size_t columns = width_of(word), n = blanks_at(line, end);
        if (!first && column + columns > width && column > indent) {
            while (out->length && out->text[out->length - 1] == ' ') --out->length;
            fh_buffer_text(out, "\n");
            for (column = 0; column < indent; ++column) fh_buffer_text(out, " ");
        }
        fh_buffer_add(out, word);
        column += columns;
        at = end + n;
        if (at < line.length)
            for (size_t i = 0; i < n; ++i, ++column) fh_buffer_text(out, " ");
    }
}
