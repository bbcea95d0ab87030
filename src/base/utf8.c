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
