/* How good the estimated spectrum is: docs/accuracy.md, "Estimated spectrum".
 *
 * Every measured spectrum of the reference data gives a Lab for D65/10. From that Lab alone its
 * colour is predicted under A/10, F11/10 and D50/2, and as seen through clear sheets (ten measured
 * transmittances, at 0.3 and 1 times their thickness, over an air gap, in 45/0) and through the
 * shells of the Monte Carlo table. The sheets are integrated over angle here, without the engine's
 * optics. Compared: Bradford (for the first three), the smallest sum of squared logit steps, and
 * the estimate; and how often the 95 % interval of its draws holds the true L*, a*, b*.
 *
 * The averages give each set and each of the six kinds of look the same weight. Without arguments
 * it prints all figures; QUICK in the environment leaves the draws out.
 *
 *   study_estimate [mean constant slope smooth length walk spread]     another prior, for trials */
#include <math.h>

#include "base/random.h"
#include "colour/prior.h"
#include "farhue/difference.h"
#include "sets.h"

enum { GROUPS = 6, SHEETS = 10, MC = 6, DRAWS = 100, LOOKS = 3 + 2 * SHEETS + MC };
static const char *const group_names[GROUPS] = {"A/10",        "F11/10",    "D50/2",
                                                "sheets 0.3x", "sheets 1x", "shells"};

/* What a spectrum is looked at through: nothing, A + Bρ/(1 − Cρ), or a Monte Carlo series. */
typedef struct look {
    int group;
    fh_weights weights;
    fh_spectrum b, c;            /* a sheet in 45/0: A = 0 */
    double series[FH_BANDS][13]; /* a shell of the table */
    enum { BARE, SHEET, SERIES } kind;
} look;

static look looks[LOOKS];

static double fresnel(double n, double cos_in)
{
    const double sin_out = sqrt(1.0 - cos_in * cos_in) / n, cos_out = sqrt(1.0 - sin_out * sin_out);
    const double s = (cos_in - n * cos_out) / (cos_in + n * cos_out);
    const double p = (n * cos_in - cos_out) / (n * cos_in + cos_out);
    return 0.5 * (s * s + p * p);
}

/* Transmittance and reflectance of a slab with inner transmittance a at normal incidence. */
static void slab(double n, double inner, double cos_in, double *t, double *r)
{
    const double f = fresnel(n, cos_in), sin_out = sqrt(1.0 - cos_in * cos_in) / n;
    const double a = pow(inner, 1.0 / sqrt(1.0 - sin_out * sin_out));
    *t = (1.0 - f) * (1.0 - f) * a / (1.0 - f * f * a * a);
    *r = f + f * a * *t;
}

static double inner_of(double n, double transmittance)
{
    double low = 0.0, high = 1.0, t, r;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        slab(n, middle, 1.0, &t, &r);
        if (t < transmittance)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

static void make_sheet(look *l, double n, const fh_spectrum *transmittance, double thickness)
{
    for (size_t i = 0; i < FH_BANDS; ++i) {
        const double inner = pow(inner_of(n, transmittance->v[i]), thickness);
        double in, out, r, sum = 0.0, t;
        slab(n, inner, sqrt(0.5), &in, &r);
        slab(n, inner, 1.0, &out, &r);
        for (int k = 0; k < 200; ++k) { /* Lambert: 2 sin cos dθ = d(cos²) */
            slab(n, inner, sqrt((k + 0.5) / 200.0), &t, &r);
            sum += r / 200.0;
        }
        l->b.v[i] = in * out;
        l->c.v[i] = sum;
    }
    l->kind = SHEET;
}

static void make_looks(void)
{
    const fh_condition targets[3] = {{FH_ILLUMINANT_A, FH_OBSERVER_10},
                                     {FH_ILLUMINANT_F11, FH_OBSERVER_10},
                                     {FH_ILLUMINANT_D50, FH_OBSERVER_2}};
    size_t count = 0;
    for (; count < 3; ++count)
        looks[count] = (look){.group = (int)count, .weights = fh_weights_of(targets[count])};
    set sheets = load_columns("", "plastic_sheets_transmittance_10nm.csv");
    for (size_t i = 0; i < SHEETS; ++i)
        for (int whole = 0; whole < 2; ++whole) {
            look *l = &looks[count++];
            *l = (look){.group = 3 + whole, .weights = fh_weights_of(fh_condition_default())};
            make_sheet(l, i == 6 ? 1.586 : 1.49, &sheets.spectra[i], whole ? 1.0 : 0.3);
        }
    free(sheets.spectra);
    reference t = reference_load("shell_air_gap_monte_carlo.csv");
    for (size_t r = 0; r < t.rows; ++r) {
        const size_t band = (size_t)(reference_number(&t, r, "nm") - 380.0) / 10;
        look *l = &looks[count];
        if (band == 0)
            *l = (look){
                .group = 5, .kind = SERIES, .weights = fh_weights_of(fh_condition_default())};
        for (size_t k = 0; k < 13; ++k) l->series[band][k] = reference_number_at(&t, r, 3 + k);
        if (band == FH_BANDS - 1) ++count;
    }
    reference_free(&t);
    assert_int_equal(count, LOOKS);
}

static double series_at(const double w[13], double rho)
{
    double sum = 0.0, power = 1.0, first = 0.0, later = 0.0;
    for (size_t k = 0; k < 13; ++k) {
        sum += w[k] * power;
        power *= rho;
        if (k >= 1 && k <= 11) first += w[k];
        if (k >= 2) later += w[k];
    }
    const double q = first > 0.0 ? later / first : 0.0;
    return sum + w[12] * power * q / (1.0 - q * rho);
}

static fh_lab seen(const look *l, const fh_spectrum *rho)
{
    fh_spectrum r = *rho;
    if (l->kind != BARE)
        for (size_t i = 0; i < FH_BANDS; ++i)
            r.v[i] = l->kind == SHEET ? l->b.v[i] * rho->v[i] / (1.0 - l->c.v[i] * rho->v[i])
                                      : series_at(l->series[i], rho->v[i]);
    return fh_lab_of_spectrum(&r, &l->weights);
}

static fh_lab bradford(const fh_spectrum *r, const fh_weights *from, const fh_weights *to)
{
    const fh_xyz x = fh_xyz_of_spectrum(r, from);
    const fh_vec3 moved =
        fh_mat3_apply(fh_bradford(from->white, to->white), (fh_vec3){{x.X, x.Y, x.Z}});
    return fh_lab_of_xyz((fh_xyz){moved.v[0], moved.v[1], moved.v[2]}, to->white);
}

/* ΔE00 of one way of estimating, over a set, by group. */
typedef struct errors {
    double *values[GROUPS];
    size_t count[GROUPS];
} errors;

static void add_error(errors *e, int group, double value)
{
    if (e->count[group] % 1024 == 0)
        e->values[group] = realloc(e->values[group], (e->count[group] + 1024) * sizeof(double));
    e->values[group][e->count[group]++] = value;
}

static double mean_of(const errors *e, int group)
{
    double sum = 0.0;
    for (size_t i = 0; i < e->count[group]; ++i) sum += e->values[group][i];
    return e->count[group] ? sum / (double)e->count[group] : 0.0;
}

static int ascending(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double p95_of(errors *e, int group)
{
    if (!e->count[group]) return 0.0;
    qsort(e->values[group], e->count[group], sizeof(double), ascending);
    return e->values[group][(size_t)(0.95 * (double)(e->count[group] - 1))];
}

static double average(const errors *e, int groups)
{
    double sum = 0.0;
    for (int g = 0; g < groups; ++g) sum += mean_of(e, g) / groups;
    return sum;
}

static void free_errors(errors *e)
{
    for (int g = 0; g < GROUPS; ++g) free(e->values[g]);
}

/* Count the true L*, a*, b* inside the 95 % intervals of the draws. */
static void count_cover(const fh_estimate *e, const fh_spectrum *real, uint64_t stream,
                        double inside[GROUPS], double total[GROUPS])
{
    double sum[LOOKS][3] = {{0}}, squares[LOOKS][3] = {{0}};
    for (uint64_t trial = 0; trial < DRAWS; ++trial) {
        double z[FH_ESTIMATE_MODES];
        for (uint64_t k = 0; k < FH_ESTIMATE_MODES; ++k)
            z[k] = fh_random_normal(1, stream, trial, k);
        const fh_spectrum r = fh_estimate_draw(e, (fh_vec3){{0, 0, 0}}, z);
        for (size_t l = 0; l < LOOKS; ++l) {
            const fh_lab lab = seen(&looks[l], &r);
            const double v[3] = {lab.L, lab.a, lab.b};
            for (int i = 0; i < 3; ++i) {
                sum[l][i] += v[i];
                squares[l][i] += v[i] * v[i];
            }
        }
    }
    for (size_t l = 0; l < LOOKS; ++l) {
        const fh_lab truth = seen(&looks[l], real), guess = seen(&looks[l], &e->reflectance);
        const double off[3] = {truth.L - guess.L, truth.a - guess.a, truth.b - guess.b};
        for (int i = 0; i < 3; ++i) {
            const double mean = sum[l][i] / DRAWS,
                         sd = sqrt(fmax(0.0, squares[l][i] / DRAWS - mean * mean));
            total[looks[l].group] += 1.0;
            if (fabs(off[i]) <= 1.96 * sd) inside[looks[l].group] += 1.0;
        }
    }
}

static fh_prior trial_prior(int argc, char **argv)
{
    fh_prior p = fh_prior_standard();
    double *const fields[7] = {&p.mean,   &p.constant, &p.slope, &p.smooth,
                               &p.length, &p.walk,     &p.spread};
    for (int i = 1; i < argc && i <= 7; ++i) *fields[i - 1] = atof(argv[i]);
    return p;
}

static fh_prior prior;
static bool detail, cover;

static void study(void **state)
{
    (void)state;
    set sets[SET_COUNT];
    load_sets(sets);
    make_looks();
    const fh_prior smoothest = fh_prior_smoothest();
    const fh_weights day = fh_weights_of(fh_condition_default());
    double ratio_worst = 0.0, ratio_mean = 0.0, cover_mean = 0.0, cover_least = 1.0,
           bradford_mean = 0.0;
    double mean_ours = 0.0, mean_smooth = 0.0;
    size_t refused = 0;
    for (size_t k = 0; k < SET_COUNT; ++k) {
        errors ours = {{0}, {0}}, smooth = {{0}, {0}}, adapted = {{0}, {0}};
        double inside[GROUPS] = {0}, total[GROUPS] = {0};
        for (size_t i = 0; i < sets[k].count; ++i) {
            const fh_spectrum *real = &sets[k].spectra[i];
            const fh_lab lab = fh_lab_of_spectrum(real, &day);
            fh_estimate e, s;
            if (fh_estimate_under(&prior, lab, &day, &e, NULL, NULL) ||
                fh_estimate_under(&smoothest, lab, &day, &s, NULL, NULL)) {
                ++refused;
                continue;
            }
            for (size_t l = 0; l < LOOKS; ++l) {
                const fh_lab truth = seen(&looks[l], real);
                add_error(&ours, looks[l].group, fh_de2000(truth, seen(&looks[l], &e.reflectance)));
                add_error(&smooth, looks[l].group,
                          fh_de2000(truth, seen(&looks[l], &s.reflectance)));
                if (l < 3)
                    add_error(&adapted, looks[l].group,
                              fh_de2000(truth, bradford(real, &day, &looks[l].weights)));
            }
            if (cover) count_cover(&e, real, (uint64_t)(1000 * k + i), inside, total);
        }
        const double ratio = average(&ours, GROUPS) / average(&smooth, GROUPS);
        const double of_bradford = average(&ours, 3) / average(&adapted, 3);
        double held = 0.0;
        for (int g = 0; g < GROUPS; ++g) held += inside[g] / fmax(1.0, total[g]) / GROUPS;
        printf("%-22s %4zu  ours %.3f  smoothest %.3f  ratio %.3f  of Bradford %.3f  cover %.3f\n",
               sets[k].name, sets[k].count, average(&ours, GROUPS), average(&smooth, GROUPS), ratio,
               of_bradford, held);
        if (detail)
            for (int g = 0; g < GROUPS; ++g)
                printf("    %-12s mean (p95)  ours %.3f (%.2f)  smoothest %.3f (%.2f)  Bradford "
                       "%.3f (%.2f)  cover %.3f\n",
                       group_names[g], mean_of(&ours, g), p95_of(&ours, g), mean_of(&smooth, g),
                       p95_of(&smooth, g), mean_of(&adapted, g), p95_of(&adapted, g),
                       inside[g] / fmax(1.0, total[g]));
        ratio_worst = fmax(ratio_worst, ratio);
        ratio_mean += ratio / SET_COUNT;
        mean_ours += average(&ours, GROUPS) / SET_COUNT;
        mean_smooth += average(&smooth, GROUPS) / SET_COUNT;
        bradford_mean += of_bradford / SET_COUNT;
        cover_mean += held / SET_COUNT;
        cover_least = fmin(cover_least, held);
        free_errors(&ours);
        free_errors(&smooth);
        free_errors(&adapted);
    }
    printf("all: ours %.3f smoothest %.3f; ratio mean %.3f worst %.3f; of Bradford mean %.3f; "
           "cover mean %.3f least %.3f; "
           "refused %zu\n",
           mean_ours, mean_smooth, ratio_mean, ratio_worst, bradford_mean, cover_mean, cover_least,
           refused);
    free_sets(sets);

    /* Own requirements. */
    assert_int_equal(refused, 0);
    check_between(ratio_worst, 0.0, 1.03);
    check_between(ratio_mean, 0.0, 1.0);
    check_between(bradford_mean, 0.0, 0.5);
    if (!cover) return;
    check_between(cover_mean, 0.93, 0.99);
    check_between(cover_least, 0.85, 1.0);
}

int main(int argc, char **argv)
{
    prior = trial_prior(argc, argv);
    detail = argc < 2;
    cover = !getenv("QUICK");
    const struct CMUnitTest tests[] = {cmocka_unit_test(study)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
