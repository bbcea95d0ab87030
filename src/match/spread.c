#include "match/spread.h"

#include <math.h>

static void sink(float *heap, size_t at, size_t count)
{
    for (;;) {
        size_t child = 2 * at + 1;
        if (child >= count) return;
        if (child + 1 < count && heap[child + 1] > heap[child]) ++child;
        if (!(heap[child] > heap[at])) return;
        float swap = heap[at];
        heap[at] = heap[child];
        heap[child] = swap;
        at = child;
    }
}

void fh_sort_floats(float *values, size_t count)
{
    for (size_t i = count / 2; i-- > 0;) sink(values, i, count);
    for (size_t left = count; left > 1; --left) {
        float swap = values[0];
        values[0] = values[left - 1];
        values[left - 1] = swap;
        sink(values, 0, left - 1);
    }
}

/* Linear between the order statistics. */
static double quantile(const float *sorted, size_t count, double p)
{
    double at = p * (double)(count - 1);
    size_t low = (size_t)floor(at);
    if (low + 1 >= count) return (double)sorted[count - 1];
    double part = at - (double)low;
    return (1.0 - part) * (double)sorted[low] + part * (double)sorted[low + 1];
}

fh_interval fh_spread_of(float *values, size_t count)
{
    fh_sort_floats(values, count);
    return (fh_interval){.low = quantile(values, count, 0.025),
                         .median = quantile(values, count, 0.5),
                         .high = quantile(values, count, 0.975)};
}

double fh_share_within(const float *values, size_t count, double limit)
{
    size_t inside = 0;
    for (size_t i = 0; i < count; ++i) inside += (double)values[i] <= limit;
    return (double)inside / (double)count;
}
