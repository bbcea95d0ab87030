/* Calls that follow a batch: what was put in, and what to add. */
#include "base/error.h"
#include "base/memory.h"
#include "page/door.h"
#include "page/pots.h"
#include "page/tie.h"

/* One thing that was put in, as it was typed: kept when the pots know all of it. */
static fh_status call_batch_add(page_desk *desk, const page_request *r, page_json *j,
                                fh_error *error)
{
    (void)j;
    fh_buffer value = {0};
    const fh_paints *paints;
    fh_batch batch = {.paint_count = 0};
    fh_status status = pots_fit(desk, &paints, error);
    if (!status && !request_whole(r, "value", &value))
        status = fh_fail(error, FH_E_DATA, "Nothing was put in.");
    if (!status)
        status = fh_quantity_add(value.text, paints->paints, paints->count, 0, &batch, error);
    if (!status && !batch.paint_count) status = fh_fail(error, FH_E_DATA, "Nothing was put in.");
    if (!status)
        status = desk_add_step(&desk->now.settings, (fh_slice){value.text, value.length}, error);
    fh_buffer_free(&value);
    return status;
}

/* Begin anew. */
static fh_status call_batch_clear(page_desk *desk, const page_request *r, page_json *j,
                                  fh_error *error)
{
    (void)r, (void)j, (void)error;
    desk->now.settings.paint.steps = 0;
    desk_clear(&desk->now.tray[TRAY_PAINTED]);
    return FH_OK;
}

/* A batch and its paint-outs, corrected by the chips where that is wanted. About 20 KiB: on the
 * heap.
 */
typedef struct followed {
    fh_batch batch;
    fh_reading outs[FH_BATCH_STEPS];
} followed;

/* why: a sentence where a paint-out could not be tied though that is wanted. */
static fh_status gather_batch(const desk_state *job, const fh_paints *paints, followed *f,
                              char why[TIE_WHY], fh_error *error)
{
    const desk_painting *told = &job->settings.paint;
    const desk_readings *outs = &job->tray[TRAY_PAINTED];
    if (!told->steps || outs->count != told->steps)
        return fh_fail(
            error, FH_E_DATA,
            "Something was put in %zu times, paint-outs: %zu; expected one dry paint-out "
            "read after each.",
            told->steps, outs->count);
    f->batch.step_count = told->steps;
    why[0] = '\0';
    for (size_t k = 0; k < told->steps; k++) {
        char one[TIE_WHY];
        f->outs[k] = tie_candidate(job, &outs->items[k], one, sizeof one);
        if (one[0]) fh_copy_text(why, TIE_WHY, one);
        f->batch.step[k].paint_out = &f->outs[k];
        fh_status status =
            fh_quantity_add(told->added[k], paints->paints, paints->count, k, &f->batch, error);
        if (status) return status;
    }
    return FH_OK;
}

static void write_advice(page_json *j, const page_pots *pots, const fh_batch *batch,
                         const fh_batch_advice *advice)
{
    json_number(j, "dE00", advice->now);
    json_bool(j, "significant", advice->significant);
    json_bool(j, "within", advice->within);
    json_number(j, "tolerance", pots->stack.target.tolerance);
    json_bool(j, "helps", advice->helps);
    json_number(j, "size_ml", advice->size);
    json_number(j, "new_size_ml", advice->new_size);
    json_number(j, "predicted", advice->predicted);
    json_bool(j, "strange", advice->surprise > FH_BATCH_STRANGE);
    json_bool(j, "beyond", advice->surprise > FH_BATCH_BEYOND);
    json_open(j, "learned", '[');
    for (size_t i = 0; i < batch->paint_count; i++) {
        const fh_paint *one = &pots->paints->paints[batch->paint[i]];
        json_open(j, NULL, '{');
        json_text(j, "id", one->id);
        json_text(j, "name", one->name[0] ? one->name : one->id);
        json_number(j, "K", advice->learned_K[i]);
        json_number(j, "S", advice->learned_S[i]);
        json_close(j, '}');
    }
    json_close(j, ']');
    json_bool(j, "finish", pots_finished(pots));
    if (!advice->significant || !advice->helps) return;
    json_open(j, "add", '{');
    pots_write_amounts(j, pots->paints, batch->paint, advice->add, batch->paint_count);
    json_close(j, '}');
}

static fh_status correct(page_pots *pots, followed *f, fh_batch_advice *advice, fh_error *error)
{
    const fh_batch *batch = &f->batch;
    fh_batch_options options = fh_batch_options_for(&pots->stack.target);
    fh_reading part = pots->stack.target.part;
    part.method = fh_target_way(&pots->stack.target);
    fh_status status =
        fh_paints_batch_faces(pots->paints, &pots->wish, false, &part, batch, &options, error);
    for (size_t p = 0; p < batch->paint_count && !status; p++)
        status = fh_quantity_ml(pots->least, &pots->paints->paints[batch->paint[p]],
                                &options.step[p], error);
    if (status) return status;
    return fh_batch_correct(&pots->stack.target, pots->paints->paints, batch, &options, advice,
                            error);
}

/* A further pot that the request lets in. */
static fh_status let_in(const page_request *r, const fh_paints *paints, fh_batch *batch,
                        fh_error *error)
{
    char id[FH_ID];
    size_t place;
    if (!request_text(r, "also", id, sizeof id) || !id[0]) return FH_OK;
    return fh_batch_place(id, paints->paints, paints->count, batch, &place, error);
}

static fh_status call_batch(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    fh_batch_advice advice;
    char why[TIE_WHY];
    page_pots *pots = fh_allocate(1, sizeof *pots);
    followed *f = fh_allocate(1, sizeof *f);
    fh_status status = pots && f ? pots_open(desk, pots, error) : FH_E_MEMORY;
    if (!status) status = gather_batch(&desk->now, pots->paints, f, why, error);
    if (!status) status = let_in(r, pots->paints, &f->batch, error);
    if (!status) status = correct(pots, f, &advice, error);
    if (!status) {
        json_text(j, "tie", why);
        write_advice(j, pots, &f->batch, &advice);
    }
    if (pots) pots_close(pots);
    fh_free(pots);
    fh_free(f);
    return status;
}

const page_entry page_batch_calls[] = {{"batch-add", call_batch_add, true},
                                       {"batch-clear", call_batch_clear, true},
                                       {"batch", call_batch, false},
                                       {NULL, NULL, false}};
