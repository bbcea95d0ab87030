/* 200 rendered photos of a chart and five spots: sensor, light, the phone's matrix, tone curve,
 * flare, uneven light, noise, the chart's own strays, a shadow or a glint on a patch, all invented
 * and varied; the truth is the spots' measured spectra under D65/10. Patches are rendered as means,
 * not pixel by pixel; tests/study/find_chart.c has pixels.
 *
 * Prints the error against the truth, how often the stated 95 % interval holds it, and the share
 * that is refused; the same with lesser references. */
#include "check.h"
#include "sets.h"

#include <math.h>

#include "farhue/difference.h"
#include "farhue/light.h"
#include "farhue/spots.h"
#include "base/random.h"

enum { SCENES = 200, SPOTS = 5, MOST = SCENES * SPOTS };

typedef struct dice {
    uint64_t scene, next;
} dice;

static double uniform(dice *d, double low, double high)
{
    return low + (high - low) * fh_random_uniform(77, d->scene, 0, d->next++);
}

static double normal(dice *d)
{
    return fh_random_normal(78, d->scene, 0, d->next++);
}

static double hump(double nm, double at, double width)
{
    return exp(-0.5 * (nm - at) * (nm - at) / (width * width));
}

/* What a phone and its surroundings do to a reflectance. */
typedef struct scene {
    double weight[3][FH_BANDS]; /* light × sensor, white = 1 */
    double matrix[3][3], flare, exposure, tone, bend;
    double across, down, vignette, noise;
    dice dice;
} scene;

static double light_power(const double mix[4], double nm)
{
    static const fh_illuminant kind[4] = {FH_ILLUMINANT_D65, FH_ILLUMINANT_D50,
                                          FH_ILLUMINANT_LED_B3, FH_ILLUMINANT_LED_B1};
    double sum = 0.0;
    for (int k = 0; k < 4; k++)
        sum += mix[k] * fh_illuminant_power(kind[k])[(size_t)((nm - 380.0) / 5.0 + 0.5)];
    return sum;
}

static void make_light(dice *d, double mix[4])
{
    const double pick = uniform(d, 0, 1);
    for (int k = 0; k < 4; k++) mix[k] = 0.0;
    mix[0] = uniform(d, 0, 1), mix[1] = 1.0 - mix[0];
    if (pick > 0.7) mix[2] = uniform(d, 0.5, 3); /* a cool lamp as well */
    if (pick > 0.9) mix[0] = mix[1] = 0.0, mix[2] = 0.0, mix[3] = 1.0;
}

static scene make_scene(uint64_t number)
{
    scene s = {.dice = {number, 0}};
    dice *d = &s.dice;
    double mix[4];
    make_light(d, mix);
    const double peak[3] = {600, 537, 462}, width[3] = {36, 42, 30};
    for (int k = 0; k < 3; k++) {
        const double at = peak[k] + 7 * normal(d), w = width[k] * uniform(d, 0.85, 1.2);
        const double leak = uniform(d, 0, 0.08), where = uniform(d, 430, 640);
        double white = 0.0;
        for (size_t b = 0; b < FH_BANDS; b++) {
            const double nm = fh_band_nm(b);
            s.weight[k][b] = light_power(mix, nm) * (hump(nm, at, w) + leak * hump(nm, where, 30));
            white += s.weight[k][b];
        }
        for (size_t b = 0; b < FH_BANDS; b++) s.weight[k][b] /= white;
        const double balance = 1.0 + 0.05 * normal(d);
        for (size_t b = 0; b < FH_BANDS; b++) s.weight[k][b] *= balance;
    }
    for (int r = 0; r < 3; r++) {
        s.matrix[r][r] = 1.0;
        for (int c = 0; c < 3; c++) {
            if (c == r) continue;
            const double take = uniform(d, -0.05, 0.5) * (r + c == 2 && r != 1 ? 0.3 : 1.0);
            s.matrix[r][c] = -take;
            s.matrix[r][r] += take;
        }
    }
    s.flare = uniform(d, 0.0, 0.012);
    s.exposure = uniform(d, 0.65, 0.95);
    s.tone = uniform(d, 0.85, 1.15);
    s.bend = uniform(d, 0.0, 1.0) < 0.5 ? 0.0 : uniform(d, 0.0, 0.25);
    s.across = 0.08 * normal(d), s.down = 0.05 * normal(d);
    s.vignette = uniform(d, 0.0, 0.06);
    s.noise = uniform(d, 0.001, 0.004);
    return s;
}

/* The patch of a reflectance at a place. */
static fh_patch shoot(scene *s, const fh_spectrum *reflectance, fh_point at, double factor)
{
    double raw[3], code[3];
    const double light = (1.0 + s->across * at.x / 2 + s->down * at.y / 2 -
                          s->vignette * (at.x * at.x + at.y * at.y)) *
                         s->exposure * factor;
    bool clipped = false;
    for (int k = 0; k < 3; k++) {
        raw[k] = s->flare * s->exposure;
        for (size_t b = 0; b < FH_BANDS; b++) raw[k] += s->weight[k][b] * reflectance->v[b] * light;
    }
    for (int k = 0; k < 3; k++) {
        double v = 0.0;
        for (int c = 0; c < 3; c++) v += s->matrix[k][c] * raw[c];
        v *= 1.0 + s->noise * normal(&s->dice);
        clipped = clipped || v >= 0.995;
        v = fh_srgb_encode(pow(fmin(fmax(v, 0.0), 1.0), s->tone));
        v += s->bend * v * (1.0 - v) * (v - 0.4);
        code[k] = fmin(fmax(v + 0.0005 * normal(&s->dice), 0.0), 1.0);
    }
    fh_patch patch = {0};
    patch.code = (fh_rgb){code[0], code[1], code[2]};
    patch.mean =
        (fh_rgb){fh_srgb_decode(code[0]), fh_srgb_decode(code[1]), fh_srgb_decode(code[2])};
    patch.plain = patch.mean;
    patch.sd = (fh_rgb){0.02 * patch.mean.r, 0.02 * patch.mean.g, 0.02 * patch.mean.b};
    patch.count = 900, patch.kept = 1.0, patch.clipped = clipped ? 1.0 : 0.0;
    return patch;
}

/* One real chart: each patch off by about 1 %, smoothly; sometimes a shadow or a glint. */
static void shoot_chart(scene *s, const fh_chart *chart, fh_patch *patches)
{
    dice *d = &s->dice;
    const int stray = uniform(d, 0, 1) < 0.2 ? (int)uniform(d, 0, 24) : -1;
    for (size_t i = 0; i < 24; i++) {
        fh_spectrum own = chart->chips[i].reflectance;
        const double gain = 1.0 + 0.012 * normal(d), tilt = 0.01 * normal(d);
        for (size_t b = 0; b < FH_BANDS; b++) own.v[b] *= gain + tilt * ((double)b - 17.5) / 17.5;
        const double factor = (int)i == stray ? uniform(d, 0.3, 0.7) : 1.0;
        patches[i] =
            shoot(s, &own, fh_chart_place(chart, (double)(i % 6), (double)(i / 6)), factor);
    }
}

/* --- Tallies ---------------------------------------------------------------------------------- */

typedef struct tally {
    const char *name;
    double error[MOST], expected[MOST];
    size_t count, axes, held, refused;
} tally;

static int ascending(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void add(tally *t, const fh_reading *r, fh_lab truth)
{
    const fh_mat3 covariance = fh_reading_covariance(r);
    const double d[3] = {r->lab.L - truth.L, r->lab.a - truth.a, r->lab.b - truth.b};
    for (int k = 0; k < 3; k++) {
        t->axes++;
        t->held += fabs(d[k]) <= 1.96 * sqrt(covariance.m[k][k]);
    }
    t->error[t->count++] = fh_de2000(truth, r->lab);
}

static void print(tally *t)
{
    double sum = 0.0;
    qsort(t->error, t->count, sizeof *t->error, ascending);
    for (size_t i = 0; i < t->count; i++) sum += t->error[i];
    printf("%-28s %5zu  mean %5.2f  median %5.2f  95 %% %5.2f  cover %.3f  refused %zu of %d\n",
           t->name, t->count, sum / (double)t->count, t->error[t->count / 2],
           t->error[t->count * 95 / 100], (double)t->held / (double)t->axes, t->refused, SCENES);
}

static double mean_error(const tally *t)
{
    double sum = 0.0;
    for (size_t i = 0; i < t->count; i++) sum += t->error[i];
    return sum / (double)t->count;
}

/* --- The study -------------------------------------------------------------------------------- */

typedef struct stage {
    fh_chart *chart, *few;
    fh_weights weights;
    set sets[SET_COUNT];
    fh_calibration *c;
} stage;

static const fh_spectrum *any_spectrum(stage *st, dice *d)
{
    static const size_t from[4] = {0, 1, 2, 8}; /* matt chips, objects, car paints, acrylics */
    const set *s = &st->sets[from[(size_t)uniform(d, 0, 3.999)]];
    return &s->spectra[(size_t)uniform(d, 0, (double)s->count - 0.001)];
}

/* A smooth spectrum is measured with some gloss that the chart does not have. */
static fh_spectrum spot_of(stage *st, dice *d)
{
    fh_spectrum spectrum = *any_spectrum(st, d);
    const double gloss = 0.004 * normal(d);
    for (size_t b = 0; b < FH_BANDS; b++) spectrum.v[b] = fmax(spectrum.v[b] + gloss, 0.001);
    return spectrum;
}

/* Which patches of the chart stand for the lesser references. */
static fh_status calibrate_few(stage *st, const fh_patch *patches, const size_t *which,
                               size_t count)
{
    fh_lab lab[24];
    fh_point places[24];
    fh_patch chosen[24];
    fh_chart *few = NULL;
    if (fh_chart_lab(st->chart, 0, st->weights.condition, lab)) return FH_E_DATA;
    if (fh_chart_new(1, count, st->weights.condition, &few)) return FH_E_MEMORY;
    for (size_t i = 0; i < count; i++) {
        few->editions[0].lab[i] = lab[which[i]];
        places[i] = fh_chart_place(st->chart, (double)(which[i] % 6), (double)(which[i] / 6));
        chosen[i] = patches[which[i]];
    }
    const fh_calibrate_options options = {
        .condition = st->weights.condition, .edition = -1, .places = places, .few = true};
    const fh_status status = fh_calibrate(few, chosen, &options, NULL, NULL, st->c, NULL);
    fh_chart_free(few);
    return status;
}

static void take_spots(stage *st, scene *s, const fh_spectrum *spots, tally *t)
{
    for (size_t i = 0; i < SPOTS; i++) {
        const fh_point at = {1.5, 0.4 * ((double)i - 2.0)};
        const fh_patch patch = shoot(s, &spots[i], at, 1.0);
        fh_spot_result result;
        fh_reading reading;
        if (patch.clipped > 0.0) continue;
        if (fh_calibration_spot(st->c, &patch, at, &result) != FH_OK) continue;
        if (fh_spot_reading(st->c, st->chart, &result, "p", "s", st->weights.condition, &reading,
                            NULL) != FH_OK)
            continue;
        add(t, &reading, fh_lab_of_spectrum(&spots[i], &st->weights));
    }
}

/* A chip like the part, as from a paint shop: 2 to 10 ΔE00 away; NULL where there is none. */
static const fh_spectrum *like(stage *st, dice *d, const fh_spectrum *part)
{
    const fh_lab lab = fh_lab_of_spectrum(part, &st->weights);
    for (int tries = 0; tries < 400; tries++) {
        const fh_spectrum *other = any_spectrum(st, d);
        const double away = fh_de2000(lab, fh_lab_of_spectrum(other, &st->weights));
        if (away > 2.0 && away < 10.0) return other;
    }
    return NULL;
}

/* That chip, its colour known, as the only reference. */
static void near_chip(stage *st, scene *s, const fh_spectrum *part, tally *t)
{
    const fh_point here = {0.2, 0}, there = {-0.2, 0};
    const fh_spectrum *chip = like(st, &s->dice, part);
    fh_chart *one = NULL;
    if (!chip || fh_chart_new(1, 1, st->weights.condition, &one)) return;
    one->editions[0].lab[0] = fh_lab_of_spectrum(chip, &st->weights);
    const fh_patch seen = shoot(s, chip, there, 1.0), patch = shoot(s, part, here, 1.0);
    const fh_calibrate_options options = {
        .condition = st->weights.condition, .edition = -1, .places = &there, .few = true};
    fh_spot_result result;
    fh_reading reading;
    one->spread = 0.0; /* its colour is known here */
    if (patch.clipped + seen.clipped == 0.0 &&
        fh_calibrate(one, &seen, &options, NULL, NULL, st->c, NULL) == FH_OK &&
        fh_calibration_spot(st->c, &patch, here, &result) == FH_OK &&
        fh_spot_reading(st->c, one, &result, "p", "s", st->weights.condition, &reading, NULL) ==
            FH_OK)
        add(t, &reading, fh_lab_of_spectrum(part, &st->weights));
    fh_chart_free(one);
}

static void study_scene(stage *st, uint64_t number, tally *t)
{
    static const size_t grey[1] = {21}, three[3] = {18, 21, 23}, six[6] = {18, 21, 23, 12, 14, 15};
    scene s = make_scene(number);
    fh_patch patches[24];
    fh_spectrum spots[SPOTS];
    fh_calibrate_options options = {.condition = st->weights.condition, .edition = -1};
    shoot_chart(&s, st->chart, patches);
    for (size_t i = 0; i < SPOTS; i++) spots[i] = spot_of(st, &s.dice);
    if (fh_calibrate(st->chart, patches, &options, NULL, NULL, st->c, NULL) == FH_OK) {
        fh_warnings warnings = {0};
        fh_judge_photo(st->c, st->chart, patches, NULL, &warnings);
        take_spots(st, &s, spots, &t[0]);
        if (warnings.count == 0)
            take_spots(st, &s, spots, &t[1]);
        else
            t[1].refused++;
    } else {
        t[0].refused++, t[1].refused++;
    }
    options.plain = true;
    if (fh_calibrate(st->chart, patches, &options, NULL, NULL, st->c, NULL) == FH_OK)
        take_spots(st, &s, spots, &t[2]);
    if (calibrate_few(st, patches, six, 6) == FH_OK) take_spots(st, &s, spots, &t[3]);
    if (calibrate_few(st, patches, three, 3) == FH_OK) take_spots(st, &s, spots, &t[4]);
    if (calibrate_few(st, patches, grey, 1) == FH_OK) take_spots(st, &s, spots, &t[5]);
    fh_calibrate_none(st->weights.condition, st->c);
    take_spots(st, &s, spots, &t[6]);
    for (size_t i = 0; i < SPOTS; i++) near_chip(st, &s, &spots[i], &t[7]);
}

/* Owner and helper, each with a phone, the same chip beside the part and no chart: what each
 * reads, and what each reads as a difference to the chip. */
static double differ(stage *st, scene *s, const fh_spectrum *part, const fh_spectrum *chip,
                     fh_lab *absolute, fh_vec3 *relative)
{
    const fh_point here = {0.2, 0}, there = {-0.2, 0};
    const fh_patch a = shoot(s, part, here, 1.0), b = shoot(s, chip, there, 1.0);
    fh_calibrate_none(st->weights.condition, st->c);
    *absolute = fh_correction_lab(&st->c->correction, a.mean, here);
    const fh_lab by = fh_correction_lab(&st->c->correction, b.mean, there);
    *relative = (fh_vec3){{absolute->L - by.L, absolute->a - by.a, absolute->b - by.b}};
    return a.clipped + b.clipped;
}

static void study_same_chip(stage *st)
{
    double absolute = 0.0, relative = 0.0;
    size_t n = 0;
    for (uint64_t number = 0; number < SCENES; number++) {
        scene owner = make_scene(1000 + number), helper = make_scene(2000 + number);
        const fh_spectrum part = spot_of(st, &owner.dice);
        const fh_lab truth = fh_lab_of_spectrum(&part, &st->weights);
        const fh_spectrum *chip = like(st, &owner.dice, &part);
        fh_lab a, b;
        fh_vec3 ra, rb;
        if (!chip || differ(st, &owner, &part, chip, &a, &ra) > 0.0 ||
            differ(st, &helper, &part, chip, &b, &rb) > 0.0)
            continue;
        const fh_lab moved = {truth.L + rb.v[0] - ra.v[0], truth.a + rb.v[1] - ra.v[1],
                              truth.b + rb.v[2] - ra.v[2]};
        absolute += fh_de2000(a, b);
        relative += fh_de2000(truth, moved);
        n++;
    }
    printf("no chart, the same part photographed twice, %zu pairs of phones: they disagree by %.2f "
           "ΔE00; as differences to the same chip by %.2f\n",
           n, absolute / (double)n, relative / (double)n);
    check(relative < 0.5 * absolute);
}

static void study(void **state)
{
    (void)state;
    stage st = {.weights = fh_weights_of((fh_condition){FH_ILLUMINANT_D65, FH_OBSERVER_10})};
    static tally t[8] = {
        {.name = "chart"},     {.name = "chart, no warnings"},    {.name = "plain 3 x 3"},
        {.name = "six chips"}, {.name = "white, grey, black"},    {.name = "grey card"},
        {.name = "nothing"},   {.name = "one chip like the part"}};
    assert_int_equal(fh_chart_24(&st.chart), FH_OK);
    st.c = fh_calibration_new();
    load_sets(st.sets);
    for (uint64_t number = 0; number < SCENES; number++) study_scene(&st, number, t);
    for (size_t i = 0; i < 8; i++) print(&t[i]);
    study_same_chip(&st);
    /* Own requirements. */
    check_between((double)t[0].held / (double)t[0].axes, 0.93, 0.99);
    check(mean_error(&t[0]) < 0.75 * mean_error(&t[2]));
    free_sets(st.sets);
    fh_calibration_free(st.c);
    fh_chart_free(st.chart);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(study)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
