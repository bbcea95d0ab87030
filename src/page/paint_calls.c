/* Calls that paint: the pots, recipes for the target, what to add to a batch. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/difference.h"
#include "farhue/hide.h"
#include "farhue/names.h"
#include "farhue/words.h"
#include "page/door.h"
#include "page/pots.h"
#include "page/tie.h"

/* --- The pots --------------------------------------------------------------------------------- */

static fh_spectrum coat_of(const fh_paints *paints, size_t paint)
{
    const fh_blend alone = {1, {paint}, {1.0}};
    return fh_blend_opaque(paints->paints, &alone, &paints->face);
}

static void write_pots(page_json *j, const fh_paints *p)
{
    const fh_weights day = fh_weights_of(fh_condition_default());
    json_count(j, "coats", p->coats);
    json_number(j, "fit", p->dE);
    json_number(j, "fit_worst", p->dE_worst);
    json_text(j, "worst", p->worst);
    json_open(j, "paints", '[');
    for (size_t i = 0; i < p->count; i++) {
        const fh_paint *paint = &p->paints[i];
        const fh_spectrum coat = coat_of(p, i);
        json_open(j, NULL, '{');
        json_text(j, "id", paint->id);
        json_text(j, "name", paint->name[0] ? paint->name : paint->id);
        json_screen(j, "screen", fh_lab_of_spectrum(&coat, &day));
        json_number(j, "dE00", paint->dE);
        json_count(j, "coats", paint->samples);
        json_text(j, "known",
                  paint->single       ? "by its masstone alone: mixtures are rough"
                  : paint->loose >= 4 ? "its strength is partly inferred"
                  : paint->scaled     ? "with films: coats can be counted"
                                      : "");
        json_close(j, '}');
    }
    json_close(j, ']');
    page_write_notes(j, &p->notes);
}

/* A file of paints in the place of the one that is there; a batch that was begun goes. */
static fh_status call_paints_load(page_desk *desk, const page_request *r, page_json *j,
                                  fh_error *error)
{
    fh_paints paints = {0};
    fh_status status = page_require_text(r, error);
    if (!status)
        status = fh_paints_read(r->body.start, r->body.length, NULL, &paints, page_progress, NULL,
                                error);
    if (!status) status = desk_set_file(&desk->now.paints, r->body.start, r->body.length);
    if (!status) {
        desk->now.settings.paint.steps = 0;
        desk_clear(&desk->now.tray[TRAY_PAINTED]);
        json_count(j, "added", paints.count);
    }
    fh_paints_free(&paints);
    return status;
}

static fh_status call_paints(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r;
    fh_paints paints = {0};
    fh_status status = pots_read(&desk->now, &paints, error);
    if (!status) write_pots(j, &paints);
    fh_paints_free(&paints);
    return status;
}

/* --- Amounts ---------------------------------------------------------------------------------- */

static void write_amounts(page_json *j, const fh_paints *p, const size_t *paint, const double *ml,
                          size_t count)
{
    double total = 0.0;
    for (size_t i = 0; i < count; i++) total += ml[i];
    json_number(j, "ml", total);
    json_open(j, "amounts", '[');
    for (size_t i = 0; i < count; i++) {
        const fh_paint *one = &p->paints[paint[i]];
        if (!(ml[i] > 0.0)) continue;
        json_open(j, NULL, '{');
        json_text(j, "id", one->id);
        json_text(j, "name", one->name[0] ? one->name : one->id);
        json_number(j, "percent", 100.0 * ml[i] / total);
        json_number(j, "ml", ml[i]);
        json_number(j, "g", one->density > 0.0 ? ml[i] * one->density : (double)NAN);
        json_number(j, "drops", one->drop > 0.0 ? ml[i] / one->drop : (double)NAN);
        json_close(j, '}');
    }
    json_close(j, ']');
}

static fh_status write_batch(page_json *j, const page_pots *pots, const desk_painting *told,
                             const fh_recipe *recipe, fh_error *error)
{
    double step[FH_MIX_PAINTS], ml[FH_MIX_PAINTS], wanted = 0.0;
    fh_quantity batch;
    fh_recipe rounded;
    const fh_paint *shelf = pots->paints.paints;
    fh_status status = pots_quantity(told->batch, "", &batch, error);
    for (size_t i = 0; i < recipe->blend.count && !status; i++)
        status = fh_quantity_ml(pots->least, &shelf[recipe->blend.paint[i]], &step[i], error);
    if (!status) status = fh_quantity_ml_of_blend(batch, shelf, &recipe->blend, &wanted, error);
    if (!status)
        status = fh_recipe_round(&pots->stack.target, shelf, recipe, &pots->look.surface, wanted,
                                 step, ml, &rounded, error);
    if (status) return status;
    json_open(j, "batch", '{');
    write_amounts(j, &pots->paints, recipe->blend.paint, ml, recipe->blend.count);
    json_number(j, "dE00", rounded.worst);
    json_number(j, "metamerism", rounded.metamerism);
    json_close(j, '}');
    return FH_OK;
}

/* --- Coats ------------------------------------------------------------------------------------ */

static void write_goal(page_json *j, const char *key, const fh_film *film,
                       const fh_hide_scene *scene, double coat, double safety)
{
    const fh_hide_goal goal = {0.0, 1.0};
    double amount;
    json_open(j, key, '{');
    const bool possible = fh_hide_amount(film, scene, goal, fh_film_plenty(film), &amount) == FH_OK;
    json_bool(j, "possible", possible);
    if (possible) {
        json_number(j, "amount", amount);
        json_number(j, "coats", fh_hide_coats(amount, coat));
        json_number(j, "coats_safe", fh_hide_coats(amount * safety, coat));
    }
    json_close(j, '}');
}

/* How many coats of the recipe hide what is behind, or why that isn't known. */
static fh_status write_coats(page_json *j, const desk_state *job, const page_pots *pots,
                             const fh_recipe *recipe, fh_error *error)
{
    const fh_paints *p = &pots->paints;
    const fh_paint *unscaled = fh_blend_unscaled(p->paints, &recipe->blend);
    char line[240];
    double coat = 0.0;
    fh_status status =
        pots_number(job->settings.paint.coat, "amount of a coat", 1e-6, 1e6, &coat, error);
    if (status || !(coat > 0.0)) return status;
    if (unscaled) {
        fh_format(
            line, sizeof line,
            "The coats of %s in the file are all opaque, so how much of it hides isn't known; "
            "films of it over black and white would tell.",
            unscaled->id);
        json_text(j, "coats_note", line);
        return FH_OK;
    }
    const fh_film film =
        fh_blend_coat(p->paints, &recipe->blend, p->index, &p->surface, &pots->look.surface);
    fh_hide_scene scene = fh_hide_scene_standard();
    if (strcmp(job->settings.paint.over, "print") == 0) {
        fh_reading print;
        status = page_coupon(job, &(page_request){.lines = {"", 0}}, &print, error);
        if (status) return status;
        status = fh_hide_scene_over_reading(&film, &print, &scene, error);
        if (status) return status;
    }
    const double safety = fh_blend_safety(p->paints, &recipe->blend);
    json_open(j, "coats", '{');
    write_goal(j, "bare", &film, &scene, coat, safety);
    if (pots->stack.shell) {
        scene.shell = &pots->stack.shell->curves;
        write_goal(j, "seen", &film, &scene, coat, safety);
    }
    json_close(j, '}');
    return FH_OK;
}

/* --- Recipes ---------------------------------------------------------------------------------- */

enum { SHOWN = 5 };

static double largest(const double *values, size_t count)
{
    double most = 0.0;
    for (size_t i = 0; i < count; i++) most = fmax(most, values[i]);
    return most;
}

static fh_status write_recipe(page_json *j, const page_pots *pots, const fh_recipe *recipe,
                              fh_error *error)
{
    const fh_recipe_doubt doubt = fh_recipe_doubt_default();
    const fh_target *target = &pots->stack.target;
    double low, high;
    fh_status status = fh_recipe_interval(target, pots->paints.paints, recipe, &pots->look.surface,
                                          &doubt, &low, &high, error);
    if (status) return status;
    json_open(j, NULL, '{');
    json_open(j, "parts", '[');
    for (size_t i = 0; i < recipe->blend.count; i++) {
        const fh_paint *one = &pots->paints.paints[recipe->blend.paint[i]];
        json_open(j, NULL, '{');
        json_text(j, "id", one->id);
        json_text(j, "name", one->name[0] ? one->name : one->id);
        json_number(j, "percent", 100.0 * recipe->blend.part[i]);
        json_close(j, '}');
    }
    json_close(j, ']');
    json_lab(j, "lab", recipe->lab);
    json_screen(j, "screen", recipe->lab);
    json_number(j, "bare", largest(recipe->bare, target->light_count));
    json_number(j, "dE00", recipe->worst);
    json_number(j, "low", low);
    json_number(j, "high", high);
    json_number(j, "metamerism", recipe->metamerism);
    json_spectrum(j, "curve", &recipe->reflectance);
    json_close(j, '}');
    return FH_OK;
}

static fh_status write_missing(page_json *j, const page_pots *pots, const fh_recipe *best)
{
    fh_reading paint = fh_reading_blank();
    fh_colour_name name;
    const fh_target *target = &pots->stack.target;
    if (best->worst <= target->tolerance) return FH_OK;
    fh_status status = fh_recipe_missing(target, best, &paint.lab);
    if (status) return status;
    paint.condition = target->condition;
    if (fh_names_of_reading(&paint, &name, 1, NULL, NULL)) name.name = NULL;
    json_open(j, "missing", '{');
    json_screen(j, "screen", paint.lab);
    json_lab(j, "lab", paint.lab);
    json_text(j, "name", name.name ? name.name : "");
    json_close(j, '}');
    return FH_OK;
}

/* What the finish does to the first recipe; without it is how its dry paint-out reads. */
static void write_finish(page_json *j, const page_pots *pots, const fh_recipe *best)
{
    if (!(pots->wish.index > 0.0) && pots->wish.gloss < 0.0) return;
    const fh_weights weights = fh_weights_of(pots->stack.target.condition);
    json_open(j, "finish", '{');
    if (pots->has_plain) {
        const fh_spectrum coat =
            fh_blend_opaque(pots->paints.paints, &best->blend, &pots->plain.surface);
        const fh_lab plain = fh_lab_of_spectrum(&coat, &weights);
        char phrase[FH_PHRASE];
        fh_words_with_size(plain, best->lab, phrase);
        json_lab(j, "lab_without", plain);
        json_screen(j, "without", plain);
        json_number(j, "dE00", fh_de2000(plain, best->lab));
        json_text(j, "words", phrase);
    }
    json_close(j, '}');
}

static fh_status write_recipes(page_json *j, const desk_state *job, const page_pots *pots,
                               const fh_recipe *found, size_t count, fh_error *error)
{
    fh_status status = FH_OK;
    json_number(j, "tolerance", pots->stack.target.tolerance);
    json_bool(j, "shell", pots->stack.shell != NULL);
    json_bool(j, "carried", pots->look.carried);
    json_open(j, "recipes", '[');
    for (size_t i = 0; i < count && !status; i++) status = write_recipe(j, pots, &found[i], error);
    json_close(j, ']');
    if (!status) write_finish(j, pots, &found[0]);
    if (!status) status = write_missing(j, pots, &found[0]);
    if (!status && job->settings.paint.batch[0])
        status = write_batch(j, pots, &job->settings.paint, &found[0], error);
    return status ? status : write_coats(j, job, pots, &found[0], error);
}

static fh_status call_recipes(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r;
    size_t count = 0;
    double most = FH_RECIPE_PAINTS;
    page_pots *pots = fh_allocate(1, sizeof *pots);
    fh_recipe *found = fh_allocate(SHOWN, sizeof *found);
    fh_status status = pots && found ? pots_open(&desk->now, pots, error) : FH_E_MEMORY;
    if (!status)
        status = pots_number(desk->now.settings.paint.most, "number of paints", 1, FH_RECIPE_PAINTS,
                             &most, error);
    if (!status) {
        fh_recipe_options options = fh_recipe_options_for(&pots->stack.target);
        options.most_paints = (size_t)most;
        options.surface = pots->look.surface;
        options.progress = page_progress;
        status = fh_recipe_find(&pots->stack.target, pots->paints.paints, pots->paints.count,
                                &options, found, SHOWN, &count, error);
    }
    if (!status) status = write_recipes(j, &desk->now, pots, found, count, error);
    if (pots) pots_close(pots);
    fh_free(pots);
    fh_free(found);
    return status;
}

/* --- A batch ---------------------------------------------------------------------------------- */

/* One thing that was put in, as it was typed: kept when the pots know all of it. */
static fh_status call_batch_add(page_desk *desk, const page_request *r, page_json *j,
                                fh_error *error)
{
    (void)j;
    fh_buffer value = {0};
    fh_paints paints = {0};
    fh_batch batch = {.paint_count = 0};
    fh_status status = pots_read(&desk->now, &paints, error);
    if (!status && !request_whole(r, "value", &value))
        status = fh_fail(error, FH_E_DATA, "Nothing was put in.");
    if (!status)
        status = fh_quantity_add(value.text, paints.paints, paints.count, 0, &batch, error);
    if (!status && !batch.paint_count) status = fh_fail(error, FH_E_DATA, "Nothing was put in.");
    if (!status)
        status = desk_add_step(&desk->now.settings, (fh_slice){value.text, value.length}, error);
    fh_buffer_free(&value);
    fh_paints_free(&paints);
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

static fh_status gather_batch(const desk_state *job, const fh_paints *paints, followed *f,
                              fh_error *error)
{
    const desk_painting *told = &job->settings.paint;
    const desk_readings *outs = &job->tray[TRAY_PAINTED];
    if (!told->steps || outs->count != told->steps)
        return fh_fail(error, FH_E_DATA,
                       "%zu times something was put in, %zu paint-outs; expected one dry paint-out "
                       "read after each.",
                       told->steps, outs->count);
    f->batch.step_count = told->steps;
    for (size_t k = 0; k < told->steps; k++) {
        f->outs[k] = tie_candidate(job, &outs->items[k], NULL, 0);
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
    json_bool(j, "helps", advice->helps);
    json_number(j, "size_ml", advice->size);
    json_number(j, "new_size_ml", advice->new_size);
    json_number(j, "predicted", advice->predicted);
    json_number(j, "surprise", advice->surprise);
    json_bool(j, "finish", pots->wish.index > 0.0 || pots->wish.gloss >= 0.0);
    if (!advice->significant || !advice->helps) return;
    json_open(j, "add", '{');
    write_amounts(j, &pots->paints, batch->paint, advice->add, batch->paint_count);
    json_close(j, '}');
}

static fh_status correct(page_pots *pots, followed *f, fh_batch_advice *advice, fh_error *error)
{
    const fh_batch *batch = &f->batch;
    fh_paints_look out;
    fh_batch_options options = fh_batch_options_for(&pots->stack.target);
    fh_status status = fh_paints_look_of_batch(&pots->paints, NULL, batch, &out, error);
    for (size_t p = 0; p < batch->paint_count && !status; p++)
        status = fh_quantity_ml(pots->least, &pots->paints.paints[batch->paint[p]],
                                &options.step[p], error);
    if (status) return status;
    options.surface = out.surface;
    options.finish = pots->look.surface;
    return fh_batch_correct(&pots->stack.target, pots->paints.paints, batch, &options, advice,
                            error);
}

static fh_status call_batch(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r;
    fh_batch_advice advice;
    page_pots *pots = fh_allocate(1, sizeof *pots);
    followed *f = fh_allocate(1, sizeof *f);
    fh_status status = pots && f ? pots_open(&desk->now, pots, error) : FH_E_MEMORY;
    if (!status) status = gather_batch(&desk->now, &pots->paints, f, error);
    if (!status) status = correct(pots, f, &advice, error);
    if (!status) write_advice(j, pots, &f->batch, &advice);
    if (pots) pots_close(pots);
    fh_free(pots);
    fh_free(f);
    return status;
}

const page_entry page_paint_calls[] = {{"paints-load", call_paints_load, true},
                                       {"paints", call_paints, false},
                                       {"recipes", call_recipes, false},
                                       {"batch-add", call_batch_add, true},
                                       {"batch-clear", call_batch_clear, true},
                                       {"batch", call_batch, false},
                                       {NULL, NULL, false}};
