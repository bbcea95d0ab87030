/* The law of propagation [JCGM100, 5.1] from the readings to the curves of the shell.
 *
 * An error of a reading moves its Lab by a column of the covariance's Cholesky factor, its spectrum
 * by the spectral gain, and the curves through the fit's normal equations. Each reading's random
 * error is its own. A shared source moves all readings that carry its tag at once, with the
 * standard normals of that tag: the same numbers that target and candidates draw. */
#include "optics/shell_work.h"

#include "base/error.h"
#include "base/memory.h"
#include "base/random.h"
#include "optics/mode_pool.h"

#include <string.h>

enum { PRIVATE_MODES = FH_SHELL_MODES - 3 * FH_SHARED_MAX };

/* Readings by number: look and backing of each sample in turn, then the transmittance. */
static size_t side_count(const fh_shell_work *work)
{
    return 2 * work->count + (work->has_transmittance ? 1 : 0);
}

static const fh_shell_side *side_of(const fh_shell_work *work, size_t which)
{
    if (which == 2 * work->count) return &work->transmittance;
    return which % 2 == 0 ? &work->look[which / 2] : &work->backing[which / 2];
}

/* Add to step what the curves do when the spectrum of a reading moves by dR. */
static void move_by(const fh_shell_work *work, size_t which, const fh_spectrum *dR,
                    fh_shell_curves *step)
{
    const bool is_look = which % 2 == 0, transmitted = which == 2 * work->count;
    const fh_shell_side *look = &work->look[transmitted ? 0 : which / 2];
    const fh_shell_side *backing = &work->backing[transmitted ? 0 : which / 2];
    for (size_t i = 0; i < FH_BANDS; ++i) {
        const double d = dR->v[i];
        double moved[3] = {0, 0, 0};
        if (transmitted)
            for (int c = 0; c < 3; ++c) moved[c] = work->band[i].transmitted[c] * d;
        else
            fh_band_fit_move(&work->band[i], backing->R.v[i], look->sigma.v[i], backing->sigma.v[i],
                             is_look ? d : 0.0, is_look ? 0.0 : d, moved);
        step->A.v[i] += moved[0];
        step->B.v[i] += moved[1];
        step->C.v[i] += moved[2];
    }
}

/* The same when the reading's Lab moves by column k of factor. */
static void move(const fh_shell_work *work, size_t which, const fh_mat3 *factor, int k,
                 fh_shell_curves *step)
{
    const fh_spectrum *gain = side_of(work, which)->gain;
    fh_spectrum dR = fh_spectrum_flat(0.0);
    for (int c = 0; c < 3; ++c) dR = fh_spectrum_add(dR, gain[c], factor->m[c][k]);
    move_by(work, which, &dR, step);
}

static fh_status carry_random(const fh_shell_work *work, fh_mode_pool *pool)
{
    for (size_t which = 0; which < side_count(work); ++which) {
        const fh_shell_side *side = side_of(work, which);
        fh_mat3 factor;
        if (fh_mat3_cholesky(side->random, &factor)) return FH_E_DATA;
        for (size_t k = 0; k < 3 + side->open_count; ++k) {
            fh_shell_curves step;
            memset(&step, 0, sizeof step);
            if (k < 3)
                move(work, which, &factor, (int)k, &step);
            else
                move_by(work, which, &side->open[k - 3], &step);
            fh_status status = fh_mode_pool_add(pool, &step);
            if (status) return status;
        }
    }
    if (work->has_index_step) {
        fh_status status = fh_mode_pool_add(pool, &work->index_step);
        if (status) return status;
    }
    return fh_mode_pool_reduce(pool, PRIVATE_MODES);
}

static const fh_shared *find(const fh_reading *reading, const char *source)
{
    for (size_t i = 0; i < reading->shared_count; ++i)
        if (strcmp(reading->shared[i].source, source) == 0) return &reading->shared[i];
    return NULL;
}

/* The first reading that carries a source takes it for all; the others then pass. */
static bool seen_before(const fh_shell_work *work, size_t which, const char *source)
{
    for (size_t earlier = 0; earlier < which; ++earlier)
        if (find(side_of(work, earlier)->reading, source)) return true;
    return false;
}

static fh_status carry_source(const fh_shell_work *work, const char *source, fh_shell *shell)
{
    if (shell->mode_count + 3 > FH_SHELL_MODES) return FH_E_LIMIT;
    fh_shell_mode *mode = &shell->mode[shell->mode_count];
    memset(mode, 0, 3 * sizeof *mode);
    for (size_t which = 0; which < side_count(work); ++which) {
        const fh_shared *shared = find(side_of(work, which)->reading, source);
        fh_mat3 factor;
        if (!shared) continue;
        if (fh_mat3_cholesky(shared->covariance, &factor)) return FH_E_DATA;
        for (int k = 0; k < 3; ++k) move(work, which, &factor, k, &mode[k].step);
    }
    for (unsigned k = 0; k < 3; ++k) {
        mode[k].stream = fh_stream_of(source);
        mode[k].index = k;
    }
    shell->mode_count += 3;
    return FH_OK;
}

static fh_status carry_shared(const fh_shell_work *work, fh_shell *shell)
{
    for (size_t which = 0; which < side_count(work); ++which) {
        const fh_reading *reading = side_of(work, which)->reading;
        for (size_t i = 0; i < reading->shared_count; ++i) {
            if (seen_before(work, which, reading->shared[i].source)) continue;
            fh_status status = carry_source(work, reading->shared[i].source, shell);
            if (status) return status;
        }
    }
    return FH_OK;
}

/* A stream of this fit's own: its id and the figures that it came from. */
static uint64_t own_stream(const fh_shell_work *work, const fh_shell *shell)
{
    uint64_t stream = fh_stream_of("shell: ") ^ fh_stream_of(shell->id);
    for (size_t which = 0; which < side_count(work); ++which) {
        uint64_t bits;
        memcpy(&bits, &side_of(work, which)->R.v[FH_BANDS / 2], sizeof bits);
        stream = fh_random_bits(stream, bits, which, 0);
    }
    return stream;
}

fh_status fh_shell_carry(const fh_shell_work *work, fh_shell *shell, fh_error *error)
{
    fh_mode_pool *pool = fh_allocate(1, sizeof *pool);
    if (!pool) return fh_fail(error, FH_E_MEMORY, "not enough memory for the shell");
    fh_status status = carry_random(work, pool);
    shell->mode_count = 0;
    for (size_t j = 0; !status && j < pool->count; ++j) {
        fh_shell_mode *mode = &shell->mode[shell->mode_count++];
        mode->stream = own_stream(work, shell);
        mode->index = (unsigned)j;
        mode->step = pool->step[j];
    }
    fh_free(pool);
    if (!status) status = carry_shared(work, shell);
    if (status == FH_E_DATA)
        return fh_fail(error, status,
                       "a reading's covariance isn't positive semi-definite; expected "
                       "one that a measurement can have");
    if (status == FH_E_LIMIT)
        return fh_fail(error, status,
                       "the readings of the shell name more than %d sources of "
                       "error; expected at most that many",
                       (int)FH_SHARED_MAX);
    if (status) return fh_fail(error, status, "not enough memory for the shell");
    return FH_OK;
}
