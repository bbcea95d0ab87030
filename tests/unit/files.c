#include "files.h"

#include "check.h"

#include <stdio.h>
#include <stdlib.h>

void *file_bytes(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    if (!file) return NULL;
    size_t length = 0, room = 1 << 20;
    char *bytes = malloc(room + 1);
    assert_non_null(bytes);
    for (;;) {
        length += fread(bytes + length, 1, room - length, file);
        if (length < room) break;
        room *= 2;
        bytes = realloc(bytes, room + 1);
        assert_non_null(bytes);
    }
    fclose(file);
    bytes[length] = '\0';
    *size = length;
    return bytes;
}

void *photo_bytes(const char *name, size_t *size)
{
    char path[1024];
    const char *folder = getenv("FARHUE_REFERENCE");
    snprintf(path, sizeof path, "%s/../photos/%s", folder && *folder ? folder : "../shared/reference",
             name);
    void *bytes = file_bytes(path, size);
    if (!bytes) {
        printf("skipped: no %s\n", path);
        skip();
    }
    return bytes;
}
