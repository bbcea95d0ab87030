/* The nearest word in spelling, for "did you mean". */
#include <string.h>

#include "cli/cli.h"

enum { LONGEST = 40 };

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Edit distance: letters to insert, delete, replace, or swap with their neighbour. */
static size_t distance(const char *a, const char *b)
{
    size_t n = strlen(a), m = strlen(b);
    size_t rows[3][LONGEST + 1];
    if (n > LONGEST || m > LONGEST) return LONGEST;
    for (size_t j = 0; j <= m; ++j) rows[0][j] = j;
    for (size_t i = 1; i <= n; ++i) {
        size_t *row = rows[i % 3], *above = rows[(i + 2) % 3], *above2 = rows[(i + 1) % 3];
        row[0] = i;
        for (size_t j = 1; j <= m; ++j) {
            size_t change = above[j - 1] + (a[i - 1] != b[j - 1]);
            row[j] = least(change, least(above[j], row[j - 1]) + 1);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                row[j] = least(row[j], above2[j - 2] + 1);
        }
    }
    return rows[n % 3][m];
}

const char *cli_nearest(const char *word, const char *(*next)(const void *user, size_t i),
                        const void *user)
{
    const char *best = NULL, *name;
    size_t best_distance = strlen(word) / 3 + 1; /* a short word must be closer */
    for (size_t i = 0; (name = next(user, i)); ++i) {
        size_t d = distance(word, name);
        /* a beginning of three letters or more counts as near */
        if (strlen(word) >= 3 && strncmp(word, name, strlen(word)) == 0) d = 1;
        if (d < best_distance || (!best && d == best_distance)) {
            best = name;
            best_distance = d;
        }
    }
    return best;
}
