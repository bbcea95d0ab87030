#include "farhue/draw.h"

#include "base/random.h"

uint64_t fh_draw_stream(const char *name)
{
    return fh_stream_of(name);
}

double fh_draw_normal(uint64_t seed, uint64_t stream, uint64_t trial, uint64_t index)
{
    return fh_random_normal(seed, stream, trial, index);
}

fh_status fh_drawer_of(const fh_reading *reading, const char *own_name, fh_drawer *out)
{
    /* "random: " keeps a reading that is named like a source apart from that source. */
    fh_drawer d = {.own_stream = fh_stream_of("random: ") ^ fh_stream_of(own_name),
                   .shared_count = reading->shared_count};
    if (fh_mat3_cholesky(reading->random, &d.random)) return FH_E_DATA;
    for (size_t i = 0; i < reading->shared_count; ++i) {
        d.stream[i] = fh_stream_of(reading->shared[i].source);
        if (fh_mat3_cholesky(reading->shared[i].covariance, &d.shared[i])) return FH_E_DATA;
    }
    *out = d;
    return FH_OK;
}

static void add_draw(fh_vec3 *sum, const fh_mat3 *factor, uint64_t seed, uint64_t stream,
                     uint64_t trial)
{
    fh_vec3 z;
    for (uint64_t i = 0; i < 3; ++i) z.v[i] = fh_random_normal(seed, stream, trial, i);
    fh_vec3 step = fh_mat3_apply(*factor, z);
    for (int i = 0; i < 3; ++i) sum->v[i] += step.v[i];
}

fh_vec3 fh_draw_error(const fh_drawer *drawer, uint64_t seed, uint64_t trial)
{
    fh_vec3 sum = {{0, 0, 0}};
    add_draw(&sum, &drawer->random, seed, drawer->own_stream, trial);
    for (size_t i = 0; i < drawer->shared_count; ++i)
        add_draw(&sum, &drawer->shared[i], seed, drawer->stream[i], trial);
    return sum;
}
