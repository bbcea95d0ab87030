/* Whole files in, whole files out (native builds only).
 *
 * A file is read whole, up to a limit that the caller states, and written whole or not at all:
 * whatever fails, the old file stays as it was and no half-written one is left. */
#ifndef FARHUE_FILE_H
#define FARHUE_FILE_H

#include "farhue/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The content of a file, and which file it was whatever it is called. */
typedef struct fh_file {
    char *bytes; /* length bytes and a NUL that is not counted */
    size_t length;
    unsigned long long device, inode; /* both 0 when not a regular file */
} fh_file;

enum {
    FH_LIMIT_TEXT = 64 * 1024 * 1024,  /* for tables and CSV */
    FH_LIMIT_PHOTO = 512 * 1024 * 1024 /* for pictures */
};

/* Read the file at path, "-" being standard input. A directory, a missing file, one larger than
 * limit bytes are errors (FH_E_IO, FH_E_LIMIT). The caller frees *out with fh_file_free. */
FH_API fh_status fh_file_read(const char *path, size_t limit, fh_file *out, fh_error *error);

/* Free the bytes and clear the value; an empty value is fine. */
FH_API void fh_file_free(fh_file *file);

/* Write length bytes to path, "-" being standard output: into a new file beside it, flushed to
 * the disk, that takes the name at the end. A link is followed; a device or pipe is written
 * directly. FH_E_IO when that fails, or when path is one of the inputs. */
FH_API fh_status fh_file_write(const char *path, const char *bytes, size_t length,
                               const fh_file *inputs, size_t input_count, fh_error *error);

/* Whether something exists under that name. */
FH_API bool fh_file_exists(const char *path);

#ifdef __cplusplus
}
#endif
#endif
