/* Plans from strangers: whatever is accepted can be planned or is refused with a reason, is told
 * and drawn, and is written as text that reads as the same plan. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/plan_file.h"
#include "farhue/plan_words.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must_read_again(const fh_plan_facts *facts)
{
    fh_text text = {0};
    fh_tables *tables = NULL;
    fh_plan_facts again = fh_plan_usual();
    if (fh_plan_write(facts, NULL, &text)) return;
    if (fh_tables_read(text.bytes, text.length, &tables, NULL)) abort();
    if (fh_plan_read(fh_tables_at(tables, 0), &again, NULL)) abort();
    if (again.deadline != facts->deadline || again.wake != facts->wake ||
        again.sleep != facts->sleep || again.coats != facts->coats ||
        memcmp(again.hours, facts->hours, sizeof again.hours) != 0 ||
        memcmp(again.done, facts->done, sizeof again.done) != 0 ||
        memcmp(again.open, facts->open, sizeof again.open) != 0)
        abort();
    fh_tables_free(tables);
    fh_text_free(&text);
}

static void must_be_told(fh_plan_facts facts)
{
    if (facts.deadline) facts.now = facts.deadline - 5 * FH_DAY;
    for (int i = 0; i < FH_ROUTE_COUNT; ++i) {
        fh_plan_route route;
        fh_error error = {0};
        char words[FH_OUTLOOK];
        fh_text svg = {0};
        if (fh_plan(&facts, (fh_route)i, &route, &error)) {
            if (!error.message[0]) abort();
            continue;
        }
        fh_words_of_route(&facts, &route, words);
        fh_words_of_outlook(&facts, &route, words);
        if (!fh_diagram_route(fh_sink_to_text(&svg), &facts, &route) && strstr(svg.bytes, "nan"))
            abort();
        fh_text_free(&svg);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fh_tables *tables = NULL;
    fh_plan_facts facts = fh_plan_usual();
    fh_error error = {0};
    const char *text = (const char *)data;
    if (fh_tables_recognise(text, size) ? fh_tables_read(text, size, &tables, &error)
                                        : fh_csv_read(text, size, &tables, &error))
        return 0;
    if (fh_plan_read(fh_tables_at(tables, 0), &facts, &error) == FH_OK) {
        must_read_again(&facts);
        must_be_told(facts);
    } else if (!error.message[0]) {
        abort();
    }
    fh_tables_free(tables);
    return 0;
}
