/* FNV-1a, 64 bits, finished by the mixer of SplitMix64 [Steele2014], of which the upper 40 bits
 * are told. Every value is followed by a byte that no UTF-8 text has, so that moving a letter from
 * one value to the next changes the code. */
#include <stdint.h>
#include <string.h>

#include "base/error.h"
#include "base/text.h"
#include "farhue/spec_file.h"

static const char alphabet[] = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

enum { END_OF_VALUE = 0xff, END_OF_NAME = 0xfe, END_OF_TABLE = 0xfd };

static void add_byte(uint64_t *hash, unsigned byte)
{
    *hash = (*hash ^ byte) * 0x100000001b3ULL;
}

static void add_text(uint64_t *hash, const char *text, unsigned end)
{
    for (; *text; ++text) add_byte(hash, (unsigned char)*text);
    add_byte(hash, end);
}

static void add_table(uint64_t *hash, const fh_table *table)
{
    for (size_t i = 0; i < fh_table_keyword_count(table); ++i) {
        const char *name = fh_table_keyword_name(table, i);
        /* JOB is put in when the file joins a job. */
        if (strcmp(name, "CHECK_CODE") == 0 || strcmp(name, "JOB") == 0) continue;
        add_text(hash, name, END_OF_NAME);
        add_text(hash, fh_table_keyword_value(table, i), END_OF_VALUE);
    }
    const size_t columns = fh_table_columns(table);
    for (size_t c = 0; c < columns; ++c)
        add_text(hash, fh_table_column_name(table, c), END_OF_NAME);
    for (size_t row = 0; row < fh_table_rows(table); ++row)
        for (size_t c = 0; c < columns; ++c)
            add_text(hash, fh_table_text(table, row, c), END_OF_VALUE);
    add_byte(hash, END_OF_TABLE);
}

void fh_tables_check_code(const fh_tables *tables, char out[FH_CODE])
{
    uint64_t hash = 0xcbf29ce484222325ULL;
    for (size_t t = 0; t < fh_tables_count(tables); ++t) add_table(&hash, fh_tables_at(tables, t));
    hash = (hash ^ (hash >> 30)) * 0xbf58476d1ce4e5b9ULL;
    hash = (hash ^ (hash >> 27)) * 0x94d049bb133111ebULL;
    hash ^= hash >> 31;
    for (size_t i = 0, at = 0; i < 8; ++i) {
        out[at++] = alphabet[(hash >> (59 - 5 * i)) & 31U];
        if (i == 3) out[at++] = '-';
    }
    out[9] = '\0';
}

const char *fh_tables_kind(const fh_tables *tables)
{
    const char *kind =
        fh_tables_count(tables) ? fh_table_keyword(fh_tables_at(tables, 0), "FARHUE_FILE") : NULL;
    return kind ? kind : "";
}

fh_status fh_tables_verify(const fh_tables *tables, char out[FH_CODE], fh_error *error)
{
    if (fh_tables_count(tables) == 0)
        return fh_fail(error, FH_E_DATA, "no table; expected a file that farhue wrote");
    const fh_table *first = fh_tables_at(tables, 0);
    const char *stated = fh_table_keyword(first, "CHECK_CODE");
    char code[FH_CODE], message[FH_ERROR_MESSAGE];
    fh_tables_check_code(tables, code);
    if (!stated)
        return fh_table_fail(first, FH_NONE, FH_NONE, error, FH_E_DATA,
                             "no CHECK_CODE; expected the file as farhue wrote it");
    if (strcmp(stated, code) != 0) {
        fh_format(message, sizeof message,
                  "check code %.20s, but the content has %s; the file was changed or damaged: ask "
                  "for it again",
                  stated, code);
        return fh_table_fail_keyword(first, "CHECK_CODE", error, FH_E_DATA, message);
    }
    if (out) memcpy(out, code, FH_CODE);
    return FH_OK;
}
