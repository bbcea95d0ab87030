/* The inside of a list of tables, shared by the reader, the writer and CSV. */
#ifndef FARHUE_FILES_TABLE_H
#define FARHUE_FILES_TABLE_H

#include <stdint.h>

#include "base/text.h"
#include "farhue/table.h"

/* A text in the list's pool, and where it stood in the file (0 when it was built). quoted: it
 * stood in quotes, or is text that must not be taken for a number. */
typedef struct fh_cell {
    size_t at;
    uint32_t line, column;
    bool quoted;
} fh_cell;

typedef struct fh_keyword {
    fh_cell name, value;
} fh_keyword;

struct fh_table {
    fh_tables *list;
    fh_cell type;
    fh_keyword *keywords;
    size_t keyword_count, keyword_capacity;
    fh_cell *columns;
    size_t column_count, column_capacity;
    fh_cell *cells; /* row by row */
    size_t cell_count, cell_capacity;
    size_t row_count;
    uint32_t line; /* where it begins */
};

struct fh_tables {
    fh_table **items;
    size_t count, capacity;
    char *pool; /* texts, each with its NUL; the first is empty */
    size_t pool_length, pool_capacity;
    size_t cell_total;
    fh_status failed;
};

/* Put a text into the pool; its cell, or the empty one after a failure. */
fh_cell fh_tables_keep(fh_tables *tables, fh_slice text, uint32_t line, uint32_t column,
                       bool quoted);
const char *fh_tables_text(const fh_tables *tables, fh_cell cell);

/* Append, with limits; the failure sticks to the list and is returned. */
fh_status fh_table_push_keyword(fh_table *table, fh_cell name, fh_cell value);
fh_status fh_table_push_column(fh_table *table, fh_cell name);
fh_status fh_table_push_cell(fh_table *table, fh_cell cell);

/* Whether the standard has this keyword; others are declared through KEYWORD. */
bool fh_table_standard_keyword(const char *name);

#endif
