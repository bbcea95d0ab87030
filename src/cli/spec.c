/* farhue spec: what the helper needs to know, in one file. */
#include <math.h>
#include <string.h>

#include "cli/page_settings.h"
#include "cli/spec_extras.h"
#include "cli/table.h"
#include "cli/target.h"
#include "farhue/cautions.h"
#include "farhue/spec_file.h"
#include "farhue/tolerance.h"

static void free_spec(void *spec)
{
    fh_spec_free(spec);
}

static int take_text(cli_context *cli, const char *option, char *out, size_t size)
{
    const char *text = cli_value(cli, option);
    if (text && !fh_copy_text(out, size, text))
        return cli_usage(cli, "--%s has %zu bytes; expected at most %zu", option, strlen(text),
                         size - 1);
    return CLI_DONE;
}

static void add_cautions(fh_spec *spec)
{
    for (int i = 0; i < FH_CAUTION_COUNT && spec->caution_count < FH_SPEC_CAUTIONS; ++i)
        fh_format(spec->caution[spec->caution_count++], FH_CAUTION_TEXT, "%s: %s",
                  fh_caution_title((fh_caution)i), fh_caution_text((fh_caution)i));
}

static void print_box(cli_context *cli, const fh_tolerance *told)
{
    const char *const axes[2][3] = {{"ΔL*", "Δa*", "Δb*"}, {"ΔL*", "ΔC*", "ΔH*"}};
    cli_put(cli, "A bare part inside this box is right as well: ");
    for (int i = 0; i < 3; ++i)
        cli_print(cli, "%s %+.1f to %+.1f%s", axes[told->polar][i],
                  ceil(10.0 * told->low[i]) / 10.0, floor(10.0 * told->high[i]) / 10.0,
                  i < 2 ? ", " : ".\n");
}

static void report_text(cli_context *cli, const cli_target *t, const fh_spec *spec)
{
    char sentence[FH_SENTENCE], condition[FH_CONDITION_TEXT];
    fh_tolerance_sentence(&spec->told, spec->shell != NULL, sentence);
    fh_condition_text(spec->condition, condition);
    cli_print_target(cli, t);
    cli_print_built(cli, spec);
    cli_print(cli, "%s\n", sentence);
    print_box(cli, &spec->told);
    cli_print(cli,
              "These figures are for parts whose spectrum differs smoothly from the target's, bare "
              "under %s. A part of exactly the bare colour, but of other pigments, may show up to "
              "%.1f (95 %%); verdicts take that into account.\n",
              condition, spec->told.pigments);
    if (spec->code[0]) cli_print(cli, "\nCheck code %s\n", spec->code);
    if (!cli_value(cli, "output")) cli_put(cli, "\nNot saved; -o spec.txt saves it.\n");
}

static void json_triple(cli_context *cli, json_t *object, const char *key, const double v[3])
{
    cli_json_numbers(cli, object, key, v, 3);
}

static void report_json(cli_context *cli, const cli_target *t, const fh_spec *spec)
{
    char sentence[FH_SENTENCE];
    const fh_tolerance *told = &spec->told;
    fh_tolerance_sentence(told, spec->shell != NULL, sentence);
    cli_json_target(cli, cli_json_object(cli->root, "target"), t);
    cli_json_built(cli, cli->root, spec);
    cli_json_text(cli->root, "check_code", spec->code);
    json_t *o = cli_json_object(cli->root, "bare_tolerance");
    cli_json_condition(o, "condition", told->condition);
    cli_json_lab(cli, o, "lab", told->bare);
    cli_json_number(cli, o, "safe", told->safe);
    json_triple(cli, o, "tightest", told->tightest.v);
    cli_json_number(cli, o, "forgiving", told->forgiving);
    json_triple(cli, o, "loosest", told->loosest.v);
    cli_json_bool(o, "capped", told->capped);
    cli_json_number(cli, o, "pigments", told->pigments);
    cli_json_text(o, "box_axes", told->polar ? "LCH" : "Lab");
    json_triple(cli, o, "box_low", told->low);
    json_triple(cli, o, "box_high", told->high);
    cli_json_text(cli->root, "words", sentence);
}

/* How the shell is built: as the options say, else as the job's page does. */
static int take_built(cli_context *cli, fh_spec *spec)
{
    cli_page_settings page;
    if (!spec->shell && (cli_value(cli, "shell-mm") || cli_value(cli, "gap-mm")))
        return cli_usage(cli,
                         "--shell-mm and --gap-mm say how a shell is built, and there is none");
    int code = cli_read_page_settings(cli, &page);
    if (code) return code;
    spec->shell_mm = page.shell_mm;
    spec->gap_mm = page.gap_mm;
    code = cli_number(cli, "shell-mm", 0, FH_BUILT_MM_MAX, &spec->shell_mm);
    return code ? code : cli_number(cli, "gap-mm", 0, FH_BUILT_MM_MAX, &spec->gap_mm);
}

static int fill(cli_context *cli, fh_spec *spec)
{
    int code = take_text(cli, "title", spec->title, sizeof spec->title);
    if (!code) code = take_text(cli, "owner", spec->owner, sizeof spec->owner);
    if (!code) code = cli_date(cli, "date", spec->created);
    if (!code && cli_value(cli, "deadline")) code = cli_date(cli, "deadline", spec->deadline);
    if (!code) code = take_built(cli, spec);
    add_cautions(spec);
    return code;
}

static int run(cli_context *cli)
{
    cli_target target;
    fh_spec *spec;
    fh_text text = {0};
    fh_error error = {0};
    int code = cli_value(cli, "from-code") ? cli_code_target(cli, &target)
                                             : cli_part_target(cli, &target);
    if (code) return code;
    if (fh_spec_new(&target.target, &spec, &error)) return cli_fail(cli, &error);
    if (!cli_keep_with(cli, spec, free_spec))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    code = fill(cli, spec);
    if (code) return code;
    fh_status status = fh_spec_write(spec, target.shell, &text);
    cli_keep(cli, text.bytes);
    if (status) return cli_fail_text(cli, status, "the spec cannot be written");
    code = cli_product(cli, text.bytes, text.length);
    if (code) return code;
    if (cli->json) report_json(cli, &target, spec);
    else report_text(cli, &target, spec);
    return cli_spec_extras(cli, &target, spec);
}

static const cli_option options[] = {
    CLI_TARGET_OPTIONS,
    {"title", 0, "TEXT", "what the job is", false},
    {"owner", 0, "TEXT", "who asks", false},
    {"deadline", 0, "DATE", "when the part is needed, such as 2031-03-01", false},
    {"date", 0, "DATE", "date of the spec (today)", false},
    {"shell-mm", 0, "MM", "thickness of the shell, for people and their drawing", false},
    {"gap-mm", 0, "MM", "air gap between shell and part, likewise", false},
    CLI_SPEC_EXTRA_OPTIONS,
    {0},
};

const cli_command cli_spec = {
    .name = "spec",
    .summary = "write a spec: target, shell, lights and tolerance in one file",
    .usage = "",
    .details =
        "Puts together what a helper needs: the bare target, the shell in front, the lights and\n"
        "the tolerance as seen (1 side by side, 2 close, 4 across the room), how it was measured\n"
        "and with which uncertainty, and how far a bare part may be off in words and figures. A\n"
        "check code over the content finds a changed or damaged file.\n\n"
        "--sheet makes a sheet for people of it, to print or to read on a phone, --code twelve\n"
        "characters to read out.\n\n"
        "  farhue spec --tolerance 2 --title \"Ondrel tide clock, dial ring\" -o spec.txt\n"
        "  farhue spec --sheet sheet.html --code\n"
        "  farhue spec --from-code 19FM-VZYZ-1A2B -o spec.txt\n",
    .options = options,
    .least = 0,
    .most = 0,
    .run = run,
};
