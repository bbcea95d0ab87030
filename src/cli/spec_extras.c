/* Spoken code, sheet and picture of a spec. */
#include "cli/spec_extras.h"

#include <string.h>

#include "base/memory.h"
#include "farhue/picture.h"
#include "farhue/rank.h"
#include "farhue/spec_sheet.h"
#include "farhue/spoken.h"

/* A shelf that was ranked against the target; count 0: none was asked for. */
typedef struct shelf {
    fh_library library;
    fh_ranked *places;
} shelf;

int cli_code_target(cli_context *cli, cli_target *out)
{
    fh_spoken spoken;
    fh_error error = {0};
    fh_condition lights[CLI_LIGHTS];
    size_t count = 0;
    const char *code = cli_value(cli, "from-code");
    if (cli_value(cli, "part") || cli_value(cli, "shell"))
        return cli_usage(cli, "--from-code excludes --part and --shell: a spoken code is the bare "
                              "target alone");
    if (fh_spoken_read(code, &spoken, &error))
        return cli_fail_text(cli, FH_E_DATA, "--from-code %s: %s", code, error.message);
    fh_reading part = fh_spoken_reading(&spoken);
    *out = (cli_target){.spec = NULL};
    fh_copy_text(out->source, sizeof out->source, "spoken code");
    fh_target_init(&out->target, &part, NULL);
    if (spoken.tolerance > 0) out->target.tolerance = spoken.tolerance;
    int status = cli_lights(cli, lights, &count);
    if (!status) status = cli_number(cli, "tolerance", 0.01, 50, &out->target.tolerance);
    if (status) return status;
    if (count && fh_target_set_lights(&out->target, lights, count, &error))
        return cli_usage(cli, "--lights: %s", error.message);
    cli_note(cli, "%s", fh_spoken_note(false));
    cli_note(cli, "the code says nothing of a spectrum: what lights other than its own show is "
                  "estimated");
    if (fh_target_check(&out->target, &error)) return cli_fail(cli, &error);
    return CLI_DONE;
}

/* The code of a spec: its bare target with the safe bare tolerance; and the note that goes along.
 */
static fh_status code_of(const fh_spec *spec, char out[FH_SPOKEN_TEXT], const char **note,
                         fh_error *error)
{
    fh_spoken spoken;
    bool estimated;
    fh_status status = fh_spoken_of_spec(spec, &spoken, &estimated, error);
    if (!status) status = fh_spoken_write(&spoken, out, error);
    if (!status) *note = fh_spoken_note(estimated);
    return status;
}

static int report_code(cli_context *cli, const fh_spec *spec)
{
    char code[FH_SPOKEN_TEXT], words[FH_SPOKEN_WORDS];
    fh_error error = {0};
    const char *note;
    if (!cli_flag(cli, "code")) return CLI_DONE;
    if (code_of(spec, code, &note, &error)) return cli_fail(cli, &error);
    fh_spoken_words(code, words);
    if (cli->json) {
        cli_json_text(cli->root, "spoken_code", code);
        cli_json_text(cli->root, "spoken_words", words);
        cli_json_text(cli->root, "spoken_note", note);
    } else {
        cli_print(cli, "\nSpoken   %s\n         %s\n%s\n", code, words, note);
    }
    return CLI_DONE;
}

static int rank_shelf(cli_context *cli, const cli_target *target, shelf *out)
{
    fh_error error = {0};
    const char *path = cli_value(cli, "shelf");
    *out = (shelf){.places = NULL};
    if (!path) return CLI_DONE;
    if (!cli_value(cli, "sheet") && !cli_value(cli, "picture"))
        return cli_usage(cli,
                         "--shelf is for --sheet and --picture; `farhue rank` ranks by itself");
    int code = cli_read_library(cli, path, "shelf", &out->library);
    if (code) return code;
    out->places = cli_keep(cli, fh_allocate(out->library.count, sizeof *out->places));
    if (!out->places) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    fh_rank_options options = fh_rank_defaults();
    if (fh_rank(&target->target, out->library.readings, out->library.count, &options, out->places,
                cli_show_progress, cli, &error))
        return cli_fail(cli, &error);
    return CLI_DONE;
}

static int write_sheet(cli_context *cli, const fh_spec *spec, const shelf *candidates)
{
    const char *path = cli_value(cli, "sheet");
    char code[FH_SPOKEN_TEXT], words[FH_SPOKEN_WORDS];
    fh_error error = {0};
    fh_text text = {0};
    if (!path) return CLI_DONE;
    fh_spec_sheet_extra extra = fh_spec_sheet_nothing();
    const char *note;
    if (code_of(spec, code, &note, &error) == FH_OK) {
        fh_spoken_words(code, words);
        extra.spoken = code;
        extra.spoken_words = words;
        extra.spoken_note = note;
    } else {
        cli_note(cli, "%s: without a spoken code: %s", path, error.message);
    }
    extra.candidates = candidates->library.readings;
    extra.places = candidates->places;
    extra.count = candidates->places ? candidates->library.count : 0;
    error = (fh_error){0};
    fh_status written = fh_spec_sheet_write(fh_sink_to_text(&text), spec, &extra, &error);
    int status = written ? cli_fail(cli, &error) : cli_write(cli, path, text.bytes, text.length);
    fh_text_free(&text);
    return status;
}

/* --- The picture ------------------------------------------------------------------------------ */

/* Mid grey all around; a column for each light. In a column the two colours touch: above the
 * target, below what is compared with it. */
enum { PATCH_WIDTH = 320, PATCH_HEIGHT = 260, EDGE = 80, BETWEEN = 60 };

typedef struct picture_plan {
    size_t columns, width, height;
    unsigned char above[FH_LIGHTS_MAX][3], below[FH_LIGHTS_MAX][3];
} picture_plan;

static const unsigned char surround[3] = {0x77, 0x77, 0x77};

static void paint(void *user, size_t y, unsigned char *row)
{
    const picture_plan *plan = user;
    bool upper = y >= EDGE && y < EDGE + PATCH_HEIGHT;
    bool lower = y >= EDGE + PATCH_HEIGHT && y < EDGE + 2 * PATCH_HEIGHT;
    for (size_t x = 0; x < plan->width; x++) memcpy(row + 3 * x, surround, 3);
    for (size_t i = 0; i < plan->columns && (upper || lower); i++) {
        size_t start = EDGE + i * (PATCH_WIDTH + BETWEEN);
        for (size_t x = start; x < start + PATCH_WIDTH; x++)
            memcpy(row + 3 * x, upper ? plan->above[i] : plan->below[i], 3);
    }
}

static void to_bytes(fh_lab lab, unsigned char out[3], size_t *outside)
{
    bool inside;
    fh_rgb rgb = fh_screen_of_lab(lab, &inside);
    out[0] = (unsigned char)(rgb.r * 255 + 0.5);
    out[1] = (unsigned char)(rgb.g * 255 + 0.5);
    out[2] = (unsigned char)(rgb.b * 255 + 0.5);
    *outside += !inside;
}

/* The best candidate's columns, or without one the target bare above and seen below. */
static int plan_picture(cli_context *cli, const fh_target *target, const shelf *candidates,
                        picture_plan *plan)
{
    fh_verdict *verdict = cli_keep(cli, fh_allocate(1, sizeof *verdict));
    fh_verdict_options options = fh_verdict_defaults();
    fh_error error = {0};
    size_t outside = 0;
    const fh_reading *best = candidates->places && candidates->places[0].judged
                                 ? &candidates->library.readings[candidates->places[0].index]
                                 : &target->part;
    options.trials = 200;
    options.settle = false;
    if (!verdict) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    if (fh_judge(target, best, &options, verdict, NULL, NULL, &error)) return cli_fail(cli, &error);
    plan->columns = target->light_count;
    for (size_t i = 0; i < plan->columns; i++) {
        to_bytes(verdict->seen[i].target, plan->above[i], &outside);
        to_bytes(verdict->seen[i].candidate, plan->below[i], &outside);
    }
    plan->width = 2 * EDGE + plan->columns * PATCH_WIDTH + (plan->columns - 1) * BETWEEN;
    plan->height = 2 * (EDGE + PATCH_HEIGHT);
    if (outside)
        cli_note(cli,
                 "%zu of the picture's colours lie outside what a screen shows; the "
                 "nearest are drawn",
                 outside);
    return CLI_DONE;
}

/* Without a candidate the upper half is the target bare. */
static void bare_above(const fh_spec *spec, const fh_target *target, picture_plan *plan)
{
    size_t outside = 0;
    for (size_t i = 0; i < plan->columns; i++) {
        fh_lab bare = spec->told.bare;
        if (target->part.origin != FH_ORIGIN_LAB)
            bare = fh_lab_of_spectrum(&target->part.reflectance, &target->light[i]);
        to_bytes(bare, plan->above[i], &outside);
    }
}

static int write_picture(cli_context *cli, const cli_target *target, const fh_spec *spec,
                         const shelf *candidates)
{
    const char *path = cli_value(cli, "picture");
    picture_plan plan = {0};
    void *bytes = NULL;
    size_t size;
    fh_error error = {0};
    if (!path) return CLI_DONE;
    int code = plan_picture(cli, &target->target, candidates, &plan);
    if (code) return code;
    if (!candidates->places) bare_above(spec, &target->target, &plan);
    if (fh_png_encode(plan.width, plan.height, paint, &plan, &bytes, &size, &error))
        return cli_fail(cli, &error);
    code = cli_write(cli, path, bytes, size);
    fh_picture_release(bytes);
    if (code) return code;
    cli_note(cli, "%s: a column for each light in the order of --lights; above %s, below %s", path,
             candidates->places ? "the target behind the shell" : "the target, bare",
             candidates->places ? "the best candidate behind the shell"
                                : "the same behind the shell");
    return CLI_DONE;
}

int cli_spec_extras(cli_context *cli, const cli_target *target, const fh_spec *spec)
{
    shelf candidates;
    int code = rank_shelf(cli, target, &candidates);
    if (!code) code = write_sheet(cli, spec, &candidates);
    if (!code) code = write_picture(cli, target, spec, &candidates);
    if (!code) code = report_code(cli, spec);
    return code;
}
