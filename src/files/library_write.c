/* Readings into tables: what is the same for all goes into keywords, the rest into columns. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "files/layout.h"
#include "files/table.h"

const char *fh_geometry_name(fh_geometry geometry)
{
    switch (geometry) {
    case FH_GEOMETRY_45_0:
        return "45/0";
    case FH_GEOMETRY_8_D:
        return "8/d";
    case FH_GEOMETRY_PHOTO:
        return "photo";
    case FH_GEOMETRY_UNKNOWN:
        break;
    }
    return "unknown";
}

const char *fh_specular_name(fh_specular specular)
{
    if (specular == FH_SPECULAR_INCLUDED) return "included";
    return specular == FH_SPECULAR_EXCLUDED ? "excluded" : "unknown";
}

const char *fh_basis_name(fh_basis basis)
{
    if (basis == FH_BASIS_SCREEN) return "screen";
    return basis == FH_BASIS_LOOK ? "look" : "measured";
}

typedef struct writer {
    const fh_reading *readings;
    size_t count;
    fh_table *table;
    const char *sources[FH_SHARED_FILE];
    size_t source_count;
} writer;

/* --- Properties as text: "" when not known ---------------------------------------------------- */

static void size_text(char *out, size_t size, double value)
{
    if (value >= 0)
        fh_shortest_number(out, size, value);
    else
        *out = '\0';
}

/* A property of method or kind, as it stands in a file. */
static void property_text(const fh_reading *r, fh_property property, char out[FH_NOTE])
{
    const fh_method *m = &r->method;
    *out = '\0';
    switch (property) {
    case FH_P_NAME:
        fh_copy_text(out, FH_NOTE, r->name);
        break;
    case FH_P_NOTE:
        fh_copy_text(out, FH_NOTE, r->note);
        break;
    case FH_P_BACKING:
        fh_copy_text(out, FH_NOTE, m->backing);
        break;
    case FH_P_GEOMETRY:
        if (m->geometry) fh_copy_text(out, FH_NOTE, fh_geometry_name(m->geometry));
        break;
    case FH_P_SPECULAR:
        if (m->specular) fh_copy_text(out, FH_NOTE, fh_specular_name(m->specular));
        break;
    case FH_P_PORT:
        size_text(out, FH_NOTE, m->port_mm);
        break;
    case FH_P_GAP:
        size_text(out, FH_NOTE, m->gap_mm);
        break;
    case FH_P_GLOSS:
        size_text(out, FH_NOTE, m->gloss);
        break;
    case FH_P_THICKNESS:
        size_text(out, FH_NOTE, m->thickness_mm);
        break;
    case FH_P_REPEATS:
        if (r->repeats > 1) fh_format(out, FH_NOTE, "%u", r->repeats);
        break;
    case FH_P_ORIGIN:
        if (r->origin == FH_ORIGIN_ESTIMATED) fh_copy_text(out, FH_NOTE, "estimated");
        break;
    case FH_P_BASIS:
        if (r->basis) fh_copy_text(out, FH_NOTE, fh_basis_name(r->basis));
        break;
    default:
        break;
    }
}

static bool is_number(fh_property property)
{
    return property == FH_P_PORT || property == FH_P_GAP || property == FH_P_GLOSS ||
           property == FH_P_THICKNESS || property == FH_P_REPEATS;
}

/* Properties that are a keyword when all readings agree, a column when they don't. */
static const fh_property either[] = {FH_P_GEOMETRY, FH_P_SPECULAR,  FH_P_PORT,    FH_P_GAP,
                                     FH_P_GLOSS,    FH_P_THICKNESS, FH_P_BACKING, FH_P_REPEATS,
                                     FH_P_ORIGIN,   FH_P_BASIS,     FH_P_NOTE,    FH_P_NAME};
enum { EITHER = sizeof either / sizeof *either };

/* 0: not known of any; 1: the same of all; 2: they differ. Names and notes are for each row. */
static int spread(const writer *w, fh_property property)
{
    char first[FH_NOTE], other[FH_NOTE];
    bool any = false, same = true;
    for (size_t i = 0; i < w->count; ++i) {
        property_text(&w->readings[i], property, i ? other : first);
        any = any || *(i ? other : first);
        if (i) same = same && strcmp(first, other) == 0;
    }
    bool each = property == FH_P_NAME || property == FH_P_NOTE;
    return !any ? 0 : same && !each ? 1 : 2;
}

static void put_cell(writer *w, size_t row, size_t column, fh_property property)
{
    char text[FH_NOTE];
    double value;
    property_text(&w->readings[row], property, text);
    if (is_number(property) && fh_parse_number(fh_slice_of(text), &value))
        fh_table_set_number(w->table, row, column, value);
    else
        fh_table_set_text(w->table, row, column, text);
}

/* --- Covariances ---------------------------------------------------------------------------- */

static const char *const parts[6] = {"STDEV_L", "STDEV_A", "STDEV_B", "COV_LA", "COV_LB", "COV_AB"};

static void put_covariance(writer *w, size_t row, size_t column, const fh_mat3 *c, bool mixed)
{
    const double v[6] = {sqrt(c->m[0][0]), sqrt(c->m[1][1]), sqrt(c->m[2][2]),
                         c->m[0][1],       c->m[0][2],       c->m[1][2]};
    for (size_t i = 0; i < (mixed ? 6u : 3u); ++i)
        fh_table_set_number(w->table, row, column + i, v[i]);
}

static bool has_mixed(const fh_mat3 *c)
{
    return c->m[0][1] != 0 || c->m[0][2] != 0 || c->m[1][2] != 0;
}

static bool is_zero(const fh_mat3 *c)
{
    return c->m[0][0] == 0 && c->m[1][1] == 0 && c->m[2][2] == 0;
}

static size_t source_index(const writer *w, const char *source)
{
    for (size_t i = 0; i < w->source_count; ++i)
        if (strcmp(w->sources[i], source) == 0) return i;
    return FH_NONE;
}

static fh_status collect_sources(writer *w)
{
    for (size_t i = 0; i < w->count; ++i)
        for (size_t k = 0; k < w->readings[i].shared_count; ++k) {
            const char *source = w->readings[i].shared[k].source;
            if (source_index(w, source) != FH_NONE) continue;
            if (w->source_count == FH_SHARED_FILE) return FH_E_LIMIT;
            w->sources[w->source_count++] = source;
        }
    return FH_OK;
}

/* --- Columns -------------------------------------------------------------------------------- */

typedef struct columns {
    size_t id, lab, condition, random, shared[FH_SHARED_FILE], either[EITHER], spectrum;
    bool mixed; /* random covariances off the diagonal */
} columns;

static size_t add_columns(fh_table *table, const char *prefix, const char *const *names, size_t n)
{
    size_t first = fh_table_columns(table);
    for (size_t i = 0; i < n; ++i) {
        char name[48];
        fh_format(name, sizeof name, "%s%s", prefix, names[i]);
        fh_table_add_column(table, name);
    }
    return first;
}

static void put_condition(writer *w, columns *at)
{
    char text[FH_CONDITION_TEXT];
    bool same = true;
    for (size_t i = 1; i < w->count; ++i)
        same = same && fh_condition_equal(w->readings[0].condition, w->readings[i].condition);
    at->condition = FH_NONE;
    if (!same) {
        at->condition = fh_table_add_column(w->table, "CONDITION");
    } else if (w->count) {
        fh_condition condition = w->readings[0].condition;
        fh_format(text, sizeof text, "%s", fh_illuminant_name(condition.illuminant));
        char value[48];
        fh_format(value, sizeof value, "ILLUMINANT, %s", text);
        fh_table_add_keyword(w->table, "WEIGHTING_FUNCTION", value);
        fh_format(value, sizeof value, "OBSERVER, %d degree",
                  condition.observer == FH_OBSERVER_2 ? 2 : 10);
        fh_table_add_keyword(w->table, "WEIGHTING_FUNCTION", value);
    }
}

static void begin_uncertainty(writer *w, columns *at)
{
    bool any = false;
    at->mixed = false;
    at->random = FH_NONE;
    for (size_t i = 0; i < w->count; ++i) {
        any = any || !is_zero(&w->readings[i].random);
        at->mixed = at->mixed || has_mixed(&w->readings[i].random);
    }
    if (any) at->random = add_columns(w->table, "", parts, at->mixed ? 6 : 3);
    for (size_t n = 0; n < w->source_count; ++n) {
        char name[32], prefix[32];
        fh_format(name, sizeof name, "SHARED_%zu_SOURCE", n + 1);
        fh_format(prefix, sizeof prefix, "SHARED_%zu_", n + 1);
        fh_table_set_keyword(w->table, name, w->sources[n]);
        at->shared[n] = add_columns(w->table, prefix, parts, 6);
    }
}

static void begin_rest(writer *w, columns *at)
{
    static const char *const lab[3] = {"LAB_L", "LAB_A", "LAB_B"};
    bool spectral = false;
    at->id = fh_table_add_column(w->table, "SAMPLE_ID");
    for (size_t i = 0; i < EITHER; ++i) {
        char text[FH_NOTE];
        int how = spread(w, either[i]);
        at->either[i] = FH_NONE;
        if (how == 2) at->either[i] = fh_table_add_column(w->table, fh_property_name(either[i]));
        if (how != 1) continue;
        double value;
        property_text(&w->readings[0], either[i], text);
        if (is_number(either[i]) && fh_parse_number(fh_slice_of(text), &value))
            fh_table_set_keyword_number(w->table, fh_property_name(either[i]), value);
        else
            fh_table_set_keyword(w->table, fh_property_name(either[i]), text);
    }
    put_condition(w, at);
    at->lab = add_columns(w->table, "", lab, 3);
    begin_uncertainty(w, at);
    for (size_t i = 0; i < w->count; ++i)
        spectral = spectral || w->readings[i].origin != FH_ORIGIN_LAB;
    at->spectrum = FH_NONE;
    if (!spectral) return;
    at->spectrum = fh_table_columns(w->table);
    fh_table_set_keyword(w->table, "SPECTRAL_UNIT", "factor");
    for (size_t i = 0; i < FH_BANDS; ++i) {
        char name[32];
        fh_format(name, sizeof name, "SPECTRAL_NM%.0f", fh_band_nm(i));
        fh_table_add_column(w->table, name);
    }
}

/* Lab beside a measured spectrum is for people and other programs: it is computed again. */
static double shown(double value, const fh_reading *r)
{
    return r->origin == FH_ORIGIN_SPECTRUM ? round(value * 1e4) / 1e4 : value;
}

static void put_row(writer *w, size_t i, const columns *at)
{
    const fh_reading *r = &w->readings[i];
    size_t row = fh_table_add_row(w->table);
    fh_table_set_text(w->table, row, at->id, r->id);
    fh_table_set_number(w->table, row, at->lab, shown(r->lab.L, r));
    fh_table_set_number(w->table, row, at->lab + 1, shown(r->lab.a, r));
    fh_table_set_number(w->table, row, at->lab + 2, shown(r->lab.b, r));
    if (at->condition != FH_NONE) {
        char text[FH_CONDITION_TEXT];
        fh_condition_text(r->condition, text);
        fh_table_set_text(w->table, row, at->condition, text);
    }
    if (at->random != FH_NONE && !fh_tables_status(w->table->list))
        put_covariance(w, row, at->random, &r->random, at->mixed);
    for (size_t k = 0; k < r->shared_count; ++k)
        put_covariance(w, row, at->shared[source_index(w, r->shared[k].source)],
                       &r->shared[k].covariance, true);
    for (size_t k = 0; k < EITHER; ++k)
        if (at->either[k] != FH_NONE) put_cell(w, row, at->either[k], either[k]);
    for (size_t b = 0; b < FH_BANDS && at->spectrum != FH_NONE && r->origin != FH_ORIGIN_LAB; ++b)
        fh_table_set_number(w->table, row, at->spectrum + b, r->reflectance.v[b]);
}

fh_status fh_library_to_table(const fh_reading *readings, size_t count, fh_table *table)
{
    writer w = {.readings = readings, .count = count, .table = table};
    columns at;
    fh_status status = collect_sources(&w);
    if (status) return status;
    begin_rest(&w, &at);
    for (size_t i = 0; i < count; ++i) put_row(&w, i, &at);
    return fh_tables_status(table->list);
}

fh_status fh_library_write(const fh_reading *readings, size_t count, const char *descriptor,
                           const char *created, fh_text *out)
{
    fh_tables *tables = fh_tables_new();
    fh_table *table = tables ? fh_tables_add(tables) : NULL;
    fh_status status = table ? FH_OK : FH_E_MEMORY;
    if (!status) {
        fh_table_set_type(table, "CGATS.17");
        fh_table_set_keyword(table, "ORIGINATOR", "farhue");
        if (descriptor) fh_table_set_keyword(table, "DESCRIPTOR", descriptor);
        if (created) fh_table_set_keyword(table, "CREATED", created);
        status = fh_library_to_table(readings, count, table);
    }
    if (!status) status = fh_tables_write(tables, out);
    fh_tables_free(tables);
    return status;
}
