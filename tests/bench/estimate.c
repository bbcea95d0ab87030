/* Estimated spectra, draws from them and the nearest possible colour, beside the Lab of a spectrum.
 */
#include "bench.h"

#include <stdlib.h>

#include "farhue/estimate.h"

typedef struct {
    fh_weights day;
    fh_estimate estimate;
} job;

static fh_lab colour(size_t i)
{
    return (fh_lab){30.0 + (double)(i % 50), (double)(i % 41) - 20.0, (double)(i % 37) - 10.0};
}

static double colours(void *data, size_t count)
{
    job *j = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; ++i) {
        j->estimate.reflectance.v[i % FH_BANDS] += 1e-9;
        sum += fh_lab_of_spectrum(&j->estimate.reflectance, &j->day).L;
    }
    return sum;
}

static double estimates(void *data, size_t count)
{
    job *j = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; ++i) {
        if (fh_estimate_spectrum(colour(i), &j->day, &j->estimate, NULL, NULL)) abort();
        sum += j->estimate.reflectance.v[i % FH_BANDS];
    }
    return sum;
}

static double draws(void *data, size_t count)
{
    job *j = data;
    double sum = 0.0, z[FH_ESTIMATE_MODES];
    for (size_t i = 0; i < count; ++i) {
        for (size_t k = 0; k < FH_ESTIMATE_MODES; ++k) z[k] = (double)((i + k) % 5) - 2.0;
        sum += fh_estimate_draw(&j->estimate, (fh_vec3){{0.1, 0.2, -0.1}}, z).v[i % FH_BANDS];
    }
    return sum;
}

static double nearest(void *data, size_t count)
{
    job *j = data;
    double sum = 0.0;
    for (size_t i = 0; i < count; ++i) {
        fh_lab near;
        if (fh_nearest_possible((fh_lab){50.0, 130.0 + (double)(i % 9), 20.0}, &j->day, &near))
            abort();
        sum += near.a;
    }
    return sum;
}

int main(void)
{
    static job j;
    j.day = fh_weights_of(fh_condition_default());
    if (fh_estimate_spectrum(colour(7), &j.day, &j.estimate, NULL, NULL)) abort();
    bench_title("estimated spectra");
    const double yard = bench_time(colours, &j, 100000);
    bench_line("Lab of a spectrum", yard, 0.0);
    bench_line("draw from an estimate", bench_time(draws, &j, 20000), yard);
    bench_line("estimate", bench_time(estimates, &j, 500), yard);
    bench_line("nearest possible colour", bench_time(nearest, &j, 100), yard);
    return 0;
}
