/* Colour arguments: lab:L,a,b  lch:L,C,h  xyz:X,Y,Z  srgb:rrggbb, each with @COND; FILE#ID. */
#include <string.h>

#include "base/memory.h"
#include "cli/cli.h"

typedef struct colour_space {
    const char *prefix, *expected;
    fh_lab (*lab)(const double v[3], fh_xyz white);
} colour_space;

static fh_lab from_lab(const double v[3], fh_xyz white)
{
    (void)white;
    return (fh_lab){v[0], v[1], v[2]};
}

static fh_lab from_lch(const double v[3], fh_xyz white)
{
    (void)white;
    return fh_lab_of_lch((fh_lch){v[0], v[1], v[2]});
}

static fh_lab from_xyz(const double v[3], fh_xyz white)
{
    return fh_lab_of_xyz((fh_xyz){v[0], v[1], v[2]}, white);
}

static const colour_space spaces[] = {
    {"lab:", "lab:L,a,b such as lab:62.5,4,-12.3", from_lab},
    {"lch:", "lch:L,C,h with h in degrees", from_lch},
    {"xyz:", "xyz:X,Y,Z in percent (white has Y = 100)", from_xyz},
};

/* Three numbers between commas. */
static int read_three(cli_context *cli, const char *text, fh_slice body, const char *expected,
                      double v[3])
{
    const char *at = body.start, *end = body.start + body.length;
    size_t n = 0;
    for (;;) {
        const char *comma = at < end ? memchr(at, ',', (size_t)(end - at)) : NULL;
        fh_slice one = fh_slice_trim((fh_slice){at, (size_t)((comma ? comma : end) - at)});
        double value;
        if (!fh_parse_number(one, &value))
            return cli_usage(cli, "%s: \"%.*s\" is not a number; expected %s", text,
                             (int)one.length, one.start, expected);
        if (n < 3) v[n] = value;
        ++n;
        if (!comma) break;
        at = comma + 1;
    }
    if (n != 3)
        return cli_usage(cli, "%s has %zu numbers; expected %s, with decimal points", text, n,
                         expected);
    return CLI_DONE;
}

static int read_srgb(cli_context *cli, const char *text, fh_slice body, bool other_condition,
                     fh_reading *out)
{
    unsigned long rgb;
    if (body.length && body.start[0] == '#') body = (fh_slice){body.start + 1, body.length - 1};
    if (other_condition)
        return cli_usage(cli, "%s: sRGB colours are for D65/2 by definition; leave the @ out",
                         text);
    if (body.length != 6 || !fh_parse_hex(body, &rgb))
        return cli_usage(cli, "%s is not a colour; expected srgb:rrggbb, six hexadecimal digits",
                         text);
    fh_reading_set_srgb(out, rgb);
    cli_note(cli,
             "%s is known as sRGB only: taken with a standard deviation of 4 in L*, 5 in a* and b*",
             text);
    return CLI_DONE;
}

/* The part after the last @ as a condition; *body loses it. */
static int split_condition(cli_context *cli, const char *text, fh_slice *body, fh_condition *out,
                           bool *given)
{
    const char *at = strrchr(body->start, '@');
    *given = at != NULL;
    if (!at) return CLI_DONE;
    body->length = (size_t)(at - body->start);
    return cli_condition(cli, text, at + 1, out);
}

static int check(cli_context *cli, const char *text, const fh_reading *reading)
{
    fh_error error = {0};
    if (fh_reading_check(reading, NULL, &error) == FH_OK) return CLI_DONE;
    return cli_fail_text(
        cli, FH_E_DATA,
        "%s: L*a*b* %.2f, %.2f, %.2f is no colour of a surface; expected L* from 0 "
        "to 120, a* and b* from -200 to 200",
        text, reading->lab.L, reading->lab.a, reading->lab.b);
}

static int read_literal(cli_context *cli, const char *text, const colour_space *space,
                        fh_reading *out)
{
    fh_reading reading = fh_reading_blank();
    bool given;
    fh_slice body = fh_slice_of(text + strcspn(text, ":") + 1);
    double v[3] = {0};
    int code = split_condition(cli, text, &body, &reading.condition, &given);
    if (code) return code;
    if (!space) {
        code = read_srgb(cli, text, body,
                         given &&
                             !fh_condition_equal(reading.condition,
                                                 (fh_condition){FH_ILLUMINANT_D65, FH_OBSERVER_2}),
                         &reading);
    } else {
        code = read_three(cli, text, body, space->expected, v);
        if (!code && space->lab == from_lch && v[1] < 0)
            code = cli_usage(cli, "%s: a chroma of %g; expected C from 0, with h in degrees", text,
                             v[1]);
        if (!code) reading.lab = space->lab(v, fh_weights_of(reading.condition).white);
    }
    if (!code) code = check(cli, text, &reading);
    if (code) return code;
    fh_copy_text(reading.id, sizeof reading.id, text);
    *out = reading;
    return CLI_DONE;
}

/* Several readings of one standard input: it is read once. */
static int read_standard_input(cli_context *cli, fh_library *out)
{
    if (!cli->standard_input.bytes) {
        int code = cli_text_input(cli, "-", NULL, &cli->standard_input);
        if (code) return code;
    }
    return cli_library(cli, &cli->standard_input, out);
}

static int pick(cli_context *cli, const char *file, const char *id, fh_reading *out)
{
    fh_library library;
    int code = id && strcmp(file, "-") == 0 ? read_standard_input(cli, &library)
                                            : cli_read_library(cli, file, NULL, &library);
    if (code) return code;
    if (!id && library.count != 1)
        return cli_fail_text(cli, FH_E_DATA, "%s: %zu readings; say which one with %s#ID", file,
                             library.count, file);
    const fh_reading *found = id ? fh_library_find(&library, id) : library.readings;
    if (!found)
        return cli_fail_text(cli, FH_E_DATA, "%s: no reading %s; the first is %s", file, id,
                             library.count ? library.readings[0].id : "none");
    *out = *found;
    return CLI_DONE;
}

/* The # that splits FILE#ID: the last, unless only an earlier one leaves the name of a file. */
static const char *find_mark(cli_context *cli, const char *text)
{
    const char *last = strrchr(text, '#');
    for (const char *mark = last; mark && mark > text; --mark) {
        if (*mark != '#') continue;
        char *file = cli_keep(cli, fh_allocate((size_t)(mark - text) + 1, 1));
        if (file) memcpy(file, text, (size_t)(mark - text));
        if (file && fh_file_exists(file)) return mark;
    }
    return last;
}

int cli_split_id(cli_context *cli, const char *text, const char **file, const char **id)
{
    const char *mark = find_mark(cli, text);
    *file = text;
    *id = NULL;
    if (!mark || fh_file_exists(text)) return CLI_DONE;
    char *copy = cli_keep(cli, fh_allocate((size_t)(mark - text) + 1, 1));
    if (!copy) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    memcpy(copy, text, (size_t)(mark - text));
    *file = copy;
    *id = mark + 1;
    return CLI_DONE;
}

static int read_from_file(cli_context *cli, const char *text, fh_reading *out)
{
    const char *file, *id;
    int code = cli_split_id(cli, text, &file, &id);
    if (code) return code;
    if (!id && !fh_file_exists(text) && strcmp(text, "-") != 0 && !cli_value(cli, "job"))
        return cli_usage(cli,
                         "%s is neither a file nor a colour; expected FILE#ID, lab:L,a,b  "
                         "lch:L,C,h  xyz:X,Y,Z  or srgb:rrggbb",
                         text);
    return pick(cli, file, id, out);
}

/* The literal space of a text's prefix; *srgb for the one that is not in the table. */
static const colour_space *space_of(const char *text, bool *srgb)
{
    fh_slice prefix = {text, strcspn(text, ":") + 1};
    *srgb = fh_slice_is_fold(prefix, "srgb:");
    for (size_t i = 0; i < sizeof spaces / sizeof *spaces; ++i)
        if (fh_slice_is_fold(prefix, spaces[i].prefix)) return &spaces[i];
    return NULL;
}

bool cli_is_literal(const char *text)
{
    bool srgb;
    return space_of(text, &srgb) || srgb;
}

int cli_colour(cli_context *cli, const char *text, fh_reading *out)
{
    bool srgb;
    const colour_space *space = space_of(text, &srgb);
    return space || srgb ? read_literal(cli, text, space, out) : read_from_file(cli, text, out);
}
