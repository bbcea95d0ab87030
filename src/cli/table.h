/* Tables on the terminal: columns line up, a colour may be a patch, long text goes on in the next
 * line where a terminal is too narrow; where even that does not fit, each row is a list. */
#ifndef FARHUE_CLI_TABLE_H
#define FARHUE_CLI_TABLE_H

#include "cli/cli.h"
#include "farhue/colour.h"

enum { CLI_COLUMNS = 16 };

/* Begin a table: one letter a column, 'l' left, 'r' right, 'p' patch. Headings are NULL for
 * none, else as many as columns. Cells are added row by row, then cli_table_print. */
typedef struct cli_table {
    char align[CLI_COLUMNS + 1];
    size_t columns;
    size_t heading_cells;
    fh_buffer text; /* the cells, each ending in NUL */
    size_t cells;
} cli_table;

cli_table cli_table_begin(const char *align, const char *const *headings);
void cli_cell(cli_table *table, const char *format, ...) FH_PRINTF(2, 3);

/* A patch of the colour; without patches the column is left out. */
void cli_cell_patch(cli_table *table, fh_lab lab);

/* L*, a* and b* to two decimals: three cells. */
void cli_cells_lab(cli_table *table, fh_lab lab);

/* Add the table to the report and free it. */
void cli_table_print(cli_context *cli, cli_table *table);

/* Columns that a UTF-8 text takes on a terminal. */
size_t cli_text_width(const char *text);

#endif
