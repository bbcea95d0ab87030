/* Laying out a table. */
#include "cli/table.h"

#include <stdarg.h>
#include <string.h>

enum { GAP = 2, PATCH = 4, SHORTEST = 8, WORD = 24 };

cli_table cli_table_begin(const char *align, const char *const *headings)
{
    cli_table table = {.columns = strlen(align)};
    fh_copy_text(table.align, sizeof table.align, align);
    for (size_t i = 0; headings && i < table.columns; ++i) cli_cell(&table, "%s", headings[i]);
    table.heading_cells = table.cells;
    return table;
}

/* Close a cell: its text is in the buffer. */
static void end_cell(cli_table *table)
{
    fh_buffer_add(&table->text, (fh_slice){"", 1}); /* its NUL */
    ++table->cells;
}

void cli_cell(cli_table *table, const char *format, ...)
{
    char text[1024];
    va_list arguments;
    va_start(arguments, format);
    size_t length = fh_format_list(text, sizeof text, format, arguments);
    va_end(arguments);
    cli_add_visible(&table->text, (fh_slice){text, length}, false);
    end_cell(table);
}

void cli_cell_patch(cli_table *table, fh_lab lab)
{
    fh_rgb rgb = fh_screen_of_lab(lab, NULL);
    fh_buffer_format(&table->text, "\033[48;2;%d;%d;%dm    \033[0m", (int)(rgb.r * 255 + 0.5),
                     (int)(rgb.g * 255 + 0.5), (int)(rgb.b * 255 + 0.5));
    end_cell(table);
}

void cli_cells_lab(cli_table *table, fh_lab lab)
{
    cli_cell(table, "%.2f", lab.L);
    cli_cell(table, "%.2f", lab.a);
    cli_cell(table, "%.2f", lab.b);
}

/* Combining marks and the invisible take no column; East Asian wide characters take two. */
static size_t columns_of(unsigned long c)
{
    if (c >= 0x300 && c <= 0x36F) return 0;
    if (c >= 0x200B && c <= 0x200F) return 0;
    if (c >= 0x1100 && (c <= 0x115F || (c >= 0x2E80 && c <= 0xA4CF) ||
                        (c >= 0xAC00 && c <= 0xD7A3) || (c >= 0xF900 && c <= 0xFAFF) ||
                        (c >= 0xFE30 && c <= 0xFE6F) || (c >= 0xFF00 && c <= 0xFF60) ||
                        (c >= 0x1F300 && c <= 0x1FAFF) || (c >= 0x20000 && c <= 0x3FFFD)))
        return 2;
    return 1;
}

/* The character at text and its length in bytes; malformed bytes count as one. */
static unsigned long character(const char *text, size_t *length)
{
    size_t n = fh_utf8_length(text, strlen(text));
    *length = n ? n : 1;
    unsigned char first = (unsigned char)text[0];
    if (n < 2) return first;
    unsigned long c = first & (0x7Fu >> n);
    for (size_t i = 1; i < n; ++i) c = c << 6 | ((unsigned char)text[i] & 0x3Fu);
    return c;
}

size_t cli_text_width(const char *text)
{
    size_t width = 0, length;
    for (; *text; text += length) width += columns_of(character(text, &length));
    return width;
}

static size_t cell_width(const cli_table *table, size_t column, const char *text)
{
    if (table->align[column] == 'p') return *text == '\033' ? PATCH : cli_text_width(text);
    return cli_text_width(text);
}

static bool hidden(const cli_context *cli, const cli_table *table, size_t column)
{
    return table->align[column] == 'p' && !cli->patches;
}

/* How a table is laid out. */
typedef struct layout {
    size_t widths[CLI_COLUMNS], gap;
} layout;

static size_t total_of(const cli_context *cli, const cli_table *table, const layout *out)
{
    size_t total = 0, shown = 0;
    for (size_t i = 0; i < table->columns; ++i)
        if (!hidden(cli, table, i)) total += out->widths[i] + (shown++ ? out->gap : 0);
    return total;
}

/* Narrow the widest column of that alignment until the table fits, none below its least width. */
static bool narrow(const cli_context *cli, const cli_table *table, char align, const size_t *least,
                   layout *out)
{
    while (total_of(cli, table, out) > cli->width) {
        size_t widest = table->columns;
        for (size_t i = 0; i < table->columns; ++i)
            if (table->align[i] == align && out->widths[i] > least[i] &&
                (widest == table->columns || out->widths[i] > out->widths[widest]))
                widest = i;
        if (widest == table->columns) return false;
        --out->widths[widest];
    }
    return true;
}

/* Columns of the longest word: what a right column needs whose cells may be broken at blanks. */
static size_t longest_word(const char *text)
{
    size_t longest = 0, width = 0, length;
    for (; *text; text += length) {
        const unsigned long c = character(text, &length);
        width = c == ' ' ? 0 : width + columns_of(c);
        if (width > longest) longest = width;
    }
    return longest;
}

/* Cells of left columns are broken at blanks first, then the gaps shrink, then headings and cells
 * of others are broken at blanks, at last left columns within words. False when that is not enough.
 */
static bool fit(const cli_context *cli, const cli_table *table, layout *out)
{
    size_t least[CLI_COLUMNS] = {0};
    const char *text = table->text.text;
    out->gap = GAP;
    for (size_t cell = 0; cell < table->cells; ++cell, text += strlen(text) + 1) {
        const size_t column = cell % table->columns;
        const size_t word = longest_word(text);
        const size_t whole = table->align[column] == 'r' || word < WORD ? word : WORD;
        if (whole > least[column]) least[column] = whole;
    }
    for (size_t i = 0; i < table->columns; ++i)
        if (table->align[i] == 'l' && least[i] < SHORTEST) least[i] = SHORTEST;
    if (cli->width == 0 || narrow(cli, table, 'l', least, out)) return true;
    out->gap = 1;
    if (narrow(cli, table, 'r', least, out)) return true;
    for (size_t i = 0; i < table->columns; ++i)
        if (table->align[i] == 'l') least[i] = SHORTEST;
    return narrow(cli, table, 'l', least, out);
}

static void spaces(cli_context *cli, size_t count)
{
    while (count--) cli_put(cli, " ");
}

/* As much of a text as fits into `width` columns, up to a blank where there is one; its bytes, and
 * in *used its columns. */
static size_t piece_of(const char *text, size_t width, size_t *used)
{
    size_t bytes = 0, columns = 0, at_blank = 0, columns_there = 0, length;
    for (const char *at = text; *at; at += length) {
        const size_t step = columns_of(character(at, &length));
        if (columns + step > width) break;
        if (*at == ' ' && bytes > 0) {
            at_blank = bytes;
            columns_there = columns;
        }
        bytes += length;
        columns += step;
    }
    const bool cut = text[bytes] != '\0' && text[bytes] != ' ';
    *used = cut && at_blank ? columns_there : columns;
    return cut && at_blank ? at_blank : bytes;
}

/* One line of a cell, `width` columns wide; *text moves on to what is left of it. The last column
 * is not padded. */
static void put_cell(cli_context *cli, const cli_table *table, size_t column, const char **text,
                     size_t width)
{
    const size_t own = cell_width(table, column, *text);
    const bool last = column + 1 == table->columns, right = table->align[column] == 'r';
    size_t used = own, bytes = strlen(*text);
    if (own > width) bytes = piece_of(*text, width, &used);
    if (bytes == 0 && **text) { /* a character wider than its column */
        (void)character(*text, &bytes);
        used = width;
    }
    if (right && used < width) spaces(cli, width - used);
    fh_buffer_add(&cli->text, (fh_slice){*text, bytes});
    if (!right && !last && used < width) spaces(cli, width - used);
    *text += bytes;
    while (own > width && **text == ' ') ++*text;
}

/* After the headings, a rule. */
static void put_rule(cli_context *cli, const cli_table *table, const layout *at)
{
    bool first = true;
    for (size_t i = 0; i < table->columns; ++i) {
        if (hidden(cli, table, i)) continue;
        if (!first) spaces(cli, at->gap);
        for (size_t n = 0; n < at->widths[i]; ++n) cli_put(cli, "─");
        first = false;
    }
    cli_put(cli, "\n");
}

/* A row: as many lines as its longest cell needs. */
static void put_row(cli_context *cli, const cli_table *table, const char **cells, const layout *at)
{
    for (bool more = true; more;) {
        bool first = true;
        more = false;
        for (size_t i = 0; i < table->columns; ++i) {
            if (hidden(cli, table, i)) continue;
            if (!first) spaces(cli, at->gap);
            put_cell(cli, table, i, &cells[i], at->widths[i]);
            more = more || *cells[i];
            first = false;
        }
        while (cli->text.length && cli->text.text[cli->text.length - 1] == ' ') --cli->text.length;
        cli_put(cli, "\n");
    }
}

static void put_rows(cli_context *cli, const cli_table *table, const layout *at)
{
    const char *text = table->text.text, *cells[CLI_COLUMNS];
    for (size_t cell = 0; cell < table->cells; ++cell) {
        const size_t column = cell % table->columns;
        cells[column] = text;
        text += strlen(text) + 1;
        if (column + 1 < table->columns) continue;
        put_row(cli, table, cells, at);
        if (cell + 1 == table->heading_cells) put_rule(cli, table, at);
    }
}

/* Where no table fits: each row as a list, a cell behind its heading. */
static void put_list(cli_context *cli, const cli_table *table)
{
    const char *heads[CLI_COLUMNS] = {0}, *text = table->text.text;
    size_t label = 0;
    for (size_t cell = 0; cell < table->heading_cells; ++cell, text += strlen(text) + 1) {
        heads[cell] = text;
        if (cli_text_width(text) > label) label = cli_text_width(text);
    }
    for (size_t cell = table->heading_cells; cell < table->cells; ++cell) {
        const size_t column = cell % table->columns;
        if (*text && !hidden(cli, table, column)) {
            const char *head = heads[column] ? heads[column] : "";
            cli_put(cli, head);
            spaces(cli, label + (label ? GAP : 0) - cli_text_width(head));
            cli_put(cli, text);
            cli_put(cli, "\n");
        }
        text += strlen(text) + 1;
        if (column + 1 == table->columns && cell + 1 < table->cells) cli_put(cli, "\n");
    }
}

void cli_table_print(cli_context *cli, cli_table *table)
{
    layout at = {.gap = GAP};
    if (table->text.failed) {
        cli->text.failed = true;
    } else if (table->cells) {
        const char *text = table->text.text;
        for (size_t cell = 0; cell < table->cells; ++cell, text += strlen(text) + 1) {
            size_t column = cell % table->columns, width = cell_width(table, column, text);
            if (width > at.widths[column] && !hidden(cli, table, column)) at.widths[column] = width;
        }
        if (fit(cli, table, &at))
            put_rows(cli, table, &at);
        else
            put_list(cli, table);
    }
    fh_buffer_free(&table->text);
}
