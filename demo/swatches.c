/* Writes the demo libraries; every swatch in them is invented.
 *
 *   swatches FOLDER     filaments.txt paints.txt
 *
 * A swatch is a base, edges (steps up, or down where the amount is negative) and humps. Most come
 * with a spectrum, some only with Lab as a low-cost colorimeter gives it, and some only with the
 * figure from a seller's page, which is worth little and says so in its deviation. Names describe
 * the colour. swatches/ in the tree holds what this program writes. */
#include "filaments.h"
#include "table.h"

#include <string.h>

/* Read with a colorimeter that shows Lab only. */
static const swatch FILAMENTS_LAB[] = {
    {"F21",
     "eucalyptus",
     0.068,
     {EDGE(0.19, 410, 10), EDGE(0.06, 470, 30), HUMP(0.15, 520, 50), EDGE(0.07, 692, 20)}},
    {"F22",
     "pistachio",
     0.07,
     {EDGE(0.15, 412, 10), EDGE(0.30, 485, 18), HUMP(0.10, 530, 40), EDGE(0.03, 690, 20)}},
    {"F23", "stone", 0.08, {EDGE(0.22, 410, 12), EDGE(0.10, 520, 60), EDGE(0.03, 610, 30)}},
    {"F24", "bottle green", 0.04, {EDGE(0.02, 410, 10), HUMP(0.07, 515, 35), EDGE(0.08, 715, 12)}},
    {"F25", "cream", 0.10, {EDGE(0.48, 415, 14), EDGE(0.20, 490, 40), EDGE(0.03, 600, 30)}},
};

/* Known from a seller's page only. */
static const swatch FILAMENTS_SOLD[] = {
    {"F31",
     "spring green, seller's figure",
     0.06,
     {EDGE(0.18, 410, 10), HUMP(0.40, 525, 38), EDGE(0.10, 700, 16)}},
    {"F32",
     "light sage, seller's figure",
     0.07,
     {EDGE(0.19, 410, 10), EDGE(0.13, 470, 26), HUMP(0.14, 520, 46), EDGE(0.05, 692, 20)}},
};

static const swatch PAINTS[] = {
    {"P01", "white", 0.05, {EDGE(0.85, 406, 7)}},
    {"P02", "ivory", 0.08, {EDGE(0.60, 412, 12), EDGE(0.15, 480, 30)}},
    {"P03", "lemon", 0.05, {EDGE(0.02, 420, 20), EDGE(0.78, 490, 12)}},
    {"P04", "ochre", 0.05, {EDGE(0.08, 430, 30), EDGE(0.34, 545, 22), EDGE(0.08, 620, 40)}},
    {"P05", "orange", 0.04, {EDGE(0.03, 430, 30), EDGE(0.60, 575, 12)}},
    {"P06", "brick red", 0.045, {EDGE(0.02, 420, 20), EDGE(0.20, 598, 14), EDGE(0.10, 690, 30)}},
    {"P07", "wine red", 0.04, {EDGE(0.02, 420, 20), HUMP(0.03, 450, 30), EDGE(0.20, 625, 18)}},
    {"P08", "violet", 0.04, {HUMP(0.20, 430, 32), EDGE(0.25, 655, 25)}},
    {"P09", "deep blue", 0.04, {HUMP(0.28, 448, 32), EDGE(0.15, 715, 14)}},
    {"P10",
     "sky blue",
     0.08,
     {EDGE(0.36, 403, 8), HUMP(0.22, 465, 45), EDGE(-0.12, 560, 30), EDGE(0.10, 705, 14)}},
    {"P11", "blue green", 0.05, {EDGE(0.06, 408, 10), HUMP(0.26, 495, 36), EDGE(0.08, 715, 12)}},
    {"P12", "leaf green", 0.045, {EDGE(0.02, 412, 10), HUMP(0.24, 525, 34), EDGE(0.20, 702, 12)}},
    {"P13",
     "olive",
     0.05,
     {EDGE(0.03, 420, 14), EDGE(0.10, 510, 20), HUMP(0.06, 560, 40), EDGE(0.06, 690, 20)}},
    {"P14", "dark brown", 0.04, {EDGE(0.05, 580, 40), EDGE(0.03, 680, 30)}},
    {"P15", "black", 0.045, {{0, 0, 0, 0}}},
    {"P16",
     "willow",
     0.075,
     {EDGE(0.17, 410, 9), EDGE(0.12, 478, 24), HUMP(0.115, 530, 50), EDGE(0.05, 690, 20)}},
    {"P17",
     "lichen",
     0.07,
     {EDGE(0.22, 410, 10), EDGE(0.10, 480, 28), HUMP(0.11, 524, 56), EDGE(0.02, 600, 40),
      EDGE(0.05, 695, 20)}},
};

static const swatch PAINTS_LAB[] = {
    {"P21", "duck-egg", 0.08, {EDGE(0.34, 408, 8), HUMP(0.17, 505, 50), EDGE(0.05, 700, 18)}},
    {"P22", "verdigris", 0.06, {EDGE(0.20, 408, 9), HUMP(0.26, 508, 44), EDGE(0.08, 705, 14)}},
    {"P23", "almond", 0.08, {EDGE(0.30, 416, 14), EDGE(0.17, 500, 34), EDGE(0.08, 600, 30)}},
};

static FILE *open_in(const char *folder, const char *name)
{
    char path[512];
    int length = snprintf(path, sizeof path, "%s/%s", folder, name);
    return length > 0 && (size_t)length < sizeof path ? fopen(path, "w") : NULL;
}

static void spectra(FILE *file, const char *what, double thickness, const swatch *items,
                    size_t count, dice *d)
{
    char descriptor[128];
    snprintf(descriptor, sizeof descriptor, "%s; invented, measured on nothing", what);
    table_head head = {descriptor, "invented spectrophotometer of the helper", 0.2, thickness};
    table_begin(file, &head);
    table_spectral(file, count, false);
    for (size_t i = 0; i < count; i++) {
        curve c = curve_of_swatch(&items[i]);
        row_spectrum(file, items[i].id, items[i].name, NULL, &c, 0.001, d);
    }
    table_end(file);
}

static void lab_only(FILE *file, const char *what, const char *instrument, double thickness,
                     double sd, const swatch *items, size_t count, dice *d)
{
    char descriptor[128];
    snprintf(descriptor, sizeof descriptor, "%s; invented, measured on nothing", what);
    table_head head = {descriptor, instrument, sd > 1.0 ? 0.0 : 0.2, thickness};
    table_begin(file, &head);
    table_lab(file, count);
    for (size_t i = 0; i < count; i++) {
        curve c = curve_of_swatch(&items[i]);
        row_lab(file, items[i].id, items[i].name, &c, sd, d);
    }
    table_end(file);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fputs("swatches: expected one folder\n", stderr);
        return 2;
    }
    dice d = {21};
    FILE *filaments = open_in(argv[1], "filaments.txt"), *paints = open_in(argv[1], "paints.txt");
    if (filaments && paints) {
        spectra(filaments, "Filaments, printed walls of 2 mm", 2.0, FILAMENTS, COUNT(FILAMENTS),
                &d);
        lab_only(filaments, "Filaments, Lab only", "invented colorimeter of the helper", 2.0, 0.3,
                 FILAMENTS_LAB, COUNT(FILAMENTS_LAB), &d);
        lab_only(filaments, "Filaments, from sellers' pages", "none: a seller's figure", 0.0, 4.0,
                 FILAMENTS_SOLD, COUNT(FILAMENTS_SOLD), &d);
        spectra(paints, "Paints, dry, two coats on white", 0.0, PAINTS, COUNT(PAINTS), &d);
        lab_only(paints, "Paints, Lab only", "invented colorimeter of the helper", 0.0, 0.3,
                 PAINTS_LAB, COUNT(PAINTS_LAB), &d);
    }
    int bad = !filaments || !paints;
    bad |= filaments && fclose(filaments) != 0;
    bad |= paints && fclose(paints) != 0;
    if (bad) fprintf(stderr, "swatches: cannot write to %s\n", argv[1]);
    return bad ? 4 : 0;
}
