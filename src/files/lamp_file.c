/* A lamp's power, brought to 5 nm. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/lamp_file.h"

static const double first_nm = 380.0, step_nm = 5.0;
static const double must_begin = 400.0, must_end = 700.0; /* common practice, no source */

/* What the file holds. */
typedef struct curve {
    double *nm, *power;
    size_t count;
} curve;

static fh_status read_row(const fh_table *table, size_t row, size_t nm, size_t power, curve *c,
                          fh_error *error)
{
    double *at = &c->nm[row], *value = &c->power[row];
    fh_status status = fh_table_number(table, row, nm, at, error);
    if (!status) status = fh_table_number(table, row, power, value, error);
    if (status) return status;
    if (!(*at >= 100.0 && *at <= 3000.0) || (row > 0 && !(*at > c->nm[row - 1])))
        return fh_table_fail(table, row, nm, error, FH_E_DATA,
                             "no ascending wavelength; expected nanometres, from short to long");
    if (!(*value >= 0.0 && *value <= 1e12))
        return fh_table_fail(table, row, power, error, FH_E_DATA,
                             "no power of a lamp; expected a number from 0 to 1e12");
    return FH_OK;
}

static fh_status read_curve(const fh_table *table, curve *c, fh_error *error)
{
    const size_t nm = fh_table_column(table, "NM"), power = fh_table_column(table, "POWER");
    if (nm == FH_NONE || power == FH_NONE)
        return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                             "no lamp; expected columns NM and POWER");
    for (size_t row = 0; row < c->count; ++row) {
        fh_status status = read_row(table, row, nm, power, c, error);
        if (status) return status;
    }
    if (c->count < 2 || c->nm[0] > must_begin || c->nm[c->count - 1] < must_end)
        return fh_table_fail(table, FH_NONE, nm, error, FH_E_DATA,
                             "too little of a lamp; expected its power from 400 to 700 nm or more");
    return FH_OK;
}

/* Along straight lines; the ends held. */
static double at(const curve *c, double nm)
{
    if (nm <= c->nm[0]) return c->power[0];
    size_t i = 1;
    while (i + 1 < c->count && c->nm[i] < nm) ++i;
    const double t = fmin(1.0, (nm - c->nm[i - 1]) / (c->nm[i] - c->nm[i - 1]));
    return c->power[i - 1] + t * (c->power[i] - c->power[i - 1]);
}

/* The mean from low to high of the straight lines: trapezia between the points of the file. */
static double mean(const curve *c, double low, double high)
{
    double sum = 0.0, from = low;
    for (size_t i = 0; i < c->count && from < high; ++i) {
        if (c->nm[i] <= from) continue;
        const double to = fmin(c->nm[i], high);
        sum += 0.5 * (to - from) * (at(c, from) + at(c, to));
        from = to;
    }
    sum += (high - from) * at(c, high);
    return sum / (high - low);
}

static void bring_to_grid(const curve *c, double *power, size_t *held)
{
    const bool fine = (c->nm[c->count - 1] - c->nm[0]) / (double)(c->count - 1) < 0.99 * step_nm;
    *held = 0;
    for (size_t i = 0; i < FH_POWER_COUNT; ++i) {
        const double nm = first_nm + step_nm * (double)i;
        *held += nm < c->nm[0] || nm > c->nm[c->count - 1];
        power[i] = fine ? mean(c, nm - 0.5 * step_nm, nm + 0.5 * step_nm) : at(c, nm);
    }
}

fh_status fh_lamp_read(const fh_table *table, double power[FH_POWER_COUNT], size_t *held,
                       fh_error *error)
{
    const size_t count = fh_table_rows(table);
    double *room = fh_allocate(2 * (count + 1), sizeof *room);
    curve c = {room, room + count, count};
    if (!room) return fh_fail(error, FH_E_MEMORY, "out of memory");
    double found[FH_POWER_COUNT], sum = 0.0;
    size_t ends = 0;
    fh_status status = read_curve(table, &c, error);
    if (!status) {
        bring_to_grid(&c, found, &ends);
        for (size_t i = 0; i < FH_POWER_COUNT; ++i) sum += found[i];
        if (!(sum > 0.0))
            status = fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                                   "a lamp without any power from 380 to 780 nm");
    }
    if (!status) {
        memcpy(power, found, sizeof found);
        if (held) *held = ends;
    }
    fh_free(room);
    return status;
}
