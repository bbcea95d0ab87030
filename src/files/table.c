/* Lists of tables: their memory, what they hold, building them. */
#include "files/table.h"

#include <string.h>

#include "base/memory.h"

/* --- Memory --------------------------------------------------------------------------------- */

fh_tables *fh_tables_new(void)
{
    fh_tables *tables = fh_allocate(1, sizeof *tables);
    if (!tables) return NULL;
    if (fh_reserve(&tables->pool, &tables->pool_capacity, 1, 1)) {
        fh_free(tables);
        return NULL;
    }
    tables->pool[0] = '\0';
    tables->pool_length = 1;
    return tables;
}

void fh_tables_free(fh_tables *tables)
{
    if (!tables) return;
    for (size_t i = 0; i < tables->count; ++i) {
        fh_free(tables->items[i]->keywords);
        fh_free(tables->items[i]->columns);
        fh_free(tables->items[i]->cells);
        fh_free(tables->items[i]);
    }
    fh_free(tables->items);
    fh_free(tables->pool);
    fh_free(tables);
}

static fh_status stick(fh_tables *tables, fh_status status)
{
    if (status && !tables->failed) tables->failed = status;
    return tables->failed;
}

fh_status fh_tables_status(const fh_tables *tables)
{
    return tables->failed;
}

fh_cell fh_tables_keep(fh_tables *tables, fh_slice text, uint32_t line, uint32_t column,
                       bool quoted)
{
    fh_cell cell = {0, line, column, quoted};
    if (text.length > FH_TABLE_CELL) stick(tables, FH_E_LIMIT);
    if (tables->failed || text.length == 0) return cell;
    fh_status status =
        fh_reserve(&tables->pool, &tables->pool_capacity, tables->pool_length + text.length + 1, 1);
    if (stick(tables, status)) return cell;
    cell.at = tables->pool_length;
    memcpy(tables->pool + cell.at, text.start, text.length);
    tables->pool[cell.at + text.length] = '\0';
    tables->pool_length += text.length + 1;
    return cell;
}

const char *fh_tables_text(const fh_tables *tables, fh_cell cell)
{
    return tables->pool + cell.at;
}

size_t fh_tables_count(const fh_tables *tables)
{
    return tables->count;
}

fh_table *fh_tables_at(const fh_tables *tables, size_t index)
{
    return tables->items[index];
}

fh_table *fh_tables_add(fh_tables *tables)
{
    if (tables->count == FH_TABLES_MAX) stick(tables, FH_E_LIMIT);
    if (tables->failed) return NULL;
    fh_status status =
        fh_reserve(&tables->items, &tables->capacity, tables->count + 1, sizeof(fh_table *));
    fh_table *table = status ? NULL : fh_allocate(1, sizeof *table);
    if (!table) {
        stick(tables, status ? status : FH_E_MEMORY);
        return NULL;
    }
    table->list = tables;
    tables->items[tables->count++] = table;
    return table;
}

fh_status fh_table_push_keyword(fh_table *table, fh_cell name, fh_cell value)
{
    fh_tables *list = table->list;
    if (table->keyword_count == FH_TABLE_KEYWORDS) stick(list, FH_E_LIMIT);
    if (list->failed) return list->failed;
    if (stick(list, fh_reserve(&table->keywords, &table->keyword_capacity, table->keyword_count + 1,
                               sizeof *table->keywords)))
        return list->failed;
    table->keywords[table->keyword_count++] = (fh_keyword){name, value};
    return FH_OK;
}

fh_status fh_table_push_column(fh_table *table, fh_cell name)
{
    fh_tables *list = table->list;
    if (table->column_count == FH_TABLE_COLUMNS) stick(list, FH_E_LIMIT);
    if (list->failed) return list->failed;
    if (stick(list, fh_reserve(&table->columns, &table->column_capacity, table->column_count + 1,
                               sizeof *table->columns)))
        return list->failed;
    table->columns[table->column_count++] = name;
    return FH_OK;
}

fh_status fh_table_push_cell(fh_table *table, fh_cell cell)
{
    fh_tables *list = table->list;
    if (list->cell_total == FH_TABLE_CELLS) stick(list, FH_E_LIMIT);
    if (list->failed) return list->failed;
    if (stick(list, fh_reserve(&table->cells, &table->cell_capacity, table->cell_count + 1,
                               sizeof *table->cells)))
        return list->failed;
    table->cells[table->cell_count++] = cell;
    ++list->cell_total;
    return FH_OK;
}

/* --- Keywords ------------------------------------------------------------------------------- */

static const char *text_of(const fh_table *table, fh_cell cell)
{
    return fh_tables_text(table->list, cell);
}

static fh_cell keep(fh_table *table, const char *text, bool quoted)
{
    return fh_tables_keep(table->list, fh_slice_of(text), 0, 0, quoted);
}

const char *fh_table_type(const fh_table *table)
{
    return text_of(table, table->type);
}

void fh_table_set_type(fh_table *table, const char *type)
{
    table->type = keep(table, type, false);
}

static size_t find_keyword(const fh_table *table, const char *name)
{
    for (size_t i = 0; i < table->keyword_count; ++i)
        if (fh_slice_is_fold(fh_slice_of(text_of(table, table->keywords[i].name)), name)) return i;
    return FH_NONE;
}

const char *fh_table_keyword(const fh_table *table, const char *name)
{
    size_t i = find_keyword(table, name);
    return i == FH_NONE ? NULL : text_of(table, table->keywords[i].value);
}

size_t fh_table_keyword_count(const fh_table *table)
{
    return table->keyword_count;
}

const char *fh_table_keyword_name(const fh_table *table, size_t index)
{
    return text_of(table, table->keywords[index].name);
}

const char *fh_table_keyword_value(const fh_table *table, size_t index)
{
    return text_of(table, table->keywords[index].value);
}

/* The shortest text that reads back the same. Trap: lcms2 2.14 reads an integer with an exponent
 * wrongly ("1e-07" takes the mantissa of the number before it), so it gets its ".0". */
static void number_text(char out[40], double value)
{
    fh_shortest_number(out, 32, value);
    char *e = strchr(out, 'e');
    if (!e || strchr(out, '.')) return;
    memmove(e + 2, e, strlen(e) + 1);
    memcpy(e, ".0", 2);
}

static void set_value(fh_table *table, const char *name, const char *value, bool quoted)
{
    size_t i = find_keyword(table, name);
    fh_cell kept = keep(table, value, quoted);
    if (i != FH_NONE)
        table->keywords[i].value = kept;
    else
        fh_table_push_keyword(table, keep(table, name, false), kept);
}

void fh_table_set_keyword(fh_table *table, const char *name, const char *value)
{
    set_value(table, name, value, true);
}

void fh_table_set_keyword_number(fh_table *table, const char *name, double value)
{
    char text[40];
    number_text(text, value);
    set_value(table, name, text, false);
}

void fh_table_add_keyword(fh_table *table, const char *name, const char *value)
{
    fh_cell kept = keep(table, value, true);
    fh_table_push_keyword(table, keep(table, name, false), kept);
}

void fh_table_remove_keyword(fh_table *table, const char *name)
{
    size_t left = 0;
    for (size_t i = 0; i < table->keyword_count; ++i)
        if (!fh_slice_is_fold(fh_slice_of(text_of(table, table->keywords[i].name)), name))
            table->keywords[left++] = table->keywords[i];
    table->keyword_count = left;
}

/* --- Columns and cells ---------------------------------------------------------------------- */

size_t fh_table_columns(const fh_table *table)
{
    return table->column_count;
}

const char *fh_table_column_name(const fh_table *table, size_t column)
{
    return text_of(table, table->columns[column]);
}

size_t fh_table_column(const fh_table *table, const char *name)
{
    for (size_t i = 0; i < table->column_count; ++i)
        if (fh_slice_is_fold(fh_slice_of(text_of(table, table->columns[i])), name)) return i;
    return FH_NONE;
}

size_t fh_table_add_column(fh_table *table, const char *name)
{
    if (table->row_count) stick(table->list, FH_E_ARGUMENT);
    if (fh_table_push_column(table, keep(table, name, false))) return 0;
    return table->column_count - 1;
}

size_t fh_table_rows(const fh_table *table)
{
    return table->row_count;
}

size_t fh_table_add_row(fh_table *table)
{
    for (size_t i = 0; i < table->column_count; ++i)
        fh_table_push_cell(table, (fh_cell){.quoted = true});
    if (table->list->failed) return 0;
    return table->row_count++;
}

static void set_cell(fh_table *table, size_t row, size_t column, const char *text, bool quoted)
{
    fh_cell kept = keep(table, text, quoted);
    if (table->list->failed) return;
    table->cells[row * table->column_count + column] = kept;
}

void fh_table_set_text(fh_table *table, size_t row, size_t column, const char *text)
{
    set_cell(table, row, column, text, true);
}

void fh_table_set_number(fh_table *table, size_t row, size_t column, double value)
{
    char text[40];
    number_text(text, value);
    set_cell(table, row, column, text, false);
}

const char *fh_table_text(const fh_table *table, size_t row, size_t column)
{
    if (column == FH_NONE) return "";
    return text_of(table, table->cells[row * table->column_count + column]);
}

size_t fh_table_find(const fh_table *table, size_t column, const char *text)
{
    for (size_t row = 0; row < table->row_count; ++row)
        if (strcmp(fh_table_text(table, row, column), text) == 0) return row;
    return FH_NONE;
}
