/* Columns whose names end in a wavelength: SPECTRAL_NM380, R_400nm, 550 …; and the standard's
 * pairs SPECTRAL_NM SPECTRAL_PCT (or SPECTRAL_DEC), repeated. */
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "files/layout.h"

enum { FEWEST = 3 };

static bool ends_with_fold(fh_slice text, const char *end)
{
    size_t n = strlen(end);
    return text.length >= n && fh_slice_is_fold((fh_slice){text.start + text.length - n, n}, end);
}

bool fh_wavelength_name(const char *name, fh_slice *prefix, double *nm)
{
    fh_slice text = fh_slice_trim(fh_slice_of(name));
    if (ends_with_fold(text, "nm")) text = fh_slice_trim((fh_slice){text.start, text.length - 2});
    size_t start = text.length;
    while (start > 0 && ((text.start[start - 1] >= '0' && text.start[start - 1] <= '9') ||
                         text.start[start - 1] == '.'))
        --start;
    fh_slice number = {text.start + start, text.length - start};
    if (number.length < 3 || !fh_parse_number(number, nm)) return false;
    *prefix = (fh_slice){text.start, start};
    return *nm >= FH_SHORTEST_NM && *nm <= FH_LONGEST_NM;
}

static bool holds_fold(fh_slice text, const char *word)
{
    size_t n = strlen(word);
    for (size_t i = 0; i + n <= text.length; ++i)
        if (fh_slice_is_fold((fh_slice){text.start + i, n}, word)) return true;
    return false;
}

/* Uncertainties of spectral values are no second spectrum. */
static bool is_spread(fh_slice prefix)
{
    return holds_fold(prefix, "STDEV") || holds_fold(prefix, "VARIANCE");
}

static bool same_fold(fh_slice a, fh_slice b)
{
    char copy[FH_ID];
    return fh_copy_slice(copy, sizeof copy, a) && fh_slice_is_fold(b, copy);
}

/* A family of wavelength columns: what stands before the number, and how many there are. */
typedef struct band_family {
    fh_slice prefix;
    size_t count, first;
} band_family;

static size_t hash_fold(fh_slice text)
{
    size_t h = 2166136261u;
    for (size_t i = 0; i < text.length; ++i) {
        unsigned char c = (unsigned char)text.start[i];
        if (c >= 'A' && c <= 'Z') c = (unsigned char)(c + 32);
        h = (h ^ c) * 16777619u;
    }
    return h;
}

/* The families of a table in an open hash of `size` places, a power of two above the columns. */
static void count_families(const fh_table *table, const char *wanted, band_family *families,
                           size_t size)
{
    for (size_t i = 0; i < fh_table_columns(table); ++i) {
        fh_slice prefix;
        double nm;
        if (!fh_wavelength_name(fh_table_column_name(table, i), &prefix, &nm)) continue;
        if (wanted ? !fh_slice_is_fold(prefix, wanted) : is_spread(prefix)) continue;
        size_t at = hash_fold(prefix) & (size - 1);
        while (families[at].count && !same_fold(families[at].prefix, prefix))
            at = (at + 1) & (size - 1);
        if (!families[at].count++) {
            families[at].prefix = prefix;
            families[at].first = i;
        }
    }
}

static fh_status two_families(const fh_table *table, const band_family *a, const band_family *b,
                              fh_error *error)
{
    char message[FH_ERROR_MESSAGE];
    const band_family *first = a->first < b->first ? a : b, *second = first == a ? b : a;
    fh_format(message, sizeof message,
              "two families of wavelength columns, \"%.*s\" and \"%.*s\"; say which one is "
              "meant (--family)",
              (int)first->prefix.length, first->prefix.start, (int)second->prefix.length,
              second->prefix.start);
    return fh_table_fail(table, FH_NONE, second->first, error, FH_E_DATA, message);
}

/* The family that is meant; *count 0 when there is none. */
static fh_status choose_family(const fh_table *table, const char *wanted, fh_slice *out,
                               size_t *count, fh_error *error)
{
    size_t size = 4;
    while (size < 2 * fh_table_columns(table)) size *= 2;
    band_family *families = fh_allocate(size, sizeof *families), *found = NULL;
    fh_status status = families ? FH_OK : fh_fail(error, FH_E_MEMORY, "out of memory");
    *count = 0;
    if (!status) count_families(table, wanted, families, size);
    for (size_t i = 0; i < size && !status; ++i) {
        if (families[i].count < FEWEST) continue;
        if (found) status = two_families(table, found, &families[i], error);
        found = &families[i];
    }
    if (!status && found) {
        *out = found->prefix;
        *count = found->count;
    }
    fh_free(families);
    return status;
}

static fh_status allocate(fh_spectral_place *out, size_t count, fh_error *error)
{
    out->nm = fh_allocate(count, sizeof *out->nm);
    out->value_column = fh_allocate(count, sizeof *out->value_column);
    out->nm_column = fh_allocate(count, sizeof *out->nm_column);
    if (out->nm && out->value_column && out->nm_column) return FH_OK;
    return fh_fail(error, FH_E_MEMORY, "out of memory");
}

/* Insert in ascending order of wavelength; FH_E_DATA for one that is there already. */
static fh_status insert(fh_spectral_place *out, double nm, size_t column)
{
    size_t at = out->count;
    while (at > 0 && out->nm[at - 1] > nm) --at;
    if (at > 0 && out->nm[at - 1] >= nm) return FH_E_DATA;
    memmove(out->nm + at + 1, out->nm + at, (out->count - at) * sizeof *out->nm);
    memmove(out->value_column + at + 1, out->value_column + at,
            (out->count - at) * sizeof *out->value_column);
    out->nm[at] = nm;
    out->value_column[at] = column;
    ++out->count;
    return FH_OK;
}

static bool parse_unit(const char *text, fh_unit *out)
{
    fh_slice unit = fh_slice_trim(fh_slice_of(text));
    if (fh_slice_is_fold(unit, "factor") || fh_slice_is(unit, "1"))
        *out = FH_UNIT_FACTOR;
    else if (fh_slice_is_fold(unit, "percent") || fh_slice_is(unit, "%"))
        *out = FH_UNIT_PERCENT;
    else
        return false;
    return true;
}

static fh_status find_unit(const fh_table *table, const fh_library_defaults *defaults,
                           fh_slice family, size_t column, double *scale, fh_error *error)
{
    char message[FH_ERROR_MESSAGE];
    const char *said = fh_table_keyword(table, "SPECTRAL_UNIT");
    fh_unit unit = FH_UNIT_UNSAID;
    if (said) {
        if (!parse_unit(said, &unit))
            return fh_table_fail_keyword(table, "SPECTRAL_UNIT", error, FH_E_DATA,
                                         "SPECTRAL_UNIT is not a known unit; expected \"factor\" "
                                         "(0 to 1) or \"percent\"");
    } else if (holds_fold(family, "PCT") || holds_fold(family, "PERCENT") ||
               holds_fold(family, "%")) {
        unit = FH_UNIT_PERCENT;
    } else if (holds_fold(family, "DEC")) {
        unit = FH_UNIT_FACTOR;
    } else if (defaults) {
        unit = defaults->unit;
    }
    *scale = unit == FH_UNIT_PERCENT ? 0.01 : 1.0;
    if (unit != FH_UNIT_UNSAID) return FH_OK;
    fh_format(message, sizeof message,
              "the unit of %s and its like is not said; expected the keyword SPECTRAL_UNIT "
              "\"factor\" (0 to 1) or \"percent\", or the option --unit",
              fh_table_column_name(table, column));
    return fh_table_fail(table, FH_NONE, column, error, FH_E_DATA, message);
}

static fh_status read_family(const fh_table *table, const fh_library_defaults *defaults,
                             fh_slice family, size_t count, fh_spectral_place *out, fh_error *error)
{
    size_t first = FH_NONE;
    fh_status status = allocate(out, count, error);
    for (size_t i = 0; i < fh_table_columns(table) && !status; ++i) {
        fh_slice prefix;
        double nm;
        if (!fh_wavelength_name(fh_table_column_name(table, i), &prefix, &nm) ||
            !same_fold(family, prefix))
            continue;
        if (first == FH_NONE) first = i;
        if (insert(out, nm, i))
            return fh_table_fail(table, FH_NONE, i, error, FH_E_DATA,
                                 "a wavelength that another column has already");
    }
    fh_copy_slice(out->family, sizeof out->family, family);
    return status ? status : find_unit(table, defaults, family, first, &out->scale, error);
}

/* SPECTRAL_NM, and right of each its value. */
static fh_status read_pairs(const fh_table *table, fh_spectral_place *out, fh_error *error)
{
    size_t columns = fh_table_columns(table);
    fh_status status = allocate(out, columns, error);
    out->pairs = true;
    for (size_t i = 0; i < columns && !status; ++i) {
        if (!fh_slice_is_fold(fh_slice_of(fh_table_column_name(table, i)), "SPECTRAL_NM")) continue;
        fh_slice next =
            i + 1 < columns ? fh_slice_of(fh_table_column_name(table, i + 1)) : (fh_slice){0};
        bool percent = fh_slice_is_fold(next, "SPECTRAL_PCT");
        double scale = percent ? 0.01 : 1.0;
        if (!percent && !fh_slice_is_fold(next, "SPECTRAL_DEC"))
            return fh_table_fail(table, FH_NONE, i, error, FH_E_DATA,
                                 "SPECTRAL_NM without a value; expected SPECTRAL_PCT or "
                                 "SPECTRAL_DEC right after it");
        if (out->count && scale != out->scale)
            return fh_table_fail(
                table, FH_NONE, i + 1, error, FH_E_DATA,
                "SPECTRAL_PCT and SPECTRAL_DEC in one table; expected one of them");
        out->scale = scale;
        out->nm_column[out->count] = i;
        out->value_column[out->count++] = i + 1;
    }
    if (!status && out->count < FEWEST)
        return fh_table_fail(
            table, FH_NONE, FH_NONE, error, FH_E_DATA,
            "fewer than three pairs of SPECTRAL_NM and a value; expected a spectrum");
    return status;
}

fh_status fh_spectral_place_of(const fh_table *table, const fh_library_defaults *defaults,
                               fh_spectral_place *out, fh_error *error)
{
    fh_slice family = {0};
    size_t count = 0;
    const char *wanted = defaults ? defaults->family : NULL;
    *out = (fh_spectral_place){.scale = 1};
    if (!wanted && fh_table_column(table, "SPECTRAL_NM") != FH_NONE)
        return read_pairs(table, out, error);
    fh_status status = choose_family(table, wanted, &family, &count, error);
    if (status) return status;
    if (count) return read_family(table, defaults, family, count, out, error);
    if (wanted)
        return fh_table_fail(table, FH_NONE, FH_NONE, error, FH_E_DATA,
                             "no columns of the wavelength family that was asked for");
    return FH_OK;
}
