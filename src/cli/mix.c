/* farhue mix: which paints, and how much of each. */
#include "cli/mix.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"

static void release_job(void *block)
{
    mix_job *job = block;
    if (job) fh_paints_free(&job->paints);
    fh_free(job);
}

/* The paints of the operand, or paints.txt. */
static int read_paints(cli_context *cli, mix_job *job)
{
    fh_library_defaults defaults;
    fh_error error = {0};
    int code =
        cli_text_input(cli, cli->operand_count ? cli->operands[0] : NULL, "paints", &job->input);
    if (!code) code = cli_defaults(cli, &defaults);
    if (code) return code;
    if (fh_paints_read(job->input.bytes, job->input.length, &defaults, &job->paints,
                       cli_show_progress, cli, &error))
        return cli_fail_input(cli, &job->input, &error);
    const char *at = job->paints.notes.bytes;
    while (at && *at) {
        const size_t length = strcspn(at, "\n");
        cli_note(cli, "%s: %.*s", job->input.name, (int)length, at);
        at += length + (at[length] == '\n');
    }
    return CLI_DONE;
}

static void note_carried(cli_context *cli, const mix_job *job, const fh_paints_look *look)
{
    const fh_method way = fh_target_way(&job->target), *m = &way;
    cli_note(cli,
             "%s was read in %s, specular %s, the paints in %s, specular %s: the finished paint is "
             "predicted as the target was read, at a 60° gloss of %.0f%s",
             job->target.part.id, fh_geometry_name(m->geometry), fh_specular_name(m->specular),
             fh_geometry_name(job->paints.geometry), fh_specular_name(job->paints.specular),
             look->gloss < 0.0 ? fh_gloss_of_smooth(job->paints.index) : look->gloss,
             look->gloss < 0.0 ? ", taken as smooth" : "");
}

void mix_note_look(cli_context *cli, const mix_job *job, const fh_paints_look *look)
{
    static const double far_off = 20.0; /* gloss units (common practice, no source) */
    const fh_reading *part = &job->target.part;
    cli_face_note(cli, &job->face, job->paints.index);
    if (look->carried) note_carried(cli, job, look);
    if (part->method.gloss >= 0.0 && look->gloss >= 0.0 &&
        fabs(look->gloss - part->method.gloss) > far_off)
        cli_note(cli,
                 "%s has a 60° gloss of %.0f, the finished paint about %.0f: alike in the figures, "
                 "they still look different when tilted",
                 part->id, part->method.gloss, look->gloss);
}

/* Light in and out of the finished part, read as the target was. */
static int find_finish(cli_context *cli, mix_job *job)
{
    const fh_reading *part = &job->target.part;
    const fh_paints *paints = &job->paints;
    const fh_method way = fh_target_way(&job->target);
    fh_paints_look look, plain;
    fh_error error = {0};
    if (fh_paints_look_of(paints, &job->face, &way, part->id, &look, &error))
        return cli_fail(cli, &error);
    mix_note_look(cli, job, &look);
    job->finish = look.surface;
    job->has_plain = fh_paints_look_of(paints, NULL, &way, part->id, &plain, NULL) == FH_OK;
    if (job->has_plain) job->plain = plain.surface;
    return CLI_DONE;
}

static void put_paints(cli_context *cli, const fh_paints *p)
{
    if (cli->json) {
        json_t *object = cli_json_object(cli->root, "paints");
        json_object_set_new(object, "count", json_integer((json_int_t)p->count));
        json_object_set_new(object, "coats", json_integer((json_int_t)p->coats));
        cli_json_number(cli, object, "fit", p->dE);
        cli_json_number(cli, object, "fit_worst", p->dE_worst);
        cli_json_text(object, "worst", p->worst);
        return;
    }
    cli_print(cli,
              "Paints   %zu, from %zu coat%s, met to ΔE00 %.2f on average, %.2f at worst (%s)\n\n",
              p->count, p->coats, p->coats == 1 ? "" : "s", p->dE, p->dE_worst, p->worst);
}

static int find_recipes(cli_context *cli, mix_job *job)
{
    mix_line lines[MIX_SHOWN];
    fh_recipe found[MIX_SHOWN];
    fh_error error = {0};
    long shown = 5, most = FH_RECIPE_PAINTS;
    size_t count = 0;
    int code = cli_whole(cli, "show", 1, MIX_SHOWN, &shown);
    if (!code) code = cli_whole(cli, "most", 1, FH_RECIPE_PAINTS, &most);
    if (code) return code;
    fh_recipe_options options = fh_recipe_options_for(&job->target);
    options.most_paints = (size_t)most;
    options.surface = job->finish;
    options.progress = cli_show_progress;
    options.progress_user = cli;
    if (fh_recipe_find(&job->target, job->paints.paints, job->paints.count, &options, found,
                       (size_t)shown, &count, &error))
        return cli_fail(cli, &error);
    if (found[0].worst > job->target.tolerance && most < FH_RECIPE_PAINTS)
        cli_note(cli, "with at most %ld paint%s; more may reach the target (--most %d)", most,
                 most > 1 ? "s" : "", (int)FH_RECIPE_PAINTS);
    const fh_recipe_doubt doubt = fh_recipe_doubt_default();
    for (size_t i = 0; i < count; ++i) {
        lines[i].recipe = found[i];
        if (fh_recipe_interval(&job->target, job->paints.paints, &found[i], &options.surface,
                               &doubt, &lines[i].low, &lines[i].high, &error))
            return cli_fail(cli, &error);
    }
    return mix_report(cli, job, lines, count);
}

static int read_quantity(cli_context *cli, const char *option, const char *text, fh_quantity *out)
{
    fh_error error = {0};
    if (fh_quantity_parse(text, strlen(text), out, &error))
        return cli_usage(cli, "--%s %s: %s", option, text, error.message);
    return CLI_DONE;
}

/* Options that would say nothing here. */
static int check_options(cli_context *cli)
{
    static const char *const of_batch[] = {"coated", "growth", "also"};
    static const char *const of_recipes[] = {"most", "show",   "batch",    "coat",
                                             "over", "drying", "unit-name"};
    const bool correct = cli_value(cli, "added") || cli_value(cli, "paint-out");
    const size_t count =
        correct ? sizeof of_recipes / sizeof *of_recipes : sizeof of_batch / sizeof *of_batch;
    for (size_t k = 0; k < count; ++k) {
        const char *name = correct ? of_recipes[k] : of_batch[k];
        if (!cli_flag(cli, name) && !cli_value(cli, name)) continue;
        if (correct) return cli_usage(cli, "--%s is of recipes; expected it without --added", name);
        return cli_usage(cli, "--%s is of a batch; expected --added and --paint-out as well", name);
    }
    if (cli_flag(cli, "coated") && !cli_value(cli, "clear-coat") && !cli_value(cli, "gloss"))
        return cli_usage(cli, "--coated: the paint-outs have the finish; expected --clear-coat or "
                              "--gloss as well");
    if (cli_value(cli, "unit-name") && !cli_value(cli, "coat") && !cli_value(cli, "over"))
        return cli_usage(cli, "--unit-name is of coats; expected --coat or --over as well");
    if (cli_value(cli, "least") && !correct && !cli_value(cli, "batch"))
        return cli_usage(cli, "--least is of a batch; expected --batch or --added as well");
    return CLI_DONE;
}

static int read_quantities(cli_context *cli, mix_job *job)
{
    const char *batch = cli_value(cli, "batch"), *least = cli_value(cli, "least");
    int code = check_options(cli);
    if (!code) code = read_quantity(cli, "least", least ? least : "0.1ml", &job->least);
    if (!code) code = cli_face_read(cli, &job->face);
    if (!code) code = cli_coats_read(cli, &job->coats);
    job->with_coats = job->coats.coat > 0.0 || job->coats.over;
    if (!job->coats.unit) job->coats.unit = "units";
    job->has_batch = batch != NULL;
    if (!code && batch) code = read_quantity(cli, "batch", batch, &job->batch);
    return code;
}

/* A batch that is there, with faces that go by its paint-outs; else recipes. */
static int find_answer(cli_context *cli, mix_job *job)
{
    if (cli_value(cli, "added") || cli_value(cli, "paint-out")) return mix_correct(cli, job);
    const int code = find_finish(cli, job);
    return code ? code : find_recipes(cli, job);
}

static int run(cli_context *cli)
{
    mix_job *job = cli_keep_with(cli, fh_allocate(1, sizeof *job), release_job);
    if (!job) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    int code = read_quantities(cli, job);
    if (!code) code = cli_find_target(cli, &job->found);
    job->target = job->found.target;
    if (!code) code = read_paints(cli, job);
    if (code) return code;
    if (job->target.part.origin == FH_ORIGIN_LAB)
        cli_note(cli,
                 "%s is known as Lab only: its spectrum, and so its look under other lights, is "
                 "estimated",
                 job->target.part.id);
    if (cli->json)
        cli_json_target(cli, cli_json_object(cli->root, "target"), &job->found);
    else
        cli_print_target(cli, &job->found);
    put_paints(cli, &job->paints);
    return find_answer(cli, job);
}

static const cli_option options[] = {
    {"spec", 0, "FILE", "take target, shell, lights and tolerance from a spec (spec.txt)", false},
    CLI_TARGET_OPTIONS,
    {"most", 'n', "N", "at most so many paints in a recipe, 1 to 4 (4)", false},
    {"show", 0, "N", "so many recipes, 1 to 10 (5)", false},
    CLI_FACE_OPTIONS,
    CLI_COATS_OPTIONS,
    {"batch", 'b', "QUANTITY", "how much is wanted: 20ml, 25g", false},
    {"least", 0, "QUANTITY", "the smallest that can be dispensed: 0.1ml, 0.05g, 1drop (0.1ml)",
     false},
    {"added", 0, "PAINT=Q,...", "correct a batch: what was put in; again for each correction made",
     true},
    {"paint-out", 0, "COLOUR", "the dry paint-out read after it, one for each --added", true},
    {"coated", 0, NULL, "the paint-outs have the clear coat on, or the gloss of the finished part",
     false},
    {"also", 0, "PAINT", "a pot that may be used though it was not yet", true},
    {"growth", 0, "SHARE", "the batch may grow by this share of its size (1.0)", false},
    {0},
};

const cli_command cli_mix = {
    .name = "mix",
    .summary = "a paint recipe for the target, and corrections of a batch",
    .usage = "[PAINTS]",
    .details =
        "Finds the paints, and how much of each, whose opaque coat looks like the target behind "
        "its\n"
        "shell, from all subsets of the shelf. PAINTS (paints.txt) holds measured coats of known\n"
        "make: masstones and tints with white, or films over black and white.\n\n"
        "With --added and --paint-out it says what to add to a batch that is mixed and read. What\n"
        "the paint-outs came to teaches how these pots differ from the file.\n\n"
        "Where the part gets a clear coat or another gloss, say so: recipes are judged with it, "
        "and\n"
        "paint-outs are read without it. With --coat or --over it also says how many coats of the\n"
        "first recipe hide what is behind, for paints whose films over black and white are in the\n"
        "file (FILM_AMOUNT).\n\n"
        "  farhue mix pots.txt --part part.txt#dial --batch 20ml --least 0.05ml\n"
        "  farhue mix pots.txt --spec spec.txt --added white=14ml,red=4ml,blue=2ml \\\n"
        "      --paint-out paintout.txt#1\n"
        "  farhue mix films.txt --spec spec.txt --clear-coat 1.5 --gloss 80 --coat 0.03 \\\n"
        "      --unit-name mm --over print.txt#grey --drying 4\n",
    .options = options,
    .least = 0,
    .most = 1,
    .run = run,
};
