#include "farhue/quantity.h"

#include <string.h>

#include "base/error.h"
#include "base/text.h"

static bool read_unit(fh_slice text, fh_quantity_unit *out)
{
    static const struct {
        const char *name;
        fh_quantity_unit unit;
    } units[] = {{"", FH_MILLILITRES},
                 {"ml", FH_MILLILITRES},
                 {"g", FH_GRAMS},
                 {"drop", FH_DROPS},
                 {"drops", FH_DROPS}};
    text = fh_slice_trim(text);
    for (size_t i = 0; i < sizeof units / sizeof *units; ++i)
        if (fh_slice_is(text, units[i].name)) {
            *out = units[i].unit;
            return true;
        }
    return false;
}

fh_status fh_quantity_parse(const char *text, size_t length, fh_quantity *out, fh_error *error)
{
    const fh_slice all = fh_slice_trim((fh_slice){text, length});
    fh_quantity found;
    size_t digits = 0;
    while (digits < all.length && strchr("+-.0123456789", all.start[digits])) ++digits;
    if (!fh_parse_number((fh_slice){all.start, digits}, &found.value) ||
        !read_unit((fh_slice){all.start + digits, all.length - digits}, &found.unit))
        return fh_fail(error, FH_E_ARGUMENT,
                       "\"%.*s\" is none; expected a quantity such as 20ml, 15g or 3drops",
                       (int)(all.length < 40 ? all.length : 40), all.start);
    if (!(found.value > 0.0) || found.value > 1e6)
        return fh_fail(error, FH_E_ARGUMENT, "a quantity of %g; expected more than 0", found.value);
    *out = found;
    return FH_OK;
}

static fh_status unknown(const fh_paint *paint, fh_quantity_unit unit, fh_error *error)
{
    return fh_fail(error, FH_E_DATA,
                   "the %s of %s isn't known; expected %s in the file of paints, or quantities in "
                   "ml",
                   unit == FH_GRAMS ? "density" : "drop", paint->id,
                   unit == FH_GRAMS ? "DENSITY_G_ML" : "DROP_ML");
}

/* So much of a paint's unit is in a millilitre; not above 0: not known. */
static double per_ml(const fh_paint *paint, fh_quantity_unit unit)
{
    if (unit == FH_MILLILITRES) return 1.0;
    return unit == FH_GRAMS ? paint->density : 1.0 / paint->drop;
}

fh_status fh_quantity_ml(fh_quantity quantity, const fh_paint *paint, double *ml, fh_error *error)
{
    const double units = per_ml(paint, quantity.unit);
    if (!(units > 0.0)) return unknown(paint, quantity.unit, error);
    *ml = quantity.value / units;
    return FH_OK;
}

fh_status fh_quantity_ml_of_blend(fh_quantity quantity, const fh_paint *shelf,
                                  const fh_blend *blend, double *ml, fh_error *error)
{
    double sum = 0.0;
    for (size_t i = 0; i < blend->count; ++i) {
        const fh_paint *p = &shelf[blend->paint[i]];
        const double units = per_ml(p, quantity.unit);
        if (!(units > 0.0)) return unknown(p, quantity.unit, error);
        sum += blend->part[i] * units;
    }
    *ml = quantity.value / sum;
    return FH_OK;
}

fh_status fh_batch_place(const char *id, const fh_paint *shelf, size_t shelf_count, fh_batch *batch,
                         size_t *place, fh_error *error)
{
    size_t paint = 0, at = 0;
    while (paint < shelf_count && strcmp(shelf[paint].id, id) != 0) ++paint;
    if (paint == shelf_count) return fh_fail(error, FH_E_DATA, "there is no paint %s", id);
    while (at < batch->paint_count && batch->paint[at] != paint) ++at;
    if (at == batch->paint_count) {
        if (at == FH_MIX_PAINTS)
            return fh_fail(error, FH_E_LIMIT, "more than %d paints in one batch", FH_MIX_PAINTS);
        batch->paint[batch->paint_count++] = paint;
    }
    *place = at;
    return FH_OK;
}

fh_status fh_quantity_add(const char *text, const fh_paint *shelf, size_t shelf_count, size_t step,
                          fh_batch *batch, fh_error *error)
{
    const char *at = text;
    while (*at) {
        const size_t length = strcspn(at, ",");
        const char *equals = memchr(at, '=', length);
        char id[FH_ID];
        fh_quantity quantity;
        size_t place;
        double ml;
        if (!equals ||
            !fh_copy_slice(id, sizeof id, fh_slice_trim((fh_slice){at, (size_t)(equals - at)})))
            return fh_fail(error, FH_E_ARGUMENT,
                           "\"%.60s\"; expected PAINT=QUANTITY,... such as white=14ml,red=3.5ml",
                           text);
        fh_status status =
            fh_quantity_parse(equals + 1, (size_t)(at + length - equals - 1), &quantity, error);
        if (!status) status = fh_batch_place(id, shelf, shelf_count, batch, &place, error);
        if (!status) status = fh_quantity_ml(quantity, &shelf[batch->paint[place]], &ml, error);
        if (status) return status;
        batch->step[step].added[place] += ml;
        at += length + (at[length] == ',');
    }
    return FH_OK;
}
