/* Calls about readings: type one in, remove it, compare two. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "farhue/kind.h"
#include "page/door.h"

/* What a device's figures are worth, standard uncertainty a Lab axis: shared by all readings of
 * that device, and of one reading (common practice, no source). */
static const struct device {
    const char *name;
    double shared, random;
} devices[] = {
    {"meter", 0.8, 0.3}, /* a colour meter for hobbyists */
    {"spectro", 0.4, 0.15},
    {"seller", 0,
     4}, /* a seller's value or hex code, each by itself; 5 in a* and b*, as in files */
    {"other", 1.5, 0.5},
};

static const struct device *device_of(const char *name)
{
    for (size_t i = 0; i < sizeof devices / sizeof *devices; i++)
        if (strcmp(devices[i].name, name) == 0) return &devices[i];
    return NULL;
}

static fh_status tray_of(const page_request *r, desk_tray *tray, fh_error *error)
{
    char name[16];
    request_text(r, "tray", name, sizeof name);
    if (desk_tray_of(name, tray)) return FH_OK;
    return fh_fail(error, FH_E_ARGUMENT, "no tray \"%s\"", name);
}

/* "#aabbcc" or "aabbcc" as sRGB, D65/2. */
static bool read_hex(fh_slice text, fh_reading *out)
{
    unsigned long value;
    if (text.length && *text.start == '#') text.start++, text.length--;
    if (text.length != 6 || !fh_parse_hex(text, &value)) return false;
    fh_reading_set_srgb(out, value);
    return true;
}

enum { TYPED_TEXT = 4096, CURVE_MOST = 512 };

/* A spectrum as it was typed or pasted: values alone (evenly spaced from `from` by `step` nm), or
 * pairs of wavelength and value. Percent when any value exceeds 2. */
static fh_status read_curve(const page_request *r, const char *text, fh_spectrum *out,
                            fh_error *error)
{
    double numbers[CURVE_MOST], nm[CURVE_MOST], values[CURVE_MOST], from = 400, step = 10;
    size_t count = 0, n = 0;
    fh_slice rest = fh_slice_of(text);
    while (count < CURVE_MOST && list_number(&rest, false, &numbers[count])) count++;
    if (fh_slice_trim(rest).length && *rest.start > ' ')
        return fh_fail(error, FH_E_DATA,
                       "\"%.*s\" is no number; expected the curve's values, "
                       "separated by spaces or new lines",
                       (int)(rest.length < 20 ? rest.length : 20), rest.start);
    bool pairs = count >= 4 && numbers[0] >= 300 && numbers[2] > numbers[0];
    if (pairs && count % 2)
        return fh_fail(error, FH_E_DATA,
                       "%zu numbers; pairs of wavelength and value are an even "
                       "number",
                       count);
    request_number(r, "from", &from);
    request_number(r, "step", &step);
    for (size_t i = 0; i < count; i += pairs ? 2 : 1, n++) {
        nm[n] = pairs ? numbers[i] : from + step * (double)n;
        values[n] = numbers[pairs ? i + 1 : i];
    }
    double top = 0;
    for (size_t i = 0; i < n; i++) top = fmax(top, values[i]);
    for (size_t i = 0; i < n && top > 2; i++) values[i] /= 100;
    if (fh_spectrum_resample(nm, values, n, out, NULL))
        return fh_fail(error, FH_E_DATA,
                       "%zu values from %.0f nm; expected an ascending curve of at "
                       "least 2 values that reaches into 380 to 730 nm",
                       n, n ? nm[0] : from);
    return FH_OK;
}

/* The colour itself: lab (three numbers), hex, or a curve. */
static fh_status read_colour(const page_request *r, fh_reading *out, fh_error *error)
{
    char text[TYPED_TEXT];
    if (request_text(r, "curve", text, sizeof text) && text[0]) {
        fh_status status = read_curve(r, text, &out->reflectance, error);
        if (status) return status;
        out->origin = FH_ORIGIN_SPECTRUM;
        out->condition = fh_condition_default();
        fh_weights weights = fh_weights_of(out->condition);
        out->lab = fh_lab_of_spectrum(&out->reflectance, &weights);
        return FH_OK;
    }
    if (request_text(r, "hex", text, sizeof text) && text[0]) {
        if (!read_hex(fh_slice_trim(fh_slice_of(text)), out))
            return fh_fail(error, FH_E_DATA,
                           "\"%s\" is no hex colour; expected six digits such as "
                           "c8b496",
                           text);
        return FH_OK;
    }
    if (!request_number(r, "L", &out->lab.L) || !request_number(r, "a", &out->lab.a) ||
        !request_number(r, "b", &out->lab.b))
        return fh_fail(error, FH_E_DATA, "L*, a* and b* must be three numbers");
    return FH_OK;
}

/* The light was not known: the figures are read as D65/10, and what they would be there had they
 * been stated under D50/2, D65/2 or A/10's usual neighbours widens the interval, shared by the
 * device. The spread of the candidates about their mean is its covariance. */
static fh_status add_unknown_light(fh_reading *reading, const char *source, fh_error *error)
{
    static const fh_condition usual[] = {{FH_ILLUMINANT_D65, FH_OBSERVER_10},
                                         {FH_ILLUMINANT_D65, FH_OBSERVER_2},
                                         {FH_ILLUMINANT_D50, FH_OBSERVER_2},
                                         {FH_ILLUMINANT_D50, FH_OBSERVER_10}};
    enum { USUAL = sizeof usual / sizeof *usual };
    fh_weights wanted = fh_weights_of(fh_condition_default());
    fh_mat3 spread = {{{0}}};
    for (size_t i = 1; i < USUAL; i++) {
        fh_reading as = fh_reading_blank(), here;
        as.condition = usual[i];
        as.lab = reading->lab;
        fh_status status = fh_reading_in_condition(&as, &wanted, &here, error);
        if (status) return status;
        const double d[3] = {here.lab.L - reading->lab.L, here.lab.a - reading->lab.a,
                             here.lab.b - reading->lab.b};
        for (size_t k = 0; k < 3; k++)
            for (size_t l = 0; l < 3; l++) spread.m[k][l] += d[k] * d[l] / USUAL;
    }
    reading->condition = fh_condition_default();
    return fh_reading_add_shared(reading, source, spread);
}

/* Condition, uncertainty and names of a reading whose colour is there. */
static fh_status read_circumstances(const page_request *r, fh_reading *out, fh_error *error)
{
    char text[FH_NOTE], source[FH_SOURCE], who[24];
    fh_status status = request_line(r, "name", "name", out->name, sizeof out->name, error);
    if (!status) status = request_line(r, "id", "name", out->id, sizeof out->id, error);
    if (!status) status = request_line(r, "note", "note", out->note, sizeof out->note, error);
    if (!status)
        status = request_line(r, "behind", "backing's name", out->method.backing,
                              sizeof out->method.backing, error);
    if (status) return status;
    request_text(r, "who", who, sizeof who);
    request_text(r, "device", text, sizeof text);
    const struct device *device = device_of(text);
    if (!device) return fh_fail(error, FH_E_ARGUMENT, "no device \"%s\"", text);
    double shared = device->shared * device->shared, own = device->random * device->random;
    bool seller = strcmp(device->name, "seller") == 0;
    if (out->basis != FH_BASIS_SCREEN) /* which has its own */
        out->random = fh_mat3_diagonal(own, seller ? 25 : own, seller ? 25 : own);
    fh_format(source, sizeof source, "instrument: %s's %s", who[0] ? who : "somebody",
              device->name);
    if (shared > 0)
        status = fh_reading_add_shared(out, source, fh_mat3_diagonal(shared, shared, shared));
    if (status || out->origin == FH_ORIGIN_SPECTRUM || request_text(r, "hex", text, sizeof text))
        return status;
    request_text(r, "condition", text, sizeof text);
    if (strcmp(text, "unsure") == 0) {
        fh_format(source, sizeof source, "unknown light: %s's %s", who[0] ? who : "somebody",
                  device->name);
        return add_unknown_light(out, source, error);
    }
    if (fh_condition_parse(text, &out->condition))
        return fh_fail(error, FH_E_DATA, "\"%s\" is no condition; expected one such as D65/10",
                       text);
    return FH_OK;
}

static fh_status call_add(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    desk_tray tray;
    fh_reading reading = fh_reading_blank();
    fh_status status = tray_of(r, &tray, error);
    if (!status) status = read_colour(r, &reading, error);
    if (!status) status = read_circumstances(r, &reading, error);
    if (!status) status = fh_reading_check(&reading, NULL, error);
    if (!status) status = desk_add(&desk->now.tray[tray], &reading);
    if (status) return status;
    json_count(j, "count", desk->now.tray[tray].count);
    return FH_OK;
}

static fh_status call_remove(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    desk_tray tray;
    size_t index;
    fh_status status = tray_of(r, &tray, error);
    if (status) return status;
    if (!request_count(r, "index", &index) || index >= desk->now.tray[tray].count)
        return fh_fail(error, FH_E_ARGUMENT, "there is no such reading");
    desk_remove(&desk->now.tray[tray], index);
    json_count(j, "count", desk->now.tray[tray].count);
    return FH_OK;
}

/* Screen colour of a Lab being typed, before it is kept. */
static fh_status call_preview(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)desk;
    fh_reading reading = fh_reading_blank();
    fh_status status = read_colour(r, &reading, error);
    if (!status) status = fh_reading_check(&reading, NULL, error);
    if (status) return status;
    json_lab(j, "lab", reading.lab);
    json_screen(j, "screen", reading.lab);
    return FH_OK;
}

/* As on the command line; a browser may stop earlier. */
enum { PICTURE_PIXELS = 268435456 };

static size_t big_endian(const unsigned char *b, size_t bytes)
{
    size_t value = 0;
    while (bytes--) value = value << 8 | *b++;
    return value;
}

/* Width and height that the head of a PNG (its IHDR) or JPEG (its SOF segment) states. */
static bool picture_size(const unsigned char *b, size_t length, fh_kind kind, size_t *width,
                         size_t *height)
{
    if (kind == FH_KIND_PNG) {
        if (length < 24) return false;
        *width = big_endian(b + 16, 4), *height = big_endian(b + 20, 4);
        return true;
    }
    for (size_t at = 2; at + 9 <= length && b[at] == 0xFF;) {
        const unsigned char marker = b[at + 1];
        const bool frame =
            marker >= 0xC0 && marker <= 0xCF && marker != 0xC4 && marker != 0xC8 && marker != 0xCC;
        if (marker == 0xDA) return false;
        if (frame) {
            *height = big_endian(b + at + 5, 2), *width = big_endian(b + at + 7, 2);
            return true;
        }
        at += 2 + big_endian(b + at + 2, 2);
    }
    return false;
}

/* Why a picture of a kind that browsers read was not opened: too large, or damaged. */
static void write_unopened(page_json *j, const page_request *r, fh_kind kind)
{
    size_t width = 0, height = 0;
    char words[260];
    const bool sized =
        picture_size((const unsigned char *)r->body.start, r->body.length, kind, &width, &height);
    if (sized && height && width > (size_t)PICTURE_PIXELS / height)
        fh_format(
            words, sizeof words,
            "The picture has %zu \xc3\x97 %zu pixels; expected at most %d megapixels. Make it "
            "smaller, or cut out chart and part.",
            width, height, PICTURE_PIXELS / 1000000);
    else if (sized && width && height)
        fh_format(
            words, sizeof words,
            "The picture of %zu \xc3\x97 %zu pixels could not be opened: it is damaged or cut "
            "off (send it again as a file), or larger than this browser takes.",
            width, height);
    else
        fh_format(words, sizeof words,
                  "The picture is damaged or cut off; send it again as a file.");
    json_text(j, "words", words);
}

/* What a file is that could not be read as a picture. */
static fh_status call_kind(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)desk, (void)error;
    char words[200];
    fh_kind kind = fh_kind_of(r->body.start, r->body.length);
    if (kind == FH_KIND_PNG || kind == FH_KIND_JPEG) {
        write_unopened(j, r, kind);
        return FH_OK;
    }
    if (kind == FH_KIND_EMPTY)
        fh_format(words, sizeof words,
                  "This is an empty file: there is nothing in it; choose another, or send the "
                  "picture again.");
    else
        fh_format(words, sizeof words, "This is %s; %s.", fh_kind_name(kind),
                  fh_kind_advice(kind, true));
    json_text(j, "words", words);
    return FH_OK;
}

/* CIEDE2000 of two colours that are given. */
static fh_status call_difference(page_desk *desk, const page_request *r, page_json *j,
                                 fh_error *error)
{
    (void)desk;
    fh_lab x, y;
    if (!request_number(r, "L", &x.L) || !request_number(r, "a", &x.a) ||
        !request_number(r, "b", &x.b) || !request_number(r, "L2", &y.L) ||
        !request_number(r, "a2", &y.a) || !request_number(r, "b2", &y.b))
        return fh_fail(error, FH_E_ARGUMENT, "Two colours are needed.");
    json_number(j, "dE00", fh_de2000(x, y));
    return FH_OK;
}

const page_entry page_reading_calls[] = {{"add", call_add, true},
                                         {"remove", call_remove, true},
                                         {"preview", call_preview, false},
                                         {"kind", call_kind, false},
                                         {"difference", call_difference, false},
                                         {NULL, NULL, false}};
