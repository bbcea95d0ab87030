/* Lamps from strangers: whatever is accepted has weights with a white of Y = 100. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "farhue/lamp_file.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fh_tables *tables = NULL;
    fh_error error = {0};
    double power[FH_POWER_COUNT];
    size_t held;
    fh_weights w;
    const char *text = (const char *)data;
    if (fh_tables_recognise(text, size) ? fh_tables_read(text, size, &tables, &error)
                                        : fh_csv_read(text, size, &tables, &error))
        return 0;
    if (fh_lamp_read(fh_tables_at(tables, 0), power, &held, &error) == FH_OK) {
        if (held > FH_POWER_COUNT) abort();
        if (fh_weights_from_power(power, FH_OBSERVER_10, &w) == FH_OK &&
            !(fabs(w.white.Y - 100.0) < 1e-6))
            abort();
    } else if (!error.message[0]) {
        abort();
    }
    fh_tables_free(tables);
    return 0;
}
