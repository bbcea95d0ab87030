/* Conversions and jobs of tables from strangers: what comes out must read again, with as many
   readings; and joined into a job it must be found there. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/convert.h"
#include "farhue/job.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const fh_library_defaults defaults = {.has_condition = true,
                                             .condition = {FH_ILLUMINANT_D50, FH_OBSERVER_2},
                                             .unit = FH_UNIT_PERCENT};

static void must_read(const fh_text *text, size_t readings)
{
    fh_library library = {0};
    fh_error error = {0};
    if (fh_library_read(text->bytes, text->length, NULL, &library, &error)) abort();
    if (library.count != readings) abort();
    fh_library_free(&library);
}

static void convert(const fh_table *table, size_t readings)
{
    fh_tables *out = NULL;
    fh_text text = {0};
    fh_error error = {0};
    if (fh_convert_complete(table, &defaults, &out, &error)) abort(); /* it was read before */
    if (fh_tables_write(out, &text) == FH_OK) must_read(&text, readings);
    fh_text_free(&text);
    fh_tables_free(out);
    if (fh_convert_to_columns(table, &defaults, &out, NULL, &error)) abort();
    if (fh_csv_write(fh_tables_at(out, 0), &text) == FH_OK && readings) must_read(&text, readings);
    fh_text_free(&text);
    fh_tables_free(out);
    if (fh_convert_sampling(table, &defaults, (fh_sampling){450, 600, 7.5}, &out, &error) == FH_OK)
        fh_tables_free(out);
}

static void join(const char *text, size_t size)
{
    const fh_job_item items[] = {{"part", text, size}, {"shelf", "id,srgb\na,808080\n", 17}};
    fh_text job = {0}, part = {0};
    fh_error error = {0};
    fh_text notes = {0};
    if (fh_job_merge(items, 2, &job, &notes, &error) == FH_OK &&
        !fh_job_has(job.bytes, job.length, "shelf"))
        abort();
    fh_text_free(&job);
    fh_text_free(&notes);
    if (fh_job_join(items, 2, &job, &error)) return;
    if (fh_job_part(job.bytes, job.length, "part", &part, &error)) abort();
    fh_text_free(&part);
    if (fh_job_part(job.bytes, job.length, "none", &part, &error) == FH_OK) abort();
    fh_text_free(&job);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *text = (const char *)data;
    fh_tables *tables = NULL;
    fh_library library = {0};
    fh_error error = {0};
    fh_status status = fh_tables_recognise(text, size) ? fh_tables_read(text, size, &tables, &error)
                                                       : fh_csv_read(text, size, &tables, &error);
    if (status) return 0;
    if (fh_tables_count(tables) == 1 &&
        fh_library_read(text, size, &defaults, &library, &error) == FH_OK) {
        convert(fh_tables_at(tables, 0), library.count);
        fh_library_free(&library);
    }
    fh_tables_free(tables);
    join(text, size);
    return 0;
}
