/* WebAssembly only: takes the place of the libc functions that reach for files and the clock.
 *
 * The engine calls none of them. lcms2 does, in functions that write a profile back to the file it
 * came from or stamp a new one with the date; ours come from memory and are never saved. With these
 * in place of libc's the module imports no file or clock function (tests/page/imports.txt). */
#include <stdio.h>
#include <time.h>

FILE *fopen(const char *restrict path, const char *restrict mode)
{
    (void)path;
    (void)mode;
    return NULL;
}

int remove(const char *path)
{
    (void)path;
    return -1;
}

time_t time(time_t *result)
{
    if (result) *result = (time_t)-1;
    return (time_t)-1;
}
