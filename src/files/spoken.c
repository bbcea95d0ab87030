/* The spoken code of a bare target.
 *
 * Alphabet: [Crockford2002], 0–9 and A–Z without I, L, O and U. Check: the Reed–Solomon code
 * [Reed1960] of length 12 over GF(32) = GF(2)[x]/(x⁵ + x² + 1) whose generator polynomial has the
 * roots 1 and α; with two check characters its distance is 3, so no one or two changed
 * characters turn a code into another one.
 *
 *   10 characters, most significant bit first:
 *   version 5 | condition 5 | L* 10 | a* 12 | b* 12 | tolerance 6
 *   L* and tolerance in tenths; a* and b* in tenths + 2047
 *
 * Trap: the condition numbers below are part of the format and never change; they are not the
 * enumeration's. */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "farhue/spoken.h"
#include "farhue/tolerance.h"

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"

enum { CODE = 12, CONTENT = 10, VERSION = 1, BIAS = 2047 };

static const char alphabet[] = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/* Condition number = 2 × place in this list + (0: 2 degrees, 1: 10 degrees). */
static const fh_illuminant coded_illuminants[] = {
    FH_ILLUMINANT_A,   FH_ILLUMINANT_C,      FH_ILLUMINANT_D50,   FH_ILLUMINANT_D55,
    FH_ILLUMINANT_D65, FH_ILLUMINANT_D75,    FH_ILLUMINANT_F2,    FH_ILLUMINANT_F7,
    FH_ILLUMINANT_F11, FH_ILLUMINANT_LED_B1, FH_ILLUMINANT_LED_B3};
enum { CODED = sizeof coded_illuminants / sizeof *coded_illuminants };

/* x · α in GF(32). */
static unsigned times_alpha(unsigned x)
{
    x <<= 1;
    return x & 32U ? (x ^ 0x25U) & 31U : x;
}

/* Both syndromes, at 1 and at α; a word of the code has neither. */
static bool is_codeword(const unsigned word[CODE])
{
    unsigned at_one = 0, at_alpha = 0;
    for (size_t i = 0; i < CODE; i++) {
        at_one ^= word[i];
        at_alpha = times_alpha(at_alpha) ^ word[i];
    }
    return at_one == 0 && at_alpha == 0;
}

/* Append the remainder of content · x² by (x − 1)(x − α) = x² + (1 + α) x + α. */
static void add_check(unsigned word[CODE])
{
    unsigned high = 0, low = 0;
    for (size_t i = 0; i < CONTENT; i++) {
        unsigned lead = high ^ word[i], lead_alpha = times_alpha(lead);
        high = low ^ lead ^ lead_alpha;
        low = lead_alpha;
    }
    word[CONTENT] = high;
    word[CONTENT + 1] = low;
}

static bool condition_number(fh_condition condition, unsigned *number)
{
    for (unsigned i = 0; i < CODED; i++) {
        if (coded_illuminants[i] != condition.illuminant) continue;
        *number = 2 * i + (condition.observer == FH_OBSERVER_10);
        return true;
    }
    return false;
}

fh_status fh_spoken_of_spec(const fh_spec *spec, fh_spoken *out, bool *estimated, fh_error *error)
{
    const fh_reading *part = &spec->part;
    unsigned number;
    const bool other = part->origin != FH_ORIGIN_SPECTRUM &&
                       !fh_condition_equal(part->condition, spec->told.condition);
    const bool carried = other && condition_number(part->condition, &number);
    fh_spoken found = {spec->told.condition, spec->told.bare, spec->told.safe};
    if (carried) {
        fh_tolerance told;
        fh_target *target = fh_allocate(1, sizeof *target);
        if (!target) return fh_fail(error, FH_E_MEMORY, "out of memory");
        fh_status status = fh_spec_target(spec, target, error);
        if (!status) {
            target->condition = part->condition;
            status = fh_tolerance_find(target, &told, error);
        }
        fh_free(target);
        if (status) return status;
        found = (fh_spoken){part->condition, part->lab, told.safe};
    }
    *out = found;
    *estimated = other && !carried;
    return FH_OK;
}

/* value in tenths, when it is finite and within low–high tenths. */
static bool tenths(double value, long low, long high, long *out)
{
    double rounded = floor(value * 10 + 0.5);
    if (!(rounded >= (double)low && rounded <= (double)high)) return false;
    *out = (long)rounded;
    return true;
}

fh_status fh_spoken_write(const fh_spoken *target, char out[FH_SPOKEN_TEXT], fh_error *error)
{
    unsigned condition;
    long L, a, b;
    if (!condition_number(target->condition, &condition))
        return fh_fail(error, FH_E_ARGUMENT,
                       "a spoken code needs a standard illuminant; this target's is a lamp from a "
                       "file, so send the spec");
    if (!tenths(target->lab.L, 0, 1023, &L) || !tenths(target->lab.a, -BIAS, BIAS, &a) ||
        !tenths(target->lab.b, -BIAS, BIAS, &b))
        return fh_fail(error, FH_E_ARGUMENT,
                       "the target is outside the spoken code's range; expected L* 0 to 102.3, a* "
                       "and b* within 204.7");
    double tolerance = target->tolerance;
    if (!(tolerance >= 0) || isinf(tolerance))
        return fh_fail(error, FH_E_ARGUMENT, "the tolerance must be a number of 0 or more");
    /* Rounded down, never up; the small addend keeps 2.0 read from a file at 20 tenths. */
    uint64_t spare = tolerance >= 6.3 ? 63 : (uint64_t)(tolerance * 10 + 1e-9);

    uint64_t bits = VERSION;
    bits = bits << 5 | condition;
    bits = bits << 10 | (uint64_t)L;
    bits = bits << 12 | (uint64_t)(a + BIAS);
    bits = bits << 12 | (uint64_t)(b + BIAS);
    bits = bits << 6 | spare;
    unsigned word[CODE];
    for (size_t i = 0; i < CONTENT; i++) word[i] = (unsigned)(bits >> 5 * (CONTENT - 1 - i) & 31);
    add_check(word);
    for (size_t i = 0, at = 0; i < CODE; i++) {
        if (i && i % 4 == 0) out[at++] = '-';
        out[at++] = alphabet[word[i]];
        out[at] = '\0';
    }
    return FH_OK;
}

/* The value of a character, or −1. */
static int value_of(char c)
{
    if (c >= 'a' && c <= 'z') c = (char)(c - 'a' + 'A');
    if (c == 'O') c = '0';
    if (c == 'I' || c == 'L') c = '1';
    const char *at = c ? strchr(alphabet, c) : NULL;
    return at ? (int)(at - alphabet) : -1;
}

/* Length of a space or dash at text, those that a phone's keyboard makes among them; 0 if none. */
static size_t separator(const char *text)
{
    static const char *const marks[] = {" ",
                                        "-",
                                        "\t",
                                        "\r",
                                        "\n",
                                        "_",
                                        "\xc2\xa0",
                                        "\xe2\x80\x90",
                                        "\xe2\x80\x91",
                                        "\xe2\x80\x92",
                                        "\xe2\x80\x93",
                                        "\xe2\x80\x94",
                                        "\xe2\x80\x95",
                                        "\xe2\x80\xaf",
                                        "\xe2\x88\x92"};
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++) {
        size_t length = strlen(marks[i]);
        if (strncmp(text, marks[i], length) == 0) return length;
    }
    return 0;
}

/* The twelve values of a typed code. */
static fh_status read_characters(const char *text, unsigned word[CODE], fh_error *error)
{
    size_t count = 0, column = 0;
    for (const char *at = text; *at;) {
        size_t skip = separator(at);
        column++;
        if (skip) {
            at += skip;
            continue;
        }
        int value = value_of(*at);
        if (value < 0) {
            size_t length = fh_utf8_length(at, strlen(at));
            return fh_fail_at(error, FH_E_DATA, 1, column,
                              "'%.*s' is in no spoken code; expected letters and digits without U",
                              length ? (int)length : 1, length ? at : "?");
        }
        if (count < CODE) word[count] = (unsigned)value;
        count++;
        at++;
    }
    if (count == CODE) return FH_OK;
    return fh_fail(error, FH_E_DATA,
                   "%zu characters; a spoken code has 12, in three groups of four", count);
}

fh_status fh_spoken_read(const char *text, fh_spoken *out, fh_error *error)
{
    unsigned word[CODE];
    fh_status status = read_characters(text ? text : "", word, error);
    if (status) return status;
    if (!is_codeword(word))
        return fh_fail(error, FH_E_DATA,
                       "the check of this spoken code fails, so at least one character is wrong or "
                       "two are swapped; have it read out again");
    if (word[0] != VERSION)
        return fh_fail(error, FH_E_DATA,
                       "this spoken code is of version %u, this program reads version %u; get a "
                       "newer program or the spec",
                       word[0], (unsigned)VERSION);
    if (word[1] >= 2 * CODED)
        return fh_fail(error, FH_E_DATA,
                       "condition number %u of this code means nothing; send the spec", word[1]);
    uint64_t bits = 0;
    for (size_t i = 0; i < CONTENT; i++) bits = bits << 5 | word[i];
    out->condition.illuminant = coded_illuminants[word[1] / 2];
    out->condition.observer = word[1] % 2 ? FH_OBSERVER_10 : FH_OBSERVER_2;
    out->lab.L = (double)(bits >> 30 & 1023) / 10;
    out->lab.a = ((double)(bits >> 18 & 4095) - BIAS) / 10;
    out->lab.b = ((double)(bits >> 6 & 4095) - BIAS) / 10;
    out->tolerance = (double)(bits & 63) / 10;
    return FH_OK;
}

fh_reading fh_spoken_reading(const fh_spoken *target)
{
    fh_reading reading = fh_reading_blank();
    fh_copy_text(reading.id, sizeof reading.id, "target");
    fh_copy_text(reading.name, sizeof reading.name, "the target of a spoken code");
    reading.condition = target->condition;
    reading.lab = target->lab;
    /* Rounded to 0.1: uniform, a variance of 0.1²/12 an axis. */
    reading.random = fh_mat3_diagonal(0.01 / 12, 0.01 / 12, 0.01 / 12);
    return reading;
}

void fh_spoken_words(const char *code, char out[FH_SPOKEN_WORDS])
{
    static const char *const words[] = {
        "zero",  "one",    "two",     "three",  "four",    "five",     "six",    "seven",
        "eight", "nine",   "Alfa",    "Bravo",  "Charlie", "Delta",    "Echo",   "Foxtrot",
        "Golf",  "Hotel",  "Juliett", "Kilo",   "Mike",    "November", "Papa",   "Quebec",
        "Romeo", "Sierra", "Tango",   "Victor", "Whiskey", "X-ray",    "Yankee", "Zulu"};
    size_t length = 0, count = 0;
    out[0] = '\0';
    for (const char *at = code ? code : ""; *at && count < CODE; at++) {
        int value = value_of(*at);
        if (value < 0) continue;
        const char *gap = count == 0 ? "" : count % 4 == 0 ? ", " : " ";
        length += fh_format(out + length, FH_SPOKEN_WORDS - length, "%s%s", gap, words[value]);
        count++;
    }
}

#define NOTE                                                                                       \
    "This code carries the bare target only: the colour of the inner part measured alone, its "    \
    "condition and how far off it may safely be. The shell, the lights and the spectrum are in "   \
    "the spec."

const char *fh_spoken_note(bool estimated)
{
    return estimated ? NOTE " Its figures are estimated: the part was read without a spectrum, "
                            "under a lamp that no code can carry; say so when you read it out."
                     : NOTE;
}
