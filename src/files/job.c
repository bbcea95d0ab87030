/* Jobs: several files as the tables of one. */
#include "farhue/job.h"

#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "files/notes.h"
#include "files/plain.h"
#include "files/table.h"

static bool stands_for(const fh_table *table, const char *name)
{
    const char *job = fh_table_keyword(table, "JOB");
    return job && fh_slice_is_fold(fh_slice_of(job), name);
}

static fh_status no_such_table(const fh_tables *tables, const char *name, fh_error *error)
{
    char names[256];
    size_t used = 0;
    names[0] = '\0';
    for (size_t i = 0; i < fh_tables_count(tables); ++i) {
        const char *job = fh_table_keyword(fh_tables_at(tables, i), "JOB");
        const char *before = i ? fh_table_keyword(fh_tables_at(tables, i - 1), "JOB") : NULL;
        if (!job || (before && strcmp(before, job) == 0)) continue;
        used += fh_format(names + used, sizeof names - used, "%s%.40s", used ? ", " : "", job);
    }
    if (!used)
        return fh_fail(error, FH_E_DATA,
                       "no table says what it stands for; expected the keyword "
                       "JOB with a name such as part, shell or spec");
    return fh_fail(error, FH_E_DATA, "no table for %s; the job has %s", name, names);
}

/* The lines of the tables that are wanted as they are, the other lines empty. */
static fh_status keep_lines(fh_slice body, const fh_tables *tables, const char *name, fh_text *out)
{
    fh_sink sink = fh_sink_to_text(out);
    fh_cursor cursor = fh_cursor_of(body);
    size_t next = 0, count = fh_tables_count(tables);
    bool wanted = false;
    fh_status status = FH_OK;
    while (!fh_cursor_done(&cursor) && !status) {
        while (next < count && fh_tables_at(tables, next)->line <= cursor.line)
            wanted = stands_for(fh_tables_at(tables, next++), name);
        const char *start = cursor.at;
        while (!fh_cursor_done(&cursor) && !fh_cursor_line_end(&cursor)) fh_cursor_step(&cursor);
        if (wanted) status = sink.write(sink.user, start, (size_t)(cursor.at - start));
        if (!status) status = sink.write(sink.user, "\n", 1);
        if (!fh_cursor_done(&cursor)) fh_cursor_next_line(&cursor);
    }
    return status;
}

fh_status fh_job_part(const char *job, size_t length, const char *name, fh_text *out,
                      fh_error *error)
{
    fh_tables *tables = NULL;
    fh_text text = {0};
    fh_slice body;
    bool found = false;
    fh_status status = fh_tables_read(job, length, &tables, error);
    if (status) return status;
    status = fh_plain_text(job, length, &body, error);
    for (size_t i = 0; i < fh_tables_count(tables); ++i)
        found = found || stands_for(fh_tables_at(tables, i), name);
    if (!status && !found) status = no_such_table(tables, name, error);
    if (!status && (status = keep_lines(body, tables, name, &text)))
        status = fh_fail(error, status, "out of memory");
    fh_tables_free(tables);
    if (status)
        fh_text_free(&text);
    else
        *out = text;
    return status;
}

bool fh_job_has(const char *job, size_t length, const char *name)
{
    fh_tables *tables = NULL;
    bool found = false;
    if (fh_tables_read(job, length, &tables, NULL)) return false;
    for (size_t i = 0; i < fh_tables_count(tables); ++i)
        found = found || stands_for(fh_tables_at(tables, i), name);
    fh_tables_free(tables);
    return found;
}

static fh_status read_item(const fh_job_item *item, fh_tables **out, fh_error *error)
{
    fh_status status = fh_tables_recognise(item->text, item->length)
                           ? fh_tables_read(item->text, item->length, out, error)
                           : fh_csv_read(item->text, item->length, out, error);
    return status ? fh_fail_in(error, status, item->name) : FH_OK;
}

static fh_status write_item(const fh_tables *tables, const char *name, fh_sink sink, bool first,
                            fh_error *error)
{
    fh_text text = {0};
    fh_status status = fh_tables_write(tables, &text);
    if (status)
        status = fh_fail(
            error, status, "%s",
            status == FH_E_DATA
                ? "a line break or a control character in a name or a value; expected one line "
                  "of text"
                : "out of memory");
    if (status) return fh_fail_in(error, status, name);
    if (!first) status = sink.write(sink.user, "\n", 1);
    if (!status) status = sink.write(sink.user, text.bytes, text.length);
    fh_text_free(&text);
    return status;
}

static fh_status join_item(const fh_job_item *item, fh_sink sink, bool first, fh_error *error)
{
    fh_tables *tables = NULL;
    fh_status status = read_item(item, &tables, error);
    if (status) return status;
    for (size_t i = 0; i < fh_tables_count(tables); ++i)
        fh_table_set_keyword(fh_tables_at(tables, i), "JOB", item->name);
    status = write_item(tables, item->name, sink, first, error);
    fh_tables_free(tables);
    return status;
}

fh_status fh_job_join(const fh_job_item *items, size_t count, fh_text *out, fh_error *error)
{
    fh_text text = {0};
    fh_status status = FH_OK;
    for (size_t i = 0; i < count && !status; ++i)
        status = join_item(&items[i], fh_sink_to_text(&text), i == 0, error);
    if (status)
        fh_text_free(&text);
    else
        *out = text;
    return status;
}

/* --- Jobs into a job -------------------------------------------------------------------------- */

/* Every table of an item says what it stands for; those that did not, by the item's name. */
static void name_tables(fh_tables *tables, const char *name)
{
    for (size_t i = 0; i < fh_tables_count(tables); ++i)
        if (!fh_table_keyword(fh_tables_at(tables, i), "JOB"))
            fh_table_set_keyword(fh_tables_at(tables, i), "JOB", name);
}

/* The later item that has a table of that name; count without one. */
static size_t replaced_by(fh_tables *const *tables, size_t count, size_t item, const char *name)
{
    for (size_t later = count - 1; later > item; --later)
        for (size_t i = 0; i < fh_tables_count(tables[later]); ++i)
            if (stands_for(fh_tables_at(tables[later], i), name)) return later;
    return count;
}

/* Moves the tables of an item that a later one replaces behind the others; returns how many stay.
 */
static size_t set_aside(const fh_job_item *items, fh_tables **tables, size_t count, size_t item,
                        fh_text *notes)
{
    fh_tables *list = tables[item];
    size_t kept = 0;
    for (size_t i = 0; i < list->count; ++i) {
        fh_table *table = list->items[i];
        const char *name = fh_table_keyword(table, "JOB");
        size_t later = replaced_by(tables, count, item, name);
        if (later == count) {
            list->items[i] = list->items[kept];
            list->items[kept++] = table;
        } else if (notes && (i == 0 || !stands_for(list->items[i - 1], name))) {
            fh_note(notes, "%.80s: its \"%.63s\" is replaced by that of %.80s", items[item].name,
                    name, items[later].name);
        }
    }
    return kept;
}

static fh_status merge(const fh_job_item *items, fh_tables **tables, size_t count, fh_text *out,
                       fh_text *notes, fh_error *error)
{
    fh_status status = FH_OK;
    bool first = true;
    for (size_t i = 0; i < count && !status; ++i) {
        status = read_item(&items[i], &tables[i], error);
        if (!status) name_tables(tables[i], items[i].name);
        if (!status && (status = fh_tables_status(tables[i])))
            status = fh_fail(error, status, "out of memory");
    }
    for (size_t i = 0; i < count && !status; ++i) {
        const size_t all = tables[i]->count;
        tables[i]->count = set_aside(items, tables, count, i, notes);
        if (tables[i]->count)
            status = write_item(tables[i], items[i].name, fh_sink_to_text(out), first, error);
        first = first && tables[i]->count == 0;
        tables[i]->count = all;
    }
    return status;
}

fh_status fh_job_merge(const fh_job_item *items, size_t count, fh_text *out, fh_text *notes,
                       fh_error *error)
{
    fh_text text = {0};
    fh_tables **tables = fh_allocate(count, sizeof *tables);
    if (!tables) return fh_fail(error, FH_E_MEMORY, "out of memory");
    fh_status status = merge(items, tables, count, &text, notes, error);
    for (size_t i = 0; i < count; ++i) fh_tables_free(tables[i]);
    fh_free(tables);
    if (status)
        fh_text_free(&text);
    else
        *out = text;
    return status;
}
