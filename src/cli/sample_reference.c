/* What `farhue sample` goes by: a chart, loose chips of known colour, or nothing at all. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "cli/sample.h"
#include "farhue/chart_file.h"
#include "farhue/estimate.h"

/* A chip's colour in the condition of the readings. */
static int chip_colour(cli_context *cli, const sample_job *job, const char *id, const char *text,
                       fh_reading *out)
{
    fh_error error = {0};
    const int code = cli_colour(cli, text, out);
    if (code || fh_condition_equal(out->condition, job->condition)) return code;
    const fh_weights to = fh_weights_of(job->condition);
    const bool measured = out->origin == FH_ORIGIN_SPECTRUM;
    if (fh_reading_in_condition(out, &to, out, &error)) return cli_fail(cli, &error);
    if (!measured) {
        char condition[FH_CONDITION_TEXT];
        fh_condition_text(job->condition, condition);
        cli_note(cli, "chip %s: its colour for %s is estimated", id, condition);
    }
    return CLI_DONE;
}

/* Read the chips; colours[i] is that of the i-th different one. */
static int read_chips(cli_context *cli, sample_job *job, size_t given, fh_reading *colours)
{
    for (size_t i = 0; i < given; i++) {
        sample_spot *chip = &job->chips.items[i];
        const char *colour, *text = cli_value_at(cli, "chip", i);
        int code = sample_read_spot(cli, "chip", text, chip, &colour);
        if (code) return code;
        bool again = false;
        for (size_t k = 0; k < i; k++)
            again = again || strcmp(job->chips.items[k].id, chip->id) == 0;
        if (again != (colour == NULL))
            return cli_usage(cli,
                             "--chip %s: expected NAME=SHAPE=COLOUR the first time a name is "
                             "given, and NAME=SHAPE for further photos",
                             text);
        job->chips.count++;
        if (again) continue;
        code = chip_colour(cli, job, chip->id, colour, &colours[job->chip_count]);
        if (code) return code;
        fh_copy_text(colours[job->chip_count].id, FH_ID, chip->id);
        job->chip_count++;
    }
    return sample_check_spots(cli, "chip", &job->chips, job->photo_count);
}

/* How far off a chip's stated colour may be, in about ΔE00. */
static double strays(const fh_reading *colour)
{
    const fh_mat3 c = fh_reading_covariance(colour);
    return sqrt(fmax(0.0, c.m[0][0] + c.m[1][1] + c.m[2][2]));
}

static int chart_of_chips(cli_context *cli, sample_job *job, const fh_reading *colours)
{
    /* One row of a chart is enough for FH_CHART_SIDE chips; more stand in several rows. */
    size_t rows = 1;
    while (job->chip_count % rows != 0 || job->chip_count / rows > FH_CHART_SIDE) rows++;
    if (fh_chart_new(rows, job->chip_count / rows, job->condition, &job->chart))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    fh_copy_text(job->chart->name, sizeof job->chart->name, "loose chips");
    for (size_t i = 0; i < job->chip_count; i++) {
        fh_copy_text(job->chart->chips[i].id, FH_ID, colours[i].id);
        job->chart->editions[0].lab[i] = colours[i].lab;
        job->chart->spread = fmax(job->chart->spread, strays(&colours[i]));
    }
    return CLI_DONE;
}

static int read_chart(cli_context *cli, sample_job *job)
{
    const char *path = cli_value(cli, "chart");
    fh_file file;
    fh_error error = {0};
    if (!path) {
        if (fh_chart_24(&job->chart)) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
        return CLI_DONE;
    }
    const int code = cli_read(cli, path, FH_LIMIT_TEXT, &file);
    if (code) return code;
    if (fh_chart_read(file.bytes, file.length, &job->chart, &error)) {
        fh_copy_text(error.file, sizeof error.file, path);
        return cli_fail(cli, &error);
    }
    if (job->has_grid && (job->chart->rows < 2 || job->chart->columns < 2))
        return cli_fail_text(cli, FH_E_DATA,
                             "%s: a chart of one row has no four corners; name its "
                             "patches with --chip",
                             path);
    return CLI_DONE;
}

int sample_read_reference(cli_context *cli, sample_job *job)
{
    size_t given = 0;
    while (cli_value_at(cli, "chip", given)) given++;
    job->no_reference = cli_flag(cli, "no-reference");
    const int kinds = (given > 0) + job->no_reference + job->has_grid;
    job->find = kinds == 0;
    job->has_grid = job->has_grid || job->find;
    if (kinds > 1) return cli_usage(cli, "--corners, --chip and --no-reference exclude each other");
    if (given > SAMPLE_CHIPS)
        return cli_usage(cli, "%zu chips are given; expected at most %d", given, SAMPLE_CHIPS);
    if (given > 0) {
        fh_reading *colours = cli_keep(cli, fh_allocate(given, sizeof *colours));
        job->chips.items = cli_keep(cli, fh_allocate(given, sizeof *job->chips.items));
        if (!colours || !job->chips.items) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
        const int code = read_chips(cli, job, given, colours);
        return code ? code : chart_of_chips(cli, job, colours);
    }
    return read_chart(cli, job);
}
