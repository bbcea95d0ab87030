/* Figures of 3 × 5 dots, drawn at twice their size. */
#include "photo/figures.h"

#include <string.h>

#include "base/text.h"

enum { WIDE = 3, TALL = 5, STEP = WIDE + 1, TEXT = 24 };

/* Five rows of three bits each, the left one first. */
static const unsigned char DIGIT[10][TALL] = {
    {7, 5, 5, 5, 7}, {2, 6, 2, 2, 7}, {7, 1, 7, 4, 7}, {7, 1, 3, 1, 7}, {5, 5, 7, 1, 1},
    {7, 4, 7, 1, 7}, {7, 4, 7, 5, 7}, {7, 1, 2, 2, 2}, {7, 5, 7, 5, 7}, {7, 5, 7, 1, 7},
};
static const unsigned char POINT[TALL] = {0, 0, 0, 0, 2};

static size_t text_of(double value, char out[TEXT])
{
    size_t length = fh_format(out, TEXT, "%.2f", value < 1e6 ? value : 1e6);
    if (!strchr(out, '.')) return length;
    while (out[length - 1] == '0') out[--length] = '\0';
    if (out[length - 1] == '.') out[--length] = '\0';
    return length;
}

size_t fh_figures_width(double value)
{
    char text[TEXT];
    return 2 * STEP * text_of(value, text);
}

bool fh_figures_dot(double value, size_t x, size_t y)
{
    char text[TEXT];
    const size_t length = text_of(value, text);
    const size_t letter = x / (2 * STEP), column = x / 2 % STEP, row = y / 2;
    if (letter >= length || column >= WIDE || row >= TALL) return false;
    const char c = text[letter];
    const unsigned char *rows = c >= '0' && c <= '9' ? DIGIT[c - '0'] : POINT;
    return rows[row] >> (WIDE - 1 - column) & 1;
}
