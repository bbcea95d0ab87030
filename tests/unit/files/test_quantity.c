#include <string.h>

#include "check.h"
#include "farhue/quantity.h"

static fh_status parse(const char *text, fh_quantity *out, fh_error *error)
{
    return fh_quantity_parse(text, strlen(text), out, error);
}

static void quantities_as_people_write_them(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double value;
        fh_quantity_unit unit;
    } good[] = {{"20ml", 20, FH_MILLILITRES},
                {" 0.05 g ", 0.05, FH_GRAMS},
                {"1drop", 1, FH_DROPS},
                {"3 drops", 3, FH_DROPS},
                {"7.5", 7.5, FH_MILLILITRES}};
    for (size_t i = 0; i < sizeof good / sizeof *good; ++i) {
        fh_quantity q;
        assert_int_equal(parse(good[i].text, &q, NULL), FH_OK);
        check_close(q.value, good[i].value, 0.0);
        check(q.unit == good[i].unit);
    }
    static const char *const bad[] = {"",    "ml",    "20cups", "1,5ml", "0",
                                      "-3g", "1e7ml", "nan",    "2 2ml"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; ++i) {
        fh_quantity q = {77, FH_GRAMS};
        fh_error error = {0};
        assert_int_equal(parse(bad[i], &q, &error), FH_E_ARGUMENT);
        check(strstr(error.message, "expected") != NULL);
        check_close(q.value, 77, 0.0);
    }
}

/* 14 g at 1.4 g/ml are 10 ml, 20 drops of 0.05 ml are 1 ml; of a blend of 3 parts at 1.4 and 1 at
 * 1.0 g/ml, 13 g are 10 ml: by hand. */
static void into_millilitres(void **state)
{
    (void)state;
    fh_paint shelf[2] = {fh_paint_blank(), fh_paint_blank()};
    strcpy(shelf[0].id, "white");
    shelf[0].density = 1.4;
    shelf[0].drop = 0.05;
    strcpy(shelf[1].id, "red");
    shelf[1].density = 1.0;
    double ml = -1;
    fh_error error = {0};
    assert_int_equal(fh_quantity_ml((fh_quantity){14, FH_GRAMS}, &shelf[0], &ml, NULL), FH_OK);
    check_close(ml, 10.0, 1e-12);
    assert_int_equal(fh_quantity_ml((fh_quantity){20, FH_DROPS}, &shelf[0], &ml, NULL), FH_OK);
    check_close(ml, 1.0, 1e-12);
    const fh_blend blend = {2, {0, 1}, {0.75, 0.25}};
    assert_int_equal(fh_quantity_ml_of_blend((fh_quantity){13, FH_GRAMS}, shelf, &blend, &ml, NULL),
                     FH_OK);
    check_close(ml, 10.0, 1e-12);
    assert_int_equal(
        fh_quantity_ml_of_blend((fh_quantity){5, FH_DROPS}, shelf, &blend, &ml, &error), FH_E_DATA);
    check(strstr(error.message, "the drop of red isn't known; expected DROP_ML") != NULL);
    check_close(ml, 10.0, 1e-12);
}

static void what_was_put_in(void **state)
{
    (void)state;
    fh_paint shelf[2] = {fh_paint_blank(), fh_paint_blank()};
    strcpy(shelf[0].id, "white");
    strcpy(shelf[1].id, "red");
    fh_batch batch = {.paint_count = 0};
    fh_error error = {0};
    assert_int_equal(fh_quantity_add("red=3.5, white=14ml,red=1", shelf, 2, 1, &batch, NULL),
                     FH_OK);
    assert_int_equal(batch.paint_count, 2);
    assert_int_equal(batch.paint[0], 1);
    check_close(batch.step[1].added[0], 4.5, 1e-12);
    check_close(batch.step[1].added[1], 14.0, 1e-12);
    check_close(batch.step[0].added[0], 0.0, 0.0);
    assert_int_equal(fh_quantity_add("pink=1", shelf, 2, 0, &batch, &error), FH_E_DATA);
    check(strstr(error.message, "there is no paint pink") != NULL);
    assert_int_equal(fh_quantity_add("white", shelf, 2, 0, &batch, &error), FH_E_ARGUMENT);
    check(strstr(error.message, "expected PAINT=QUANTITY") != NULL);
    assert_int_equal(fh_quantity_add("white=1cup", shelf, 2, 0, &batch, &error), FH_E_ARGUMENT);
    assert_int_equal(fh_quantity_add("white=1g", shelf, 2, 0, &batch, &error), FH_E_DATA);

    /* A ninth paint has no room. */
    static fh_paint many[FH_MIX_PAINTS + 1];
    fh_batch full = {.paint_count = 0};
    for (int i = 0; i <= FH_MIX_PAINTS; ++i) {
        many[i] = fh_paint_blank();
        many[i].id[0] = (char)('a' + i);
    }
    for (int i = 0; i <= FH_MIX_PAINTS; ++i) {
        size_t place = 99;
        const fh_status status =
            fh_batch_place(many[i].id, many, FH_MIX_PAINTS + 1, &full, &place, &error);
        assert_int_equal(status, i < FH_MIX_PAINTS ? FH_OK : FH_E_LIMIT);
        if (!status) assert_int_equal(place, i);
    }
    check(strstr(error.message, "more than 8 paints") != NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quantities_as_people_write_them),
        cmocka_unit_test(into_millilitres),
        cmocka_unit_test(what_was_put_in),
    };
    return cmocka_run_group_tests_name("files/quantity", tests, NULL, NULL);
}
