/* Text that came from elsewhere, as a terminal may have it. Readers refuse what controls a terminal
 * in what they read; the names of files, and words of the command line in messages, can hold it. */
#include <string.h>

#include "cli/cli.h"

/* The length of the character at text and its number where it must not be shown as it is;
 * *number is 0 where it may. Malformed bytes come one by one. */
static size_t look_at(const char *text, size_t left, bool lines, unsigned *number)
{
    size_t length = fh_utf8_length(text, left);
    unsigned char first = (unsigned char)text[0];
    bool splits = first == '\r' || (!lines && (first == '\n' || first == '\t'));
    *number = 0;
    if (!splits && !fh_utf8_trouble(text, length)) return length;
    if (length < 2) *number = first;
    if (length == 2) *number = (first & 0x1Fu) << 6 | ((unsigned char)text[1] & 0x3Fu);
    if (length == 3)
        *number = (first & 0xFu) << 12 | ((unsigned char)text[1] & 0x3Fu) << 6 |
                  ((unsigned char)text[2] & 0x3Fu);
    return length ? length : 1;
}

void cli_add_visible(fh_buffer *out, fh_slice text, bool lines)
{
    const char *shown = text.start;
    for (const char *at = text.start, *end = at + text.length; at < end;) {
        unsigned number;
        size_t length = look_at(at, (size_t)(end - at), lines, &number);
        if (number) {
            fh_buffer_add(out, (fh_slice){shown, (size_t)(at - shown)});
            fh_buffer_format(out, length == 1 ? "\\x%02x" : "\\u%04x", number);
            shown = at + length;
        }
        at += length;
    }
    fh_buffer_add(out, (fh_slice){shown, (size_t)(text.start + text.length - shown)});
}

json_t *cli_json_string(const char *text)
{
    json_t *plain = json_string(text);
    if (plain || !text) return plain;
    fh_buffer visible = {0};
    cli_add_visible(&visible, fh_slice_of(text), true);
    plain = visible.failed ? NULL : json_string(visible.text);
    fh_buffer_free(&visible);
    return plain;
}

void cli_add_json(fh_buffer *out, const char *dump)
{
    for (size_t left = strlen(dump); left;) {
        unsigned number;
        size_t length = look_at(dump, left, true, &number);
        if (number)
            fh_buffer_format(out, "\\u%04x", number);
        else
            fh_buffer_add(out, (fh_slice){dump, length});
        dump += length;
        left -= length;
    }
}
