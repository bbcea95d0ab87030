/* Verdicts on simulated coupons and workshops, whose truth is known: docs/accuracy.md quotes this.
 *
 * A pair of workshops: each instrument is off by a constant of its own, normal with the given
 * standard deviation on L*, a* and b*; readings scatter; the true coupon lies anywhere around the
 * target (a flat prior, in which the stated probability is the truth of it). */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/random.h"
#include "exact.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "farhue/tolerance.h"
#include "farhue/verdict.h"

enum { COUPONS = 6000, BINS = 10, TRIALS = 400 };

static fh_shell shell;

static fh_mat3 sigma(double s)
{
    return fh_mat3_diagonal(s * s, s * s, s * s);
}

/* An amber shell, given by its curves (invented). */
static void make_shell(void)
{
    shell.kind = FH_SHELL_GIVEN;
    shell.method = fh_method_unknown();
    for (int i = 0; i < FH_BANDS; ++i) {
        shell.curves.A.v[i] = 0.01;
        shell.curves.B.v[i] = 0.05 + 0.5 / (1.0 + exp(-(fh_band_nm((size_t)i) - 520.0) / 20.0));
        shell.curves.C.v[i] = 0.1;
    }
}

typedef struct tally {
    double stated[BINS], within[BINS], count[BINS];
    double decided[3], wrong[3];
} tally;

static fh_vec3 draw(uint64_t stream, uint64_t coupon, double s)
{
    fh_vec3 e;
    for (uint64_t k = 0; k < 3; ++k) e.v[k] = s * fh_random_normal(11, stream, coupon, k);
    return e;
}

static fh_lab moved(fh_lab lab, fh_vec3 by)
{
    return (fh_lab){lab.L + by.v[0], lab.a + by.v[1], lab.b + by.v[2]};
}

/* One coupon: what it is, what the two read, what the verdict says, and whether that is so. */
static void one_coupon(uint64_t i, const fh_target *truth, double bias, double noise, tally *t)
{
    static fh_target read;
    fh_estimate own;
    fh_verdict verdict;
    fh_vec3 away;
    fh_verdict_options options = {.trials = TRIALS, .seed = 100 + i};
    if (fh_estimate_of_reading(&truth->part, &own, NULL)) return;
    for (uint64_t k = 0; k < 3; ++k) away.v[k] = 9.0 * truth->tolerance * (fh_random_uniform(12, 1, i, k) - 0.5);
    fh_spectrum coupon = fh_estimate_draw(&own, away, NULL);
    bool within = fh_seen_difference(truth, &coupon, NULL) <= truth->tolerance;

    read = *truth;
    read.part.lab = moved(moved(truth->part.lab, draw(2, i, bias)), draw(3, i, noise));
    read.part.reflectance = fh_estimate_draw(
        &own, (fh_vec3){{read.part.lab.L - own.lab.L, read.part.lab.a - own.lab.a,
                         read.part.lab.b - own.lab.b}}, NULL);
    fh_reading reading = fh_reading_blank();
    strcpy(reading.id, "coupon");
    reading.origin = FH_ORIGIN_SPECTRUM;
    fh_vec3 off = draw(4, i, bias), scatter = draw(5, i, noise);
    for (int k = 0; k < 3; ++k) off.v[k] += away.v[k] + scatter.v[k];
    reading.reflectance = fh_estimate_draw(&own, off, NULL);
    reading.lab = moved(own.lab, off);
    read.part.random = reading.random = sigma(noise);
    fh_reading_add_shared(&read.part, "instrument: owner", sigma(bias));
    fh_reading_add_shared(&reading, "instrument: helper", sigma(bias));
    if (fh_judge(&read, &reading, &options, &verdict, NULL, NULL, NULL)) return;

    int bin = (int)fmin(floor(verdict.p_within * BINS), BINS - 1);
    t->stated[bin] += verdict.p_within;
    t->within[bin] += within;
    t->count[bin] += 1.0;
    t->decided[verdict.decision] += 1.0;
    t->wrong[verdict.decision] += verdict.decision == FH_ACCEPT ? !within : within;
}

static void study(const char *what, const fh_shell *in_front, double bias, double noise,
                  double tolerance)
{
    static fh_target truth;
    tally t = {.decided = {0}};
    fh_reading part = exact_reading("part", exact_part(5));
    fh_target_init(&truth, &part, in_front);
    truth.tolerance = tolerance;
    for (uint64_t i = 0; i < COUPONS; ++i) one_coupon(i, &truth, bias, noise, &t);
    printf("\n%s, bias %.1f per axis, scatter %.1f, tolerance %.1f\n", what, bias, noise, tolerance);
    printf("stated P   coupons   truly within\n");
    for (int bin = 0; bin < BINS; ++bin)
        if (t.count[bin] > 0)
            printf("  %.3f    %6.0f      %.3f\n", t.stated[bin] / t.count[bin], t.count[bin],
                   t.within[bin] / t.count[bin]);
    printf("accepted %.0f, wrongly %.1f %%; rejected %.0f, wrongly %.1f %%; measure again %.0f\n",
           t.decided[FH_ACCEPT], 100.0 * t.wrong[FH_ACCEPT] / fmax(1.0, t.decided[FH_ACCEPT]),
           t.decided[FH_REJECT], 100.0 * t.wrong[FH_REJECT] / fmax(1.0, t.decided[FH_REJECT]),
           t.decided[FH_MEASURE_AGAIN]);
}

int main(void)
{
    make_shell();
    study("through an amber shell", &shell, 0.5, 0.2, 2.0);
    study("through an amber shell", &shell, 0.8, 0.2, 2.0);
    study("through an amber shell", &shell, 0.8, 0.2, 4.0);
    study("bare", NULL, 0.8, 0.2, 2.0);
    study("bare", NULL, 0.8, 0.2, 4.0);
    return 0;
}
