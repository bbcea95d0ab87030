/* The geometry of an instrument as files write it. Functional notation names the light's side first
 * [CIE15]: 45°a:0°, 8°:de (sphere, mirror reflection excluded), di:8° (included). Older texts write
 * a stroke for the colon; degree signs and blanks may be left out. */
#include "base/text.h"
#include "files/layout.h"

enum { WORD = 16 };

/* "45° a / 0°" as "45a:0"; false when it is longer than any that is known. */
static bool shorten(const char *text, char out[WORD])
{
    static const char degree[] = "\xc2\xb0";
    size_t used = 0;
    for (; *text; ++text) {
        if (*text == ' ' || *text == '\t') continue;
        if (text[0] == degree[0] && text[1] == degree[1]) {
            ++text;
            continue;
        }
        if (used + 1 == WORD) return false;
        out[used++] = *text;
        if (*text == '/') out[used - 1] = ':';
    }
    out[used] = '\0';
    return true;
}

bool fh_geometry_of(const char *text, fh_geometry *geometry, fh_specular *specular)
{
    static const struct {
        const char *text;
        fh_geometry geometry;
        fh_specular specular;
    } known[] = {
        {"", FH_GEOMETRY_UNKNOWN, FH_SPECULAR_UNKNOWN},
        {"unknown", FH_GEOMETRY_UNKNOWN, FH_SPECULAR_UNKNOWN},
        {"45:0", FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN},
        {"0:45", FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN},
        {"45a:0", FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN}, /* from all around */
        {"0:45a", FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN},
        {"45c:0", FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN}, /* from some directions around */
        {"0:45c", FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN},
        {"45x:0", FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN}, /* from one side */
        {"0:45x", FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN},
        {"8:d", FH_GEOMETRY_8_D, FH_SPECULAR_UNKNOWN},
        {"d:8", FH_GEOMETRY_8_D, FH_SPECULAR_UNKNOWN},
        {"8:di", FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED},
        {"di:8", FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED},
        {"8:de", FH_GEOMETRY_8_D, FH_SPECULAR_EXCLUDED},
        {"de:8", FH_GEOMETRY_8_D, FH_SPECULAR_EXCLUDED},
        {"photo", FH_GEOMETRY_PHOTO, FH_SPECULAR_UNKNOWN},
    };
    char word[WORD];
    if (!shorten(text, word)) return false;
    for (size_t i = 0; i < sizeof known / sizeof *known; ++i)
        if (fh_slice_is_fold(fh_slice_of(word), known[i].text)) {
            *geometry = known[i].geometry;
            *specular = known[i].specular;
            return true;
        }
    return false;
}
