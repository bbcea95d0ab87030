/* The sheet: well-formed, complete, escaped, neutral; and the chat paragraph. */
#include <math.h>
#include <string.h>

#include "check.h"
#include "farhue/cautions.h"
#include "farhue/chat.h"
#include "farhue/spec_sheet.h"
#include "starve.h"

static const char hostile[] = "\"><script>alert(1)</script>'&\xff\x01";

/* An invented target of Lab alone, without a shell, and a spec of it. */
static fh_spec *spec_of(fh_target *target)
{
    fh_reading part = fh_reading_blank();
    strcpy(part.id, "ring");
    strcpy(part.name, hostile);
    part.lab = (fh_lab){71.2, 3.1, 14.8};
    part.random = fh_mat3_diagonal(0.04, 0.04, 0.04);
    check(fh_reading_add_shared(&part, hostile, fh_mat3_diagonal(0.1, 0.1, 0.1)) == FH_OK);
    fh_target_init(target, &part, NULL);
    fh_spec *spec = NULL;
    check(fh_spec_new(target, &spec, NULL) == FH_OK);
    strcpy(spec->title, hostile);
    strcpy(spec->owner, hostile);
    strcpy(spec->caution[spec->caution_count++], hostile);
    return spec;
}

static size_t count_of(const char *text, const char *piece)
{
    size_t count = 0;
    for (const char *at = text; (at = strstr(at, piece)) != NULL; at += strlen(piece)) count++;
    return count;
}

/* Elements are closed in order, but for those of HTML that have no end. */
static void check_nesting(const char *html)
{
    char open[64][16];
    size_t depth = 0;
    for (const char *at = strchr(html, '<'); at; at = strchr(at + 1, '<')) {
        char name[16] = "";
        bool closing = at[1] == '/';
        if (at[1] == '!') continue;
        size_t length = strcspn(at + 1 + closing, " >/\n");
        check(length > 0 && length < sizeof name);
        memcpy(name, at + 1 + closing, length);
        const char *end = at;
        bool quoted = false;
        while (*end && (quoted || *end != '>')) quoted ^= *end++ == '"';
        if (!strcmp(name, "meta") || !strcmp(name, "br") || end[-1] == '/') continue;
        if (closing) {
            check(depth > 0);
            assert_string_equal(open[--depth], name);
        } else {
            check(depth < 64);
            strcpy(open[depth++], name);
        }
    }
    check(depth == 0);
}

/* Every colour that the page itself uses is a grey; those of patches are what is shown. */
static void check_neutral_style(const char *html)
{
    const char *end = strstr(html, "</style>");
    for (const char *at = html; (at = strchr(at, '#')) != NULL && at < end; at++) {
        if (!strchr("0123456789abcdef", at[1])) continue;
        size_t length = strspn(at + 1, "0123456789abcdef");
        if (length == 3) check(at[1] == at[2] && at[2] == at[3]);
        if (length == 6) check(!strncmp(at + 1, at + 3, 2) && !strncmp(at + 3, at + 5, 2));
    }
}

static void a_hostile_spec_gives_a_clean_page(void **state)
{
    (void)state;
    static fh_target target;
    fh_spec *spec = spec_of(&target);
    fh_text text = {0};
    check(fh_spec_sheet_write(fh_sink_to_text(&text), spec, NULL, NULL) == FH_OK);
    check_nesting(text.bytes);
    check_neutral_style(text.bytes);
    check(!strstr(text.bytes, "<script") && !strchr(text.bytes, '\xff') && !strchr(text.bytes, 1));
    check(count_of(text.bytes, "&lt;script&gt;") >= 5);
    check(!strstr(text.bytes, "http-equiv=\"refresh\"") && !strstr(text.bytes, ">nan") &&
          !strstr(text.bytes, "\"nan"));
    for (int i = 0; i < FH_CAUTION_COUNT; i++)
        check(strstr(text.bytes, fh_caution_title((fh_caution)i)) != NULL);
    check(!strstr(text.bytes, "<h2>Candidates"));
    fh_text_free(&text);
    fh_spec_free(spec);
}

static void candidates_stand_in_their_order(void **state)
{
    (void)state;
    static fh_target target;
    static fh_ranked places[3];
    fh_spec *spec = spec_of(&target);
    fh_reading shelf[3];
    for (size_t i = 0; i < 3; i++) {
        shelf[i] = fh_reading_blank();
        strcpy(shelf[i].id, i == 0 ? "far" : i == 1 ? "near" : hostile);
        shelf[i].lab = (fh_lab){i == 0 ? 40 : 71, 3, 15};
        shelf[i].random = fh_mat3_diagonal(0.04, 0.04, 0.04);
    }
    shelf[2].lab.L = NAN; /* cannot be judged */
    fh_rank_options options = fh_rank_defaults();
    check(fh_rank(&target, shelf, 3, &options, places, NULL, NULL, NULL) == FH_OK);
    fh_spec_sheet_extra extra = fh_spec_sheet_nothing();
    extra.candidates = shelf;
    extra.places = places;
    extra.count = 3;
    extra.spoken = "19FM-VZYZ-1A2B";
    extra.spoken_words = hostile;
    fh_text text = {0};
    check(fh_spec_sheet_write(fh_sink_to_text(&text), spec, &extra, NULL) == FH_OK);
    check_nesting(text.bytes);
    const char *near_at = strstr(text.bytes, ">near<"), *far_at = strstr(text.bytes, ">far<");
    check(near_at && far_at && near_at < far_at);
    check(strstr(text.bytes, "not comparable") != NULL && !strstr(text.bytes, "<script"));
    fh_text_free(&text);
    fh_spec_free(spec);
}

static void memory_that_fails_is_reported(void **state)
{
    (void)state;
    static fh_target target;
    fh_spec *spec = spec_of(&target);
    for (long n = 0; n < 60; n++) {
        fh_text text = {0};
        starve_after(n);
        fh_status status = fh_spec_sheet_write(fh_sink_to_text(&text), spec, NULL, NULL);
        bool failed = starve_end();
        /* Where memory fails for the tolerance's outline or the name, the sheet goes without. */
        check(status == FH_OK || (failed && status == FH_E_MEMORY));
        fh_text_free(&text);
        if (!failed) break;
    }
    fh_spec_free(spec);
}

static void the_paragraph_says_what_it_answers(void **state)
{
    (void)state;
    static fh_target target;
    static fh_verdict verdict;
    char out[FH_CHAT];
    fh_spec *spec = spec_of(&target);
    strcpy(spec->title, "Ondrel tide clock");
    strcpy(spec->code, "K7QF-3M0A");
    fh_verdict_options options = fh_verdict_defaults();
    fh_reading coupon = target.part;
    strcpy(coupon.name, "sand\nwall");
    coupon.lab.L = 40;
    check(fh_judge(&target, &coupon, &options, &verdict, NULL, NULL, NULL) == FH_OK);
    fh_chat_of_reply(spec, &coupon, &verdict, "Ito", out);
    check(strstr(out, "Answer to \"Ondrel tide clock\" (check code K7QF-3M0A)") == out);
    check(strstr(out, "sand wall: L* 40.0, a* 3.1, b* 14.8 (D65/10)") != NULL);
    check(strstr(out, "Verdict: reject") && strstr(out, "too dark") && strstr(out, "Ito"));
    check(!strchr(out, '\n') && strlen(out) < FH_CHAT - 1);
    memset(spec->title, 'x', sizeof spec->title - 1);
    memset(coupon.name, 'y', sizeof coupon.name - 1);
    verdict.decision = FH_MEASURE_AGAIN;
    verdict.settle = (fh_settle){0, 0};
    fh_chat_of_reply(spec, &coupon, &verdict, spec->title, out);
    check(strlen(out) < FH_CHAT - 1);
    fh_spec_free(spec);
}

/* Own requirement: a spoken code has no file and no check code, so nothing speaks of them. */
static void the_paragraph_for_a_code_promises_no_file(void **state)
{
    (void)state;
    static fh_target target;
    static fh_verdict verdict;
    char out[FH_CHAT];
    fh_spec *spec = spec_of(&target);
    spec->title[0] = spec->code[0] = '\0';
    fh_verdict_options options = fh_verdict_defaults();
    check(fh_judge(&target, &target.part, &options, &verdict, NULL, NULL, NULL) == FH_OK);
    fh_chat_of_reply(spec, &target.part, &verdict, NULL, out);
    check(strstr(out, "Answer to the code that you read to me: I measured ") == out);
    check(!strstr(out, "file") && !strstr(out, "check code") && !strstr(out, "none"));
    fh_spec_free(spec);
}

/* The row of the sheet that begins with what, up to its end. */
static void row_of(const char *html, const char *what, char out[300])
{
    const char *at = strstr(html, what);
    check(at != NULL);
    size_t length = strcspn(at, "\n");
    const char *end = strstr(at, "</tr>");
    if (end && (size_t)(end - at) < length) length = (size_t)(end - at);
    if (length > 299) length = 299;
    memcpy(out, at, length);
    out[length] = '\0';
}

/* Own requirement: what nobody stated is no figure of zero; at 45°:0° (CIE 15) the mirror
 * reflection misses the detector. */
static void the_sheet_says_what_is_not_stated(void **state)
{
    (void)state;
    static fh_target target;
    char row[300];
    fh_spec *spec = spec_of(&target);
    spec->part.random = (fh_mat3){0};
    spec->part.shared_count = 0;
    spec->part.method.geometry = FH_GEOMETRY_45_0;
    spec->part.method.specular = FH_SPECULAR_UNKNOWN;
    fh_text text = {0};
    check(fh_spec_sheet_write(fh_sink_to_text(&text), spec, NULL, NULL) == FH_OK);
    row_of(text.bytes, ">Uncertainty", row);
    check(strstr(row, "not stated") && !strstr(row, "\xc2\xb1"));
    row_of(text.bytes, ">Mirror reflection<", row);
    check(strstr(row, "excluded") != NULL);
    row_of(text.bytes, ">Geometry<", row);
    check(strstr(row, "mirror") == NULL);
    fh_text_free(&text);
    spec->part.random = fh_mat3_diagonal(0.04, 0, 0);
    spec->part.method.geometry = FH_GEOMETRY_8_D;
    check(fh_spec_sheet_write(fh_sink_to_text(&text), spec, NULL, NULL) == FH_OK);
    row_of(text.bytes, ">Uncertainty", row);
    check(strstr(row, "L* \xc2\xb1 0.4") != NULL); /* by hand: 1.96 × √0.04 = 0.39 */
    row_of(text.bytes, ">Mirror reflection<", row);
    check(strstr(row, "not stated") != NULL);
    fh_text_free(&text);
    fh_spec_free(spec);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_hostile_spec_gives_a_clean_page),
        cmocka_unit_test(candidates_stand_in_their_order),
        cmocka_unit_test(memory_that_fails_is_reported),
        cmocka_unit_test(the_paragraph_says_what_it_answers),
        cmocka_unit_test(the_paragraph_for_a_code_promises_no_file),
        cmocka_unit_test(the_sheet_says_what_is_not_stated),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
