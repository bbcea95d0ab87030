/* Whole files: reading, writing whole or not at all. */
#define _XOPEN_SOURCE 700
#include "check.h"

#include <dirent.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "farhue/file.h"

static char folder[64];

static int enter(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/farhue-test-XXXXXX");
    return !mkdtemp(folder) || chdir(folder);
}

static int leave(void **state)
{
    char command[128];
    (void)state;
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return chdir("/") || system(command);
}

static size_t entries(void)
{
    size_t n = 0;
    DIR *here = opendir(".");
    while (here && readdir(here)) ++n;
    if (here) closedir(here);
    return n - 2;
}

static void put(const char *path, const char *text)
{
    fh_error error = {0};
    assert_int_equal(fh_file_write(path, text, strlen(text), NULL, 0, &error), FH_OK);
}

static void holds(const char *path, const char *text)
{
    fh_file file = {0};
    fh_error error = {0};
    assert_int_equal(fh_file_read(path, 1000000, &file, &error), FH_OK);
    assert_int_equal(file.length, strlen(text));
    assert_string_equal(file.bytes, text);
    fh_file_free(&file);
    assert_null(file.bytes);
}

static void test_round_trip(void **state)
{
    (void)state;
    put("a.txt", "one\n");
    holds("a.txt", "one\n");
    put("a.txt", "");
    holds("a.txt", "");
    put("a.txt", "two, longer\n");
    holds("a.txt", "two, longer\n");
    assert_int_equal(entries(), 1);
}

static void test_large(void **state)
{
    (void)state;
    size_t length = 3000001;
    char *bytes = malloc(length);
    fh_file file = {0};
    fh_error error = {0};
    for (size_t i = 0; i < length; ++i) bytes[i] = (char)(i * 7 + i / 255);
    assert_int_equal(fh_file_write("big", bytes, length, NULL, 0, &error), FH_OK);
    assert_int_equal(fh_file_read("big", length, &file, &error), FH_OK);
    assert_int_equal(file.length, length);
    assert_memory_equal(file.bytes, bytes, length);
    fh_file_free(&file);
    assert_int_equal(fh_file_read("big", length - 1, &file, &error), FH_E_LIMIT);
    assert_non_null(strstr(error.message, "larger than"));
    assert_string_equal(error.file, "big");
    assert_null(file.bytes);
    free(bytes);
}

static void test_missing_and_directory(void **state)
{
    (void)state;
    fh_file file = {0};
    fh_error error = {0};
    assert_int_equal(fh_file_read("none", 10, &file, &error), FH_E_IO);
    assert_string_equal(error.message, "no such file");
    error = (fh_error){0};
    assert_int_equal(fh_file_read(".", 10, &file, &error), FH_E_IO);
    assert_non_null(strstr(error.message, "directory"));
    assert_int_equal(fh_file_write(".", "x", 1, NULL, 0, &error), FH_E_IO);
    assert_int_equal(fh_file_write("no/x", "x", 1, NULL, 0, &error), FH_E_IO);
    assert_int_equal(fh_file_write("", "x", 1, NULL, 0, &error), FH_E_IO);
    assert_int_equal(entries(), 0);
}

static void test_never_over_an_input(void **state)
{
    (void)state;
    fh_file file = {0};
    fh_error error = {0};
    put("in.txt", "precious");
    assert_int_equal(link("in.txt", "hard"), 0);
    assert_int_equal(symlink("in.txt", "soft"), 0);
    assert_int_equal(fh_file_read("in.txt", 100, &file, &error), FH_OK);
    const char *const names[] = {"in.txt", "./in.txt", "hard", "soft"};
    for (size_t i = 0; i < 4; ++i) {
        error = (fh_error){0};
        assert_int_equal(fh_file_write(names[i], "lost", 4, &file, 1, &error), FH_E_IO);
        assert_non_null(strstr(error.message, "also an input"));
        holds("in.txt", "precious");
    }
    fh_file_free(&file);
}

static void test_link_stays_a_link(void **state)
{
    (void)state;
    struct stat info;
    put("real", "old");
    assert_int_equal(chmod("real", 0640), 0);
    assert_int_equal(symlink("real", "link"), 0);
    put("link", "new");
    holds("real", "new");
    assert_int_equal(lstat("link", &info), 0);
    assert_true(S_ISLNK(info.st_mode));
    assert_int_equal(stat("real", &info), 0);
    assert_int_equal(info.st_mode & 0777, 0640);
}

static void test_size_limit(void **state)
{
    (void)state;
    struct rlimit old, small = {1000, RLIM_INFINITY};
    char bytes[5000] = {0};
    fh_error error = {0};
    put("old.txt", "old");
    signal(SIGXFSZ, SIG_IGN);
    getrlimit(RLIMIT_FSIZE, &old);
    small.rlim_max = old.rlim_max;
    setrlimit(RLIMIT_FSIZE, &small);
    fh_status fresh = fh_file_write("new.txt", bytes, sizeof bytes, NULL, 0, &error);
    fh_status over = fh_file_write("old.txt", bytes, sizeof bytes, NULL, 0, &error);
    setrlimit(RLIMIT_FSIZE, &old);
    assert_int_equal(fresh, FH_E_IO);
    assert_int_equal(over, FH_E_IO);
    assert_non_null(strstr(error.message, "nothing was written"));
    holds("old.txt", "old");
    assert_int_equal(entries(), 1);
}

static void test_full_device(void **state)
{
    (void)state;
    fh_error error = {0};
    assert_int_equal(fh_file_write("/dev/full", "x", 1, NULL, 0, &error), FH_E_IO);
    assert_non_null(strstr(error.message, "full"));
    assert_int_equal(fh_file_write("/dev/null", "x", 1, NULL, 0, &error), FH_OK);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, enter, leave)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(test_round_trip),
        CASE(test_large),
        CASE(test_missing_and_directory),
        CASE(test_never_over_an_input),
        CASE(test_link_stays_a_link),
        CASE(test_size_limit),
        CASE(test_full_device),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
