/* Escaping: the five characters that HTML and XML give a meaning, whether in content or in a
 * quoted attribute. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "show/markup.h"

fh_markup fh_markup_to(fh_sink sink)
{
    return (fh_markup){sink, FH_OK};
}

static void put_bytes(fh_markup *m, const char *bytes, size_t length)
{
    if (m->status == FH_OK && length) m->status = m->sink.write(m->sink.user, bytes, length);
}

void fh_put(fh_markup *m, const char *markup)
{
    put_bytes(m, markup, strlen(markup));
}

void fh_putf(fh_markup *m, const char *format, ...)
{
    char piece[1024];
    va_list arguments;
    va_start(arguments, format);
    size_t length = fh_format_list(piece, sizeof piece, format, arguments);
    va_end(arguments);
    put_bytes(m, piece, length);
}

/* Controls of C0 and C1, and U+200E/F, U+202A–E, U+2066–9, which turn the direction of text. */
static bool is_unwelcome(const unsigned char *at, size_t length)
{
    if (length == 1) return at[0] < 0x20 || at[0] == 0x7F;
    if (length == 2) return at[0] == 0xC2 && at[1] < 0xA0;
    if (length != 3 || at[0] != 0xE2) return false;
    if (at[1] == 0x80) return at[2] == 0x8E || at[2] == 0x8F || (at[2] >= 0xAA && at[2] <= 0xAE);
    return at[1] == 0x81 && at[2] >= 0xA6 && at[2] <= 0xA9;
}

static const char *reference_of(char c)
{
    switch (c) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    case '\'':
        return "&#39;";
    default:
        return NULL;
    }
}

void fh_put_text(fh_markup *m, const char *text)
{
    size_t left = text ? strlen(text) : 0;
    while (left) {
        size_t length = fh_utf8_length(text, left);
        const char *reference = reference_of(*text);
        if (reference)
            fh_put(m, reference);
        else if (!length || is_unwelcome((const unsigned char *)text, length))
            fh_put(m, "\xef\xbf\xbd");
        else
            put_bytes(m, text, length);
        if (!length) length = 1;
        text += length;
        left -= length;
    }
}

void fh_hex_of_lab(fh_lab lab, char out[FH_HEX], bool *inside)
{
    if (!isfinite(lab.L) || !isfinite(lab.a) || !isfinite(lab.b)) {
        if (inside) *inside = false;
        fh_copy_text(out, FH_HEX, "#808080");
        return;
    }
    fh_rgb rgb = fh_screen_of_lab(lab, inside);
    fh_format(out, FH_HEX, "#%02x%02x%02x", (unsigned)(rgb.r * 255 + 0.5),
              (unsigned)(rgb.g * 255 + 0.5), (unsigned)(rgb.b * 255 + 0.5));
}

const char *fh_ink_on(fh_lab lab)
{
    /* Relative luminance is Y/100, which L* alone decides: 0.179 is L* 49.4. */
    return lab.L > 49.4 ? "#000000" : "#ffffff";
}
