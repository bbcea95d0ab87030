/* POSIX files. */
#define _XOPEN_SOURCE 700 /* realpath */
#include "farhue/file.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"

enum { FIRST_BLOCK = 64 * 1024, TRIES = 100 };

static fh_status fail(fh_error *error, fh_status status, const char *path, const char *what)
{
    fh_fail(error, status, "%s", what);
    return fh_fail_in(error, status, path);
}

static const char *input_trouble(int number)
{
    switch (number) {
    case ENOENT:
        return "no such file";
    case EACCES:
    case EPERM:
        return "the file may not be read";
    case EISDIR:
        return "this is a directory; expected a file";
    case ENOTDIR:
        return "no such file: a part of the path is not a directory";
    case ENAMETOOLONG:
        return "the name is too long";
    case ELOOP:
        return "too many links";
    default:
        return "the file could not be read";
    }
}

static const char *output_trouble(int number)
{
    switch (number) {
    case ENOSPC:
    case EDQUOT:
        return "the disk is full; nothing was written";
    case EFBIG:
        return "the file would exceed the size limit; nothing was written";
    case ENOENT:
    case ENOTDIR:
        return "no such directory; nothing was written";
    case EACCES:
    case EPERM:
    case EROFS:
        return "writing is not allowed here; nothing was written";
    case EISDIR:
        return "this is a directory; expected a file name";
    default:
        return "the file could not be written";
    }
}

/* --- Reading ------------------------------------------------------------------------------- */

static ssize_t read_some(int handle, char *to, size_t room)
{
    ssize_t got;
    do got = read(handle, to, room < SSIZE_MAX ? room : SSIZE_MAX);
    while (got < 0 && errno == EINTR);
    return got;
}

/* Read to the end, growing; hint is the size that the system gives. */
static fh_status read_all(int handle, size_t hint, size_t limit, fh_file *file, const char *path,
                          fh_error *error)
{
    size_t capacity = 0;
    for (;;) {
        size_t wanted = file->length ? 2 * file->length : hint < FIRST_BLOCK ? FIRST_BLOCK : hint;
        if (file->length + 1 >= capacity && fh_reserve(&file->bytes, &capacity, wanted + 2, 1))
            return fail(error, FH_E_MEMORY, path, "not enough memory for this file");
        ssize_t got = read_some(handle, file->bytes + file->length, capacity - file->length - 1);
        if (got < 0) return fail(error, FH_E_IO, path, input_trouble(errno));
        if (got == 0) break;
        file->length += (size_t)got;
        if (file->length > limit) {
            fh_fail(error, FH_E_LIMIT, "the file is larger than %zu MB, the limit for this use",
                    limit / 1024 / 1024);
            return fh_fail_in(error, FH_E_LIMIT, path);
        }
    }
    file->bytes[file->length] = '\0';
    return FH_OK;
}

fh_status fh_file_read(const char *path, size_t limit, fh_file *out, fh_error *error)
{
    bool standard = strcmp(path, "-") == 0;
    int handle = standard ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    struct stat info;
    fh_file file = {0};
    fh_status status = FH_OK;
    if (handle < 0 || fstat(handle, &info))
        status = fail(error, FH_E_IO, path, input_trouble(errno));
    else if (S_ISDIR(info.st_mode))
        status = fail(error, FH_E_IO, path, input_trouble(EISDIR));
    else {
        bool regular = S_ISREG(info.st_mode) && info.st_size >= 0;
        size_t hint =
            regular && (unsigned long long)info.st_size <= limit ? (size_t)info.st_size : 0;
        status = read_all(handle, hint, limit, &file, path, error);
        if (regular && !standard) {
            file.device = (unsigned long long)info.st_dev;
            file.inode = (unsigned long long)info.st_ino;
        }
    }
    if (handle >= 0 && !standard) close(handle);
    if (status)
        fh_free(file.bytes);
    else
        *out = file;
    return status;
}

void fh_file_free(fh_file *file)
{
    fh_free(file->bytes);
    *file = (fh_file){0};
}

bool fh_file_exists(const char *path)
{
    struct stat info;
    return stat(path, &info) == 0;
}

/* --- Writing ------------------------------------------------------------------------------- */

static bool write_all(int handle, const char *bytes, size_t length)
{
    while (length) {
        ssize_t put = write(handle, bytes, length < SSIZE_MAX ? length : SSIZE_MAX);
        if (put < 0 && errno == EINTR) continue;
        if (put < 0) return false;
        bytes += put;
        length -= (size_t)put;
    }
    return true;
}

static fh_status write_directly(const char *path, int handle, const char *bytes, size_t length,
                                bool close_it, fh_error *error)
{
    bool done = handle >= 0 && write_all(handle, bytes, length);
    int number = errno;
    if (close_it && handle >= 0 && close(handle) && done) {
        number = errno;
        done = false;
    }
    return done ? FH_OK : fail(error, FH_E_IO, path, output_trouble(number));
}

/* A new file beside path; its name in *name, owned by the caller. -1 with errno on failure. */
static int open_beside(const char *path, mode_t mode, char **name)
{
    size_t room = strlen(path) + 48;
    const char *slash = strrchr(path, '/');
    size_t folder = slash ? (size_t)(slash - path) + 1 : 0;
    *name = fh_allocate(room, 1);
    if (!*name) {
        errno = ENOMEM;
        return -1;
    }
    for (unsigned try = 0; try < TRIES; ++try) {
        fh_format(*name, room, "%.*s.farhue-%ld-%u.tmp", (int)folder, path, (long)getpid(), try);
        int handle = open(*name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
        if (handle >= 0 || errno != EEXIST) return handle;
    }
    return -1;
}

static bool fill_and_rename(int handle, const char *name, const char *path, const char *bytes,
                            size_t length)
{
    bool done = write_all(handle, bytes, length) && fsync(handle) == 0;
    int number = errno;
    if (close(handle) && done) {
        number = errno;
        done = false;
    }
    if (done && rename(name, path)) {
        number = errno;
        done = false;
    }
    if (!done) {
        unlink(name);
        errno = number;
    }
    return done;
}

static fh_status replace(const char *path, mode_t mode, bool keep_mode, const char *bytes,
                         size_t length, fh_error *error)
{
    char *name = NULL;
    int handle = open_beside(path, keep_mode ? mode & 0777 : 0666, &name);
    int number = errno;
    bool done = false;
    if (handle >= 0) {
        if (keep_mode) (void)fchmod(handle, mode & 0777);
        done = fill_and_rename(handle, name, path, bytes, length);
        number = errno;
    }
    fh_free(name);
    return done ? FH_OK : fail(error, FH_E_IO, path, output_trouble(number));
}

static bool is_input(const struct stat *info, const fh_file *inputs, size_t count)
{
    for (size_t i = 0; i < count; ++i)
        if (inputs[i].inode && inputs[i].device == (unsigned long long)info->st_dev &&
            inputs[i].inode == (unsigned long long)info->st_ino)
            return true;
    return false;
}

fh_status fh_file_write(const char *path, const char *bytes, size_t length, const fh_file *inputs,
                        size_t input_count, fh_error *error)
{
    struct stat info;
    if (strcmp(path, "-") == 0)
        return write_directly("standard output", STDOUT_FILENO, bytes, length, false, error);
    if (*path == '\0') return fail(error, FH_E_IO, path, "empty file name");
    if (stat(path, &info)) {
        if (errno != ENOENT) return fail(error, FH_E_IO, path, output_trouble(errno));
        return replace(path, 0, false, bytes, length, error);
    }
    if (S_ISDIR(info.st_mode)) return fail(error, FH_E_IO, path, output_trouble(EISDIR));
    if (is_input(&info, inputs, input_count))
        return fail(error, FH_E_IO, path,
                    "the output is also an input; nothing was written; give another name");
    if (!S_ISREG(info.st_mode))
        return write_directly(path, open(path, O_WRONLY | O_CLOEXEC), bytes, length, true, error);
    if (access(path, W_OK)) return fail(error, FH_E_IO, path, output_trouble(errno));
    char *real = realpath(path, NULL); /* so that a link stays a link */
    if (!real) return fail(error, FH_E_IO, path, output_trouble(errno));
    fh_status status = replace(real, info.st_mode, true, bytes, length, error);
    free(real);
    return status;
}
