/* From column names and keywords to properties. */
#include "files/layout.h"

#include <string.h>

#include "base/error.h"
#include "base/memory.h"

/* The written name, then what else is read. */
static const char *const names[FH_P_COUNT][4] = {
    [FH_P_ID] = {"SAMPLE_ID", "ID"},
    [FH_P_NAME] = {"SAMPLE_NAME", "NAME"},
    [FH_P_LAB_L] = {"LAB_L", "L*", "L"},
    [FH_P_LAB_A] = {"LAB_A", "a*", "a"},
    [FH_P_LAB_B] = {"LAB_B", "b*", "b"},
    [FH_P_LAB_C] = {"LAB_C", "C*", "C"},
    [FH_P_LAB_H] = {"LAB_H", "h"},
    [FH_P_XYZ_X] = {"XYZ_X", "X"},
    [FH_P_XYZ_Y] = {"XYZ_Y", "Y"},
    [FH_P_XYZ_Z] = {"XYZ_Z", "Z"},
    [FH_P_SRGB] = {"SRGB"},
    [FH_P_CONDITION] = {"CONDITION"},
    [FH_P_ORIGIN] = {"ORIGIN"},
    [FH_P_BASIS] = {"BASIS"},
    [FH_P_STDEV_L] = {"STDEV_L"},
    [FH_P_STDEV_A] = {"STDEV_A"},
    [FH_P_STDEV_B] = {"STDEV_B"},
    [FH_P_COV_LA] = {"COV_LA"},
    [FH_P_COV_LB] = {"COV_LB"},
    [FH_P_COV_AB] = {"COV_AB"},
    [FH_P_REPEATS] = {"REPEATS"},
    [FH_P_GEOMETRY] = {"MEASUREMENT_GEOMETRY", "GEOMETRY"},
    [FH_P_SPECULAR] = {"SPECULAR"},
    [FH_P_PORT] = {"PORT_MM"},
    [FH_P_GAP] = {"GAP_MM"},
    [FH_P_GLOSS] = {"GLOSS"},
    [FH_P_THICKNESS] = {"THICKNESS_MM"},
    [FH_P_BACKING] = {"SAMPLE_BACKING", "BACKING"},
    [FH_P_NOTE] = {"NOTE"},
};

const char *fh_property_name(fh_property property)
{
    return names[property][0];
}

static fh_place place_of(const fh_table *table, const char *name)
{
    fh_place place = {.column = fh_table_column(table, name),
                      .keyword = fh_table_keyword(table, name)};
    fh_copy_text(place.name, sizeof place.name, name);
    return place;
}

static fh_place place_of_property(const fh_table *table, fh_property property)
{
    fh_place found = place_of(table, names[property][0]);
    /* As keywords the shorter names would be too common, but for how readings were taken. */
    const bool keywords = property >= FH_P_GEOMETRY;
    for (size_t i = 1; i < 4 && names[property][i]; ++i) {
        const char *name = names[property][i];
        if (found.column == FH_NONE) found.column = fh_table_column(table, name);
        if (!keywords || found.keyword || !fh_table_keyword(table, name)) continue;
        found.keyword = fh_table_keyword(table, name);
        fh_copy_text(found.name, sizeof found.name, name);
    }
    return found;
}

/* --- Condition ------------------------------------------------------------------------------ */

static bool parse_illuminant(fh_slice text, fh_illuminant *out)
{
    for (int i = 0; i < FH_ILLUMINANT_COUNT; ++i)
        if (fh_slice_is_fold(text, fh_illuminant_name((fh_illuminant)i))) {
            *out = (fh_illuminant)i;
            return true;
        }
    return false;
}

/* "2", "10 degree", "2°" … */
static bool parse_observer(fh_slice text, fh_observer *out)
{
    size_t digits = 0;
    while (digits < text.length && text.start[digits] >= '0' && text.start[digits] <= '9') ++digits;
    fh_slice number = {text.start, digits};
    fh_slice unit = fh_slice_trim((fh_slice){text.start + digits, text.length - digits});
    bool unit_known = unit.length == 0 || fh_slice_is_fold(unit, "degree") ||
                      fh_slice_is_fold(unit, "degrees") || fh_slice_is_fold(unit, "deg") ||
                      fh_slice_is(unit, "\xC2\xB0");
    if (fh_slice_is(number, "2"))
        *out = FH_OBSERVER_2;
    else if (fh_slice_is(number, "10"))
        *out = FH_OBSERVER_10;
    else
        return false;
    return unit_known;
}

/* One WEIGHTING_FUNCTION: "ILLUMINANT, D50", "OBSERVER, 2 degree" or "D50/2". */
static bool parse_weighting(const char *text, fh_condition *condition, bool *illuminant,
                            bool *observer)
{
    fh_condition both;
    const char *comma = strchr(text, ',');
    if (fh_condition_parse(text, &both) == FH_OK) {
        *condition = both;
        *illuminant = *observer = true;
        return true;
    }
    if (!comma) return false;
    fh_slice key = fh_slice_trim((fh_slice){text, (size_t)(comma - text)});
    fh_slice value = fh_slice_trim(fh_slice_of(comma + 1));
    if (fh_slice_is_fold(key, "ILLUMINANT"))
        return *illuminant = parse_illuminant(value, &condition->illuminant);
    if (fh_slice_is_fold(key, "OBSERVER"))
        return *observer = parse_observer(value, &condition->observer);
    return false;
}

static fh_status find_condition(const fh_table *table, const fh_library_defaults *defaults,
                                fh_layout *layout, fh_error *error)
{
    bool illuminant = false, observer = false, any = false;
    fh_condition condition = fh_condition_default();
    for (size_t i = 0; i < fh_table_keyword_count(table); ++i) {
        if (!fh_slice_is_fold(fh_slice_of(fh_table_keyword_name(table, i)), "WEIGHTING_FUNCTION"))
            continue;
        any = true;
        if (!parse_weighting(fh_table_keyword_value(table, i), &condition, &illuminant, &observer))
            return fh_table_fail_keyword(
                table, "WEIGHTING_FUNCTION", error, FH_E_DATA,
                "WEIGHTING_FUNCTION names no known condition; expected \"ILLUMINANT, D65\" and "
                "\"OBSERVER, 10 degree\", or \"D65/10\"");
    }
    if (any && !(illuminant && observer))
        return fh_table_fail_keyword(table, "WEIGHTING_FUNCTION", error, FH_E_DATA,
                                     illuminant
                                         ? "WEIGHTING_FUNCTION names no observer; expected "
                                           "also \"OBSERVER, 2 degree\" or 10"
                                         : "WEIGHTING_FUNCTION names no illuminant; expected "
                                           "also \"ILLUMINANT, D65\" or another");
    if (!any && defaults && defaults->has_condition) condition = defaults->condition;
    layout->has_condition = any || (defaults && defaults->has_condition);
    layout->condition = condition;
    return FH_OK;
}

/* --- The whole ------------------------------------------------------------------------------ */

static void find_shared(const fh_table *table, fh_layout *layout)
{
    static const char *const parts[6] = {"STDEV_L", "STDEV_A", "STDEV_B",
                                         "COV_LA",  "COV_LB",  "COV_AB"};
    for (size_t n = 0; n < FH_SHARED_FILE; ++n) {
        fh_shared_place *shared = &layout->shared[n];
        char name[32];
        fh_format(name, sizeof name, "SHARED_%zu_SOURCE", n + 1);
        shared->source = place_of(table, name);
        shared->present = shared->source.column != FH_NONE || shared->source.keyword;
        for (size_t i = 0; i < 6 && shared->present; ++i) {
            fh_format(name, sizeof name, "SHARED_%zu_%s", n + 1, parts[i]);
            shared->part[i] = place_of(table, name);
        }
    }
}

static bool is_read(const fh_layout *layout, size_t column)
{
    for (size_t i = 0; i < FH_P_COUNT; ++i)
        if (layout->place[i].column == column) return true;
    for (size_t n = 0; n < FH_SHARED_FILE; ++n) {
        if (!layout->shared[n].present) continue;
        if (layout->shared[n].source.column == column) return true;
        for (size_t i = 0; i < 6; ++i)
            if (layout->shared[n].part[i].column == column) return true;
    }
    for (size_t i = 0; i < layout->spectral.count; ++i)
        if (layout->spectral.value_column[i] == column ||
            (layout->spectral.pairs && layout->spectral.nm_column[i] == column))
            return true;
    return false;
}

/* Columns that the file keeps and nothing is read from. */
static void list_ignored(fh_layout *layout)
{
    size_t used = 0;
    char *text = layout->ignored;
    for (size_t i = 0; i < fh_table_columns(layout->table); ++i) {
        if (is_read(layout, i)) continue;
        if (used + 40 > sizeof layout->ignored) {
            fh_format(text + used, sizeof layout->ignored - used, " …");
            return;
        }
        used += fh_format(text + used, sizeof layout->ignored - used, "%s%.24s", used ? ", " : "",
                          fh_table_column_name(layout->table, i));
    }
}

fh_status fh_layout_of(const fh_table *table, const fh_library_defaults *defaults, fh_layout *out,
                       fh_error *error)
{
    *out = (fh_layout){.table = table};
    for (int i = 0; i < FH_P_COUNT; ++i) out->place[i] = place_of_property(table, (fh_property)i);
    find_shared(table, out);
    fh_status status = find_condition(table, defaults, out, error);
    if (!status) status = fh_spectral_place_of(table, defaults, &out->spectral, error);
    if (!status) list_ignored(out);
    return status;
}

void fh_layout_end(fh_layout *layout)
{
    fh_free(layout->spectral.nm);
    fh_free(layout->spectral.value_column);
    fh_free(layout->spectral.nm_column);
    layout->spectral = (fh_spectral_place){0};
}

/* --- Properties of a row -------------------------------------------------------------------- */

const char *fh_layout_text(const fh_layout *layout, const fh_place *place, size_t row)
{
    const char *cell = fh_table_text(layout->table, row, place->column);
    return *cell || !place->keyword ? cell : place->keyword;
}

fh_status fh_layout_fail(const fh_layout *layout, const fh_place *place, size_t row,
                         fh_error *error, const char *format, ...)
{
    char message[FH_ERROR_MESSAGE];
    va_list arguments;
    va_start(arguments, format);
    fh_format_list(message, sizeof message, format, arguments);
    va_end(arguments);
    bool in_cell = place && *fh_table_text(layout->table, row, place->column);
    if (place && place->keyword && !in_cell)
        return fh_table_fail_keyword(layout->table, place->name, error, FH_E_DATA, message);
    return fh_table_fail(layout->table, row, place ? place->column : FH_NONE, error, FH_E_DATA,
                         message);
}

fh_status fh_layout_number(const fh_layout *layout, const fh_place *place, size_t row, double *out,
                           bool *given, fh_error *error)
{
    bool in_cell = *fh_table_text(layout->table, row, place->column) != '\0';
    *given = in_cell || place->keyword;
    if (in_cell) return fh_table_number(layout->table, row, place->column, out, error);
    if (place->keyword) return fh_table_keyword_number(layout->table, place->name, out, error);
    return FH_OK;
}
