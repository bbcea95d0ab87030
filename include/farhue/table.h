/* Tables of text: ISO 28178 (CGATS.17) ASCII, and what CSV is read into.
 *
 * A file is a list of tables; a table has keywords, columns and rows of cells. Cells are text;
 * a number is read from one when it is asked for, and knows its line and column when it is none.
 * Building: columns first, then rows. A failed allocation sticks to the list and is reported by
 * fh_tables_status and when it is written, so that building needs no checks in between. Texts that
 * are handed out stay valid until the list is changed or freed. [ISO28178] */
#ifndef FARHUE_TABLE_H
#define FARHUE_TABLE_H

#include "farhue/sink.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Limits on what is read or built; beyond them FH_E_LIMIT. */
enum {
    FH_TABLES_MAX = 256,       /* tables in a file */
    FH_TABLE_COLUMNS = 2048,   /* columns in a table */
    FH_TABLE_CELLS = 4000000,  /* cells in a file */
    FH_TABLE_KEYWORDS = 10000, /* keywords in a table */
    FH_TABLE_CELL = 16384      /* bytes in a cell, a keyword's value or a name */
};

#define FH_NONE ((size_t)-1)

typedef struct fh_tables fh_tables;
typedef struct fh_table fh_table;

/* An empty list; NULL when there is no memory. The caller frees it; freeing NULL is fine. */
FH_API fh_tables *fh_tables_new(void);
/* Free the list and its tables. */
FH_API void fh_tables_free(fh_tables *tables);

/* How many tables the list has. */
FH_API size_t fh_tables_count(const fh_tables *tables);

/* The table at an index below fh_tables_count; owned by the list, valid while the list lives. */
FH_API fh_table *fh_tables_at(const fh_tables *tables, size_t index);

/* A new table at the end; NULL when that fails (and the failure sticks). */
FH_API fh_table *fh_tables_add(fh_tables *tables);

/* FH_OK, or why building has failed so far. */
FH_API fh_status fh_tables_status(const fh_tables *tables);

/* --- Reading and writing -------------------------------------------------------------------- */

/* Read table text: UTF-8, any line ending; values between blanks, tabs or line ends, or between
 * commas or semicolons where the column names are. Numbers keep their text. The errors name
 * line and column: text that is not UTF-8, control characters, a quote that is not closed, rows
 * that do not match the columns, NUMBER_OF_SETS or NUMBER_OF_FIELDS that does not match, a
 * column twice. The caller frees *out. */
FH_API fh_status fh_tables_read(const char *text, size_t length, fh_tables **out, fh_error *error);

/* Whether text looks like table text rather than CSV: a line begins with BEGIN_DATA. */
FH_API bool fh_tables_recognise(const char *text, size_t length);

/* All tables as text, which the caller frees with fh_text_free. FH_E_DATA when a name or a value
 * has a line break or what the readers refuse (control characters, bytes that are not UTF-8), or a
 * column is called END_DATA_FORMAT or the like: table text cannot hold it. FH_E_MEMORY. */
FH_API fh_status fh_tables_write(const fh_tables *tables, fh_text *out);

/* Read CSV with a header row into one table: comma, semicolon or tab, whichever the header row
 * has; quotes as in RFC 4180; lines that begin with # before the header are comments. FH_E_DATA
 * with line and column: bytes that are not UTF-8, a quote that is not closed, a row of another
 * length than the header; FH_E_LIMIT; FH_E_MEMORY. The caller frees *out; error may be NULL. */
FH_API fh_status fh_csv_read(const char *text, size_t length, fh_tables **out, fh_error *error);

/* One table as CSV; its keywords are left out. The caller frees *out with fh_text_free. */
FH_API fh_status fh_csv_write(const fh_table *table, fh_text *out);

/* --- Keywords ------------------------------------------------------------------------------- */

/* The word on the first line, such as "CGATS.17"; empty when there was none. */
FH_API const char *fh_table_type(const fh_table *table);
/* Set that word. */
FH_API void fh_table_set_type(fh_table *table, const char *type);

/* The value of the first keyword of that name (letters in either case), NULL when absent. */
FH_API const char *fh_table_keyword(const fh_table *table, const char *name);

/* Keywords in order: their number, and name and value of one. KEYWORD declarations, NUMBER_OF_…
 * and the BEGIN and END lines are not among them. */
FH_API size_t fh_table_keyword_count(const fh_table *table);
FH_API const char *fh_table_keyword_name(const fh_table *table, size_t index);
FH_API const char *fh_table_keyword_value(const fh_table *table, size_t index);

/* Set a keyword's value, or add it; add another of the same name; remove all of that name.
 * Names that the standard does not have are declared through KEYWORD when written. */
FH_API void fh_table_set_keyword(fh_table *table, const char *name, const char *value);
FH_API void fh_table_add_keyword(fh_table *table, const char *name, const char *value);
FH_API void fh_table_remove_keyword(fh_table *table, const char *name);
FH_API void fh_table_set_keyword_number(fh_table *table, const char *name, double value);

/* A keyword's value as a number; *out keeps its value when the keyword is absent. FH_E_DATA with
 * the place when the value is no number. */
FH_API fh_status fh_table_keyword_number(const fh_table *table, const char *name, double *out,
                                         fh_error *error);

/* --- Columns and cells ---------------------------------------------------------------------- */

/* How many columns the table has; the name of one. */
FH_API size_t fh_table_columns(const fh_table *table);
FH_API const char *fh_table_column_name(const fh_table *table, size_t column);

/* The first column of that name (letters in either case), FH_NONE when there is none. */
FH_API size_t fh_table_column(const fh_table *table, const char *name);

/* A new column at the right; its index. Only before the first row. */
FH_API size_t fh_table_add_column(fh_table *table, const char *name);

/* How many rows the table has. */
FH_API size_t fh_table_rows(const fh_table *table);

/* A new row of empty cells; its index. */
FH_API size_t fh_table_add_row(fh_table *table);

/* Put text or a number (shortest form that reads back the same) into a cell. */
FH_API void fh_table_set_text(fh_table *table, size_t row, size_t column, const char *text);
FH_API void fh_table_set_number(fh_table *table, size_t row, size_t column, double value);

/* A cell as text, never NULL; empty for an empty cell, and when column is FH_NONE. */
FH_API const char *fh_table_text(const fh_table *table, size_t row, size_t column);

/* A cell as a number. FH_E_DATA with the place when it is empty or no number; a decimal comma is
 * named. column must exist. */
FH_API fh_status fh_table_number(const fh_table *table, size_t row, size_t column, double *out,
                                 fh_error *error);

/* The first row whose cell in column equals text, FH_NONE when there is none. */
FH_API size_t fh_table_find(const fh_table *table, size_t column, const char *text);

/* --- Errors about a place ------------------------------------------------------------------- */

/* The line of a row in the file it was read from. */
FH_API size_t fh_table_line(const fh_table *table, size_t row);

/* Fill in error for a cell, the header (row FH_NONE) or the table's begin (both FH_NONE); returns
 * status. message is taken as it is. */
FH_API fh_status fh_table_fail(const fh_table *table, size_t row, size_t column, fh_error *error,
                               fh_status status, const char *message);

/* The same at the first keyword of that name. */
FH_API fh_status fh_table_fail_keyword(const fh_table *table, const char *name, fh_error *error,
                                       fh_status status, const char *message);

#ifdef __cplusplus
}
#endif
#endif
