/* Nearest centre in place of the system's own block boundaries: those are polygons in charts of
 * Munsell hue, value and chroma, of which only the centres are published as figures [Kelly1958].
 * Near a boundary the second name is as good as the first.
 *
 * Trap: the centre of black lies at L* 12.9 and the tinted blacks around it are darker, so that a
 * true black would be nearest to "greenish black". Nothing lies below the blacks: a darker colour
 * finds its names as if it had that L*; the differences that are told are its own. */
#include "farhue/names.h"

#include <math.h>

#include "colour/tables/names_table.h"
#include "farhue/difference.h"

fh_condition fh_names_condition(void)
{
    return (fh_condition){FH_ILLUMINANT_C, FH_OBSERVER_2};
}

size_t fh_names_near(fh_lab lab, fh_colour_name *out, size_t count)
{
    double by[FH_NAME_COUNT]; /* what they are ordered by */
    size_t found = 0;
    const fh_lab placed = {fmax(lab.L, FH_NAMES_DARKEST), lab.a, lab.b};
    if (!isfinite(lab.L) || !isfinite(lab.a) || !isfinite(lab.b)) return 0;
    for (size_t i = 0; i < FH_NAME_COUNT; ++i) {
        const fh_name_centre *centre = &fh_name_centres[i];
        const fh_colour_name name = {centre->number, centre->name, centre->lab,
                                     fh_de2000(centre->lab, lab)};
        const double order = fh_de2000(centre->lab, placed);
        size_t place = found;
        while (place > 0 && by[place - 1] > order) --place;
        if (place >= count) continue;
        if (found < count) ++found;
        for (size_t k = found - 1; k > place; --k) {
            out[k] = out[k - 1];
            by[k] = by[k - 1];
        }
        out[place] = name;
        by[place] = order;
    }
    return found;
}

fh_status fh_names_of_reading(const fh_reading *reading, fh_colour_name *out, size_t count,
                              fh_lab *used, fh_error *error)
{
    const fh_weights weights = fh_weights_of(fh_names_condition());
    fh_reading moved;
    fh_status status = fh_reading_in_condition(reading, &weights, &moved, error);
    if (status) return status;
    fh_names_near(moved.lab, out, count);
    if (used) *used = moved.lab;
    return FH_OK;
}
