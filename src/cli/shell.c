/* farhue shell: readings over backings to a shell. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "cli/shell_input.h"
#include "cli/table.h"
#include "farhue/shell_words.h"

static int read_samples(cli_context *cli, fh_shell_record *record)
{
    cli_pair *pairs = cli_keep(cli, fh_allocate(FH_SHELL_SAMPLES, sizeof *pairs));
    if (!pairs) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    int code = cli->operand_count
                   ? cli_pairs(cli, cli->operands, cli->operand_count, pairs, FH_SHELL_SAMPLES,
                               &record->count)
                   : cli_usual_pairs(cli, false, pairs, FH_SHELL_SAMPLES, &record->count);
    if (!code && record->count == 0 && !cli_value(cli, "transmittance"))
        return cli_usage(cli, "no readings are given; expected files such as black.txt, "
                              "grey.txt and white.txt, LOOK=BACKING, or --transmittance");
    for (size_t i = 0; !code && i < record->count; ++i) {
        record->look[i] = pairs[i].look;
        record->backing[i] = pairs[i].backing;
    }
    const char *passed = cli_value(cli, "transmittance");
    if (!code && passed) {
        code = cli_colour(cli, passed, &record->transmittance);
        record->has_transmittance = true;
    }
    return code;
}

static int read_options(cli_context *cli, fh_shell_record *record)
{
    const char *id = cli_value(cli, "id"), *name = cli_value(cli, "name");
    int code = cli_index(cli, &record->options.index);
    if (cli_value(cli, "index")) record->options.index_sigma = 0.01; /* it is known */
    if (!code) code = cli_number(cli, "noise", 1e-6, 0.1, &record->options.noise);
    if (!code) code = cli_number(cli, "wall", 0.05, 20.0, &record->wall_ratio);
    record->options.clear = cli_flag(cli, "clear");
    fh_copy_text(record->shell.id, sizeof record->shell.id, id ? id : "shell");
    fh_copy_text(record->shell.name, sizeof record->shell.name, name ? name : "");
    return code;
}

static const char *kind_name(fh_shell_kind kind)
{
    switch (kind) {
    case FH_SHELL_FITTED:
        return "fitted";
    case FH_SHELL_SHEET:
        return "sheet";
    case FH_SHELL_CLEAR:
        return "clear";
    case FH_SHELL_GIVEN:
        return "given";
    }
    return "unknown";
}

static void report_samples(cli_context *cli, const fh_shell_record *record)
{
    static const char *const headings[] = {"over",     "",           "look",
                                           "fit ΔE00", "largest ΔR", "left out ΔE00"};
    cli_table table = cli_table_begin("lplrrr", headings);
    for (size_t i = 0; i < record->count; ++i) {
        const fh_reading *look = &record->look[i];
        cli_cell(&table, "%s", record->backing[i].id);
        cli_cell_patch(&table, look->lab);
        cli_cell(&table, "%.2f, %.2f, %.2f", look->lab.L, look->lab.a, look->lab.b);
        cli_cell(&table, "%.2f", record->report.dE[i]);
        cli_cell(&table, "%.4f", record->report.residual[i]);
        if (record->report.left_out[i] >= 0.0)
            cli_cell(&table, "%.2f", record->report.left_out[i]);
        else
            cli_cell(&table, "-");
    }
    cli_table_print(cli, &table);
    cli_put(cli, "\n");
}

static void report_curves(cli_context *cli, const fh_shell *shell)
{
    static const char *const headings[] = {"nm", "A own light", "B in and out", "C thrown back"};
    cli_table table = cli_table_begin("rrrr", headings);
    for (size_t i = 2; i < FH_BANDS; i += 4) {
        cli_cell(&table, "%.0f", fh_band_nm(i));
        cli_cell(&table, "%.4f", shell->curves.A.v[i]);
        cli_cell(&table, "%.4f", shell->curves.B.v[i]);
        cli_cell(&table, "%.3f", shell->curves.C.v[i]);
    }
    cli_put(cli, "\n");
    cli_table_print(cli, &table);
    cli_put(cli, "\nLook of a part of reflectance R: A + B R/(1 - C R).\n");
}

static void report_json(cli_context *cli, const fh_shell_record *record, const char *words)
{
    const fh_shell *shell = &record->shell;
    const fh_shell_report *report = &record->report;
    cli_json_text(cli->root, "id", shell->id);
    cli_json_text(cli->root, "kind", kind_name(shell->kind));
    cli_json_bool(cli->root, "estimated", shell->estimated);
    cli_json_number(cli, cli->root, "index", shell->index);
    cli_json_number(cli, cli->root, "wall", record->wall_ratio);
    json_t *samples = cli_json_array(cli->root, "samples");
    for (size_t i = 0; i < record->count; ++i) {
        json_t *one = cli_json_append(samples);
        cli_json_text(one, "backing", record->backing[i].id);
        cli_json_text(one, "look", record->look[i].id);
        cli_json_lab(cli, one, "lab", record->look[i].lab);
        cli_json_condition(one, "condition", record->look[i].condition);
        cli_json_number(cli, one, "dE00", report->dE[i]);
        cli_json_number(cli, one, "residual", report->residual[i]);
        if (report->left_out[i] >= 0.0)
            cli_json_number(cli, one, "left_out_dE00", report->left_out[i]);
        cli_json_number(cli, one, "model_dE00", report->model_dE[i]);
        cli_json_bool(one, "glows", report->glowing[i]);
    }
    cli_json_number(cli, cli->root, "share", report->share);
    cli_json_number(cli, cli->root, "hidden_bands", (double)report->hidden_count);
    cli_json_number(cli, cli->root, "sigma_look", report->sigma_look);
    cli_json_number(cli, cli->root, "next_backing", report->next_backing);
    cli_json_number(cli, cli->root, "next_sigma_look", report->next_sigma);
    cli_json_numbers(cli, cli->root, "A", shell->curves.A.v, FH_BANDS);
    cli_json_numbers(cli, cli->root, "B", shell->curves.B.v, FH_BANDS);
    cli_json_numbers(cli, cli->root, "C", shell->curves.C.v, FH_BANDS);
    cli_json_numbers(cli, cli->root, "condition_number", report->condition.v, FH_BANDS);
    cli_json_text(cli->root, "words", words);
}

static int report(cli_context *cli, const fh_shell_record *record)
{
    const char *names[FH_SHELL_SAMPLES];
    fh_text words = {0};
    for (size_t i = 0; i < record->count; ++i) names[i] = record->backing[i].id;
    if (fh_shell_explain(&record->shell, &record->report, names, fh_sink_to_text(&words))) {
        fh_text_free(&words);
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    }
    if (cli->json) {
        report_json(cli, record, words.bytes);
    } else {
        if (record->count > 0) report_samples(cli, record);
        cli_put(cli, words.bytes);
        if (record->wall_ratio != 1.0)
            cli_print(cli, "Carried by the sheet model to a wall %g times as thick.\n",
                      record->wall_ratio);
        report_curves(cli, &record->shell);
    }
    fh_text_free(&words);
    return CLI_DONE;
}

static void free_record(void *record)
{
    fh_shell_record_free(record);
}

static int save(cli_context *cli, const fh_shell_record *record)
{
    fh_text text = {0};
    fh_tables *tables = fh_tables_new();
    fh_status status = tables ? fh_shell_to_tables(record, NULL, tables) : FH_E_MEMORY;
    if (!status) status = fh_tables_write(tables, &text);
    fh_tables_free(tables);
    if (status) return cli_fail_text(cli, status, "%s", fh_status_text(status));
    int code = cli_product(cli, text.bytes, text.length);
    fh_text_free(&text);
    return code;
}

static int run(cli_context *cli)
{
    fh_error error = {0};
    fh_shell_record *record = cli_keep_with(cli, fh_shell_record_new(), free_record);
    if (!record) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    int code = read_options(cli, record);
    if (!code) code = read_samples(cli, record);
    if (code) return code;
    if (fh_shell_record_fit(record, &error)) return cli_fail(cli, &error);
    code = report(cli, record);
    return code ? code : save(cli, record);
}

static const cli_option options[] = {
    {"index", 'n', "N", "refractive index of the plastic: a number, acrylic or polycarbonate (1.5)",
     false},
    {"clear", 0, NULL, "the shell is clear: it doesn't scatter", false},
    {"transmittance", 't', "READING", "its total transmittance, as a spectrum", false},
    {"noise", 0, "R", "standard error of a reflectance that no reading states (0.001)", false},
    {"wall", 'w', "RATIO", "carry it to a wall so many times as thick", false},
    {"id", 0, "ID", "id of the shell (shell)", false},
    {"name", 0, "NAME", "its name for people", false},
    {0},
};

const cli_command cli_shell = {
    .name = "shell",
    .summary = "readings over backings to a shell",
    .usage = "[FILE | LOOK=BACKING]...",
    .details =
        "Fits what the shell does to the colour behind it. Read the shell over black and white at\n"
        "least, better over a grey too, and each backing alone, all with one instrument and one\n"
        "setting, spectra where you can.\n\n"
        "Three or more backings need no assumption about the plastic. Two readings use a model of "
        "a\n"
        "plastic wall and its refractive index; one reading, a clear wall. A file holds a look "
        "that\n"
        "names its backing (SAMPLE_BACKING), or just two readings: the backing, then the look "
        "over\n"
        "it. Without files, black.txt, grey.txt and white.txt are taken as far as they exist.\n\n"
        "  farhue shell black.txt grey.txt white.txt -o shell.txt\n"
        "  farhue shell hood.txt#b=cards.txt#black hood.txt#w=cards.txt#white -n acrylic\n",
    .options = options,
    .least = 0,
    .most = CLI_ANY,
    .run = run,
};
