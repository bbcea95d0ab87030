/* Kinds of files by their first bytes (the public specifications of the formats). */
#include "check.h"

#include <string.h>

#include "farhue/kind.h"

#define IS(text, kind) assert_int_equal(fh_kind_of(text, sizeof(text) - 1), kind)

static void test_known(void **state)
{
    (void)state;
    IS("\x89PNG\r\n\x1a\n....", FH_KIND_PNG);
    IS("\xff\xd8\xff\xe0....", FH_KIND_JPEG);
    IS("\0\0\0\x18"
       "ftypheic\0\0",
       FH_KIND_HEIC);
    IS("\0\0\0\x18"
       "ftypavif\0\0",
       FH_KIND_AVIF);
    IS("RIFF\1\2\3\4WEBPVP8 ", FH_KIND_WEBP);
    IS("II*\0\x08\0\0\0", FH_KIND_TIFF);
    IS("MM\0*\0\0\0\x08", FH_KIND_TIFF);
    IS("%PDF-1.7\n", FH_KIND_PDF);
    IS("PK\3\4....", FH_KIND_ZIP);
    IS("GIF89a", FH_KIND_GIF);
    IS("BM\1\2\3\4\0\0\0\0\0\0", FH_KIND_BMP);
    IS("\xff\xfeL\0A\0", FH_KIND_UTF16);
}

static void test_not_quite(void **state)
{
    (void)state;
    IS("", FH_KIND_EMPTY);
    IS("BMW,1,2,3,4\n", FH_KIND_TEXT);
    IS("....\1\2\3\4WEBP", FH_KIND_TEXT);
    IS("\x89PN", FH_KIND_TEXT);
    IS("a\0b", FH_KIND_UNKNOWN);
}

static void test_words(void **state)
{
    (void)state;
    for (int kind = FH_KIND_UNKNOWN; kind <= FH_KIND_UTF16; ++kind) {
        assert_true(strlen(fh_kind_name((fh_kind)kind)) > 4);
        assert_true(strlen(fh_kind_advice((fh_kind)kind, false)) > 4);
    }
    assert_string_equal(fh_kind_advice(FH_KIND_HEIC, true), "export it as JPEG or PNG");
    assert_non_null(strstr(fh_kind_advice(FH_KIND_ZIP, false), "CSV"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_known),
        cmocka_unit_test(test_not_quite),
        cmocka_unit_test(test_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
