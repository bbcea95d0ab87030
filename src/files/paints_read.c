/* A paint file: its tables in, fitted paints out. */
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"
#include "files/notes.h"
#include "files/paints.h"

void fh_paints_free(fh_paints *paints)
{
    fh_free(paints->paints);
    fh_text_free(&paints->notes);
    *paints = (fh_paints){0};
}

size_t fh_paints_find(const fh_paints *paints, const char *id)
{
    for (size_t i = 0; i < paints->count; ++i)
        if (strcmp(paints->paints[i].id, id) == 0) return i;
    return FH_NONE;
}

/* The names in "A, B, C" that don't belong to coats. */
static void other_columns(fh_slice names, char out[FH_NOTE])
{
    size_t used = 0;
    out[0] = '\0';
    while (names.length) {
        const char *comma = memchr(names.start, ',', names.length);
        const size_t length = comma ? (size_t)(comma - names.start) : names.length;
        const fh_slice name = fh_slice_trim((fh_slice){names.start, length});
        const bool cut = fh_slice_is(name, "…") && !used;
        if (!fh_paints_is_column(name) && !cut && used < FH_NOTE)
            used += fh_format(out + used, FH_NOTE - used, "%s%.*s", used ? ", " : "",
                              (int)name.length, name.start);
        names.start += length + (comma ? 1 : 0);
        names.length -= length + (comma ? 1 : 0);
    }
}

/* Notes of the readings; of the columns that nothing is read from, those that aren't read here. */
static void pass_notes(fh_paints_work *work)
{
    static const char columns[] = "nothing is read from the columns ";
    const size_t before = sizeof columns - 1;
    const fh_text *notes = &work->library.notes;
    for (size_t at = 0; at < notes->length;) {
        const char *line = notes->bytes + at, *end = memchr(line, '\n', notes->length - at);
        const size_t length = end ? (size_t)(end - line) : notes->length - at;
        char others[FH_NOTE];
        if (length < before || memcmp(line, columns, before) != 0)
            fh_note(&work->paints->notes, "%.*s", (int)length, line);
        else
            other_columns((fh_slice){line + before, length - before}, others);
        if (length >= before && memcmp(line, columns, before) == 0 && others[0])
            fh_note(&work->paints->notes, "%s%s", columns, others);
        at += length + 1;
    }
}

/* Coats first: pots may only name paints that some coat holds. */
static fh_status read_tables(fh_paints_work *work, const fh_tables *tables,
                             const fh_library_defaults *defaults, fh_error *error)
{
    size_t read = 0;
    fh_status status = FH_OK;
    for (size_t i = 0; i < fh_tables_count(tables) && !status; ++i) {
        if (!fh_library_in_table(fh_tables_at(tables, i))) continue;
        status = fh_paints_coats(work, fh_tables_at(tables, i), defaults, error);
        ++read;
    }
    if (!status && !read)
        return fh_fail(error, FH_E_DATA,
                       "no coats in the file; expected readings with PAINT_1 "
                       "PARTS_1 …");
    for (size_t i = 0; i < fh_tables_count(tables) && !status; ++i) {
        const fh_table *table = fh_tables_at(tables, i);
        if (fh_library_in_table(table)) continue;
        if (fh_table_column(table, "PAINT") == FH_NONE)
            return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                                 "neither coats nor pots; expected colours, or a column PAINT");
        status = fh_paints_pots(work, table, error);
    }
    return status;
}

fh_status fh_paints_read(const char *text, size_t length, const fh_library_defaults *defaults,
                         fh_paints *out, fh_progress progress, void *user, fh_error *error)
{
    fh_tables *tables = NULL;
    fh_paints paints = {0};
    fh_paints_work work = {.paints = &paints, .index = FH_INDEX_USUAL, .noise = FH_MIX_NOISE};
    fh_status status = fh_tables_recognise(text, length)
                           ? fh_tables_read(text, length, &tables, error)
                           : fh_csv_read(text, length, &tables, error);
    if (status) return status;
    status = read_tables(&work, tables, defaults, error);
    if (!status) pass_notes(&work);
    if (!status) status = fh_paints_fit(&work, progress, user, error);
    fh_tables_free(tables);
    fh_library_free(&work.library);
    fh_free(work.coats);
    if (status)
        fh_paints_free(&paints);
    else
        *out = paints;
    return status;
}
