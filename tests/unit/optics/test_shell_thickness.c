#include "check.h"
#include "reference.h"

#include "exact.h"
#include "farhue/sheet.h"

#include <math.h>
#include <string.h>

/* tests/data/slab_rays.csv: independent computation, tests/study/slab_rays.c, which traces rays and
 * shares no code with the engine. Statistical error of a figure about 0.0005. */

static fh_shell shell, thicker;

typedef struct traced {
    char slab[16], geometry[8];
    double index, mm;
    fh_shell_curves curves;
} traced;

enum { TRACED = 16 };

static void load(traced all[TRACED])
{
    reference table = reference_load("slab_rays.csv");
    check(table.rows == TRACED * FH_BANDS);
    size_t count = 0;
    for (size_t row = 0; row < table.rows; ++row) {
        const char *name = reference_text(&table, row, "slab");
        const char *geometry = reference_text(&table, row, "geometry");
        double mm = reference_number(&table, row, "mm");
        size_t k = 0;
        while (k < count && (strcmp(all[k].slab, name) != 0 || all[k].mm != mm ||
                             strcmp(all[k].geometry, geometry) != 0))
            ++k;
        if (k == count) {
            check(count++ < TRACED);
            strcpy(all[k].slab, name);
            strcpy(all[k].geometry, geometry);
            all[k].mm = mm;
            all[k].index = reference_number(&table, row, "index");
        }
        size_t i = (size_t)(reference_number(&table, row, "nm") - FH_FIRST_NM) / FH_STEP_NM;
        all[k].curves.A.v[i] = reference_number(&table, row, "A");
        all[k].curves.B.v[i] = reference_number(&table, row, "B");
        all[k].curves.C.v[i] = reference_number(&table, row, "C");
    }
    check(count == TRACED);
    reference_free(&table);
}

static void fit(const traced *truth, size_t count)
{
    const double grey[3] = {0.04, 0.88, 0.35};
    fh_reading look[3], backing[3];
    fh_shell_sample sample[3];
    for (size_t b = 0; b < count; ++b) {
        fh_spectrum part = fh_spectrum_flat(grey[b]);
        look[b] = exact_reading("look", fh_shell_look(&truth->curves, &part));
        backing[b] = exact_reading("backing", part);
        look[b].method.geometry = backing[b].method.geometry =
            truth->geometry[0] == '8' ? FH_GEOMETRY_8_D : FH_GEOMETRY_45_0;
        sample[b] = (fh_shell_sample){&look[b], &backing[b]};
    }
    fh_shell_options options = fh_shell_options_default();
    options.index = truth->index;
    check(fh_shell_fit(sample, count, &options, &shell, NULL, NULL) == FH_OK);
}

static double worst(const fh_shell_curves *truth, const fh_shell_curves *found)
{
    double most = 0.0;
    for (int p = 0; p < EXACT_PARTS; ++p) {
        fh_spectrum part = exact_part(p), a = fh_shell_look(truth, &part);
        fh_spectrum b = fh_shell_look(found, &part);
        most = fmax(most, exact_difference(&a, &b));
    }
    return most;
}

static void two_backings_and_double_thickness(void **state)
{
    (void)state;
    static traced all[TRACED];
    load(all);
    for (int k = 0; k < TRACED; ++k)
        for (int j = 0; j < TRACED; ++j) {
            if (strcmp(all[k].slab, all[j].slab) != 0 ||
                strcmp(all[k].geometry, all[j].geometry) != 0 ||
                fabs(all[j].mm - 2 * all[k].mm) > 1e-9)
                continue;
            for (size_t count = 2; count <= 3; ++count) {
                fit(&all[k], count);
                double same = worst(&all[k].curves, &shell.curves);
                check(fh_shell_thickness(&shell, 2.0, &thicker) == FH_OK);
                double twice = worst(&all[j].curves, &thicker.curves);
                print_message("# %s %s, %zu backings: as measured %.2f, twice as thick %.2f\n",
                              all[k].slab, all[k].geometry, count, same, twice);
                check_between(same, 0.0, 0.3);
                check_between(twice, 0.0, 0.5);
            }
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_backings_and_double_thickness),
    };
    return cmocka_run_group_tests_name("optics/shell_thickness", tests, NULL, NULL);
}
