/* Specs, replies and ties from strangers. The check code is put right first, so that what lies
 * behind it is reached; what is accepted must be sound: it is judged and written again. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/spec_file.h"
#include "farhue/tie_file.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* The text with the check code that its content has; empty when it is no table. */
static fh_text put_right(const uint8_t *data, size_t size)
{
    fh_tables *tables;
    fh_text text = {0};
    if (fh_tables_read((const char *)data, size, &tables, NULL)) return text;
    if (fh_tables_count(tables)) {
        char code[FH_CODE];
        fh_tables_check_code(tables, code);
        fh_table_set_keyword(fh_tables_at(tables, 0), "CHECK_CODE", code);
        if (fh_tables_write(tables, &text)) fh_text_free(&text);
    }
    fh_tables_free(tables);
    return text;
}

static void judge(fh_spec *spec, const fh_shell_record *shell)
{
    static fh_target target;
    fh_verdict verdict;
    fh_verdict_options options = {.trials = 200, .seed = 1};
    fh_error error = {0};
    if (fh_spec_target(spec, &target, &error)) abort(); /* the reader has checked it */
    if (fh_judge(&target, &spec->part, &options, &verdict, NULL, NULL, &error) == FH_OK) {
        if (!(verdict.p_within >= 0.0 && verdict.p_within <= 1.0)) abort();
        if (!isfinite(verdict.seen[verdict.worst].interval.high)) abort();
    } else if (error.message[0] == '\0') {
        abort();
    }
    fh_text again = {0};
    fh_spec *back = NULL;
    if (fh_spec_write(spec, shell, &again)) abort();
    if (fh_spec_read(again.bytes, again.length, &back, NULL, &error)) abort();
    if (strcmp(back->code, spec->code) != 0) abort();
    fh_spec_free(back);
    fh_text_free(&again);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fh_text text = put_right(data, size);
    const char *bytes = text.bytes ? text.bytes : (const char *)data;
    const size_t length = text.bytes ? text.length : size;
    fh_spec *spec = NULL;
    fh_shell_record *shell = NULL;
    fh_reply *reply = NULL;
    fh_tie tie;
    fh_error error = {0};
    if (fh_spec_read(bytes, length, &spec, &shell, &error) == FH_OK) judge(spec, shell);
    else if (spec || shell || error.message[0] == '\0') abort();
    if (fh_reply_read(bytes, length, &reply, NULL) == FH_OK && reply->count == 0) abort();
    if (fh_tie_read(bytes, length, &tie, NULL) == FH_OK) {
        fh_lab lab = fh_tie_lab(&tie, (fh_lab){50, 10, 20});
        (void)lab;
    }
    fh_spec_free(spec);
    fh_shell_record_free(shell);
    fh_reply_free(reply);
    fh_text_free(&text);
    return 0;
}
