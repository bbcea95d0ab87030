/* Shell files from strangers: whatever is accepted has finite curves inside their bounds, a look
 * for every part, draws that stay inside, and is written as text that reads as the same shell. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "farhue/shell_file.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must_be_sound(const fh_shell_curves *curves)
{
    for (size_t i = 0; i < FH_BANDS; i++) {
        double A = curves->A.v[i], B = curves->B.v[i], C = curves->C.v[i];
        if (!isfinite(A) || !isfinite(B) || !isfinite(C)) abort();
        if (A < 0.0 || B < 0.0 || C < 0.0 || C >= 1.0) abort();
        if (A + B / (1.0 - C) > 1.0 + 1e-5) abort();
    }
}

static void must_read_again(const fh_shell_record *record)
{
    fh_text text = {0};
    fh_tables *tables = fh_tables_new(), *again = NULL;
    fh_shell_record *other = NULL;
    if (!tables) return;
    if (!fh_shell_to_tables(record, NULL, tables) && !fh_tables_write(tables, &text)) {
        if (fh_tables_read(text.bytes, text.length, &again, NULL)) abort();
        if (fh_shell_read(again, &other, NULL)) abort();
        if (other->count != record->count) abort();
        if (fh_spectrum_distance(other->shell.curves.A, record->shell.curves.A) > 0.01) abort();
    }
    fh_shell_record_free(other);
    fh_tables_free(again);
    fh_tables_free(tables);
    fh_text_free(&text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fh_tables *tables = NULL;
    fh_shell_record *record = NULL;
    fh_error error = {0};
    if (fh_tables_read((const char *)data, size, &tables, &error)) return 0;
    if (fh_shell_read(tables, &record, &error) == FH_OK) {
        must_be_sound(&record->shell.curves);
        for (uint64_t trial = 0; trial < 4; trial++) {
            fh_shell_curves drawn = fh_shell_draw(&record->shell, 1, trial);
            must_be_sound(&drawn);
        }
        must_read_again(record);
    } else if (record || !error.message[0]) {
        abort();
    }
    fh_shell_record_free(record);
    fh_tables_free(tables);
    return 0;
}
