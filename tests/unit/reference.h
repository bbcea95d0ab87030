/* Published figures for tests, as CSV: comment lines that start with '#', one line of column
   names, then rows. Fields may be quoted; inside quotes a doubled quote is one. */
#ifndef FARHUE_TESTS_REFERENCE_H
#define FARHUE_TESTS_REFERENCE_H

#include <stddef.h>

typedef struct reference {
    char *text;          /* the whole file; fields point into it */
    const char **fields; /* rows x columns, the names first */
    size_t rows;         /* data rows, without the names */
    size_t columns;
    const char *name; /* for messages */
} reference;

/* Loads a table by file name, e.g. "ciede2000_pairs.csv": from tests/data when the project ships
   it, else from the folder in the environment variable FARHUE_REFERENCE, else from
   ../shared/reference. When it is in none of them the running test is skipped, saying so; a
   malformed file fails the test. Free with reference_free. */
reference reference_load(const char *name);
void reference_free(reference *table);

/* The column of that name; a missing one fails the test. */
size_t reference_column(const reference *table, const char *column);

/* A field; row 0 is the first data row. A number that isn't one, or an empty field, fails the test
   in reference_number; reference_has tells an empty field. */
const char *reference_text(const reference *table, size_t row, const char *column);
double reference_number(const reference *table, size_t row, const char *column);
int reference_has(const reference *table, size_t row, const char *column);

/* The same by column index, for tables with a column a band. */
const char *reference_text_at(const reference *table, size_t row, size_t column);
double reference_number_at(const reference *table, size_t row, size_t column);

/* The first row whose `column` equals `value`; none fails the test. */
size_t reference_row(const reference *table, const char *column, const char *value);

#endif
