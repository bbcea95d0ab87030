/* The cautions name each danger of the design, and every one is there. */
#include <string.h>

#include "check.h"
#include "farhue/cautions.h"

static void each_has_a_title_and_plain_sentences(void **state)
{
    (void)state;
    for (int i = 0; i < FH_CAUTION_COUNT; i++) {
        const char *text = fh_caution_text((fh_caution)i);
        check(strlen(fh_caution_title((fh_caution)i)) > 3);
        check(strlen(text) > 40 && text[strlen(text) - 1] == '.');
        check(!strpbrk(text, "<>&\"\n"));
    }
    assert_string_equal(fh_caution_text(FH_CAUTION_COUNT), "");
    assert_string_equal(fh_caution_title(FH_CAUTION_COUNT), "");
}

static void the_dangers_are_named(void **state)
{
    (void)state;
    const struct {
        fh_caution caution;
        const char *word;
    } named[] = {{FH_CAUTION_PAINTING, "ventilation"}, {FH_CAUTION_PAINTING, "mask"},
                 {FH_CAUTION_PAINTING, "gloves"},      {FH_CAUTION_PAINTING, "flames"},
                 {FH_CAUTION_SANDING, "dust"},         {FH_CAUTION_SOLVENTS, "ignition"},
                 {FH_CAUTION_OPENING, "cathode-ray"},  {FH_CAUTION_OPENING, "unplugged"},
                 {FH_CAUTION_OPENING, "qualified"},    {FH_CAUTION_SHEET, "safety data sheet"},
                 {FH_CAUTION_SHEET, "local rules"}};
    for (size_t i = 0; i < sizeof named / sizeof *named; i++)
        check(strstr(fh_caution_text(named[i].caution), named[i].word) != NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_has_a_title_and_plain_sentences),
        cmocka_unit_test(the_dangers_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
