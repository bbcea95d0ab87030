/* Aged plastic against sheltered plastic (under a label, inside): what the years did. */
#include <math.h>
#include <string.h>

#include "cli/sample.h"
#include "cli/yellowing.h"
#include "farhue/difference.h"

/* Half the 95 % interval of the distance, along the direction of the difference. */
static double half_interval(const fh_reading *a, const fh_reading *b)
{
    fh_mat3 covariance;
    const double d[3] = {a->lab.L - b->lab.L, a->lab.a - b->lab.a, a->lab.b - b->lab.b};
    const double length = sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]);
    const double de = fh_de2000(b->lab, a->lab);
    double variance = 0.0;
    if (fh_reading_difference_covariance(a, b, &covariance) != FH_OK || length <= 0.0) return 0.0;
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 3; k++) variance += d[i] * covariance.m[i][k] * d[k];
    return 1.96 * sqrt(fmax(0.0, variance)) / length * (de / length);
}

static void say(cli_context *cli, const fh_reading *aged, const fh_reading *sheltered, json_t *to)
{
    const double de = fh_de2000(sheltered->lab, aged->lab), half = half_interval(aged, sheltered);
    const cli_yellowing y = cli_yellowing_of(sheltered, aged);
    cli_print(cli, "%s against %s: ΔE00 %.1f ± %.1f, ΔL* %+.1f, Δa* %+.1f, Δb* %+.1f", aged->id,
              sheltered->id, de, half, aged->lab.L - sheltered->lab.L,
              aged->lab.a - sheltered->lab.a, aged->lab.b - sheltered->lab.b);
    if (y.apt)
        cli_print(cli, ";\n  yellowness index (E313) %.1f against %.1f, ± %.1f: %s%s", y.yi[1],
                  y.yi[0], y.half, y.words,
                  cli_yellowing_open(&y) ? ", by less than the uncertainty" : "");
    cli_put(cli, "\n");
    if (!to) return;
    cli_json_text(to, "id", aged->id);
    cli_json_number(cli, to, "dE00", de);
    cli_json_number(cli, to, "dE00_half_interval", half);
    if (!y.known) return;
    cli_json_number(cli, to, "yellowness", y.yi[1]);
    cli_json_number(cli, to, "yellowness_sheltered", y.yi[0]);
    cli_json_number(cli, to, "yellowness_half_interval", y.half);
    if (y.words) cli_json_text(to, "words", y.words);
}

static const fh_reading *sheltered_of(cli_context *cli, const sample_job *job)
{
    const char *id = cli_value(cli, "sheltered");
    for (size_t i = 0; id && i < job->reading_count; i++)
        if (strcmp(job->readings[i].id, id) == 0) return &job->readings[i];
    return NULL;
}

int sample_aged_check(cli_context *cli, const sample_job *job)
{
    const char *id = cli_value(cli, "sheltered");
    if (!id) return CLI_DONE;
    if (!sheltered_of(cli, job))
        return cli_usage(
            cli, "--sheltered %s: no reading of that name; expected the name of a --spot", id);
    if (job->reading_count < 2)
        return cli_usage(cli, "--sheltered %s: expected another --spot to hold against it", id);
    return CLI_DONE;
}

void sample_aged(cli_context *cli, const sample_job *job)
{
    const fh_reading *sheltered = sheltered_of(cli, job);
    if (!sheltered) return;
    json_t *array = cli->json ? cli_json_array(cli->root, "against_sheltered") : NULL;
    cli_put(cli, "\n");
    for (size_t i = 0; i < job->reading_count; i++)
        if (&job->readings[i] != sheltered)
            say(cli, &job->readings[i], sheltered, array ? cli_json_append(array) : NULL);
    cli_put(cli, "The owner decides which of the two to match: the aged one beside aged parts, the "
                 "sheltered one for how it was.\n");
}
