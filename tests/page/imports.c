/* Lists what a WebAssembly module imports and fails on anything that the list does not allow:
 *
 *   imports MODULE.wasm ALLOWED.txt
 *
 * ALLOWED.txt holds one `module name` a line, `#` starts a comment. Layout of a module: "\0asm",
 * version 1, then sections of one id byte, a LEB128 size and contents; section 2 is the imports
 * (WebAssembly Core Specification 1.0, 5.5.5). */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct bytes {
    const unsigned char *at, *end;
} bytes;

static void die(const char *what)
{
    fprintf(stderr, "imports: %s\n", what);
    exit(2);
}

static unsigned byte(bytes *in)
{
    if (in->at == in->end) die("the module ends early");
    return *in->at++;
}

static uint32_t leb128(bytes *in)
{
    uint32_t value = 0;
    for (unsigned shift = 0; shift < 35; shift += 7) {
        unsigned next = byte(in);
        value |= (uint32_t)(next & 0x7F) << shift;
        if (!(next & 0x80)) return value;
    }
    die("a number is too long");
    return 0;
}

static bytes take(bytes *in, size_t size)
{
    if (size > (size_t)(in->end - in->at)) die("the module ends early");
    bytes part = {in->at, in->at + size};
    in->at += size;
    return part;
}

static void name(bytes *in, char *out, size_t room)
{
    bytes text = take(in, leb128(in));
    size_t length = (size_t)(text.end - text.at);
    if (length >= room) die("a name is too long");
    memcpy(out, text.at, length);
    out[length] = '\0';
}

static void skip_limits(bytes *in)
{
    if (byte(in) & 1) leb128(in);
    leb128(in);
}

/* What follows the two names: a function's type, a table, a memory or a global. */
static void skip_description(bytes *in)
{
    switch (byte(in)) {
    case 0: leb128(in); break;
    case 1: byte(in); skip_limits(in); break;
    case 2: skip_limits(in); break;
    case 3: byte(in); byte(in); break;
    default: die("an import of unknown kind");
    }
}

static int allowed(const char *list, const char *wanted)
{
    size_t length = strlen(wanted);
    for (const char *line = list; *line; line += strcspn(line, "\n"), line += *line == '\n')
        if (strncmp(line, wanted, length) == 0 && strchr(" \t\n#", line[length])) return 1;
    return 0;
}

static int check_imports(bytes in, const char *list)
{
    int unexpected = 0;
    for (uint32_t count = leb128(&in); count > 0; count--) {
        char module[200], function[200], both[402];
        name(&in, module, sizeof module);
        name(&in, function, sizeof function);
        skip_description(&in);
        snprintf(both, sizeof both, "%s %s", module, function);
        int fine = allowed(list, both);
        printf("  %s%s\n", both, fine ? "" : "   UNEXPECTED: not in the list of allowed imports");
        unexpected += !fine;
    }
    return unexpected;
}

static char *read_file(const char *path, size_t *size)
{
    enum { LIMIT = 64 << 20 };
    FILE *file = fopen(path, "rb");
    char *data = malloc(LIMIT + 1);
    if (!file || !data) {
        fprintf(stderr, "imports: %s: cannot be read\n", path);
        exit(2);
    }
    *size = fread(data, 1, LIMIT, file);
    data[*size] = '\0';
    fclose(file);
    return data;
}

int main(int count, char **arguments)
{
    if (count != 3) die("two arguments are needed: MODULE.wasm ALLOWED.txt");
    size_t size, list_size;
    char *module = read_file(arguments[1], &size), *list = read_file(arguments[2], &list_size);
    bytes in = {(unsigned char *)module, (unsigned char *)module + size};
    static const unsigned char magic[8] = {0, 'a', 's', 'm', 1, 0, 0, 0};
    if (size < sizeof magic || memcmp(module, magic, sizeof magic)) die("this is no WebAssembly 1");
    take(&in, sizeof magic);
    printf("%s: %zu bytes; it imports\n", arguments[1], size);
    int unexpected = 0, found = 0;
    while (in.at < in.end) {
        unsigned id = byte(&in);
        bytes section = take(&in, leb128(&in));
        if (id == 2) {
            found = 1;
            unexpected = check_imports(section, list);
        }
    }
    if (!found) puts("  nothing");
    free(module);
    free(list);
    return unexpected ? 1 : 0;
}
