/* Words of table text: the parser's state, and reading what stands between blanks. */
#ifndef FARHUE_FILES_TABLE_WORDS_H
#define FARHUE_FILES_TABLE_WORDS_H

#include "files/plain.h"
#include "files/table.h"

typedef struct fh_parser {
    fh_tables *tables;
    fh_table *table;
    fh_cursor cursor;
    fh_error *error;
    char separator;       /* ',' or ';' as in the data format, 0 for blanks */
    bool formatted;       /* BEGIN_DATA_FORMAT was seen */
    long fields, sets;    /* NUMBER_OF_…, -1 when not given */
    fh_cursor sets_place; /* of NUMBER_OF_SETS */
} fh_parser;

/* A word of the file, in quotes or not. */
typedef struct fh_token {
    fh_slice text;
    fh_cursor place;
    bool quoted, doubled; /* doubled: two quotes stand for one */
} fh_token;

/* An error at a place of the file; returns FH_E_DATA. */
fh_status fh_parser_fail(fh_parser *p, fh_cursor place, const char *format, ...) FH_PRINTF(3, 4);

/* What sticks to the list of tables, as an error of this place. */
fh_status fh_parser_stuck(fh_parser *p, fh_cursor place);

void fh_skip_comment(fh_cursor *c);

/* To the next word of this line; false at its end (a comment ends it too). */
bool fh_find_word(fh_cursor *c);

/* To the next word of the file; false at its end. */
bool fh_find_word_below(fh_cursor *c);

/* Whether an unquoted word ends here: at blanks, the line end, one of the separators. */
bool fh_ends_word(const fh_cursor *c, const char *separators);

/* The word at the cursor. */
fh_status fh_read_word(fh_parser *p, const char *separators, fh_token *out);

/* A word into the pool; two quotes become one. */
fh_cell fh_keep_word(fh_parser *p, const fh_token *word);

/* The rows between BEGIN_DATA, which was read at begin, and END_DATA (table_data.c). */
fh_status fh_read_data(fh_parser *p, fh_cursor begin);

#endif
