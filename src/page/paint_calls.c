/* Calls that paint: the pots, and recipes for the target. */
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
                  paint->single                  ? "by its masstone alone: mixtures are rough"
                  : paint->loose >= FH_MIX_LOOSE ? "its strength is partly inferred"
                  : paint->scaled                ? "with films: coats can be counted"
                                                 : "");
        json_close(j, '}');
    }
    json_close(j, ']');
    page_write_notes(j, &p->notes);
}

/* What was said about the file as its keywords, where it has none of its own. */
static void say_in_table(fh_table *table, const fh_library_defaults *said)
{
    char condition[FH_CONDITION_TEXT];
    fh_condition_text(said->condition, condition);
    if (said->has_condition && !fh_table_keyword(table, "WEIGHTING_FUNCTION"))
        fh_table_add_keyword(table, "WEIGHTING_FUNCTION", condition);
    if (said->unit != FH_UNIT_UNSAID && !fh_table_keyword(table, "SPECTRAL_UNIT"))
        fh_table_add_keyword(table, "SPECTRAL_UNIT",
                             said->unit == FH_UNIT_PERCENT ? "percent" : "factor");
}

/* The file as it came; with what was said about it in it, so that it is known after an undo, from
 * the job file and on the command line, too. */
static fh_status keep_paints(page_desk *desk, const page_request *r,
                             const fh_library_defaults *said, fh_error *error)
{
    const char *text = r->body.start;
    const size_t length = r->body.length;
    if (!said->has_condition && said->unit == FH_UNIT_UNSAID)
        return desk_set_file(&desk->now.paints, text, length);
    fh_tables *tables = NULL;
    fh_text told = {0};
    fh_status status = fh_tables_recognise(text, length)
                           ? fh_tables_read(text, length, &tables, error)
                           : fh_csv_read(text, length, &tables, error);
    for (size_t i = 0; !status && i < fh_tables_count(tables); i++)
        say_in_table(fh_tables_at(tables, i), said);
    if (!status) status = fh_tables_write(tables, &told);
    if (!status) status = desk_set_file(&desk->now.paints, told.bytes, told.length);
    fh_tables_free(tables);
    fh_text_free(&told);
    return status;
}

/* A file of paints in the place of the one that is there; a batch that was begun goes. */
static fh_status call_paints_load(page_desk *desk, const page_request *r, page_json *j,
                                  fh_error *error)
{
    fh_paints paints = {0};
    const fh_library_defaults said = page_defaults(r);
    fh_status status = page_require_text(r, error);
    if (!status)
        status = fh_paints_read(r->body.start, r->body.length, &said, &paints, page_progress, NULL,
                                error);
    if (!status) status = keep_paints(desk, r, &said, error);
    if (!status) {
        fh_paints_free(&desk->pots);
        desk->pots = paints;
        desk->pots_mark = desk->now.paints_mark = ++desk->marks;
        desk->now.settings.paint.steps = 0;
        desk_clear(&desk->now.tray[TRAY_PAINTED]);
        json_count(j, "added", paints.count);
    } else {
        fh_paints_free(&paints);
    }
    return status;
}

static fh_status call_paints(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r;
    const fh_paints *paints;
    fh_status status = pots_fit(desk, &paints, error);
    if (!status) write_pots(j, paints);
    return status;
}

/* --- A recipe as a batch, its coats and its finish ----------------------------------------------
 */

/* What is asked of a recipe but can't be told is a note; the recipe stands without it. */
static fh_status write_note(page_json *j, const char *key, fh_status status, const fh_error *why)
{
    if (status == FH_E_MEMORY || status == FH_E_STOPPED) return status;
    json_text(j, key, why->message);
    return FH_OK;
}

static fh_status write_batch(page_json *j, const page_pots *pots, const desk_painting *told,
                             const fh_recipe *recipe)
{
    fh_quantity wanted;
    fh_dispensed batch;
    fh_error why = {0};
    if (!told->batch[0]) return FH_OK;
    fh_status status = pots_quantity(told->batch, "", &wanted, &why);
    if (!status)
        status = fh_recipe_dispense(&pots->stack.target, pots->paints->paints, recipe,
                                    &pots->look.surface, wanted, pots->least, &batch, &why);
    if (status) return write_note(j, "batch_note", status, &why);
    json_open(j, "batch", '{');
    pots_write_amounts(j, pots->paints, recipe->blend.paint, batch.ml, recipe->blend.count);
    json_number(j, "dE00", batch.rounded.worst);
    json_number(j, "metamerism", batch.rounded.metamerism);
    json_bool(j, "coarse", batch.coarse);
    json_number(j, "larger_ml", batch.larger);
    json_number(j, "wanted_ml", batch.wanted);
    json_close(j, '}');
    return FH_OK;
}

/* What counts as hidden: the trade's contrast ratio, and no visible difference. */
static const fh_hide_goal ratio_goal = {FH_HIDE_RATIO, HUGE_VAL}, difference_goal = {0.0, 1.0};

typedef struct coats_asked {
    fh_film film;
    fh_hide_scene scene;
    double coat, safety;
} coats_asked;

static void write_goal(page_json *j, const char *key, const coats_asked *asked, fh_hide_goal goal)
{
    double amount;
    json_open(j, key, '{');
    const bool possible = fh_hide_amount(&asked->film, &asked->scene, goal,
                                         fh_film_plenty(&asked->film), &amount) == FH_OK;
    json_bool(j, "possible", possible);
    if (possible) {
        json_number(j, "amount", amount);
        json_number(j, "coats", fh_hide_coats(amount, asked->coat));
        json_number(j, "coats_safe", fh_hide_coats(amount * asked->safety, asked->coat));
    }
    json_close(j, '}');
}

static void write_view(page_json *j, const char *key, const coats_asked *asked)
{
    json_open(j, key, '{');
    write_goal(j, "ratio", asked, ratio_goal);
    write_goal(j, "difference", asked, difference_goal);
    json_close(j, '}');
}

/* What is behind the coats: black and white, or the coupon as it was read. */
static fh_status find_scene(const desk_state *job, coats_asked *asked, fh_error *error)
{
    fh_reading print;
    asked->scene = fh_hide_scene_standard();
    if (strcmp(job->settings.paint.over, "print") != 0) return FH_OK;
    fh_status status = page_coupon(job, &(page_request){.lines = {"", 0}}, &print, error);
    return status ? status : fh_hide_scene_over_reading(&asked->film, &print, &asked->scene, error);
}

/* How many coats of the recipe hide what is behind, or why that isn't known. */
static fh_status write_coats(page_json *j, const desk_state *job, const page_pots *pots,
                             const fh_recipe *recipe)
{
    const fh_paints *p = pots->paints;
    const fh_paint *unscaled = fh_blend_unscaled(p->paints, &recipe->blend);
    coats_asked asked = {.coat = 0.0};
    fh_error why = {0};
    fh_status status =
        pots_number(job->settings.paint.coat, "amount of a coat", 1e-6, 1e6, &asked.coat, &why);
    if (!status && !(asked.coat > 0.0)) return FH_OK;
    if (!status && unscaled)
        status = fh_fail(&why, FH_E_DATA,
                         "The coats of %s in the file are all opaque, so how much of it hides "
                         "isn't known; films of it over black and white would tell.",
                         unscaled->id);
    if (!status) {
        asked.safety = fh_blend_safety(p->paints, &recipe->blend);
        asked.film = fh_paints_coat(p, &recipe->blend, &pots->look.surface);
        status = find_scene(job, &asked, &why);
    }
    if (status) return write_note(j, "coats_note", status, &why);
    json_open(j, "coats", '{');
    write_view(j, "bare", &asked);
    asked.scene.shell = pots->stack.shell ? &pots->stack.shell->curves : NULL;
    if (asked.scene.shell) write_view(j, "seen", &asked);
    json_close(j, '}');
    return FH_OK;
}

/* What the finish does to a recipe; without it is how its dry paint-out reads. */
static void write_finish(page_json *j, const page_pots *pots, const fh_recipe *recipe)
{
    if (!pots_finished(pots)) return;
    json_open(j, "finish", '{');
    json_bool(j, "clear_coat", pots->wish.index > 0.0);
    if (pots->has_plain) {
        const fh_weights weights = fh_weights_of(pots->stack.target.condition);
        const fh_spectrum coat =
            fh_blend_opaque(pots->paints->paints, &recipe->blend, &pots->plain.surface);
        const fh_lab plain = fh_lab_of_spectrum(&coat, &weights);
        char phrase[FH_PHRASE];
        fh_words_with_size(plain, recipe->lab, phrase);
        json_lab(j, "lab_without", plain);
        json_screen(j, "without", plain);
        json_number(j, "dE00", fh_de2000(plain, recipe->lab));
        json_text(j, "words", phrase);
    } else {
        json_number(j, "lab_without", (double)NAN);
        json_number(j, "dE00", (double)NAN);
        json_text(j, "note",
                  "How its dry paint-out reads isn't known: the pots were read in another specular "
                  "mode than the target, and their gloss isn't stated.");
    }
    const double most = fh_finish_exceeds(pots->paints->index, pots->wish);
    if (most > 0.0) json_number(j, "smooth", most);
    json_close(j, '}');
}

/* --- Recipes ---------------------------------------------------------------------------------- */

enum { SHOWN = 5 };

static fh_status write_recipe(page_json *j, const desk_state *job, const page_pots *pots,
                              const fh_recipe *recipe, fh_error *error)
{
    const fh_recipe_doubt doubt = fh_recipe_doubt_default();
    const fh_target *target = &pots->stack.target;
    double low, high;
    fh_status status = fh_recipe_interval(target, pots->paints->paints, recipe, &pots->look.surface,
                                          &doubt, &low, &high, error);
    if (status) return status;
    json_open(j, NULL, '{');
    json_open(j, "parts", '[');
    for (size_t i = 0; i < recipe->blend.count; i++) {
        const fh_paint *one = &pots->paints->paints[recipe->blend.paint[i]];
        json_open(j, NULL, '{');
        json_text(j, "id", one->id);
        json_text(j, "name", one->name[0] ? one->name : one->id);
        json_number(j, "percent", 100.0 * recipe->blend.part[i]);
        json_close(j, '}');
    }
    json_close(j, ']');
    json_lab(j, "lab", recipe->lab);
    json_screen(j, "screen", recipe->lab);
    json_number(j, "bare", fh_recipe_worst_bare(target, recipe));
    json_number(j, "dE00", recipe->worst);
    json_number(j, "low", low);
    json_number(j, "high", high);
    json_number(j, "metamerism", recipe->metamerism);
    json_spectrum(j, "curve", &recipe->reflectance);
    write_finish(j, pots, recipe);
    status = write_batch(j, pots, &job->settings.paint, recipe);
    if (!status) status = write_coats(j, job, pots, recipe);
    json_close(j, '}');
    return status;
}

/* The same colour under the first light, another under another: no colour of a paint would help. */
static bool write_metameric(page_json *j, const page_pots *pots, const fh_recipe *best)
{
    size_t light;
    double nm;
    bool more;
    const fh_target *target = &pots->stack.target;
    if (!fh_recipe_metameric(target, best, &light, &nm, &more)) return false;
    json_open(j, "metameric", '{');
    json_text(j, "first", fh_words_of_light(target->light[0].condition.illuminant));
    json_text(j, "other", fh_words_of_light(target->light[light].condition.illuminant));
    json_number(j, "dE00", best->seen[light]);
    json_number(j, "nm", nm > 0.0 ? nm : (double)NAN);
    json_bool(j, "more", more);
    json_close(j, '}');
    return true;
}

static fh_status write_missing(page_json *j, const page_pots *pots, const fh_recipe *best)
{
    fh_reading paint = fh_reading_blank();
    fh_colour_name name;
    const fh_target *target = &pots->stack.target;
    if (best->worst <= target->tolerance || write_metameric(j, pots, best)) return FH_OK;
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

static fh_status write_recipes(page_json *j, const desk_state *job, const page_pots *pots,
                               const fh_recipe *found, size_t count, fh_error *error)
{
    fh_status status = FH_OK;
    json_number(j, "tolerance", pots->stack.target.tolerance);
    json_bool(j, "shell", pots->stack.shell != NULL);
    json_bool(j, "carried", pots->look.carried);
    json_open(j, "recipes", '[');
    for (size_t i = 0; i < count && !status; i++)
        status = write_recipe(j, job, pots, &found[i], error);
    json_close(j, ']');
    return status ? status : write_missing(j, pots, &found[0]);
}

static fh_status call_recipes(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    (void)r;
    size_t count = 0;
    double most = FH_RECIPE_PAINTS;
    page_pots *pots = fh_allocate(1, sizeof *pots);
    fh_recipe *found = fh_allocate(SHOWN, sizeof *found);
    fh_status status = pots && found ? pots_open(desk, pots, error) : FH_E_MEMORY;
    if (!status) status = pots_face(pots, error);
    if (!status)
        status = pots_number(desk->now.settings.paint.most, "number of paints", 1, FH_RECIPE_PAINTS,
                             &most, error);
    if (!status) {
        fh_recipe_options options = fh_recipe_options_for(&pots->stack.target);
        options.most_paints = (size_t)most;
        options.surface = pots->look.surface;
        options.progress = page_progress;
        status = fh_recipe_find(&pots->stack.target, pots->paints->paints, pots->paints->count,
                                &options, found, SHOWN, &count, error);
    }
    if (!status) status = write_recipes(j, &desk->now, pots, found, count, error);
    if (pots) pots_close(pots);
    fh_free(pots);
    fh_free(found);
    return status;
}

const page_entry page_paint_calls[] = {{"paints-load", call_paints_load, true},
                                       {"paints", call_paints, false},
                                       {"recipes", call_recipes, false},
                                       {NULL, NULL, false}};
