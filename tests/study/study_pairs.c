/* Two things of one Lab, both known by that Lab alone: how much of what it leaves open do they have
 * in common? docs/accuracy.md, "From Lab alone".
 *
 * Pairs of measured spectra from different sets whose colours differ by less than 3 ΔE00 for
 * D65/10. The estimate of each misses its true look by d, in L*, a*, b*; were the misses of a pair
 * independent, the difference of the two would vary as the sum. Also what the estimates say of
 * themselves: the variance of their modes. Bare under A, and behind the exact amber shell under D65
 * and A. Then what verdicts come of it: one of a pair as the target, the other as the coupon, both
 * by their Lab alone and exact, behind that shell and bare, tolerance 2, against the truth. */
#include <math.h>

#include "exact.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "farhue/verdict.h"
#include "sets.h"

enum { VIEWS = 3, MOST = 4000 };

static exact_shell shells[EXACT_SHELLS];
static fh_weights day, lamp;

typedef struct object {
    int set;
    const fh_spectrum *R;
    fh_lab lab;
    double miss[VIEWS][3], stated[VIEWS][3]; /* stated: variance */
} object;

static object objects[MOST];
static size_t object_count;

static fh_lab view_of(const fh_spectrum *R, int view)
{
    const fh_spectrum look = view == 0 ? *R : exact_look(&shells[0], R);
    return fh_lab_of_spectrum(&look, view == 1 ? &day : &lamp);
}

static void subtract(fh_lab a, fh_lab b, double out[3])
{
    out[0] = a.L - b.L;
    out[1] = a.a - b.a;
    out[2] = a.b - b.b;
}

static void add_object(int from, const fh_spectrum *R)
{
    fh_estimate estimate;
    object *o = &objects[object_count];
    *o = (object){.set = from, .R = R, .lab = fh_lab_of_spectrum(R, &day)};
    if (object_count == MOST || fh_estimate_spectrum(o->lab, &day, &estimate, NULL, NULL)) return;
    for (int v = 0; v < VIEWS; ++v) {
        const fh_lab guess = view_of(&estimate.reflectance, v);
        subtract(view_of(R, v), guess, o->miss[v]);
        for (size_t k = 0; k < estimate.mode_count; ++k) {
            double z[FH_ESTIMATE_MODES] = {0}, moved[3];
            z[k] = 1.0;
            const fh_spectrum drawn = fh_estimate_draw(&estimate, (fh_vec3){{0, 0, 0}}, z);
            subtract(view_of(&drawn, v), guess, moved);
            for (int c = 0; c < 3; ++c) o->stated[v][c] += moved[c] * moved[c];
        }
    }
    ++object_count;
}

static void tell(int view, double most_dE)
{
    static const char *const names[VIEWS] = {"bare, A", "amber, D65", "amber, A"};
    double sum[3] = {0}, apart[3] = {0}, stated[3] = {0};
    size_t pairs = 0;
    for (size_t i = 0; i < object_count; ++i)
        for (size_t j = i + 1; j < object_count; ++j) {
            const object *a = &objects[i], *b = &objects[j];
            if (a->set == b->set || fh_de2000(a->lab, b->lab) > most_dE) continue;
            for (int c = 0; c < 3; ++c) {
                const double d = a->miss[view][c] - b->miss[view][c];
                sum[c] += a->miss[view][c] * a->miss[view][c] + b->miss[view][c] * b->miss[view][c];
                apart[c] += d * d;
                stated[c] += a->stated[view][c] + b->stated[view][c];
            }
            ++pairs;
        }
    printf("%-10s within %.0f: %6zu pairs;", names[view], most_dE, pairs);
    for (int c = 0; c < 3; ++c)
        printf("  %c*: apart/sum %.2f, apart/stated %.2f", "Lab"[c], apart[c] / sum[c],
               apart[c] / stated[c]);
    printf("\n");
}

/* How often the difference of two misses lies in the 95 % interval of the stated variance times a
 * factor, for the pairs of one set with all others, on the three axes of the amber look under A. */
static void cover(int from, const char *name, double most_dE)
{
    static const double factors[] = {1.0, 0.5, 0.33};
    size_t pairs = 0, held[3] = {0};
    for (size_t i = 0; i < object_count; ++i)
        for (size_t j = 0; j < object_count && objects[i].set == from; ++j) {
            const object *a = &objects[i], *b = &objects[j];
            if (a->set == b->set || fh_de2000(a->lab, b->lab) > most_dE) continue;
            for (int v = 0; v < VIEWS; ++v)
                for (int c = 0; c < 3; ++c) {
                    const double d = fabs(a->miss[v][c] - b->miss[v][c]);
                    const double variance = a->stated[v][c] + b->stated[v][c];
                    for (int f = 0; f < 3; ++f) held[f] += d <= 1.96 * sqrt(factors[f] * variance);
                }
            ++pairs;
        }
    if (pairs == 0) return;
    printf("%-22s %6zu pairs; cover %.1f %%", name, pairs,
           100.0 * (double)held[0] / (double)(3 * VIEWS * pairs));
    for (int f = 1; f < 3; ++f)
        printf(", with %.2f of the variance %.1f %%", factors[f],
               100.0 * (double)held[f] / (double)(3 * VIEWS * pairs));
    printf("\n");
}

static fh_reading by_lab(const char *id, const object *o)
{
    fh_reading r = fh_reading_blank();
    strcpy(r.id, id);
    r.lab = o->lab;
    return r;
}

/* The largest true ΔE00 over the target's lights. */
static double truth(const fh_target *target, const object *a, const object *b)
{
    double worst = 0.0;
    for (size_t i = 0; i < target->light_count; ++i) {
        const fh_spectrum one = target->shell ? exact_look(&shells[0], a->R) : *a->R,
                          two = target->shell ? exact_look(&shells[0], b->R) : *b->R;
        worst = fmax(worst, fh_de2000(fh_lab_of_spectrum(&one, &target->light[i]),
                                      fh_lab_of_spectrum(&two, &target->light[i])));
    }
    return worst;
}

static void verdicts(const fh_shell *shell)
{
    fh_verdict_options options = fh_verdict_defaults();
    options.trials = 1000;
    options.settle = false;
    size_t count[3] = {0}, wrong[3] = {0};
    for (size_t i = 0; i < object_count; ++i)
        for (size_t j = 0; j < object_count; ++j) {
            const object *a = &objects[i], *b = &objects[j];
            if (a->set == b->set || fh_de2000(a->lab, b->lab) > 3.0) continue;
            const fh_reading part = by_lab("part", a), coupon = by_lab("coupon", b);
            fh_target target;
            fh_verdict v;
            fh_target_init(&target, &part, shell);
            assert_int_equal(fh_judge(&target, &coupon, &options, &v, NULL, NULL, NULL), FH_OK);
            const bool fits = truth(&target, a, b) <= target.tolerance;
            ++count[v.decision];
            wrong[v.decision] += v.decision == FH_ACCEPT ? !fits : fits;
        }
    printf("%s: accept %zu (wrongly %zu), reject %zu (wrongly %zu), measure again %zu\n",
           shell ? "behind the shell" : "bare", count[FH_ACCEPT], wrong[FH_ACCEPT],
           count[FH_REJECT], wrong[FH_REJECT], count[FH_MEASURE_AGAIN]);
    check(20 * wrong[FH_ACCEPT] <= count[FH_ACCEPT]);
    check(20 * wrong[FH_REJECT] <= count[FH_REJECT]);
}

static void run(void **state)
{
    (void)state;
    static set sets[SET_COUNT];
    exact_load(shells);
    load_sets(sets);
    day = fh_weights_of((fh_condition){FH_ILLUMINANT_D65, FH_OBSERVER_10});
    lamp = fh_weights_of((fh_condition){FH_ILLUMINANT_A, FH_OBSERVER_10});
    for (int s = 0; s < SET_COUNT; ++s) {
        /* One of the three charts, and no pairs that were made to be metameric. */
        if (strcmp(sets[s].name, "metamers") == 0 || strcmp(sets[s].name, "chart, 1997") == 0 ||
            strcmp(sets[s].name, "chart, 2012") == 0)
            continue;
        for (size_t i = 0; i < sets[s].count; ++i) add_object(s, &sets[s].spectra[i]);
    }
    printf("%zu objects; shell %s %s\n", object_count, shells[0].shell, shells[0].geometry);
    for (int v = 0; v < VIEWS; ++v) {
        tell(v, 3.0);
        tell(v, 6.0);
    }
    for (int k = 0; k < SET_COUNT; ++k) cover(k, sets[k].name, 3.0);
    static fh_shell amber;
    const fh_spectrum black = fh_spectrum_flat(0.0), grey = fh_spectrum_flat(0.4),
                      white = fh_spectrum_flat(0.9);
    const fh_spectrum looks[3] = {exact_look(&shells[0], &black), exact_look(&shells[0], &grey),
                                  exact_look(&shells[0], &white)};
    for (size_t i = 0; i < FH_BANDS; ++i) {
        /* A, B and C through the three looks: (y − A)/ρ = B + C (y − A). */
        const double u = looks[1].v[i] - looks[0].v[i], v = looks[2].v[i] - looks[0].v[i];
        amber.curves.A.v[i] = looks[0].v[i];
        amber.curves.C.v[i] = (v / 0.9 - u / 0.4) / (v - u);
        amber.curves.B.v[i] = u / 0.4 - amber.curves.C.v[i] * u;
    }
    verdicts(&amber);
    verdicts(NULL);
    free_sets(sets);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(run)};
    return cmocka_run_group_tests_name("study of pairs of one Lab", tests, NULL, NULL);
}
