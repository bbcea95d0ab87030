/* All measured reflectances of the reference data, by set, for studies. */
#ifndef FARHUE_STUDY_SETS_H
#define FARHUE_STUDY_SETS_H

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "farhue/spectrum.h"
#include "reference.h"

enum { SET_COUNT = 12 };

typedef struct set {
    const char *name;
    fh_spectrum *spectra;
    size_t count;
} set;

static void add_spectrum(set *s, const double *nm, const double *values, size_t count)
{
    s->spectra = realloc(s->spectra, (s->count + 1) * sizeof *s->spectra);
    assert_non_null(s->spectra);
    assert_int_equal(fh_spectrum_resample(nm, values, count, &s->spectra[s->count], NULL), FH_OK);
    ++s->count;
}

/* A column a spectrum, the first column nm. */
static set load_columns(const char *name, const char *file)
{
    set s = {.name = name};
    reference t = reference_load(file);
    double *nm = malloc(t.rows * sizeof *nm), *values = malloc(t.rows * sizeof *values);
    for (size_t c = 1; c < t.columns; ++c) {
        for (size_t r = 0; r < t.rows; ++r) {
            nm[r] = reference_number_at(&t, r, 0);
            values[r] = reference_number_at(&t, r, c);
        }
        add_spectrum(&s, nm, values, t.rows);
    }
    free(nm);
    free(values);
    reference_free(&t);
    return s;
}

/* A row a spectrum; columns whose names are numbers are its wavelengths. kind: NULL, or what the
 * column "kind" must hold. */
static set load_rows(const char *name, const char *file, const char *kind)
{
    set s = {.name = name};
    reference t = reference_load(file);
    double nm[128], values[128];
    for (size_t r = 0; r < t.rows; ++r) {
        if (kind && strcmp(reference_text(&t, r, "kind"), kind) != 0) continue;
        size_t count = 0;
        for (size_t c = 0; c < t.columns; ++c)
            if (isdigit((unsigned char)t.fields[c][0])) {
                nm[count] = atof(t.fields[c]);
                values[count++] = reference_number_at(&t, r, c);
            }
        add_spectrum(&s, nm, values, count);
    }
    reference_free(&t);
    return s;
}

/* Both curves of each metameric pair. */
static set load_metamers(void)
{
    set s = {.name = "metamers"};
    reference t = reference_load("metamers_spectra.csv");
    double nm[128], one[128], two[128];
    size_t count = 0;
    for (size_t r = 0; r < t.rows; ++r) {
        nm[count] = reference_number(&t, r, "nm");
        one[count] = reference_number(&t, r, "R1");
        two[count++] = reference_number(&t, r, "R2");
        if (r + 1 == t.rows ||
            strcmp(reference_text(&t, r, "pair"), reference_text(&t, r + 1, "pair")) != 0) {
            add_spectrum(&s, nm, one, count);
            add_spectrum(&s, nm, two, count);
            count = 0;
        }
    }
    reference_free(&t);
    return s;
}

static void load_sets(set sets[SET_COUNT])
{
    size_t n = 0;
    sets[n++] = load_rows("matt chips", "munsell_matt_spectra_5nm.csv", NULL);
    sets[n++] = load_rows("natural objects", "natural_objects_170_10nm.csv", NULL);
    sets[n++] = load_rows("car paint chips", "automotive_paint_chips_120_10nm.csv", NULL);
    sets[n++] = load_columns("fidelity samples", "cie224_ces99_5nm.csv");
    sets[n++] = load_columns("test colours", "cie_test_colours_5nm.csv");
    sets[n++] = load_columns("chart, 1997", "chart24_spectra_ohta1997_5nm.csv");
    sets[n++] = load_columns("chart, average", "chart24_spectra_average30_10nm.csv");
    sets[n++] = load_columns("chart, 2012", "chart24_spectra_tlci2012_5nm.csv");
    sets[n++] = load_columns("acrylic paints", "acrylic27_measured_reflectance.csv");
    sets[n++] = load_rows("watercolours", "watercolour13_ladders.csv", "R");
    sets[n++] = load_rows("watercolour mixtures", "watercolour13_mixtures.csv", NULL);
    sets[n++] = load_metamers();
    assert_int_equal(n, SET_COUNT);
}

static void free_sets(set sets[SET_COUNT])
{
    for (size_t i = 0; i < SET_COUNT; ++i) free(sets[i].spectra);
}

#endif
