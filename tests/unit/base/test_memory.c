#include "check.h"
#include "starve.h"

#include <stdint.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"

static void products_are_checked(void **state)
{
    (void)state;
    size_t n = 5;
    assert_int_equal(fh_multiply_sizes(6, 7, &n), FH_OK);
    assert_int_equal(n, 42);
    assert_int_equal(fh_multiply_sizes(SIZE_MAX / 2, 3, &n), FH_E_LIMIT);
    assert_int_equal(n, 42);
    assert_int_equal(fh_multiply_sizes(SIZE_MAX, 0, &n), FH_OK);
    assert_int_equal(n, 0);
    assert_null(fh_allocate(SIZE_MAX / 4, 8));
    assert_null(fh_reallocate(NULL, SIZE_MAX / 4, 8));
    unsigned char *zeroed = fh_allocate(100, 1);
    for (int i = 0; i < 100; ++i) check(zeroed[i] == 0);
    fh_free(zeroed);
    void *nothing = fh_allocate(0, 8);
    assert_non_null(nothing);
    fh_free(nothing);
    fh_free(NULL);
}

static void reserve_grows(void **state)
{
    (void)state;
    int *items = NULL;
    size_t capacity = 0;
    for (size_t i = 0; i < 1000; ++i) {
        assert_int_equal(fh_reserve(&items, &capacity, i + 1, sizeof *items), FH_OK);
        items[i] = (int)i;
    }
    for (size_t i = 0; i < 1000; ++i) check(items[i] == (int)i);
    int *same = items;
    assert_int_equal(fh_reserve(&items, &capacity, SIZE_MAX / 2, sizeof *items), FH_E_LIMIT);
    check(items == same && capacity == 1024);
    fh_free(items);
}

/* A buffer that runs out of memory keeps what it had and remembers that it failed. */
static void buffer_survives_starvation(void **state)
{
    (void)state;
    for (long n = 0;; ++n) {
        fh_buffer b = {0};
        starve_after(n);
        for (int i = 0; i < 200; ++i) fh_buffer_text(&b, "0123456789");
        bool refused = starve_end();
        check(b.failed == refused);
        check(b.length % 10 == 0 && (b.length == 0 || b.text[b.length] == '\0'));
        fh_buffer_free(&b);
        if (!refused) {
            check(n > 3);
            break;
        }
    }
}

static void errors(void **state)
{
    (void)state;
    fh_error e = {0};
    assert_int_equal(fh_fail_at(&e, FH_E_DATA, 3, 14, "found %s; expected %.1f", "x", 1.5), FH_E_DATA);
    assert_string_equal(e.message, "found x; expected 1.5");
    check(e.line == 3 && e.column == 14 && e.status == FH_E_DATA);
    assert_int_equal(fh_fail_in(&e, FH_E_DATA, "part.txt"), FH_E_DATA);
    assert_int_equal(fh_fail_in(&e, FH_E_DATA, "other.txt"), FH_E_DATA);
    assert_string_equal(e.file, "part.txt"); /* the innermost name stays */
    assert_int_equal(fh_fail(&e, FH_E_IO, "gone"), FH_E_IO);
    check(e.line == 0 && e.column == 0);
    assert_int_equal(fh_fail(NULL, FH_E_IO, "no one listens"), FH_E_IO);
    for (int s = FH_OK; s <= FH_E_STOPPED; ++s) check(strlen(fh_status_text((fh_status)s)) > 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(products_are_checked),
        cmocka_unit_test(reserve_grows),
        cmocka_unit_test(buffer_survives_starvation),
        cmocka_unit_test(errors),
    };
    return cmocka_run_group_tests_name("memory", tests, NULL, NULL);
}
