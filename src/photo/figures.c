/* Figures and letters of 3 × 5 dots, drawn at twice their size. */
#include "photo/figures.h"

#include <string.h>

#include "base/text.h"

enum { WIDE = 3, TALL = 5, STEP = WIDE + 1, TEXT = 24 };

/* Five rows of three bits each, the left one first. */
static const unsigned char DIGIT[10][TALL] = {
    {7, 5, 5, 5, 7}, {2, 6, 2, 2, 7}, {7, 1, 7, 4, 7}, {7, 1, 3, 1, 7}, {5, 5, 7, 1, 1},
    {7, 4, 7, 1, 7}, {7, 4, 7, 5, 7}, {7, 1, 2, 2, 2}, {7, 5, 7, 5, 7}, {7, 5, 7, 1, 7},
};
static const unsigned char LETTER[26][TALL] = {
    {2, 5, 7, 5, 5}, {6, 5, 6, 5, 6}, {3, 4, 4, 4, 3}, {6, 5, 5, 5, 6}, {7, 4, 6, 4, 7},
    {7, 4, 6, 4, 4}, {3, 4, 5, 5, 3}, {5, 5, 7, 5, 5}, {7, 2, 2, 2, 7}, {1, 1, 1, 5, 2},
    {5, 5, 6, 5, 5}, {4, 4, 4, 4, 7}, {5, 7, 7, 5, 5}, {6, 5, 5, 5, 5}, {2, 5, 5, 5, 2},
    {6, 5, 6, 4, 4}, {2, 5, 5, 7, 3}, {6, 5, 6, 5, 5}, {3, 4, 2, 1, 6}, {7, 2, 2, 2, 2},
    {5, 5, 5, 5, 7}, {5, 5, 5, 5, 2}, {5, 5, 7, 7, 5}, {5, 5, 2, 5, 5}, {5, 5, 2, 2, 2},
    {7, 1, 2, 4, 7},
};
static const struct {
    char sign;
    unsigned char rows[TALL];
} SIGN[] = {{'.', {0, 0, 0, 0, 2}}, {'-', {0, 0, 7, 0, 0}}, {'_', {0, 0, 0, 0, 7}},
            {'+', {0, 2, 7, 2, 0}}, {' ', {0, 0, 0, 0, 0}}, {'?', {7, 1, 2, 0, 2}}};
enum { SIGNS = sizeof SIGN / sizeof *SIGN };

/* Capitals stand for small letters too, a question mark for what has no dots here. */
static const unsigned char *rows_of(char c)
{
    if (c >= '0' && c <= '9') return DIGIT[c - '0'];
    if (c >= 'A' && c <= 'Z') return LETTER[c - 'A'];
    if (c >= 'a' && c <= 'z') return LETTER[c - 'a'];
    size_t i = 0;
    while (i + 1 < SIGNS && SIGN[i].sign != c) i++;
    return SIGN[i].rows;
}

static size_t text_of(double value, char out[TEXT])
{
    size_t length = fh_format(out, TEXT, "%.2f", value < 1e6 ? value : 1e6);
    if (!strchr(out, '.')) return length;
    while (out[length - 1] == '0') out[--length] = '\0';
    if (out[length - 1] == '.') out[--length] = '\0';
    return length;
}

size_t fh_letters_width(const char *text)
{
    return 2 * STEP * strlen(text);
}

bool fh_letters_dot(const char *text, size_t x, size_t y)
{
    const size_t letter = x / (2 * STEP), column = x / 2 % STEP, row = y / 2;
    if (letter >= strlen(text) || column >= WIDE || row >= TALL) return false;
    return rows_of(text[letter])[row] >> (WIDE - 1 - column) & 1;
}

size_t fh_figures_width(double value)
{
    char text[TEXT];
    return 2 * STEP * text_of(value, text);
}

bool fh_figures_dot(double value, size_t x, size_t y)
{
    char text[TEXT];
    text_of(value, text);
    return fh_letters_dot(text, x, y);
}
