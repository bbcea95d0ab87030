/* Table text and CSV from strangers: what can be read must be written as text that reads the same,
   cell by cell. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/table.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must_equal(const fh_tables *first, const fh_tables *second)
{
    if (fh_tables_count(first) != fh_tables_count(second)) abort();
    for (size_t i = 0; i < fh_tables_count(first); i++) {
        const fh_table *a = fh_tables_at(first, i), *b = fh_tables_at(second, i);
        size_t columns = fh_table_columns(a), rows = fh_table_rows(a);
        if (columns != fh_table_columns(b) || rows != fh_table_rows(b)) abort();
        for (size_t row = 0; row < rows; row++)
            for (size_t column = 0; column < columns; column++)
                if (strcmp(fh_table_text(a, row, column), fh_table_text(b, row, column)) != 0)
                    abort();
    }
}

static void round_trip(const fh_tables *tables)
{
    fh_text text = {0};
    fh_tables *again = NULL;
    fh_error error = {0};
    if (fh_tables_write(tables, &text) != FH_OK) return; /* a name that no table text can hold */
    if (fh_tables_read(text.bytes, text.length, &again, &error) != FH_OK) abort();
    must_equal(tables, again);
    fh_tables_free(again);
    fh_text_free(&text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *text = (const char *)data;
    fh_tables *tables = NULL;
    fh_error error = {0};
    fh_status status = fh_tables_recognise(text, size) ? fh_tables_read(text, size, &tables, &error)
                                                       : fh_csv_read(text, size, &tables, &error);
    if (status != FH_OK) {
        if (tables || error.message[0] == '\0') abort(); /* every refusal says why */
        return 0;
    }
    round_trip(tables);
    fh_tables_free(tables);
    return 0;
}
