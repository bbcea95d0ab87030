/* Plain words for a difference.
 *
 * The hue words come from the four axes of CIELAB, hue angles 24, 90, 163 and 246 degrees being
 * taken for unique red, yellow, green and blue (CIECAM02's unique hues are 20, 90, 164 and 237 in
 * its own hue angle; the CIELAB angles here are from memory, good to some degrees). A hue step is
 * said as the next unique hue in the direction of the step. */
#include <math.h>
#include <string.h>

#include "farhue/words.h"

#include "base/text.h"

static const double degrees_of[] = {24, 90, 163, 246};
static const char *const hue_words[] = {"red", "yellow", "green", "blue"};

/* The unique hue that lies next to angle h in the direction of sign. */
static const char *next_hue(double h, double sign)
{
    if (sign > 0) {
        for (size_t i = 0; i < 4; i++)
            if (degrees_of[i] > h + 3) return hue_words[i];
        return hue_words[0];
    }
    for (size_t i = 4; i-- > 0;)
        if (degrees_of[i] < h - 3) return hue_words[i];
    return hue_words[3];
}

typedef struct part {
    double size;
    const char *word;
} part;

/* The chromatic parts: along the axes for greys, along chroma and hue for colours. */
static size_t chromatic_parts(fh_lab reference, fh_lab sample, fh_difference d, part out[2])
{
    fh_lch from = fh_lch_of_lab(reference), to = fh_lch_of_lab(sample);
    if (from.C < 10 && to.C < 10) {
        double da = sample.a - reference.a, db = sample.b - reference.b;
        double scale = hypot(d.dC, d.dH) / fmax(hypot(da, db), 1e-12);
        out[0] = (part){fabs(da) * scale, da > 0 ? "red" : "green"};
        out[1] = (part){fabs(db) * scale, db > 0 ? "yellow" : "blue"};
        return 2;
    }
    out[0] = (part){fabs(d.dC), d.dC > 0 ? "vivid" : "dull"};
    if (from.C < 10) { /* a grey that has become a colour: the hue that it took on */
        double best = 360;
        for (size_t i = 0; i < 4; i++) {
            double apart = fabs(remainder(to.h - degrees_of[i], 360));
            if (apart < best) best = apart, out[0].word = hue_words[i];
        }
        out[0].size = hypot(d.dC, d.dH);
        return 1;
    }
    out[1] = (part){fabs(d.dH), next_hue(from.h, d.dH)};
    return 2;
}

void fh_words_of_difference(fh_lab reference, fh_lab sample, char out[FH_WORDS])
{
    fh_difference d = fh_de2000_parts(reference, sample, (fh_factors){1, 1, 1});
    double sum = reference.L + reference.a + reference.b + sample.L + sample.a + sample.b;
    if (!isfinite(d.dE) || !isfinite(sum)) {
        fh_format(out, FH_WORDS, "not known");
        return;
    }
    part parts[3] = {{fabs(d.dL), d.dL > 0 ? "light" : "dark"}};
    size_t count = 1 + chromatic_parts(reference, sample, d, parts + 1);
    for (size_t i = 1; i < count; i++)
        for (size_t j = i; j > 0 && parts[j].size > parts[j - 1].size; j--) {
            part swap = parts[j];
            parts[j] = parts[j - 1];
            parts[j - 1] = swap;
        }
    size_t length = 0;
    for (size_t i = 0; i < count; i++) {
        double size = parts[i].size;
        if (size < 0.5 || size < parts[0].size / 3) break;
        length += fh_format(out + length, FH_WORDS - length, "%s%stoo %s", i ? ", " : "",
                            size < 1    ? "a little "
                            : size >= 4 ? "much "
                                        : "",
                            parts[i].word);
    }
    if (!length) fh_format(out, FH_WORDS, "no visible difference");
}

void fh_words_of_lab(fh_lab lab, char out[FH_LAB_WORDS])
{
    static const char *const axis[3] = {"L* ", ", a* ", ", b* "};
    const double value[3] = {lab.L, lab.a, lab.b};
    size_t length = 0;
    for (size_t i = 0; i < 3; i++) {
        if (!(fabs(value[i]) <= 9999)) {
            fh_format(out, FH_LAB_WORDS, "not known");
            return;
        }
        length += fh_format(out + length, FH_LAB_WORDS - length, "%s%s%.1f", axis[i],
                            value[i] <= -0.05 ? "\xe2\x88\x92" : "", fabs(value[i]));
    }
}

const char *fh_words_of_size(double dE00)
{
    if (!(dE00 >= 0) || isinf(dE00)) return "not known";
    if (dE00 < 1) return "not visible side by side";
    if (dE00 < 2) return "visible only side by side";
    return dE00 < 4 ? "visible from close" : "visible across the room";
}

void fh_words_with_size(fh_lab reference, fh_lab sample, char out[FH_PHRASE])
{
    char which[FH_WORDS];
    const double dE = fh_de2000(reference, sample);
    fh_words_of_difference(reference, sample, which);
    if (!isfinite(dE) || (dE < 1 && strncmp(which, "no ", 3) == 0))
        fh_format(out, FH_PHRASE, "%s", which);
    else if (dE < 1)
        fh_format(out, FH_PHRASE, "%s, though %s", which, fh_words_of_size(dE));
    else
        fh_format(out, FH_PHRASE, "%s (%s)", which, fh_words_of_size(dE));
}

const char *fh_words_of_yellowing(double difference)
{
    static const char *const words[4][2] = {{"hardly yellower", "hardly less yellow"},
                                            {"slightly yellower", "slightly less yellow"},
                                            {"plainly yellower", "plainly less yellow"},
                                            {"strongly yellower", "strongly less yellow"}};
    static const double from[4] = {0, 2, 8, 20};
    if (!isfinite(difference)) return "not known";
    size_t i = 3;
    while (i > 0 && fabs(difference) < from[i]) --i;
    return words[i][difference < 0];
}

/* One step of the last decimal, in whole steps: how many steps are p? */
static long steps_of(double p, long whole)
{
    return p >= 0 && p <= 1 ? (long)floor(p * (double)whole + 0.5) : -1;
}

void fh_words_of_probability(double p, int decimals, char out[FH_CHANCE])
{
    long whole = 10;
    int places = decimals < 1 ? 1 : decimals > 6 ? 6 : decimals;
    for (int i = 1; i < places; i++) whole *= 10;
    const long steps = steps_of(p, whole);
    const double step = 1 / (double)whole;
    if (steps < 0)
        fh_format(out, FH_CHANCE, "not known");
    else if (steps == 0)
        fh_format(out, FH_CHANCE, "below %.*f", places, step);
    else if (steps == whole)
        fh_format(out, FH_CHANCE, "above %.*f", places, 1 - step);
    else
        fh_format(out, FH_CHANCE, "%.*f", places, (double)steps * step);
}

void fh_words_of_chance(double p, char out[FH_CHANCE])
{
    const long steps = steps_of(p, 100);
    if (steps < 0)
        fh_format(out, FH_CHANCE, "not known");
    else if (steps == 0)
        fh_format(out, FH_CHANCE, "below 1 %%");
    else if (steps == 100)
        fh_format(out, FH_CHANCE, "above 99 %%");
    else
        fh_format(out, FH_CHANCE, "%ld %%", steps);
}
