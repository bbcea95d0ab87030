/* Timing for the bench programs: the best of several rounds, so that a busy machine matters less.
 * Results are printed as time per operation and as a ratio to a yardstick of the same run. */
#ifndef FARHUE_BENCH_H
#define FARHUE_BENCH_H

#include <stdio.h>
#include <time.h>

/* A piece of work, done `count` times; the sum that it returns keeps the compiler honest. */
typedef double (*bench_work)(void *data, size_t count);

static inline double bench_now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Seconds per operation: the fastest of 5 rounds. */
static inline double bench_time(bench_work work, void *data, size_t count)
{
    static volatile double sink;
    double best = 1e9;
    for (int round = 0; round < 5; round++) {
        double start = bench_now();
        sink = work(data, count);
        double each = (bench_now() - start) / (double)count;
        best = each < best ? each : best;
    }
    (void)sink;
    return best;
}

static inline void bench_title(const char *title)
{
    printf("%s\n", title);
}

/* One line; yardstick 0 for the yardstick itself. */
static inline void bench_line(const char *what, double seconds, double yardstick)
{
    const char *unit = seconds < 1e-6 ? "ns" : seconds < 1e-3 ? "µs" : "ms";
    double scale = seconds < 1e-6 ? 1e9 : seconds < 1e-3 ? 1e6 : 1e3;
    printf("  %-46s %10.1f %s", what, seconds * scale, unit);
    if (yardstick > 0.0) printf("   %6.2f ×", seconds / yardstick);
    printf("\n");
}

#endif
