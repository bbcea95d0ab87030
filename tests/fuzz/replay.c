/* Runs a fuzz harness once over each file named, as a test: `make test` replays the whole corpus,
   with gcc and without libFuzzer. A crash or a sanitizer report is the failure. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* The file's bytes in a block of exactly that size, so that a sanitizer sees the first byte read
   beyond it. NULL when it can't be read. */
static uint8_t *read_file(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    if (!file) return NULL;
    uint8_t *data = NULL;
    if (fseek(file, 0, SEEK_END) == 0) {
        long length = ftell(file);
        rewind(file);
        data = length < 0 ? NULL : malloc(length > 0 ? (size_t)length : 1);
        if (data) *size = fread(data, 1, (size_t)length, file);
    }
    fclose(file);
    return data;
}

int main(int count, char **paths)
{
    int failed = 0;
    printf("1..%d\n", count - 1);
    for (int i = 1; i < count; i++) {
        size_t size = 0;
        uint8_t *data = read_file(paths[i], &size);
        printf("# %s\n", paths[i]);
        fflush(stdout); /* so that a crash leaves the name */
        if (data) LLVMFuzzerTestOneInput(data, size);
        printf("%s %d - %s\n", data ? "ok" : "not ok", i, paths[i]);
        failed |= !data;
        free(data);
    }
    return failed;
}
