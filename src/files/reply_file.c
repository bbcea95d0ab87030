/* A reply: one table; keywords echo the spec that it answers, rows are the coupon's readings. */
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"
#include "farhue/library.h"
#include "farhue/spec_file.h"
#include "files/values.h"

static const fh_decision decisions[] = {FH_ACCEPT, FH_REJECT, FH_MEASURE_AGAIN};

fh_status fh_reply_write(fh_reply *reply, fh_text *out)
{
    char code[FH_CODE];
    fh_tables *tables = fh_tables_new();
    fh_table *table = tables ? fh_tables_add(tables) : NULL;
    fh_status status = FH_E_MEMORY;
    if (table) {
        fh_table_set_type(table, "CGATS.17");
        fh_table_set_keyword(table, "FARHUE_FILE", "reply");
        fh_table_set_keyword(table, "CHECK_CODE", "");
        fh_table_set_keyword(table, "ANSWERS", reply->answers);
        fh_value_put_text(table, "DESCRIPTOR", reply->title);
        fh_value_put_text(table, "ORIGINATOR", reply->helper);
        fh_value_put_text(table, "CREATED", reply->created);
        fh_table_set_keyword(table, "VERDICT", fh_decision_text(reply->decision));
        fh_table_set_keyword_number(table, "P_WITHIN", reply->p_within);
        fh_table_set_keyword_number(table, "SEEN_MEDIAN", reply->seen);
        fh_value_put_text(table, "REMARK", reply->note);
        status = fh_library_to_table(reply->readings, reply->count, table);
    }
    if (!status) status = fh_tables_status(tables);
    if (!status) {
        fh_tables_check_code(tables, code);
        fh_table_set_keyword(table, "CHECK_CODE", code);
        status = fh_tables_write(tables, out);
    }
    fh_tables_free(tables);
    if (!status) memcpy(reply->code, code, sizeof reply->code);
    return status;
}

static fh_status get_verdict(const fh_table *table, fh_reply *reply, fh_error *error)
{
    char text[32];
    fh_status status = fh_value_get_text(table, "VERDICT", text, sizeof text, error);
    if (!status) status = fh_value_get_number(table, "P_WITHIN", 0, 1, &reply->p_within, error);
    if (!status) status = fh_value_get_number(table, "SEEN_MEDIAN", 0, 1000, &reply->seen, error);
    if (status) return status;
    for (size_t i = 0; i < sizeof decisions / sizeof *decisions; ++i)
        if (strcmp(text, fh_decision_text(decisions[i])) == 0) {
            reply->decision = decisions[i];
            return FH_OK;
        }
    return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                         "no VERDICT; expected accept, reject or measure again");
}

static fh_status get_readings(const fh_table *table, fh_reply *reply, fh_error *error)
{
    fh_library library = {0};
    fh_status status = fh_library_add_table(&library, table, NULL, error);
    if (!status && (library.count < 1 || library.count > FH_REPLY_READINGS))
        status = fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                               "no reading, or more than 256; expected the coupon's readings");
    if (!status) {
        reply->readings = fh_allocate(library.count, sizeof *reply->readings);
        reply->count = library.count;
        if (!reply->readings) status = fh_fail(error, FH_E_MEMORY, "not enough memory");
        else memcpy(reply->readings, library.readings, library.count * sizeof *reply->readings);
    }
    fh_library_free(&library);
    return status;
}

static fh_status get_reply(const fh_tables *tables, fh_reply *reply, fh_error *error)
{
    if (strcmp(fh_tables_kind(tables), "reply") != 0)
        return fh_fail(error, FH_E_DATA,
                       "no FARHUE_FILE keyword with the value reply; expected a reply that farhue "
                       "wrote");
    fh_status status = fh_tables_verify(tables, reply->code, error);
    if (status) return status;
    const fh_table *table = fh_tables_at(tables, 0);
    status = fh_value_get_text(table, "ANSWERS", reply->answers, FH_CODE, error);
    if (!status) status = fh_value_get_text(table, "DESCRIPTOR", reply->title, FH_NAME, error);
    if (!status) status = fh_value_get_text(table, "ORIGINATOR", reply->helper, FH_NAME, error);
    if (!status) status = fh_value_get_text(table, "CREATED", reply->created, FH_DATE, error);
    if (!status) status = fh_value_get_text(table, "REMARK", reply->note, FH_CAUTION_TEXT, error);
    if (!status) status = get_verdict(table, reply, error);
    return status ? status : get_readings(table, reply, error);
}

fh_status fh_reply_read(const char *text, size_t length, fh_reply **out, fh_error *error)
{
    fh_tables *tables;
    fh_status status = fh_tables_read(text, length, &tables, error);
    if (status) return status;
    fh_reply *reply = fh_allocate(1, sizeof *reply);
    status = reply ? get_reply(tables, reply, error)
                   : fh_fail(error, FH_E_MEMORY, "not enough memory");
    if (status) fh_reply_free(reply);
    else *out = reply;
    fh_tables_free(tables);
    return status;
}
