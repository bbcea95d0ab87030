/* A plan: keywords for the whole of it, one row for each step. */
#include <string.h>

#include "base/error.h"
#include "base/text.h"
#include "farhue/plan_file.h"
#include "files/values.h"

/* --- Reading -------------------------------------------------------------------------------- */

typedef struct plan_columns {
    size_t step, hours, done;
} plan_columns;

static fh_status read_hours(const fh_table *table, size_t row, const plan_columns *c, double *hours,
                            fh_error *error)
{
    if (!*fh_table_text(table, row, c->hours)) return FH_OK;
    fh_status status = fh_table_number(table, row, c->hours, hours, error);
    if (!status && !(*hours >= 0.0 && *hours <= FH_PLAN_HOURS_MAX))
        return fh_table_fail(table, row, c->hours, error, FH_E_DATA,
                             "out of range; expected hours from 0 to 10000");
    return status;
}

static fh_status read_done(const fh_table *table, size_t row, const plan_columns *c, bool *done,
                           fh_error *error)
{
    const fh_slice text = fh_slice_of(fh_table_text(table, row, c->done));
    if (!text.length) return FH_OK;
    *done = fh_slice_is_fold(text, "yes");
    if (*done || fh_slice_is_fold(text, "no")) return FH_OK;
    return fh_table_fail(table, row, c->done, error, FH_E_DATA, "DONE is neither yes nor no");
}

static fh_status read_steps(const fh_table *table, fh_plan_facts *facts, fh_error *error)
{
    const plan_columns c = {fh_table_column(table, "STEP"), fh_table_column(table, "HOURS"),
                            fh_table_column(table, "DONE")};
    bool seen[FH_STEP_COUNT] = {false};
    if (c.step == FH_NONE || (c.hours == FH_NONE && c.done == FH_NONE))
        return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                             "no plan; expected columns STEP and HOURS, or STEP and DONE");
    for (size_t row = 0; row < fh_table_rows(table); ++row) {
        fh_step step;
        if (fh_step_parse(fh_table_text(table, row, c.step), &step))
            return fh_table_fail(table, row, c.step, error, FH_E_DATA,
                                 "no such step; the steps are those of farhue help plan");
        if (seen[step])
            return fh_table_fail(table, row, c.step, error, FH_E_DATA,
                                 "this step is there twice; expected each step once");
        seen[step] = true;
        fh_status status = read_hours(table, row, &c, &facts->hours[step], error);
        if (!status) status = read_done(table, row, &c, &facts->done[step], error);
        if (status) return status;
    }
    return FH_OK;
}

static fh_status read_coats(const fh_table *table, fh_plan_facts *facts, fh_error *error)
{
    double coats = facts->coats;
    fh_status status = fh_table_keyword_number(table, "COATS", &coats, error);
    if (status) return status;
    for (unsigned count = 1; count <= FH_COATS_MAX; ++count)
        if (coats >= count && coats <= count) {
            facts->coats = count;
            return FH_OK;
        }
    return fh_table_fail_keyword(table, "COATS", error, FH_E_DATA,
                                 "out of range; expected a whole number of coats from 1 to 12");
}

static fh_status read_routes(const fh_table *table, fh_plan_facts *facts, fh_error *error)
{
    const char *text = fh_table_keyword(table, "WITHOUT");
    for (const char *at = text ? text + strspn(text, " ") : ""; *at; at += strspn(at, " ")) {
        char name[24];
        fh_route route;
        const size_t length = strcspn(at, " ");
        if (!fh_copy_slice(name, sizeof name, (fh_slice){at, length}) ||
            fh_route_parse(name, &route))
            return fh_table_fail_keyword(table, "WITHOUT", error, FH_E_DATA,
                                         "no such route; expected filament, owner-paints or "
                                         "helper-paints");
        facts->open[route] = false;
        at += length;
    }
    for (int route = 0; route < FH_ROUTE_COUNT; ++route)
        if (facts->open[route]) return FH_OK;
    return fh_table_fail_keyword(table, "WITHOUT", error, FH_E_DATA, "no route is left");
}

fh_status fh_plan_read(const fh_table *table, fh_plan_facts *facts, fh_error *error)
{
    const char *awake = fh_table_keyword(table, "AWAKE");
    const char *deadline = fh_table_keyword(table, "DEADLINE");
    fh_status status = read_steps(table, facts, error);
    if (!status && awake && fh_plan_awake(awake, facts))
        status = fh_table_fail_keyword(table, "AWAKE", error, FH_E_DATA,
                                       "no waking hours; expected such as 8-22");
    if (!status && deadline && fh_plan_deadline(deadline, facts))
        status = fh_table_fail_keyword(table, "DEADLINE", error, FH_E_DATA,
                                       "no date; expected such as 2026-03-14 or 2026-03-14T18:00");
    if (!status) status = read_coats(table, facts, error);
    return status ? status : read_routes(table, facts, error);
}

/* --- Writing -------------------------------------------------------------------------------- */

static void put_keywords(fh_table *table, const fh_plan_facts *facts, const fh_plan_facts *usual)
{
    char text[96];
    if (facts->deadline) {
        fh_moment_text(facts->deadline, text);
        fh_table_set_keyword(table, "DEADLINE", text);
    }
    if (facts->wake != usual->wake || facts->sleep != usual->sleep) {
        fh_plan_awake_text(facts, text);
        fh_table_set_keyword(table, "AWAKE", text);
    }
    if (facts->coats != usual->coats) fh_table_set_keyword_number(table, "COATS", facts->coats);
    size_t length = 0;
    text[0] = '\0';
    for (int route = 0; route < FH_ROUTE_COUNT; ++route)
        if (!facts->open[route])
            length += fh_format(text + length, sizeof text - length, "%s%s", length ? " " : "",
                                fh_route_name((fh_route)route));
    fh_value_put_text(table, "WITHOUT", text);
}

static void put_steps(fh_table *table, const fh_plan_facts *facts, const fh_plan_facts *usual)
{
    static const char *const columns[] = {"STEP", "HOURS", "DONE"};
    for (size_t i = 0; i < 3; ++i) fh_table_add_column(table, columns[i]);
    for (int i = 0; i < FH_STEP_COUNT; ++i) {
        const bool other = facts->hours[i] < usual->hours[i] || facts->hours[i] > usual->hours[i];
        if (!other && !facts->done[i]) continue;
        const size_t row = fh_table_add_row(table);
        fh_table_set_text(table, row, 0, fh_step_name((fh_step)i));
        if (other) fh_table_set_number(table, row, 1, facts->hours[i]);
        if (facts->done[i]) fh_table_set_text(table, row, 2, "yes");
    }
}

fh_status fh_plan_write(const fh_plan_facts *facts, const char *created, fh_text *out)
{
    const fh_plan_facts usual = fh_plan_usual();
    fh_tables *tables;
    fh_table *table = fh_value_begin("plan", &tables);
    if (!table) return FH_E_MEMORY;
    fh_value_put_text(table, "CREATED", created ? created : "");
    put_keywords(table, facts, &usual);
    put_steps(table, facts, &usual);
    fh_status status = fh_tables_status(tables);
    if (!status) status = fh_tables_write(tables, out);
    fh_tables_free(tables);
    return status;
}
