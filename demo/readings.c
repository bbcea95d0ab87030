/* Writes what the people of the demo read with their instruments; all of it is invented.
 *
 *   readings FOLDER
 *
 * The owner has borrowed a spectrophotometer (45/0) for the hood: black.txt, grey.txt and white.txt
 * hold each backing alone and under the hood; chip.txt a teal chip alone and under the hood, to see
 * whether the figures add up. The helper has one too, another one: coupon-good.txt, -bad.txt,
 * -noisy.txt are test prints. truth.txt holds the curves themselves. What lies under the hood is
 * computed by tracing rays (trace.h), not by the program's own optics. */
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

/* Noisy: right on the edge, read twice by an unsteady hand. */
static double edge_at(double nm)
{
    return face_at(nm) * (1.02 + 0.09 * edge(nm, 545.0, 25.0));
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
    table_spectral(file, 2);
    row_spectrum(file, b->alone, b->name, &alone, READING_SD, d);
    row_spectrum(file, "hood", "the hood over it", &under, READING_SD, d);
    table_end(file);
    return fclose(file) != 0;
}

typedef struct {
    const char *file, *descriptor;
    double (*at)(double);
    size_t repeats;
    double sd; /* of Lab; 0: spectra */
} coupon;

static const coupon COUPONS[] = {
    {"coupon-good.txt", "Test print in sage, four places; invented", good_at, 4, 0.0},
    {"coupon-bad.txt", "Test print in a yellower filament, four places; invented", bad_at, 4, 0.0},
    {"coupon-noisy.txt", "Test print, read twice by an unsteady hand; invented", edge_at, 2, 1.2},
};

/* The helper's instruments read a little high, as one of two always does. */
static curve off_by_instrument(curve c)
{
    for (size_t b = 0; b < BANDS; b++) c.v[b] = 1.006 * c.v[b] + 0.0003;
    return c;
}

static int write_coupon(const char *folder, const coupon *c, dice *d)
{
    FILE *file = open_in(folder, c->file);
    if (!file) return 1;
    table_head head = {c->descriptor,
                       c->sd > 0.0 ? "invented colorimeter of the helper"
                                   : "invented spectrophotometer of the helper",
                       0.2, 2.0};
    curve clean = off_by_instrument(curve_of(c->at));
    table_begin(file, &head);
    if (c->sd > 0.0)
        table_lab(file, c->repeats);
    else
        table_spectral(file, c->repeats);
    for (size_t i = 0; i < c->repeats; i++) {
        char id[32];
        snprintf(id, sizeof id, "place-%zu", i + 1);
        if (c->sd > 0.0)
            row_lab(file, id, "test print", &clean, c->sd, d);
        else
            row_spectrum(file, id, "test print", &clean, READING_SD, d);
    }
    table_end(file);
    return fclose(file) != 0;
}

static int write_truth(const char *folder, const hood_look *look)
{
    static double (*const parts[])(double) = {face_at, sheltered_at, good_at, bad_at, edge_at};
    static const char *const names[] = {"face", "sheltered", "coupon-good", "coupon-bad",
                                        "coupon-noisy"};
    FILE *file = open_in(folder, "truth.txt");
    if (!file) return 1;
    table_head head = {"The truth: the invented curves, and what rays say of them under the hood",
                       "none: computed", 0.0, 0.0};
    dice unused = {1};
    table_begin(file, &head);
    table_spectral(file, 10);
    for (size_t i = 0; i < 5; i++) {
        char id[32];
        curve bare = curve_of(parts[i]), seen = look_over(look, bare);
        row_spectrum(file, names[i], "bare", &bare, 0.0, &unused);
        snprintf(id, sizeof id, "%s-seen", names[i]);
        row_spectrum(file, id, "under the hood", &seen, 0.0, &unused);
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
    hood h = {HOOD_MM, HOOD_INDEX, HOOD_SCATTER, curve_of(hood_at)};
    hood_look look = trace_hood(&h, 200000, 5);
    dice d = {31};
    int bad = 0;
    for (size_t i = 0; !bad && i < sizeof BACKINGS / sizeof *BACKINGS; i++)
        bad = write_backing(argv[1], &BACKINGS[i], &look, &d);
    for (size_t i = 0; !bad && i < sizeof COUPONS / sizeof *COUPONS; i++)
        bad = write_coupon(argv[1], &COUPONS[i], &d);
    if (!bad) bad = write_truth(argv[1], &look);
    if (bad) fprintf(stderr, "readings: cannot write to %s\n", argv[1]);
    return bad ? 4 : 0;
}
