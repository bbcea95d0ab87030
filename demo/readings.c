/* Writes what the people of the demo read with their instruments; all of it is invented.
 *
 *   readings FOLDER
 *
 * The owner has borrowed a spectrophotometer (45/0): face-read.txt is the ring's face at four
 * places; black.txt, grey.txt and white.txt hold each backing alone and under the hood; chip.txt a
 * teal chip alone and under the hood, to see whether the figures add up. The helper has another
 * one, which reads a little higher: coupon-good.txt, -bad.txt and -noisy.txt are test prints.
 * truth.txt holds the curves themselves. What lies under the hood is computed by tracing rays
 * (trace.h), not by the program's own optics. */
#include "table.h"
#include "trace.h"

static FILE *open_in(const char *folder, const char *name)
{
    char path[512];
    int length = snprintf(path, sizeof path, "%s/%s", folder, name);
    return length > 0 && (size_t)length < sizeof path ? fopen(path, "w") : NULL;
}

/* A chip that the owner happens to have. */
static double chip_at(double nm)
{
    return 0.06 + 0.22 * hump(nm, 500.0, 45.0) + 0.10 * edge(nm, 700.0, 15.0);
}

/* Test prints. Good: the face with a touch more blue. Bad: too yellow, too light. */
static double good_at(double nm)
{
    return face_at(nm) * (1.01 + 0.04 * hump(nm, 450.0, 40.0));
}

static double bad_at(double nm)
{
    return face_at(nm) * (1.05 + 0.22 * edge(nm, 545.0, 25.0)) - 0.03 * hump(nm, 470.0, 50.0);
}

/* Noisy: not far from the edge of the tolerance, read three times by an unsteady hand. */
static double noisy_at(double nm)
{
    return face_at(nm) * (1.00 + 0.06 * edge(nm, 545.0, 25.0));
}

typedef struct {
    const char *file, *descriptor, *alone, *name;
    double (*at)(double);
} backing;

static const backing BACKINGS[] = {
    {"black.txt", "Matt black card, alone and under the hood; invented", "black", "black card",
     black_at},
    {"grey.txt", "Grey card, alone and under the hood; invented", "grey", "grey card", grey_at},
    {"white.txt", "White tape, alone and under the hood; invented", "white", "white tape",
     white_at},
    {"chip.txt", "Teal chip, alone and under the hood; invented", "chip", "teal chip", chip_at},
};

static const double READING_SD = 0.0015;

static int write_backing(const char *folder, const backing *b, const hood_look *look, dice *d)
{
    FILE *file = open_in(folder, b->file);
    if (!file) return 1;
    table_head head = {b->descriptor, "invented spectrophotometer of the owner", 0.0, 0.0};
    curve alone = curve_of(b->at), under = look_over(look, alone);
    table_begin(file, &head);
    table_spectral(file, 2, true);
    row_spectrum(file, b->alone, b->name, "", &alone, READING_SD, d);
    row_spectrum(file, "hood", "the hood over it", b->alone, &under, READING_SD, d);
    table_end(file);
    return fclose(file) != 0;
}

static curve scaled(curve c, double factor, double offset)
{
    for (size_t b = 0; b < BANDS; b++) c.v[b] = factor * c.v[b] + offset;
    return c;
}

/* Coats of paint on the black card and on the white tape. */
static int write_film(const char *folder, const char *name, size_t coats, const backing *b, dice *d)
{
    double mm = COAT_MM * (double)coats;
    hood coat = {mm, PAINT_INDEX, PAINT_SCATTER, curve_of(paint_at), true};
    hood_look look = trace_hood(&coat, 20000, 9);
    FILE *file = open_in(folder, name);
    if (!file) return 1;
    table_head head = {"Sage paint, dry; invented",
                       "invented spectrophotometer of the helper", 0.0, mm};
    curve alone = curve_of(b->at), over = look_over(&look, alone);
    table_begin(file, &head);
    table_spectral(file, 2, true);
    row_spectrum(file, b->alone, b->name, "", &alone, 0.001, d);
    row_spectrum(file, "film", "sage paint over it", b->alone, &over, 0.001, d);
    table_end(file);
    return fclose(file) != 0;
}

/* Six chips, the nearest ones to the face that a shop had. */
static int write_chips(const char *folder, const char *name, bool helper, dice *d)
{
    FILE *file = open_in(folder, name);
    if (!file) return 1;
    table_head head = {"Six chips that owner and helper both have; invented",
                       helper ? "invented spectrophotometer of the helper"
                              : "invented spectrophotometer of the owner",
                       0.2, 0.0};
    table_begin(file, &head);
    table_spectral(file, 6, false);
    for (size_t i = 0; i < 6; i++) {
        char id[32];
        snprintf(id, sizeof id, "chip-%zu", i + 1);
        curve chip = curve_of(face_at);
        for (size_t b = 0; b < BANDS; b++) {
            double bow = hump(band_nm(b), 470.0 + 35.0 * (double)i, 40.0);
            chip.v[b] = (0.7 + 0.12 * (double)(i % 4)) * chip.v[b] + 0.08 * bow;
        }
        if (helper) chip = scaled(chip, 1.006, 0.0003);
        row_spectrum(file, id, "paint-shop chip", NULL, &chip, 0.001, d);
    }
    table_end(file);
    return fclose(file) != 0;
}

/* One object read at several places. */
typedef struct {
    const char *file, *descriptor, *name;
    double (*at)(double);
    size_t places;
    bool helper;     /* with the helper's instrument, which reads a little high */
    double unsteady; /* standard deviation of the level from place to place */
} repeated;

static const repeated REPEATED[] = {
    {"face-read.txt", "The old ring's face at four places; invented", "face", face_at, 4, false,
     0.003},
    {"coupon-good.txt", "Test print in sage, four places; invented", "test print", good_at, 4, true,
     0.003},
    {"coupon-bad.txt", "Test print in a yellower filament, four places; invented", "test print",
     bad_at, 4, true, 0.003},
    {"coupon-noisy.txt", "Test print, read three times by an unsteady hand; invented", "test print",
     noisy_at, 3, true, 0.022},
};

static int write_repeated(const char *folder, const repeated *r, dice *d)
{
    FILE *file = open_in(folder, r->file);
    if (!file) return 1;
    table_head head = {r->descriptor,
                       r->helper ? "invented spectrophotometer of the helper"
                                 : "invented spectrophotometer of the owner",
                       0.2, r->helper ? 2.0 : 0.0};
    curve clean = curve_of(r->at);
    if (r->helper) clean = scaled(clean, 1.006, 0.0003);
    table_begin(file, &head);
    table_spectral(file, r->places, false);
    for (size_t i = 0; i < r->places; i++) {
        char id[32];
        snprintf(id, sizeof id, "place-%zu", i + 1);
        curve here = scaled(clean, 1.0 + r->unsteady * normal(d), 0.0);
        row_spectrum(file, id, r->name, NULL, &here, READING_SD, d);
    }
    table_end(file);
    return fclose(file) != 0;
}

static int write_truth(const char *folder, const hood_look *look)
{
    static double (*const parts[])(double) = {face_at, sheltered_at, good_at, bad_at, noisy_at};
    static const char *const names[] = {"face", "sheltered", "coupon-good", "coupon-bad",
                                        "coupon-noisy"};
    FILE *file = open_in(folder, "truth.txt");
    if (!file) return 1;
    table_head head = {"The truth: the invented curves, and what rays say of them under the hood",
                       "none: computed", 0.0, 0.0};
    dice unused = {1};
    table_begin(file, &head);
    table_spectral(file, 10, false);
    for (size_t i = 0; i < 5; i++) {
        char id[32];
        curve bare = curve_of(parts[i]), seen = look_over(look, bare);
        row_spectrum(file, names[i], "bare", NULL, &bare, 0.0, &unused);
        snprintf(id, sizeof id, "%s-seen", names[i]);
        row_spectrum(file, id, "under the hood", NULL, &seen, 0.0, &unused);
    }
    table_end(file);
    return fclose(file) != 0;
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fputs("readings: expected one folder\n", stderr);
        return 2;
    }
    hood h = {HOOD_MM, HOOD_INDEX, HOOD_SCATTER, curve_of(hood_at), false};
    hood_look look = trace_hood(&h, 200000, 5);
    dice d = {31};
    int bad = 0;
    for (size_t i = 0; !bad && i < sizeof BACKINGS / sizeof *BACKINGS; i++)
        bad = write_backing(argv[1], &BACKINGS[i], &look, &d);
    for (size_t i = 0; !bad && i < sizeof REPEATED / sizeof *REPEATED; i++)
        bad = write_repeated(argv[1], &REPEATED[i], &d);
    if (!bad) bad = write_film(argv[1], "film-black.txt", 1, &BACKINGS[0], &d);
    if (!bad) bad = write_film(argv[1], "film-white.txt", 1, &BACKINGS[2], &d);
    if (!bad) bad = write_film(argv[1], "film-2-black.txt", 2, &BACKINGS[0], &d);
    if (!bad) bad = write_film(argv[1], "film-2-white.txt", 2, &BACKINGS[2], &d);
    if (!bad) bad = write_chips(argv[1], "chips-owner.txt", false, &d);
    if (!bad) bad = write_chips(argv[1], "chips-helper.txt", true, &d);
    if (!bad) bad = write_truth(argv[1], &look);
    if (bad) fprintf(stderr, "readings: cannot write to %s\n", argv[1]);
    return bad ? 4 : 0;
}
