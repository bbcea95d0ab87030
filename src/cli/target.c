/* Where commands get their target from. */
#include "cli/target.h"

#include <string.h>
#include <time.h>

#include "cli/mode.h"
#include "cli/page_settings.h"
#include "cli/shell_input.h"
#include "farhue/spec_file.h"

static void free_record(void *record)
{
    fh_shell_record_free(record);
}

static void free_spec(void *spec)
{
    fh_spec_free(spec);
}

/* Lights and tolerance that were given as options; *changed tells whether any was. */
static int take_options(cli_context *cli, fh_target *target, bool *changed)
{
    fh_condition lights[CLI_LIGHTS];
    size_t count = 0;
    fh_error error = {0};
    const double before = target->tolerance;
    int code = cli_lights(cli, lights, &count);
    if (!code) code = cli_number(cli, "tolerance", 0.01, 50, &target->tolerance);
    if (code) return code;
    if (count && fh_target_set_lights(target, lights, count, &error))
        return cli_usage(cli, "--lights: %s", error.message);
    *changed = count > 0 || target->tolerance < before || target->tolerance > before;
    target->aimed = target->aimed || cli_flag(cli, "aimed");
    return CLI_DONE;
}

static int read_shell(cli_context *cli, cli_target *out)
{
    const char *path = cli_value(cli, "shell");
    out->shell = NULL;
    if (path && cli_flag(cli, "bare"))
        return cli_usage(cli, "--shell and --bare exclude each other");
    if (cli_flag(cli, "bare")) return CLI_DONE;
    return path ? cli_read_shell(cli, path, &out->shell) : cli_usual_shell(cli, &out->shell);
}

/* Which of several spots the page has chosen: one by its id, or the mean of all. */
static int chosen_spot(cli_context *cli, const cli_page_settings *page, const fh_library *library,
                       const char *name, fh_reading *part)
{
    fh_error error = {0};
    const fh_reading *found = fh_library_find(library, page->match);
    if (found) {
        *part = *found;
        cli_note(cli, "%s: %s is matched, as its page says", name, found->id);
        return CLI_DONE;
    }
    if (page->match[0])
        return cli_fail_text(
            cli, FH_E_DATA,
            "%s: its page matches the spot %s, which part does not have; say which "
            "one with --part part#ID",
            name, page->match);
    if (fh_reading_pool(library->readings, library->count, part, &error))
        return cli_fail(cli, &error);
    fh_copy_text(part->id, sizeof part->id, "part");
    cli_note(cli, "%s: the mean of %zu spots is matched, as its page says", name, library->count);
    return CLI_DONE;
}

/* The one reading of the usual part.txt, or of the job. */
static int usual_part(cli_context *cli, const cli_page_settings *page, cli_target *out,
                      fh_reading *part)
{
    cli_input input;
    fh_library library = {0};
    int code = cli_text_input(cli, NULL, "part", &input);
    if (!code) code = cli_library(cli, &input, &library);
    if (code) return code;
    fh_copy_text(out->source, sizeof out->source, input.name);
    if (library.count > 1 && page->there) return chosen_spot(cli, page, &library, input.name, part);
    if (library.count != 1)
        return cli_fail_text(cli, FH_E_DATA,
                             "%s: %zu readings; say which one is the target with --part %s#ID, or "
                             "pool them first",
                             input.name, library.count, input.name);
    *part = library.readings[0];
    return CLI_DONE;
}

/* The target from --look: the part is worked back from it. */
static int look_target(cli_context *cli, cli_target *out)
{
    fh_reading look;
    fh_aim aim;
    fh_error error = {0};
    const char *text = cli_value(cli, "look");
    if (cli_value(cli, "part"))
        return cli_usage(cli, "--part and --look exclude each other; farhue aim LOOK --part PART "
                              "shows how far they disagree");
    int code = cli_colour(cli, text, &look);
    if (!code) code = read_shell(cli, out);
    if (code) return code;
    if (!out->shell)
        return cli_usage(cli,
                         "--look %s: a look needs the shell that it was seen through; expected "
                         "--shell FILE, or shell.txt here",
                         text);
    fh_copy_text(out->source, sizeof out->source, text);
    if (fh_target_init_look(&out->target, &look, &out->shell->shell, &aim, &error))
        return cli_fail(cli, &error);
    if (!aim.possible)
        cli_note(cli, "no part behind this shell has the look %s; the nearest stays ΔE00 %.1f away",
                 look.id, aim.dE);
    return CLI_DONE;
}

/* The target from --part, or from the usual part.txt. */
static int bare_target(cli_context *cli, const cli_page_settings *page, cli_target *out)
{
    fh_reading part;
    const char *text = cli_value(cli, "part");
    int code = text ? cli_colour(cli, text, &part) : usual_part(cli, page, out, &part);
    if (!code) code = read_shell(cli, out);
    if (code) return code;
    if (text) fh_copy_text(out->source, sizeof out->source, text);
    fh_target_init(&out->target, &part, out->shell ? &out->shell->shell : NULL);
    out->target.aimed = part.basis == FH_BASIS_LOOK;
    return CLI_DONE;
}

/* Tolerance and lights of a job's page, where no option says them. */
static int take_page(cli_context *cli, const cli_page_settings *page, fh_target *target)
{
    fh_error error = {0};
    const char *job = cli->job.name;
    if (page->aimed && !cli_value(cli, "look"))
        cli_note(cli,
                 "%s: its page matches the colour worked back from the look; here the part counts, "
                 "and --look look#ID does as the page",
                 job);
    if (page->tolerance > 0 && !cli_value(cli, "tolerance")) {
        target->tolerance = page->tolerance;
        cli_note(cli, "%s: a tolerance of %.2f, as its page says", job, page->tolerance);
    }
    if (!page->light_count || cli_value(cli, "lights")) return CLI_DONE;
    if (fh_target_set_lights(target, page->light, page->light_count, &error))
        return cli_fail_text(cli, FH_E_DATA, "%s: the page's lights: %s", job, error.message);
    cli_note(cli, "%s: its page's %zu light%s", job, page->light_count,
             page->light_count == 1 ? "" : "s");
    return CLI_DONE;
}

int cli_part_target(cli_context *cli, cli_target *out)
{
    fh_error error = {0};
    bool changed;
    cli_page_settings page;
    *out = (cli_target){.spec = NULL};
    int code = cli_read_page_settings(cli, &page);
    if (!code) code = cli_value(cli, "look") ? look_target(cli, out) : bare_target(cli, &page, out);
    if (!code && page.there) code = take_page(cli, &page, &out->target);
    if (code) return code;
    code = take_options(cli, &out->target, &changed);
    if (code) return code;
    if (fh_target_check(&out->target, &error)) return cli_fail(cli, &error);
    if (out->target.converted) cli_note_converted(cli, &out->target.part, "the shell");
    return CLI_DONE;
}

int cli_spec_target(cli_context *cli, cli_target *out)
{
    cli_input input;
    fh_error error = {0};
    *out = (cli_target){.spec = NULL};
    int code = cli_text_input(cli, cli_value(cli, "spec"), "spec", &input);
    if (code) return code;
    if (fh_spec_read(input.bytes, input.length, &out->spec, &out->shell, &error))
        return cli_fail_input(cli, &input, &error);
    cli_keep_with(cli, out->shell, free_record);
    if (!cli_keep_with(cli, out->spec, free_spec))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    if (fh_spec_target(out->spec, &out->target, &error)) return cli_fail_input(cli, &input, &error);
    fh_copy_text(out->source, sizeof out->source, input.name);
    if (out->target.converted) cli_note_converted(cli, &out->target.part, "the shell");
    return CLI_DONE;
}

/* What was given beside a spec takes the place of what it says. */
static int change_spec_target(cli_context *cli, cli_target *out)
{
    bool changed = false;
    fh_error error = {0};
    int code = CLI_DONE;
    if (cli_value(cli, "shell") || cli_flag(cli, "bare")) {
        code = read_shell(cli, out);
        if (code) return code;
        out->target.shell = out->shell ? &out->shell->shell : NULL;
        cli_note(cli, "%s: another shell than the spec's", out->source);
    }
    code = take_options(cli, &out->target, &changed);
    if (code) return code;
    if (changed) cli_note(cli, "%s: other lights or tolerance than the spec's", out->source);
    if (fh_target_check(&out->target, &error)) return cli_fail(cli, &error);
    return CLI_DONE;
}

int cli_find_target(cli_context *cli, cli_target *out)
{
    const bool own = cli_value(cli, "part") || cli_value(cli, "look");
    if (cli_value(cli, "spec") && own) return cli_usage(cli, "--spec excludes --part and --look");
    if (own || (!cli_value(cli, "spec") && !cli_has_input(cli, "spec")))
        return cli_part_target(cli, out);
    int code = cli_spec_target(cli, out);
    return code ? code : change_spec_target(cli, out);
}

static bool is_date(const char *text)
{
    static const char form[] = "dddd-dd-dd";
    if (strlen(text) != sizeof form - 1) return false;
    for (size_t i = 0; form[i]; ++i)
        if (form[i] == 'd' ? text[i] < '0' || text[i] > '9' : text[i] != form[i]) return false;
    return true;
}

int cli_date(cli_context *cli, const char *option, char out[FH_DATE])
{
    const char *text = cli_value(cli, option);
    if (text && !is_date(text))
        return cli_usage(cli, "--%s %s; expected a date such as 2031-03-01", option, text);
    if (text) {
        fh_copy_text(out, FH_DATE, text);
        return CLI_DONE;
    }
    time_t now = time(NULL);
    struct tm broken;
    out[0] = '\0';
    if (gmtime_r(&now, &broken)) strftime(out, FH_DATE, "%Y-%m-%d", &broken);
    return CLI_DONE;
}
