/* CIEDE2000, beside the same of lcms2. */
#include "bench.h"

#include "base/random.h"
#include "farhue/difference.h"

#include <lcms2.h>

enum { PAIRS = 4096 };

typedef struct {
    fh_lab a[PAIRS], b[PAIRS];
    float L[PAIRS], A[PAIRS], B[PAIRS], out[PAIRS];
} pairs;

static double ours(void *data, size_t count)
{
    pairs *p = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) sum += fh_de2000(p->a[i % PAIRS], p->b[i % PAIRS]);
    return sum;
}

static double theirs(void *data, size_t count)
{
    pairs *p = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        fh_lab a = p->a[i % PAIRS], b = p->b[i % PAIRS];
        cmsCIELab one = {a.L, a.a, a.b}, two = {b.L, b.a, b.b};
        sum += cmsCIE2000DeltaE(&one, &two, 1.0, 1.0, 1.0);
    }
    return sum;
}

static double batch(void *data, size_t count)
{
    pairs *p = data;
    for (size_t i = 0; i < count; i += PAIRS)
        fh_de2000_batch(p->a[0], p->L, p->A, p->B, PAIRS, p->out);
    return (double)p->out[PAIRS - 1];
}

int main(void)
{
    static pairs p;
    for (size_t i = 0; i < PAIRS; i++) {
        fh_lab a = {100.0 * fh_random_uniform(1, 0, i, 0),
                    160.0 * fh_random_uniform(1, 0, i, 1) - 80.0,
                    160.0 * fh_random_uniform(1, 0, i, 2) - 80.0};
        p.a[i] = a;
        p.b[i] = (fh_lab){a.L, a.a + 3.0 * fh_random_uniform(1, 0, i, 3), a.b - 2.0};
        p.L[i] = (float)p.b[i].L;
        p.A[i] = (float)p.b[i].a;
        p.B[i] = (float)p.b[i].b;
    }
    bench_title("CIEDE2000, one pair");
    double yardstick = bench_time(theirs, &p, 64 * PAIRS);
    bench_line("lcms2, cmsCIE2000DeltaE", yardstick, 0.0);
    bench_line("fh_de2000", bench_time(ours, &p, 64 * PAIRS), yardstick);
    bench_line("fh_de2000_batch", bench_time(batch, &p, 64 * PAIRS), yardstick);
    return 0;
}
