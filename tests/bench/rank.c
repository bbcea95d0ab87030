/* Ranking a library behind a shell, beside the plain loop: one look and one ΔE00 for each
 * candidate, draw and light, with no uncertainty looked after. */
#include "bench.h"

#include <stdlib.h>

#include "farhue/difference.h"
#include "farhue/rank.h"

enum { CANDIDATES = 100, LIGHTS = 3 };

typedef struct {
    fh_shell *shell;
    fh_target target;
    fh_reading candidates[CANDIDATES];
    fh_ranked out[CANDIDATES];
    fh_rank_options options;
} library;

static double plain(void *data, size_t count)
{
    const library *l = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++)
        for (size_t c = 0; c < CANDIDATES; c++)
            for (size_t t = 0; t < l->options.far_trials; t++) {
                fh_spectrum look = fh_shell_look(&l->shell->curves, &l->candidates[c].reflectance);
                for (size_t k = 0; k < LIGHTS; k++)
                    sum += fh_de2000(l->target.part.lab,
                                     fh_lab_of_spectrum(&look, &l->target.light[k]));
            }
    return sum;
}

static double rank(void *data, size_t count)
{
    library *l = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (fh_rank(&l->target, l->candidates, CANDIDATES, &l->options, l->out, NULL, NULL, NULL))
            abort();
        sum += (double)l->out[0].index;
    }
    return sum;
}

/* A swatch with a spectrum: a step somewhere, on a base. */
static fh_reading swatch(double base, double step, size_t at)
{
    fh_reading r = fh_reading_blank();
    fh_weights weights = fh_weights_of(r.condition);
    r.origin = FH_ORIGIN_SPECTRUM;
    for (size_t b = 0; b < FH_BANDS; b++) r.reflectance.v[b] = base + (b > at ? step : 0.0);
    r.lab = fh_lab_of_spectrum(&r.reflectance, &weights);
    r.random = fh_mat3_diagonal(0.04, 0.04, 0.04);
    return r;
}

int main(void)
{
    static library l;
    l.shell = calloc(1, sizeof *l.shell);
    if (!l.shell) return 4;
    l.shell->kind = FH_SHELL_GIVEN;
    l.shell->method = fh_method_unknown();
    for (size_t b = 0; b < FH_BANDS; b++) {
        l.shell->curves.A.v[b] = 0.01;
        l.shell->curves.B.v[b] = 0.05 + 0.02 * (double)b;
        l.shell->curves.C.v[b] = 0.1;
    }
    fh_reading part = swatch(0.2, 0.3, 14);
    fh_target_init(&l.target, &part, l.shell);
    for (size_t i = 0; i < CANDIDATES; i++) {
        l.candidates[i] = swatch(0.1 + 0.02 * (double)(i % 10), 0.25 + 0.01 * (double)(i / 10), 14);
        l.candidates[i].id[0] = (char)('a' + i % 26);
        l.candidates[i].id[1] = (char)('a' + i / 26);
    }
    l.options = fh_rank_defaults();
    l.options.trials = l.options.far_trials = 200; /* the same for all */

    bench_title("Ranking 100 candidates behind a shell, 3 lights, 200 draws each");
    double yardstick = bench_time(plain, &l, 1);
    bench_line("plain loop: look, Lab, ΔE00", yardstick, 0.0);
    bench_line("fh_rank", bench_time(rank, &l, 1), yardstick);
    free(l.shell);
    return 0;
}
