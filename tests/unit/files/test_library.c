/* Files of readings: what is read from which columns, what is refused, and nothing lost between. */
#include "check.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "farhue/library.h"
#include "starve.h"

static fh_library read_with(const char *text, const fh_library_defaults *defaults)
{
    fh_library library = {0};
    fh_error error = {0};
    if (fh_library_read(text, strlen(text), defaults, &library, &error))
        fail_msg("%zu:%zu: %s", error.line, error.column, error.message);
    return library;
}

static fh_library read(const char *text)
{
    return read_with(text, NULL);
}

static void refuses(const char *text, size_t line, size_t column, const char *message)
{
    fh_library library = {0};
    fh_error error = {0};
    fh_status status = fh_library_read(text, strlen(text), NULL, &library, &error);
    if (status != FH_E_DATA || error.line != line || error.column != column ||
        !strstr(error.message, message))
        fail_msg("found %d at %zu:%zu: %s; expected %zu:%zu: %s", status, error.line, error.column,
                 error.message, line, column, message);
    assert_null(library.readings);
}

static void check_lab(fh_lab lab, double L, double a, double b, double tolerance)
{
    check_close(lab.L, L, tolerance);
    check_close(lab.a, a, tolerance);
    check_close(lab.b, b, tolerance);
}

#define TABLE(columns, rows)                                                                       \
    "BEGIN_DATA_FORMAT\n" columns "\nEND_DATA_FORMAT\nBEGIN_DATA\n" rows "\nEND_DATA\n"

static void test_lab_with_condition(void **state)
{
    (void)state;
    static const char *const conditions[] = {
        "WEIGHTING_FUNCTION \"ILLUMINANT, D50\"\nWEIGHTING_FUNCTION \"OBSERVER, 2 degree\"\n",
        "WEIGHTING_FUNCTION \"D50/2\"\n", "CONDITION D50/2\n"};
    for (size_t i = 0; i < 3; ++i) {
        char text[512];
        snprintf(text, sizeof text,
                 "CGATS.17\n%s" TABLE("SAMPLE_ID LAB_L LAB_A LAB_B", "0012 50 1 -2"),
                 conditions[i]);
        fh_library library = read(text);
        assert_int_equal(library.count, 1);
        assert_string_equal(library.readings[0].id, "0012");
        assert_int_equal(library.readings[0].condition.illuminant, FH_ILLUMINANT_D50);
        assert_int_equal(library.readings[0].condition.observer, FH_OBSERVER_2);
        check_lab(library.readings[0].lab, 50, 1, -2, 0);
        assert_ptr_equal(fh_library_find(&library, "0012"), library.readings);
        assert_null(fh_library_find(&library, "12"));
        assert_null(library.notes.bytes);
        fh_library_free(&library);
    }
}

/* The other ways to write a colour. White of A/2 by ASTM E308: 109.850, 100, 35.585. */
static void test_colour_spaces(void **state)
{
    (void)state;
    fh_library library = read("id,condition,L,C,h,X,Y,Z,a,b\n"
                              "lch,A/2,50,10,30,,,,,\n"
                              "xyz,A/2,,,,54.925,50,17.7925,,\n"
                              "lab,A/2,50,,,,,,1,2\n");
    check_lab(library.readings[0].lab, 50, 10 * cos(acos(-1) / 6), 5, 1e-12);
    check_lab(library.readings[1].lab, 76.069, 0, 0, 0.05);
    check_lab(library.readings[2].lab, 50, 1, 2, 0);
    fh_library_free(&library);
    /* 808080: L* 53.585 (independent computation: by hand from IEC 61966-2-1) */
    library = read("id,srgb\nscreen,#808080\n");
    check_lab(library.readings[0].lab, 53.585, 0, 0, 0.01);
    assert_int_equal(library.readings[0].condition.observer, FH_OBSERVER_2);
    check_close(library.readings[0].random.m[0][0], 16, 0);
    assert_non_null(strstr(library.notes.bytes, "known as sRGB only"));
    fh_library_free(&library);
}

/* Column names before nm after, for each wavelength; one row of the same value. */
static char *spectral_csv(const char *before, const char *after, int first, int last, int step,
                          double value)
{
    static char text[8192];
    size_t used = (size_t)snprintf(text, sizeof text, "id");
    for (int nm = first; nm <= last; nm += step) {
        text[used++] = ',';
        used += (size_t)snprintf(text + used, sizeof text - used, "%s%d%s", before, nm, after);
    }
    used += (size_t)snprintf(text + used, sizeof text - used, "\na");
    for (int nm = first; nm <= last; nm += step)
        used += (size_t)snprintf(text + used, sizeof text - used, ",%g", value);
    snprintf(text + used, sizeof text - used, "\n");
    return text;
}

/* A flat reflectance R is neutral, L* = 116 R^(1/3) - 16 (CIE 15): 0.5 gives 76.069. */
static void test_spectra(void **state)
{
    (void)state;
    static const char *const percent[][2] = {
        {"SPECTRAL_PCT", ""}, {"R% ", " nm"}, {"percent_", "NM"}};
    fh_library_defaults factor = {.unit = FH_UNIT_FACTOR}, hundred = {.unit = FH_UNIT_PERCENT};
    for (size_t i = 0; i < 3; ++i) {
        fh_library library = read(spectral_csv(percent[i][0], percent[i][1], 380, 730, 10, 50));
        assert_int_equal(library.readings[0].origin, FH_ORIGIN_SPECTRUM);
        check_lab(library.readings[0].lab, 76.0693, 0, 0, 0.0001);
        assert_true(fh_condition_equal(library.readings[0].condition, fh_condition_default()));
        fh_library_free(&library);
    }
    fh_library library = read_with(spectral_csv("", "", 400, 700, 20, 0.5), &factor);
    check_lab(library.readings[0].lab, 76.0693, 0, 0, 0.0001);
    assert_non_null(strstr(library.notes.bytes, "cover 400 to 700 nm; 5 bands"));
    fh_library_free(&library);
    library = read_with(spectral_csv("nm", "", 360, 830, 5, 50), &hundred);
    check_lab(library.readings[0].lab, 76.0693, 0, 0, 0.0001);
    fh_library_free(&library);
    refuses(spectral_csv("R", "", 380, 730, 10, 0.5), 1, 4,
            "the unit of R380 and its like is not said");
}

static void test_spectral_pairs(void **state)
{
    (void)state;
    fh_library library = read(TABLE("SAMPLE_ID SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_PCT "
                                    "SPECTRAL_NM SPECTRAL_PCT",
                                    "x 400 50 550 50 700 50"));
    check_lab(library.readings[0].lab, 76.0693, 0, 0, 0.0001);
    /* bands of 380, 390, 710, 720 and 730 nm */
    assert_non_null(strstr(library.notes.bytes, "the spectra cover 400 to 700 nm; 5 bands"));
    fh_library_free(&library);
}

/* Own requirement: what is noted of columns is noted of pairs, whose rows may differ; a refusal
 * stands where the wavelength does and says which fault it is. */
static void test_ranges(void **state)
{
    (void)state;
#define PAIRS "ID SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_PCT"
    static const char *const rows[] = {"x 380 50 550 50 730 50\ny 400 50 550 50 720 50",
                                       "y 400 50 550 50 720 50\nx 380 50 550 50 730 50"};
    for (int i = 0; i < 2; ++i) {
        char text[512];
        snprintf(text, sizeof text, TABLE(PAIRS, "%s"), rows[i]);
        fh_library library = read(text);
        /* bands of 380, 390 and 730 nm */
        assert_non_null(strstr(library.notes.bytes,
                               "the shortest spectrum covers 400 to 720 nm; 3 bands beyond"));
        fh_library_free(&library);
    }
    fh_library library = read(TABLE(PAIRS, "x 380 50 550 50 730 50"));
    assert_null(library.notes.bytes);
    fh_library_free(&library);
    refuses(TABLE(PAIRS, "x 500 50 450 50 700 50"), 5, 10, "not above the one before it");
    refuses(TABLE(PAIRS, "x 800 50 850 50 900 50"), 5, 3, "all wavelengths lie above 730 nm");
    refuses(TABLE(PAIRS, "x 200 50 300 50 370 50"), 5, 3, "all wavelengths lie below 380 nm");
    refuses("id,PCT740,PCT800,PCT900\nx,50,50,50\n", 1, 4, "all wavelengths lie above 730 nm");
    refuses("id,PCT300,PCT200,PCT350\nx,50,50,50\n", 1, 11, "all wavelengths lie below 380 nm");
#undef PAIRS
}

static void test_families(void **state)
{
    (void)state;
    const char text[] = "SPECTRAL_UNIT factor\n" TABLE("ID R400 R500 R600 T400 T500 T600",
                                                       "x 0.5 0.5 0.5 0.1 0.1 0.1");
    fh_library_defaults defaults = {.family = "T"};
    refuses(text, 3, 19, "two families of wavelength columns, \"R\" and \"T\"");
    fh_library library = read_with(text, &defaults);
    check_close(library.readings[0].reflectance.v[10], 0.1, 1e-12);
    fh_library_free(&library);
}

/* Some with spectra, some Lab only, in one table. */
static void test_mixed(void **state)
{
    (void)state;
    fh_library library = read("SPECTRAL_UNIT factor\nWEIGHTING_FUNCTION D65/10\n" TABLE(
        "ID LAB_L LAB_A LAB_B R400 R500 R600 R700 R710 R720",
        "lab 50 1 2 \"\" \"\" \"\" \"\" \"\" \"\"\n"
        "both 50 1 2 0.5 0.5 0.5 0.5 0.5 0.5"));
    assert_int_equal(library.readings[0].origin, FH_ORIGIN_LAB);
    assert_int_equal(library.readings[1].origin, FH_ORIGIN_SPECTRUM);
    check_lab(library.readings[1].lab, 76.0693, 0, 0, 0.0001);
    assert_non_null(strstr(library.notes.bytes, "the spectra are used"));
    fh_library_free(&library);
}

static void test_method_and_uncertainty(void **state)
{
    (void)state;
    fh_library library =
        read("WEIGHTING_FUNCTION D65/10\nMEASUREMENT_GEOMETRY \"8:di\"\nPORT_MM 8\nSTDEV_L 0.3\n"
             "SHARED_1_SOURCE \"instrument: one\"\nSHARED_1_STDEV_L 0.5\nSHARED_1_STDEV_A 0.4\n"
             "SHARED_1_COV_LA 0.1\n" TABLE(
                 "ID SAMPLE_NAME LAB_L LAB_A LAB_B GAP_MM REPEATS STDEV_L SAMPLE_BACKING",
                 "a \"first one\" 50 0 0 \"\" 3 0.2 black\nb \"\" 51 0 0 2.5 1 \"\" \"\""));
    const fh_reading *a = &library.readings[0], *b = &library.readings[1];
    assert_string_equal(a->name, "first one");
    assert_int_equal(a->repeats, 3);
    assert_int_equal(a->method.geometry, FH_GEOMETRY_8_D);
    assert_int_equal(a->method.specular, FH_SPECULAR_INCLUDED);
    check_close(a->method.port_mm, 8, 0);
    check_close(a->method.gap_mm, -1, 0);
    check_close(b->method.gap_mm, 2.5, 0);
    assert_string_equal(a->method.backing, "black");
    check_close(a->random.m[0][0], 0.04, 1e-15);
    check_close(b->random.m[0][0], 0.09, 1e-15);
    assert_int_equal(b->shared_count, 1);
    assert_string_equal(b->shared[0].source, "instrument: one");
    check_close(b->shared[0].covariance.m[0][0], 0.25, 1e-15);
    check_close(b->shared[0].covariance.m[1][0], 0.1, 0);
    fh_library_free(&library);
}

/* CIE 15 writes de:8° for diffuse light without the mirror reflection, di:8° with it, 8°:de and
 * 8°:di for the reverse; other spellings: own requirement. A word that isn't known is noted, and
 * contradicting words are refused. */
static void test_geometries(void **state)
{
    (void)state;
    static const struct {
        const char *word;
        fh_geometry geometry;
        fh_specular specular;
    } cases[] = {{"8°:d", FH_GEOMETRY_8_D, FH_SPECULAR_UNKNOWN},
                 {"8:d", FH_GEOMETRY_8_D, FH_SPECULAR_UNKNOWN},
                 {"d:8", FH_GEOMETRY_8_D, FH_SPECULAR_UNKNOWN},
                 {"d/8°", FH_GEOMETRY_8_D, FH_SPECULAR_UNKNOWN},
                 {"D / 8", FH_GEOMETRY_8_D, FH_SPECULAR_UNKNOWN},
                 {"de:8°", FH_GEOMETRY_8_D, FH_SPECULAR_EXCLUDED},
                 {"8°/di", FH_GEOMETRY_8_D, FH_SPECULAR_INCLUDED},
                 {"45°:0°", FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN},
                 {"45°a:0°", FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN},
                 {"0/45c", FH_GEOMETRY_45_0, FH_SPECULAR_UNKNOWN},
                 {"Photo", FH_GEOMETRY_PHOTO, FH_SPECULAR_UNKNOWN},
                 {"unknown", FH_GEOMETRY_UNKNOWN, FH_SPECULAR_UNKNOWN}};
    char text[256];
    for (size_t i = 0; i < sizeof cases / sizeof *cases; ++i) {
        snprintf(text, sizeof text, "ID,L,a,b,CONDITION,GEOMETRY\nx,50,0,0,D65/10,%s\n",
                 cases[i].word);
        fh_library library = read(text);
        assert_int_equal(library.readings[0].method.geometry, cases[i].geometry);
        assert_int_equal(library.readings[0].method.specular, cases[i].specular);
        assert_null(library.notes.bytes);
        fh_library_free(&library);
    }
    fh_library library = read("ID,L,a,b,CONDITION,GEOMETRY\nx,50,0,0,D65/10,sphere\n"
                              "y,50,0,0,D65/10,8/d\nz,50,0,0,D65/10,a word of more than 16\n");
    assert_int_equal(library.readings[0].method.geometry, FH_GEOMETRY_UNKNOWN);
    assert_int_equal(library.readings[1].method.geometry, FH_GEOMETRY_8_D);
    assert_non_null(strstr(library.notes.bytes,
                           "the geometry 'sphere' isn't known: 2 readings count as without one"));
    fh_library_free(&library);
    refuses("ID,L,a,b,CONDITION,GEOMETRY,SPECULAR\nx,50,0,0,D65/10,8/d,included\n"
            "y,50,0,0,D65/10,de:8,included\n",
            3, 22, "SPECULAR contradicts the geometry de:8, which says excluded");
    library = read("ID,L,a,b,CONDITION,GEOMETRY,SPECULAR\nx,50,0,0,D65/10,8:di,included\n");
    assert_int_equal(library.readings[0].method.specular, FH_SPECULAR_INCLUDED);
    fh_library_free(&library);
}

/* The shorter names of how a reading was taken are read as keywords as well (docs/formats.md). */
static void test_short_keywords(void **state)
{
    (void)state;
    fh_library library = read("WEIGHTING_FUNCTION D65/10\nGEOMETRY \"8:de\"\nBACKING white\n" TABLE(
        "ID LAB_L LAB_A LAB_B BACKING", "a 50 0 0 black\nb 51 0 0 \"\""));
    assert_int_equal(library.readings[0].method.geometry, FH_GEOMETRY_8_D);
    assert_int_equal(library.readings[0].method.specular, FH_SPECULAR_EXCLUDED);
    assert_string_equal(library.readings[0].method.backing, "black");
    assert_string_equal(library.readings[1].method.backing, "white");
    fh_library_free(&library);
}

/* --- Nothing is lost ------------------------------------------------------------------------ */

static fh_reading full_reading(int i)
{
    fh_reading r = fh_reading_blank();
    snprintf(r.id, sizeof r.id, "%03d", i);
    snprintf(r.name, sizeof r.name, "n\xC3\xA4me, \"%d\"", i);
    r.lab = (fh_lab){50.0 + i / 3.0, -i / 7.0, i * 1e-7};
    r.random = fh_mat3_diagonal(0.04, 0.01 * i, 0.09);
    r.random.m[0][1] = r.random.m[1][0] = 0.001 * i;
    r.repeats = (unsigned)i + 1;
    r.method.geometry = i % 2 ? FH_GEOMETRY_45_0 : FH_GEOMETRY_PHOTO;
    r.method.specular = FH_SPECULAR_EXCLUDED;
    r.method.thickness_mm = 1.2;
    r.method.gap_mm = i % 2 ? 0 : -1;
    strcpy(r.method.backing, "matt black");
    snprintf(r.note, sizeof r.note, "note #%d; with, marks", i);
    fh_reading_add_shared(&r, "instrument: one", fh_mat3_diagonal(0.1, 0.2, 0.3));
    if (i % 2) fh_reading_add_shared(&r, "chart photo 2", fh_mat3_diagonal(0.5, 0.25, 1.0 / 3));
    return r;
}

static void check_same(const fh_reading *a, const fh_reading *b)
{
    assert_string_equal(a->id, b->id);
    assert_string_equal(a->name, b->name);
    assert_string_equal(a->note, b->note);
    assert_int_equal(a->origin, b->origin);
    assert_true(fh_condition_equal(a->condition, b->condition));
    assert_int_equal(a->repeats, b->repeats);
    assert_int_equal(a->method.geometry, b->method.geometry);
    assert_int_equal(a->method.specular, b->method.specular);
    assert_string_equal(a->method.backing, b->method.backing);
    check_close(a->method.gap_mm, b->method.gap_mm, 0);
    check_close(a->method.thickness_mm, b->method.thickness_mm, 0);
    check_lab(a->lab, b->lab.L, b->lab.a, b->lab.b, 0);
    check_all_close(&a->random.m[0][0], &b->random.m[0][0], 9, 1e-15);
    assert_int_equal(a->shared_count, b->shared_count);
    for (size_t k = 0; k < a->shared_count; ++k) {
        assert_string_equal(a->shared[k].source, b->shared[k].source);
        check_all_close(&a->shared[k].covariance.m[0][0], &b->shared[k].covariance.m[0][0], 9,
                        1e-15);
    }
    if (a->origin != FH_ORIGIN_LAB)
        check_all_close(a->reflectance.v, b->reflectance.v, FH_BANDS, 0);
}

static void round_trip(const fh_reading *readings, size_t count)
{
    fh_text first = {0}, second = {0};
    assert_int_equal(fh_library_write(readings, count, "a test", "2026-03-01", &first), FH_OK);
    fh_library library = read(first.bytes);
    assert_int_equal(library.count, count);
    for (size_t i = 0; i < count; ++i) check_same(&library.readings[i], &readings[i]);
    assert_int_equal(fh_library_write(library.readings, count, "a test", "2026-03-01", &second),
                     FH_OK);
    assert_string_equal(first.bytes, second.bytes);
    fh_text_free(&first);
    fh_text_free(&second);
    fh_library_free(&library);
}

static void test_round_trip(void **state)
{
    (void)state;
    fh_reading readings[6];
    for (int i = 0; i < 6; ++i) readings[i] = full_reading(i);
    round_trip(readings, 6);
    readings[2].condition = (fh_condition){FH_ILLUMINANT_LED_B1, FH_OBSERVER_2};
    round_trip(readings, 6);
    fh_weights weights = fh_weights_of(fh_condition_default());
    readings[3].origin = FH_ORIGIN_SPECTRUM;
    for (int b = 0; b < FH_BANDS; ++b) readings[3].reflectance.v[b] = 0.1 + b / 60.0;
    readings[3].lab = fh_lab_of_spectrum(&readings[3].reflectance, &weights);
    readings[4].origin = FH_ORIGIN_ESTIMATED;
    readings[4].reflectance = fh_spectrum_flat(1.0 / 3);
    round_trip(readings, 6);
    round_trip(readings + 3, 1);
    round_trip(readings, 0);
}

/* --- Errors --------------------------------------------------------------------------------- */

#define LAB(rows) "WEIGHTING_FUNCTION D65/10\n" TABLE("SAMPLE_ID LAB_L LAB_A LAB_B", rows)

static void test_refused(void **state)
{
    (void)state;
    refuses(TABLE("SAMPLE_ID LAB_L LAB_A LAB_B", "a 50 0 0"), 1, 0, "a table without a condition");
    refuses(TABLE("SAMPLE_ID WEIGHT", "a 50"), 1, 0, "no colour columns");
    refuses("id,weight\na,3\n", 1, 0, "no colour columns");
    refuses("WEIGHTING_FUNCTION \"ILLUMINANT, D66\"\n" TABLE("ID LAB_L LAB_A LAB_B", "a 1 2 3"), 1,
            20, "no known condition");
    refuses("WEIGHTING_FUNCTION \"ILLUMINANT, D65\"\n" TABLE("ID LAB_L LAB_A LAB_B", "a 1 2 3"), 1,
            20, "names no observer");
    refuses(LAB("a 50 0 0\nb 50 0 0\na 51 0 0"), 8, 1, "id a is there twice");
    refuses(LAB("a 50 0 nan"), 6, 8, "expected a number");
    refuses(LAB("a 50 0,5 0"), 6, 6, "decimal comma");
    refuses(LAB("a 150 0 0"), 6, 3, "no colour of a surface");
    refuses(LAB("a 50 0 \"\""), 6, 8, "LAB_B is empty");
    refuses(LAB("\"\" 50 0 0"), 6, 1, "without an id");
    refuses("id,L,a,condition\nx,1,2,D65/10\n", 1, 6, "without all of its three columns");
    refuses("id,L,C,h,condition\nx,50,-20,10,D65/10\n", 2, 6, "a negative chroma");
    refuses("id,L,a,b,condition\nx,1,2,3,D65\n", 2, 9, "no known condition");
    refuses("id,L,a,b,condition\nx,,,,D65/10\n", 2, 0, "a row without a colour");
    refuses("id,name,L,a,b,condition\n\"x\ny\",n,1,2,3,D65/10\n", 2, 1,
            "a line break inside the text");
    refuses("id,srgb\nx,80808\n", 2, 3, "six hexadecimal digits");
    refuses(spectral_csv("SPECTRAL_DEC", "", 380, 730, 10, -0.1), 2, 3, "a reflectance of -0.1");
    refuses(spectral_csv("SPECTRAL_DEC", "", 380, 730, 10, 45), 2, 3,
            "if it is in percent, say so");
    refuses(spectral_csv("SPECTRAL_PCT", "", 380, 730, 10, 130), 2, 3, "130 percent");
    refuses("SPECTRAL_UNIT watts\n" TABLE("ID R400 R500 R600", "a 1 1 1"), 1, 15,
            "not a known unit");
    refuses("WEIGHTING_FUNCTION D65/10\n" TABLE("ID LAB_L LAB_A LAB_B STDEV_L", "a 50 0 0 -1"), 6,
            10, "negative standard deviation");
    refuses("WEIGHTING_FUNCTION D65/10\n" TABLE("ID LAB_L LAB_A LAB_B REPEATS", "a 50 0 0 1.5"), 6,
            10, "whole number");
    refuses("WEIGHTING_FUNCTION D65/10\nSPECULAR maybe\n" TABLE("ID LAB_L LAB_A LAB_B", "a 50 0 0"),
            2, 10, "unknown specular mode");
    refuses("WEIGHTING_FUNCTION D65/10\nSHARED_1_SOURCE x\nSHARED_1_STDEV_L 1\nSHARED_1_COV_LA "
            "5\n" TABLE("ID LAB_L LAB_A LAB_B", "a 50 0 0"),
            3, 18, "correlations exceed 1");
}

static void test_fluorescent(void **state)
{
    (void)state;
    fh_library library = read(spectral_csv("SPECTRAL_DEC", "", 380, 730, 10, 1.1));
    assert_non_null(strstr(library.notes.bytes, "fluorescent or glossy"));
    fh_library_free(&library);
}

static void test_starved(void **state)
{
    (void)state;
    const char text[] = LAB("a 50 0 0\nb 51 0 0");
    fh_reading readings[3];
    for (int i = 0; i < 3; ++i) readings[i] = full_reading(i);
    for (long n = 0;; ++n) {
        fh_library library = {0};
        starve_after(n);
        fh_status status = fh_library_read(text, sizeof text - 1, NULL, &library, NULL);
        if (!starve_end()) {
            fh_library_free(&library);
            break;
        }
        assert_int_equal(status, FH_E_MEMORY);
        assert_null(library.readings);
    }
    for (long n = 0;; ++n) {
        fh_text out = {0};
        starve_after(n);
        fh_status status = fh_library_write(readings, 3, NULL, NULL, &out);
        if (!starve_end()) {
            fh_text_free(&out);
            break;
        }
        assert_int_equal(status, FH_E_MEMORY);
        assert_null(out.bytes);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_lab_with_condition),
        cmocka_unit_test(test_colour_spaces),
        cmocka_unit_test(test_spectra),
        cmocka_unit_test(test_spectral_pairs),
        cmocka_unit_test(test_ranges),
        cmocka_unit_test(test_families),
        cmocka_unit_test(test_mixed),
        cmocka_unit_test(test_method_and_uncertainty),
        cmocka_unit_test(test_geometries),
        cmocka_unit_test(test_short_keywords),
        cmocka_unit_test(test_round_trip),
        cmocka_unit_test(test_refused),
        cmocka_unit_test(test_fluorescent),
        cmocka_unit_test(test_starved),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
