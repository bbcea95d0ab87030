/* A code as somebody typed it: whatever is read must be written as a code that reads the same. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/spoken.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    if (!text) return 0;
    memcpy(text, data, size);
    text[size] = '\0';
    fh_spoken first, second;
    fh_error error = {0};
    if (fh_spoken_read(text, &first, &error) == FH_OK) {
        char code[FH_SPOKEN_TEXT], words[FH_SPOKEN_WORDS];
        if (fh_spoken_write(&first, code, &error) != FH_OK) abort();
        if (fh_spoken_read(code, &second, &error) != FH_OK) abort();
        if (first.lab.L != second.lab.L || first.lab.a != second.lab.a ||
            first.lab.b != second.lab.b || first.tolerance != second.tolerance)
            abort();
        fh_spoken_words(code, words);
    } else if (error.message[0] == '\0') {
        abort();
    }
    free(text);
    return 0;
}
