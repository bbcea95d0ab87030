/* Chart files: whatever is read must write, and read back as the same layout. */
#include <stdint.h>
#include <stdlib.h>

#include "farhue/chart_file.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fh_chart *chart = NULL, *again = NULL;
    fh_text text = {0};
    fh_error error = {0};
    if (size > 1 << 16 || fh_chart_read((const char *)data, size, &chart, &error)) return 0;
    if (fh_chart_write(chart, &text) == FH_OK) {
        /* What is written may be refused (a keyword's text can be too odd), but never misread. */
        if (fh_chart_read(text.bytes, text.length, &again, &error) == FH_OK &&
            (again->rows != chart->rows || again->edition_count != chart->edition_count))
            abort();
        fh_text_free(&text);
    }
    fh_chart_free(again);
    fh_chart_free(chart);
    return 0;
}
