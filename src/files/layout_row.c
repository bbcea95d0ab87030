/* One row of a table as a reading. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "farhue/difference.h"
#include "files/layout.h"

typedef struct row_reader {
    const fh_layout *layout;
    size_t row;
    fh_error *error;
} row_reader;

static const char *text(const row_reader *r, fh_property property)
{
    return fh_layout_text(r->layout, &r->layout->place[property], r->row);
}

static fh_status number(const row_reader *r, fh_property property, double *out, bool *given)
{
    return fh_layout_number(r->layout, &r->layout->place[property], r->row, out, given, r->error);
}

static fh_status fail(const row_reader *r, fh_property property, const char *message)
{
    return fh_layout_fail(r->layout, &r->layout->place[property], r->row, r->error, "%s", message);
}

static fh_status copy_text(const row_reader *r, fh_property property, char *out, size_t size)
{
    const char *found = text(r, property);
    if (strpbrk(found, "\r\n"))
        return fail(r, property, "a line break inside the text; expected one line");
    if (fh_copy_text(out, size, found)) return FH_OK;
    return fh_layout_fail(r->layout, &r->layout->place[property], r->row, r->error,
                          "a text too long for %s; expected at most %zu bytes",
                          fh_property_name(property), size - 1);
}

/* --- Colour --------------------------------------------------------------------------------- */

/* Three numbers of a colour space; *given when all are there, an error when only some are. */
static fh_status three(const row_reader *r, const fh_property p[3], double v[3], bool *given)
{
    bool have[3];
    for (int i = 0; i < 3; ++i) {
        have[i] = false;
        if (r->layout->place[p[i]].column == FH_NONE) continue;
        fh_status status = number(r, p[i], &v[i], &have[i]);
        if (status) return status;
    }
    *given = have[0] && have[1] && have[2];
    if (*given || !(have[1] || have[2])) return FH_OK; /* L* alone may belong to C* and h */
    size_t missing = !have[0] ? 0 : !have[1] ? 1 : 2, column = r->layout->place[p[missing]].column;
    if (column != FH_NONE) return fh_table_number(r->layout->table, r->row, column, v, r->error);
    return fh_table_fail(r->layout->table, FH_NONE, r->layout->place[p[have[1] ? 1 : 2]].column,
                         r->error, FH_E_DATA, "a colour without all of its three columns");
}

static fh_status read_srgb(const row_reader *r, fh_reading *out, bool *given)
{
    unsigned long rgb;
    fh_slice hex = fh_slice_trim(fh_slice_of(text(r, FH_P_SRGB)));
    *given = hex.length > 0;
    if (!*given) return FH_OK;
    if (*hex.start == '#') hex = (fh_slice){hex.start + 1, hex.length - 1};
    if (hex.length != 6 || !fh_parse_hex(hex, &rgb))
        return fail(r, FH_P_SRGB, "no sRGB colour; expected six hexadecimal digits");
    fh_reading_set_srgb(out, rgb);
    return FH_OK;
}

/* Lab from the colour columns; *given tells whether there was one. */
static fh_status read_lab(const row_reader *r, fh_reading *out, bool *given, bool *screen)
{
    static const fh_property lab[3] = {FH_P_LAB_L, FH_P_LAB_A, FH_P_LAB_B};
    static const fh_property lch[3] = {FH_P_LAB_L, FH_P_LAB_C, FH_P_LAB_H};
    static const fh_property xyz[3] = {FH_P_XYZ_X, FH_P_XYZ_Y, FH_P_XYZ_Z};
    double v[3] = {0};
    fh_status status = three(r, lab, v, given);
    if (status) return status;
    if (*given) {
        out->lab = (fh_lab){v[0], v[1], v[2]};
        return FH_OK;
    }
    if ((status = three(r, lch, v, given))) return status;
    if (*given && v[1] < 0) return fail(r, FH_P_LAB_C, "a negative chroma; expected C from 0");
    if (*given) {
        out->lab = fh_lab_of_lch((fh_lch){v[0], v[1], v[2]});
        return FH_OK;
    }
    if ((status = three(r, xyz, v, given))) return status;
    if (*given) {
        fh_xyz white = fh_weights_of(out->condition).white;
        out->lab = fh_lab_of_xyz((fh_xyz){v[0], v[1], v[2]}, white);
        return FH_OK;
    }
    status = read_srgb(r, out, given);
    *screen = *given;
    return status;
}

static bool spectrum_is_empty(const row_reader *r)
{
    const fh_spectral_place *place = &r->layout->spectral;
    for (size_t i = 0; i < place->count; ++i)
        if (*fh_table_text(r->layout->table, r->row, place->value_column[i])) return false;
    return true;
}

static bool on_grid(const double *nm, size_t count)
{
    for (size_t i = 0; i < FH_BANDS; ++i)
        if (count != FH_BANDS || fabs(nm[i] - fh_band_nm(i)) > 1e-9) return false;
    return true;
}

static fh_status check_value(const row_reader *r, size_t column, double value)
{
    const fh_spectral_place *place = &r->layout->spectral;
    if (value >= -0.005 && value <= 1.2) return FH_OK;
    fh_place where = {.column = column};
    bool percent_like = place->scale == 1 && value > 1.2 && value <= 120;
    bool factor = place->scale == 1;
    return fh_layout_fail(
        r->layout, &where, r->row, r->error, "a reflectance of %g%s in %s; expected 0 to %s%s",
        value / place->scale, factor ? "" : " percent",
        fh_table_column_name(r->layout->table, column),
        factor ? "1 (1.2 when fluorescent or glossy)" : "100 (120 when fluorescent or glossy)",
        percent_like ? "; if it is in percent, say so: SPECTRAL_UNIT \"percent\"" : "");
}

/* Why wavelengths are of no use: at the row's own where it holds them, else at the header. Columns
 * are in ascending order by now. */
static fh_status no_use(const row_reader *r, const double *nm)
{
    const fh_spectral_place *place = &r->layout->spectral;
    const fh_table *table = r->layout->table;
    size_t fall = 1;
    while (fall < place->count && nm[fall] > nm[fall - 1]) ++fall;
    if (fall < place->count)
        return fh_table_fail(table, r->row, place->nm_column[fall], r->error, FH_E_DATA,
                             "a wavelength that is not above the one before it; expected them "
                             "ascending");
    return fh_table_fail(
        table, place->pairs ? r->row : FH_NONE,
        place->pairs ? place->nm_column[0] : place->value_column[0], r->error, FH_E_DATA,
        nm[0] > FH_LAST_NM ? "all wavelengths lie above 730 nm; expected some within 380 to 730"
                           : "all wavelengths lie below 380 nm; expected some within 380 to 730");
}

/* scratch has room for twice the number of spectral columns. */
static fh_status read_spectrum(const row_reader *r, double *scratch, fh_spectrum *out,
                               fh_row_findings *found)
{
    const fh_spectral_place *place = &r->layout->spectral;
    const fh_table *table = r->layout->table;
    double *values = scratch + place->count;
    const double *nm = place->pairs ? scratch : place->nm;
    for (size_t i = 0; i < place->count; ++i) {
        size_t column = place->value_column[i];
        fh_status status = FH_OK;
        if (place->pairs)
            status = fh_table_number(table, r->row, place->nm_column[i], &scratch[i], r->error);
        if (!status && place->pairs &&
            !(scratch[i] >= FH_SHORTEST_NM && scratch[i] <= FH_LONGEST_NM))
            status = fh_table_fail(table, r->row, place->nm_column[i], r->error, FH_E_DATA,
                                   "no wavelength; expected 200 to 2500 nm");
        if (!status) status = fh_table_number(table, r->row, column, &values[i], r->error);
        if (status) return status;
        values[i] *= place->scale;
        if ((status = check_value(r, column, values[i]))) return status;
    }
    found->first_nm = nm[0];
    found->last_nm = nm[place->count - 1];
    if (on_grid(nm, place->count)) {
        memcpy(out->v, values, sizeof out->v);
        return FH_OK;
    }
    if (fh_spectrum_resample(nm, values, place->count, out, &found->held) == FH_OK) return FH_OK;
    return no_use(r, nm);
}

/* --- Condition and kind --------------------------------------------------------------------- */

static fh_status read_condition(const row_reader *r, fh_reading *out, bool *given)
{
    const char *said = text(r, FH_P_CONDITION);
    *given = true;
    if (*said) {
        if (fh_condition_parse(said, &out->condition) == FH_OK) return FH_OK;
        return fail(r, FH_P_CONDITION,
                    "no known condition; expected ILLUMINANT/OBSERVER such as "
                    "D65/10");
    }
    *given = r->layout->has_condition;
    out->condition = *given ? r->layout->condition : fh_condition_default();
    return FH_OK;
}

static fh_status read_origin(const row_reader *r, bool spectrum, bool lab, fh_origin *out)
{
    fh_slice said = fh_slice_of(text(r, FH_P_ORIGIN));
    *out = spectrum ? FH_ORIGIN_SPECTRUM : FH_ORIGIN_LAB;
    if (said.length == 0) return FH_OK;
    if (fh_slice_is_fold(said, "estimated")) {
        if (!spectrum || !lab)
            return fail(r, FH_P_ORIGIN, "an estimated colour needs both Lab and spectrum");
        *out = FH_ORIGIN_ESTIMATED;
        return FH_OK;
    }
    if (fh_slice_is_fold(said, "lab") || fh_slice_is_fold(said, "spectrum")) {
        if (fh_slice_is_fold(said, "spectrum") != spectrum)
            return fail(r, FH_P_ORIGIN, "an ORIGIN that the columns of this row contradict");
        return FH_OK;
    }
    return fail(r, FH_P_ORIGIN,
                "an unknown ORIGIN; expected \"spectrum\", \"lab\" or \"estimated\"");
}

/* What the colour rests on, where the columns do not say it. */
static fh_status read_basis(const row_reader *r, fh_basis *out)
{
    fh_slice said = fh_slice_trim(fh_slice_of(text(r, FH_P_BASIS)));
    if (said.length == 0) return FH_OK;
    for (int i = 0; i <= FH_BASIS_LOOK; ++i)
        if (fh_slice_is_fold(said, fh_basis_name((fh_basis)i))) {
            *out = (fh_basis)i;
            return FH_OK;
        }
    return fail(r, FH_P_BASIS, "an unknown BASIS; expected \"measured\", \"screen\" or \"look\"");
}

static fh_status read_colour(const row_reader *r, double *scratch, fh_reading *out,
                             fh_row_findings *found)
{
    bool said = false, lab = false;
    bool spectrum = r->layout->spectral.count > 0 && !spectrum_is_empty(r);
    fh_status status = read_condition(r, out, &said);
    if (!status) status = read_lab(r, out, &lab, &found->screen);
    if (!status) status = read_origin(r, spectrum, lab, &out->origin);
    if (status) return status;
    if (!lab && !spectrum)
        return fh_table_fail(r->layout->table, r->row, FH_NONE, r->error, FH_E_DATA,
                             "a row without a colour; expected Lab, LCh, XYZ, sRGB or a spectrum");
    if (!said && !spectrum && !found->screen)
        return fh_table_fail(r->layout->table, FH_NONE, FH_NONE, r->error, FH_E_DATA,
                             "a table without a condition; expected WEIGHTING_FUNCTION "
                             "\"D65/10\" (illuminant/observer), a column CONDITION, or the option "
                             "--condition");
    if (!spectrum) return FH_OK;
    if ((status = read_spectrum(r, scratch, &out->reflectance, found))) return status;
    if (found->screen) { /* the spectrum is used, and what the screen leaves open with it goes */
        out->random = fh_mat3_diagonal(0, 0, 0);
        out->basis = FH_BASIS_MEASURED;
    }
    if (out->origin == FH_ORIGIN_ESTIMATED) return FH_OK;
    fh_weights weights = fh_weights_of(out->condition);
    fh_lab computed = fh_lab_of_spectrum(&out->reflectance, &weights);
    if (lab && said) found->apart = fh_de2000(out->lab, computed);
    out->lab = computed;
    return FH_OK;
}

/* --- Uncertainty and method ----------------------------------------------------------------- */

/* Standard deviations and covariances into a matrix; *given when any is there. */
static fh_status read_covariance(const row_reader *r, const fh_place part[6], fh_mat3 *out,
                                 bool *given)
{
    double v[6] = {0};
    *given = false;
    for (int i = 0; i < 6; ++i) {
        bool there = false;
        fh_status status = fh_layout_number(r->layout, &part[i], r->row, &v[i], &there, r->error);
        if (status) return status;
        if (i < 3 && v[i] < 0)
            return fh_layout_fail(r->layout, &part[i], r->row, r->error,
                                  "a negative standard deviation");
        *given = *given || there;
    }
    *out = (fh_mat3){
        {{v[0] * v[0], v[3], v[4]}, {v[3], v[1] * v[1], v[5]}, {v[4], v[5], v[2] * v[2]}}};
    return FH_OK;
}

static fh_status read_shared(const row_reader *r, fh_reading *out)
{
    for (size_t n = 0; n < FH_SHARED_FILE; ++n) {
        const fh_shared_place *place = &r->layout->shared[n];
        fh_mat3 covariance;
        bool given;
        if (!place->present) continue;
        const char *source = fh_layout_text(r->layout, &place->source, r->row);
        fh_status status = read_covariance(r, place->part, &covariance, &given);
        if (status) return status;
        if (!*source || !given) continue;
        status = fh_reading_add_shared(out, source, covariance);
        if (status == FH_E_LIMIT)
            return fh_layout_fail(
                r->layout, &place->source, r->row, r->error,
                "too many shared sources, or a name too long; expected at most %d "
                "for a reading, with names up to %d bytes",
                (int)FH_SHARED_MAX, (int)FH_SOURCE - 1);
        if (status)
            return fh_layout_fail(r->layout, &place->part[0], r->row, r->error,
                                  "no covariance: the correlations exceed 1");
    }
    return FH_OK;
}

static fh_status read_geometry(const row_reader *r, fh_method *out, fh_row_findings *found)
{
    const char *word = text(r, FH_P_GEOMETRY);
    fh_specular specular;
    if (!fh_geometry_of(word, &out->geometry, &out->specular)) found->strange = word;
    fh_slice said = fh_slice_trim(fh_slice_of(text(r, FH_P_SPECULAR)));
    if (!said.length || fh_slice_is_fold(said, "unknown")) return FH_OK;
    if (fh_slice_is_fold(said, "included"))
        specular = FH_SPECULAR_INCLUDED;
    else if (fh_slice_is_fold(said, "excluded"))
        specular = FH_SPECULAR_EXCLUDED;
    else
        return fail(r, FH_P_SPECULAR,
                    "an unknown specular mode; expected \"included\" or \"excluded\"");
    if (out->specular != FH_SPECULAR_UNKNOWN && out->specular != specular)
        return fh_layout_fail(r->layout, &r->layout->place[FH_P_SPECULAR], r->row, r->error,
                              "SPECULAR contradicts the geometry %.40s, which says %s; expected "
                              "one of them",
                              word, fh_specular_name(out->specular));
    out->specular = specular;
    return FH_OK;
}

static fh_status read_method(const row_reader *r, fh_reading *out, fh_row_findings *found)
{
    fh_method *m = &out->method;
    const struct {
        fh_property property;
        double *to;
    } sizes[] = {{FH_P_PORT, &m->port_mm},
                 {FH_P_GAP, &m->gap_mm},
                 {FH_P_GLOSS, &m->gloss},
                 {FH_P_THICKNESS, &m->thickness_mm}};
    fh_status status = read_geometry(r, m, found);
    for (size_t i = 0; i < 4 && !status; ++i) {
        bool given;
        status = number(r, sizes[i].property, sizes[i].to, &given);
        if (!status && given && (*sizes[i].to < 0 || *sizes[i].to > 10000))
            status = fail(r, sizes[i].property, "out of range; expected 0 to 10000");
        if (!status && given && sizes[i].property == FH_P_THICKNESS && *sizes[i].to == 0)
            status = fail(r, FH_P_THICKNESS,
                          "a thickness of 0; expected mm above 0, or nothing where it isn't known");
    }
    double repeats = 1;
    bool given;
    if (!status) status = number(r, FH_P_REPEATS, &repeats, &given);
    if (!status && (repeats < 1 || repeats > 1e6 || repeats != floor(repeats)))
        status = fail(r, FH_P_REPEATS, "no number of repeats; expected a whole number from 1");
    if (!status) status = copy_text(r, FH_P_BACKING, m->backing, sizeof m->backing);
    if (!status) out->repeats = (unsigned)repeats;
    return status;
}

fh_status fh_layout_row(const fh_layout *layout, size_t row, double *scratch, fh_reading *out,
                        fh_row_findings *found, fh_error *error)
{
    row_reader r = {layout, row, error};
    fh_reading reading = fh_reading_blank();
    fh_mat3 random;
    bool given = false, glow = false;
    *found = (fh_row_findings){0};
    fh_status status = copy_text(&r, FH_P_ID, reading.id, sizeof reading.id);
    if (!status && layout->place[FH_P_ID].column != FH_NONE && !reading.id[0])
        status = fail(&r, FH_P_ID, "a row without an id");
    if (!status && !reading.id[0]) fh_format(reading.id, sizeof reading.id, "%zu", row + 1);
    if (!status) status = copy_text(&r, FH_P_NAME, reading.name, sizeof reading.name);
    if (!status) status = copy_text(&r, FH_P_NOTE, reading.note, sizeof reading.note);
    if (!status) status = read_colour(&r, scratch, &reading, found);
    if (!status) status = read_basis(&r, &reading.basis);
    if (!status) status = read_covariance(&r, &layout->place[FH_P_STDEV_L], &random, &given);
    if (!status && given) reading.random = random;
    if (given || reading.origin != FH_ORIGIN_LAB) found->screen = false;
    if (!status) status = read_shared(&r, &reading);
    if (!status) status = read_method(&r, &reading, found);
    if (status) return status;
    fh_error trouble = {0};
    if (fh_reading_check(&reading, &glow, &trouble))
        return fh_table_fail(layout->table, row, layout->place[FH_P_LAB_L].column, error, FH_E_DATA,
                             trouble.message);
    *out = reading;
    return FH_OK;
}
