/* The invented filaments, by what their curves are made of: a base, edges (steps up, or down where
 * the amount is negative) and humps. Names describe the colour. */
#ifndef DEMO_FILAMENTS_H
#define DEMO_FILAMENTS_H

#include "scenario.h"

typedef struct {
    char kind; /* 'e' edge, 'h' hump, 0 none */
    double amount, at, width;
} term;

enum { TERMS = 5 };

typedef struct {
    const char *id, *name;
    double base;
    term terms[TERMS];
} swatch;

/* clang-format off */
#define EDGE(amount, at, width) {'e', amount, at, width}
#define HUMP(amount, at, width) {'h', amount, at, width}
/* clang-format on */

static const swatch FILAMENTS[] = {
    {"F01", "chalk white", 0.06, {EDGE(0.80, 408, 9)}},
    {"F02", "light grey", 0.06, {EDGE(0.46, 404, 9), EDGE(-0.02, 600, 60)}},
    {"F03", "mid grey", 0.05, {EDGE(0.16, 402, 9)}},
    {"F04", "black", 0.042, {EDGE(0.004, 650, 40)}},
    {"F05",
     "sage",
     0.065,
     {EDGE(0.155, 410, 10), EDGE(0.145, 470, 26), HUMP(0.135, 520, 46), EDGE(0.05, 692, 20)}},
    {"F06",
     "celadon",
     0.07,
     {EDGE(0.27, 409, 9), HUMP(0.165, 518, 50), EDGE(0.035, 560, 60), EDGE(0.06, 690, 20)}},
    {"F07", "pale mint", 0.07, {EDGE(0.33, 408, 9), HUMP(0.30, 515, 48), EDGE(0.08, 700, 18)}},
    {"F08", "sea green", 0.06, {EDGE(0.12, 410, 10), HUMP(0.24, 512, 44), EDGE(0.10, 705, 16)}},
    {"F09",
     "reed green",
     0.06,
     {EDGE(0.06, 412, 10), EDGE(0.26, 508, 16), HUMP(0.08, 545, 30), EDGE(0.05, 690, 20)}},
    {"F10", "moss", 0.045, {EDGE(0.03, 412, 10), HUMP(0.12, 540, 40), EDGE(0.10, 700, 14)}},
    {"F11", "sand", 0.07, {EDGE(0.22, 420, 18), EDGE(0.26, 520, 36), EDGE(0.06, 610, 30)}},
    {"F12", "pale sky", 0.09, {EDGE(0.50, 405, 9), EDGE(-0.16, 560, 40), EDGE(0.15, 690, 14)}},
    {"F13", "old rose", 0.07, {EDGE(0.25, 408, 10), HUMP(-0.06, 535, 40), EDGE(0.28, 595, 16)}},
    {"F14", "brick", 0.045, {EDGE(0.02, 420, 20), EDGE(0.24, 592, 15)}},
    {"F15", "marigold", 0.05, {EDGE(0.02, 420, 20), EDGE(0.62, 528, 14), EDGE(0.08, 590, 30)}},
    {"F16", "teal", 0.05, {EDGE(0.08, 408, 10), HUMP(0.16, 490, 40), EDGE(0.12, 715, 12)}},
    {"F17",
     "lagoon",
     0.065,
     {EDGE(0.135, 409, 9), HUMP(0.291, 515, 55), HUMP(0.305, 592, 17), EDGE(-0.03, 470, 20),
      EDGE(-0.059, 680, 10)}},
};

#define COUNT(array) (sizeof(array) / sizeof *(array))

static inline curve curve_of_swatch(const swatch *s)
{
    curve c;
    for (size_t b = 0; b < BANDS; b++) {
        double nm = band_nm(b), sum = s->base;
        for (size_t i = 0; i < TERMS && s->terms[i].kind; i++) {
            const term *t = &s->terms[i];
            sum += t->amount *
                   (t->kind == 'e' ? edge(nm, t->at, t->width) : hump(nm, t->at, t->width));
        }
        c.v[b] = sum;
    }
    return c;
}

#endif
