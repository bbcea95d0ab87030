#include "check.h"
#include "reference.h"

#include <lcms2.h>
#include <string.h>

#include "farhue/colour.h"

static fh_xyz printed_white(const reference *whites, const char *name)
{
    for (size_t i = 0; i < whites->rows; ++i)
        if (strcmp(reference_text(whites, i, "illuminant"), name) == 0 &&
            strcmp(reference_text(whites, i, "observer_deg"), "2") == 0)
            return (fh_xyz){reference_number(whites, i, "X"), 100.0,
                            reference_number(whites, i, "Z")};
    fail_msg("no white %s", name);
    return (fh_xyz){0, 0, 0};
}

/* Source: bradford_examples.csv, computed by a general colour library; seven printed decimals of the
 * matrix, four of XYZ (half a unit of the last digit: 5e-8 and 5e-5). */
static void published_matrices(void **state)
{
    (void)state;
    reference whites = reference_load("astm_e308_white_points.csv");
    reference table = reference_load("bradford_examples.csv");
    const char *cells[9] = {"m11", "m12", "m13", "m21", "m22", "m23", "m31", "m32", "m33"};
    for (size_t i = 0; i < table.rows; ++i) {
        fh_mat3 m = fh_bradford(printed_white(&whites, reference_text(&table, i, "from")),
                                printed_white(&whites, reference_text(&table, i, "to")));
        for (int k = 0; k < 9; ++k)
            check_close(m.m[k / 3][k % 3], reference_number(&table, i, cells[k]), 1e-6);
        fh_vec3 xyz = fh_mat3_apply(m, (fh_vec3){{19.01, 20.00, 21.78}});
        check_close(xyz.v[0], reference_number(&table, i, "X"), 5e-5);
        check_close(xyz.v[1], reference_number(&table, i, "Y"), 5e-5);
        check_close(xyz.v[2], reference_number(&table, i, "Z"), 5e-5);
    }
    reference_free(&table);
    reference_free(&whites);
}

/* Source: lcms2's cmsAdaptToIlluminant, which uses the same cone matrix. */
static void agrees_with_lcms2(void **state)
{
    (void)state;
    cmsCIEXYZ from = {0.95047, 1.0, 1.08883}, to = {1.0985, 1.0, 0.35585}, in = {0.2, 0.3, 0.4}, out;
    assert_true(cmsAdaptToIlluminant(&out, &from, &to, &in));
    fh_mat3 m = fh_bradford((fh_xyz){95.047, 100, 108.883}, (fh_xyz){109.85, 100, 35.585});
    fh_vec3 mine = fh_mat3_apply(m, (fh_vec3){{0.2, 0.3, 0.4}});
    check_close(mine.v[0], out.X, 1e-9);
    check_close(mine.v[1], out.Y, 1e-9);
    check_close(mine.v[2], out.Z, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_matrices),
        cmocka_unit_test(agrees_with_lcms2),
    };
    return cmocka_run_group_tests_name("adaptation", tests, NULL, NULL);
}
