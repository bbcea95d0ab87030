/* Tables of a paint file: coats (readings with PAINT_1 PARTS_1 …) and pots (PAINT and its
 * properties). */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"
#include "files/paints.h"

static const double percent_slack = 0.5; /* percents that sum to 99.5–100.5 are taken as rounded */

/* Parts, and amounts of films, that are meant as such. */
static const double least_part = 1e-6, most_part = 1e6;

fh_status fh_paints_add(fh_paints_work *work, const char *id, size_t *index)
{
    fh_paints *p = work->paints;
    *index = fh_paints_find(p, id);
    if (*index != FH_NONE) return FH_OK;
    if (p->count == FH_MIX_SHELF) return FH_E_LIMIT;
    fh_status status = fh_reserve(&p->paints, &work->capacity, p->count + 1, sizeof *p->paints);
    if (status) return status;
    fh_paint paint = fh_paint_blank();
    if (!fh_copy_text(paint.id, sizeof paint.id, id)) return FH_E_LIMIT;
    *index = p->count;
    p->paints[p->count++] = paint;
    return FH_OK;
}

static fh_status no_room(const fh_table *table, size_t row, size_t column, fh_status status,
                         fh_error *error)
{
    return fh_table_fail(table, row, column, error, status,
                         status == FH_E_LIMIT
                             ? "more than 64 paints, or an id of more than 63 bytes"
                             : "out of memory");
}

/* Columns PAINT_k with PARTS_k or PERCENT_k. */
typedef struct part_columns {
    size_t paint[FH_MIX_PAINTS], part[FH_MIX_PAINTS], count;
    bool percent;
    size_t amount; /* FILM_AMOUNT, or FH_NONE */
} part_columns;

static fh_status find_columns(const fh_table *table, part_columns *out, fh_error *error)
{
    *out = (part_columns){.amount = fh_table_column(table, "FILM_AMOUNT")};
    for (size_t k = 0; k < FH_MIX_PAINTS; ++k) {
        char name[32];
        fh_format(name, sizeof name, "PAINT_%zu", k + 1);
        const size_t paint = fh_table_column(table, name);
        if (paint == FH_NONE) break;
        fh_format(name, sizeof name, "PARTS_%zu", k + 1);
        size_t part = fh_table_column(table, name);
        fh_format(name, sizeof name, "PERCENT_%zu", k + 1);
        const size_t percent = fh_table_column(table, name);
        if (k == 0) out->percent = percent != FH_NONE;
        if (out->percent) part = percent;
        if (part == FH_NONE)
            return fh_table_fail(table, FH_NONE, paint, error, FH_E_DATA,
                                 "a column of paints has no parts beside it; expected PAINT_1 "
                                 "PARTS_1 PAINT_2 PARTS_2 … or PERCENT_1 …");
        out->paint[k] = paint;
        out->part[k] = part;
        out->count = k + 1;
    }
    return FH_OK;
}

bool fh_paints_is_column(fh_slice name)
{
    static const char *const ours[] = {"PAINT", "PART", "PERCENT", "FILM"};
    for (size_t k = 0; k < sizeof ours / sizeof *ours; ++k) {
        const size_t length = strlen(ours[k]);
        if (name.length >= length && fh_slice_is_fold((fh_slice){name.start, length}, ours[k]))
            return true;
    }
    return false;
}

/* A column that is named as one of a coat's but isn't read would change recipes without a word. */
static fh_status refuse_others(const fh_table *table, const part_columns *c, fh_error *error)
{
    for (size_t i = 0; i < fh_table_columns(table); ++i) {
        bool read = i == c->amount;
        for (size_t k = 0; k < c->count; ++k) read = read || i == c->paint[k] || i == c->part[k];
        if (!read && fh_paints_is_column(fh_slice_of(fh_table_column_name(table, i))))
            return fh_table_fail(table, FH_NONE, i, error, FH_E_DATA,
                                 "this column isn't read; expected PAINT_1 PARTS_1 PAINT_2 PARTS_2 "
                                 "… (or PERCENT_1 …), in a row and up to 8, and FILM_AMOUNT");
    }
    return FH_OK;
}

/* A pot is named in lists of quantities. */
static fh_status check_id(const fh_table *table, size_t row, size_t column, const char *id,
                          fh_error *error)
{
    if (!strpbrk(id, ",=")) return FH_OK;
    return fh_table_fail(table, row, column, error, FH_E_DATA,
                         "the id of a paint holds , or =; expected neither, since quantities are "
                         "told as white=14ml,red=6ml");
}

static fh_status check_part(const fh_table *table, size_t row, size_t column, double part,
                            fh_error *error)
{
    if (part == 0.0 || (part >= least_part && part <= most_part)) return FH_OK;
    return fh_table_fail(table, row, column, error, FH_E_DATA,
                         part < 0.0 ? "a negative part; expected 0 or more"
                                    : "no part of a coat; expected 0, or a number from 0.000001 to "
                                      "1000000");
}

static fh_status read_part(fh_paints_work *work, const fh_table *table, size_t row,
                           const part_columns *c, size_t k, fh_blend *blend, fh_error *error)
{
    const char *id = fh_table_text(table, row, c->paint[k]);
    double part;
    size_t paint;
    if (!*id) {
        if (*fh_table_text(table, row, c->part[k]))
            return fh_table_fail(table, row, c->part[k], error, FH_E_DATA,
                                 "parts without a paint; expected its id in the column before");
        return FH_OK;
    }
    fh_status status = fh_table_number(table, row, c->part[k], &part, error);
    if (status) return status;
    status = check_id(table, row, c->paint[k], id, error);
    if (!status) status = check_part(table, row, c->part[k], part, error);
    if (status) return status;
    status = fh_paints_add(work, id, &paint);
    if (status) return no_room(table, row, c->paint[k], status, error);
    for (size_t i = 0; i < blend->count; ++i)
        if (blend->paint[i] == paint)
            return fh_table_fail(table, row, c->paint[k], error, FH_E_DATA,
                                 "the same paint twice in one coat");
    if (part > 0.0) {
        blend->paint[blend->count] = paint;
        blend->part[blend->count++] = part;
    }
    return FH_OK;
}

static fh_status read_coat(fh_paints_work *work, const fh_table *table, size_t row,
                           const part_columns *c, fh_coat *coat, fh_error *error)
{
    double total = 0.0;
    coat->line = fh_table_line(table, row);
    coat->amount = -1.0;
    coat->blend.count = 0;
    bool named = false;
    for (size_t k = 0; k < c->count; ++k) {
        fh_status status = read_part(work, table, row, c, k, &coat->blend, error);
        if (status) return status;
        named = named || *fh_table_text(table, row, c->paint[k]);
    }
    for (size_t i = 0; i < coat->blend.count; ++i) total += coat->blend.part[i];
    if (named && !(total > 0.0))
        return fh_table_fail(table, row, c->part[0], error, FH_E_DATA,
                             "the parts of this coat are all 0");
    if (named && c->percent && fabs(total - 100.0) > percent_slack) {
        char message[FH_ERROR_MESSAGE];
        fh_format(message, sizeof message, "the percents of this coat sum to %g; expected 100",
                  total);
        return fh_table_fail(table, row, c->part[0], error, FH_E_DATA, message);
    }
    if (named && c->amount != FH_NONE && *fh_table_text(table, row, c->amount)) {
        fh_status status = fh_table_number(table, row, c->amount, &coat->amount, error);
        if (status) return status;
        if (!(coat->amount >= least_part && coat->amount <= most_part))
            return fh_table_fail(table, row, c->amount, error, FH_E_DATA,
                                 "no amount of a film; expected a number from 0.000001 to 1000000");
    }
    for (size_t i = 0; i < coat->blend.count; ++i)
        coat->blend.part[i] *= coat->amount > 0.0 ? coat->amount / total : 1.0 / total;
    return FH_OK;
}

/* Without columns of paints every reading is the masstone of a paint of its own. */
static fh_status masstone_of(fh_paints_work *work, const fh_table *table, size_t row,
                             const fh_reading *reading, fh_coat *coat, fh_error *error)
{
    size_t paint;
    fh_status status =
        check_id(table, row, fh_table_column(table, "SAMPLE_ID"), reading->id, error);
    if (status) return status;
    status = fh_paints_add(work, reading->id, &paint);
    if (status) return no_room(table, row, FH_NONE, status, error);
    memcpy(work->paints->paints[paint].name, reading->name, sizeof reading->name);
    coat->line = fh_table_line(table, row);
    coat->amount = -1.0;
    coat->blend = (fh_blend){1, {paint}, {1.0}};
    return FH_OK;
}

/* PAINT_INDEX, PAINT_SURFACE and PAINT_NOISE of a table. */
static fh_status read_keywords(fh_paints_work *work, const fh_table *table, fh_error *error)
{
    fh_status status = fh_table_keyword_number(table, "PAINT_INDEX", &work->index, error);
    if (!status && !(work->index >= 1.0 && work->index <= 3.0))
        status = fh_table_fail_keyword(table, "PAINT_INDEX", error, FH_E_DATA,
                                       "not the refractive index of a paint; expected 1 to 3");
    if (status) return status;
    const char *surface = fh_table_keyword(table, "PAINT_SURFACE");
    if (surface) {
        if (!fh_slice_is_fold(fh_slice_of(surface), "fitted"))
            return fh_table_fail_keyword(table, "PAINT_SURFACE", error, FH_E_DATA,
                                         "expected PAINT_SURFACE \"fitted\", or no such keyword");
        work->fit_surface = true;
    }
    status = fh_table_keyword_number(table, "PAINT_NOISE", &work->noise, error);
    if (!status && !(work->noise > 0.0 && work->noise < 1.0))
        status = fh_table_fail_keyword(table, "PAINT_NOISE", error, FH_E_DATA,
                                       "expected a number between 0 and 1, such as 0.005");
    return status;
}

fh_status fh_paints_coats(fh_paints_work *work, const fh_table *table,
                          const fh_library_defaults *defaults, fh_error *error)
{
    part_columns columns;
    const size_t first = work->library.count;
    fh_status status = find_columns(table, &columns, error);
    if (!status) status = refuse_others(table, &columns, error);
    if (!status) status = read_keywords(work, table, error);
    if (!status) status = fh_library_add_table(&work->library, table, defaults, error);
    if (status) return status;
    if (work->library.count > FH_PAINTS_COATS)
        return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_LIMIT,
                             "too many coats; expected at most 4096");
    status =
        fh_reserve(&work->coats, &work->coat_capacity, work->library.count, sizeof *work->coats);
    if (status) return fh_fail(error, status, "out of memory");
    for (size_t i = first; i < work->library.count && !status; ++i) {
        work->coats[i] = (fh_coat){.reading = i};
        status = columns.count ? read_coat(work, table, i - first, &columns, &work->coats[i], error)
                               : masstone_of(work, table, i - first, &work->library.readings[i],
                                             &work->coats[i], error);
    }
    return status;
}

/* A number of a pot that must be above 0, at most `most`; an empty cell leaves *out. */
static fh_status pot_number(const fh_table *table, size_t row, const char *name, double most,
                            double *out, fh_error *error)
{
    const size_t column = fh_table_column(table, name);
    double value;
    if (!*fh_table_text(table, row, column)) return FH_OK;
    fh_status status = fh_table_number(table, row, column, &value, error);
    if (status) return status;
    if (!(value > 0.0) || !(value <= most)) {
        char message[FH_ERROR_MESSAGE];
        fh_format(message, sizeof message, "expected a number above 0, at most %g", most);
        return fh_table_fail(table, row, column, error, FH_E_DATA, message);
    }
    *out = value;
    return FH_OK;
}

fh_status fh_paints_pots(fh_paints_work *work, const fh_table *table, fh_error *error)
{
    const size_t column = fh_table_column(table, "PAINT"),
                 name = fh_table_column(table, "PAINT_NAME");
    for (size_t row = 0; row < fh_table_rows(table); ++row) {
        const char *id = fh_table_text(table, row, column);
        const size_t paint = fh_paints_find(work->paints, id);
        if (paint == FH_NONE)
            return fh_table_fail(table, row, column, error, FH_E_DATA,
                                 "no coat holds this paint; expected an id of PAINT_1, PAINT_2 …");
        if (fh_table_find(table, column, id) != row)
            return fh_table_fail(table, row, column, error, FH_E_DATA,
                                 "this paint is there twice; expected each paint once");
        fh_paint *p = &work->paints->paints[paint];
        fh_copy_text(p->name, sizeof p->name, fh_table_text(table, row, name));
        fh_status status = pot_number(table, row, "DENSITY_G_ML", 25.0, &p->density, error);
        if (!status) status = pot_number(table, row, "DROP_ML", 10.0, &p->drop, error);
        if (!status) status = pot_number(table, row, "SPREAD", 3.0, &p->spread, error);
        if (status) return status;
    }
    return FH_OK;
}
