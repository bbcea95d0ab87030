/* UTF-8 as RFC 3629 defines it: no overlong forms, no surrogates, at most U+10FFFF. */
#include <stdint.h>

#include "base/text.h"

size_t fh_utf8_length(const char *start, size_t left)
{
    const unsigned char *s = (const unsigned char *)start;
    if (left == 0) return 0;
    if (s[0] < 0x80) return 1;
    size_t length = s[0] >= 0xF0 ? 4 : s[0] >= 0xE0 ? 3 : 2;
    if (s[0] < 0xC2 || s[0] > 0xF4 || length > left) return 0;
    for (size_t i = 1; i < length; ++i)
        if ((s[i] & 0xC0) != 0x80) return 0;
    if (s[0] == 0xE0 && s[1] < 0xA0) return 0; /* overlong */
    if (s[0] == 0xED && s[1] > 0x9F) return 0; /* surrogates */
    if (s[0] == 0xF0 && s[1] < 0x90) return 0; /* overlong */
    if (s[0] == 0xF4 && s[1] > 0x8F) return 0; /* above U+10FFFF */
    return length;
}

bool fh_utf8_valid(fh_slice text)
{
    for (size_t i = 0; i < text.length;) {
        size_t length = fh_utf8_length(text.start + i, text.length - i);
        if (length == 0) return false;
        i += length;
    }
    return true;
}

const char *fh_utf8_trouble(const char *c, size_t n)
{
    unsigned char first = n ? (unsigned char)c[0] : 0, last = n ? (unsigned char)c[n - 1] : 0;
    if (n == 0) return "bytes that are not UTF-8; save the file as UTF-8 text";
    if (n == 1 && first == 0) return "a NUL byte; expected text (UTF-16 must be saved as UTF-8)";
    if ((n == 1 && first < 0x20 && first != '\t' && first != '\r' && first != '\n') ||
        first == 0x7F || (n == 2 && first == 0xC2 && last < 0xA0))
        return "a control character; expected text";
    /* U+202A–U+202E, U+2066–U+2069 */
    unsigned char middle = n == 3 && first == 0xE2 ? (unsigned char)c[1] : 0;
    if ((middle == 0x80 && last >= 0xAA && last <= 0xAE) ||
        (middle == 0x81 && last >= 0xA6 && last <= 0xA9))
        return "a character that turns the direction of writing; take it out";
    return NULL;
}

bool fh_utf8_is_line(fh_slice text)
{
    for (size_t i = 0; i < text.length;) {
        size_t length = fh_utf8_length(text.start + i, text.length - i);
        char c = text.start[i];
        if (c == '\r' || c == '\n' || fh_utf8_trouble(text.start + i, length)) return false;
        i += length;
    }
    return true;
}
