/* A library from a stranger: what can be read must be written as a library of the same readings. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/library.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void round_trip(const fh_library *library)
{
    fh_text text = {0};
    fh_library again = {0};
    fh_error error = {0};
    if (fh_library_write(library->readings, library->count, NULL, NULL, &text) != FH_OK) return;
    if (fh_library_read(text.bytes, text.length, NULL, &again, &error) != FH_OK) abort();
    if (again.count != library->count) abort();
    for (size_t i = 0; i < again.count; i++)
        if (strcmp(again.readings[i].id, library->readings[i].id) != 0) abort();
    fh_library_free(&again);
    fh_text_free(&text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fh_library library = {0};
    fh_error error = {0};
    fh_library_defaults defaults = {.has_condition = true,
                                    .condition = fh_condition_default(),
                                    .unit = FH_UNIT_PERCENT};
    /* Without and with what the user may say. */
    for (int said = 0; said < 2; said++) {
        if (fh_library_read((const char *)data, size, said ? &defaults : NULL, &library, &error) !=
            FH_OK) {
            if (error.message[0] == '\0') abort();
            continue;
        }
        round_trip(&library);
        fh_library_free(&library);
    }
    return 0;
}
