/* The look of a stack, beside the plain loop over 36 bands, and its colour. */
#include "bench.h"

#include "farhue/colour.h"
#include "farhue/shell.h"

enum { PARTS = 256 };

typedef struct {
    fh_shell_curves shell;
    fh_spectrum part[PARTS];
    fh_weights weights;
} stacks;

static double plain(void *data, size_t count)
{
    const stacks *s = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        const double *rho = s->part[i % PARTS].v;
        fh_spectrum look;
        for (size_t b = 0; b < FH_BANDS; b++)
            look.v[b] =
                s->shell.A.v[b] + s->shell.B.v[b] * rho[b] / (1.0 - s->shell.C.v[b] * rho[b]);
        sum += look.v[i % FH_BANDS];
    }
    return sum;
}

static double look(void *data, size_t count)
{
    const stacks *s = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        fh_spectrum look = fh_shell_look(&s->shell, &s->part[i % PARTS]);
        sum += look.v[i % FH_BANDS];
    }
    return sum;
}

static double lab(void *data, size_t count)
{
    const stacks *s = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        fh_spectrum look = fh_shell_look(&s->shell, &s->part[i % PARTS]);
        sum += fh_lab_of_spectrum(&look, &s->weights).L;
    }
    return sum;
}

int main(void)
{
    static stacks s;
    for (size_t b = 0; b < FH_BANDS; b++) {
        s.shell.A.v[b] = 0.01;
        s.shell.B.v[b] = 0.05 + 0.02 * (double)b;
        s.shell.C.v[b] = 0.05 + 0.005 * (double)b;
        for (size_t i = 0; i < PARTS; i++) s.part[i].v[b] = (double)(i + b) / (PARTS + FH_BANDS);
    }
    s.weights = fh_weights_of(fh_condition_default());
    bench_title("Stack: shell over an inner part, 36 bands");
    double yardstick = bench_time(plain, &s, 200000);
    bench_line("plain loop", yardstick, 0.0);
    bench_line("fh_shell_look", bench_time(look, &s, 200000), yardstick);
    bench_line("fh_shell_look, then Lab", bench_time(lab, &s, 200000), yardstick);
    return 0;
}
