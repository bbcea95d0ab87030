/* Writes tables of readings in the project's file format (docs/formats.md). */
#ifndef DEMO_TABLE_H
#define DEMO_TABLE_H

#include "scenario.h"

#include <stdio.h>

#include "farhue/colour.h"

typedef struct {
    const char *descriptor, *instrument;
    double shared; /* what all readings of the instrument are off by, L*, a* and b*; 0: not said */
    double thickness_mm; /* 0: not said */
} table_head;

static inline void own_keyword(FILE *file, const char *name, double value)
{
    fprintf(file, "KEYWORD \"%s\"\n%s %.2f\n", name, name, value);
}

static inline void table_begin(FILE *file, const table_head *head)
{
    fprintf(file, "CGATS.17\nORIGINATOR \"farhue demo\"\nDESCRIPTOR \"%s\"\n", head->descriptor);
    fprintf(file, "CREATED \"2026-03-01\"\nINSTRUMENTATION \"%s\"\n", head->instrument);
    fprintf(file, "MEASUREMENT_GEOMETRY \"45/0\"\n");
    fprintf(file, "WEIGHTING_FUNCTION \"ILLUMINANT, D65\"\n");
    fprintf(file, "WEIGHTING_FUNCTION \"OBSERVER, 10 degree\"\n");
    if (head->thickness_mm > 0.0) own_keyword(file, "THICKNESS_MM", head->thickness_mm);
    if (head->shared > 0.0) {
        fprintf(file, "KEYWORD \"SHARED_1_SOURCE\"\nSHARED_1_SOURCE \"instrument: %s\"\n",
                head->instrument);
        own_keyword(file, "SHARED_1_STDEV_L", head->shared);
        own_keyword(file, "SHARED_1_STDEV_A", head->shared);
        own_keyword(file, "SHARED_1_STDEV_B", head->shared);
    }
}

/* What each sample has beside id and name; `behind`: also what is behind it. */
static inline void table_spectral(FILE *file, size_t rows, bool behind)
{
    fprintf(file, "KEYWORD \"SPECTRAL_UNIT\"\nSPECTRAL_UNIT \"factor\"\n");
    fprintf(file, "NUMBER_OF_FIELDS %d\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_NAME%s",
            BANDS + (behind ? 3 : 2), behind ? " SAMPLE_BACKING" : "");
    for (size_t b = 0; b < BANDS; b++) fprintf(file, " SPECTRAL_NM%.0f", band_nm(b));
    fprintf(file, "\nEND_DATA_FORMAT\nNUMBER_OF_SETS %zu\nBEGIN_DATA\n", rows);
}

static inline void table_lab(FILE *file, size_t rows)
{
    fprintf(file,
            "NUMBER_OF_FIELDS 8\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B "
            "STDEV_L STDEV_A STDEV_B\nEND_DATA_FORMAT\nNUMBER_OF_SETS %zu\nBEGIN_DATA\n",
            rows);
}

static inline void table_end(FILE *file)
{
    fputs("END_DATA\n", file);
}

/* A spectrum as an instrument reads it: each band off at random by sd, four decimals. behind: NULL
 * unless the table has that column. */
static inline void row_spectrum(FILE *file, const char *id, const char *name, const char *behind,
                                const curve *c, double sd, dice *d)
{
    fprintf(file, "\"%s\" \"%s\"", id, name);
    if (behind) fprintf(file, " \"%s\"", behind);
    for (size_t b = 0; b < BANDS; b++) fprintf(file, " %.4f", fmax(c->v[b] + sd * normal(d), 0.0));
    fputc('\n', file);
}

static inline fh_lab lab_of(const curve *c)
{
    fh_spectrum s;
    for (size_t b = 0; b < BANDS; b++) s.v[b] = c->v[b];
    fh_weights weights = fh_weights_of(fh_condition_default());
    return fh_lab_of_spectrum(&s, &weights);
}

/* A Lab reading, off at random by sd on each axis, with sd stated beside it. */
static inline void row_lab(FILE *file, const char *id, const char *name, const curve *c, double sd,
                           dice *d)
{
    fh_lab lab = lab_of(c);
    double L = lab.L + sd * normal(d), a = lab.a + sd * normal(d), b = lab.b + sd * normal(d);
    fprintf(file, "\"%s\" \"%s\" %.2f %.2f %.2f %.2f %.2f %.2f\n", id, name, L, a, b, sd, sd, sd);
}

#endif
