/* A spot as the difference to the nearest known chip in the photo: what two people who have the
 * same chips can tell each other, however far either photo is from the truth. */
#include "cli/sample.h"
#include "farhue/difference.h"

typedef struct beside {
    const char *id;
    double dE, d[3];
} beside;

/* The chips' colours stand in the condition of the readings. */
static beside nearest_chip(const sample_job *job, fh_lab lab)
{
    beside nearest = {0};
    for (size_t i = 0; i < job->chip_count; i++) {
        const fh_lab chip = job->chart->editions[0].lab[i];
        const double dE = fh_de2000(chip, lab);
        if (nearest.id && dE >= nearest.dE) continue;
        nearest =
            (beside){job->chart->chips[i].id, dE, {lab.L - chip.L, lab.a - chip.a, lab.b - chip.b}};
    }
    return nearest;
}

void sample_json_chip(cli_context *cli, const sample_job *job, fh_lab lab, json_t *reading)
{
    if (job->chip_count == 0) return;
    const beside chip = nearest_chip(job, lab);
    json_t *one = cli_json_object(reading, "from_chip");
    cli_json_text(one, "id", chip.id);
    cli_json_numbers(cli, one, "d_lab", chip.d, 3);
    cli_json_number(cli, one, "dE00", chip.dE);
}

void sample_print_chips(cli_context *cli, const sample_job *job)
{
    if (job->chip_count == 0 || job->reading_count == 0) return;
    cli_put(cli, "\n");
    for (size_t i = 0; i < job->reading_count; i++) {
        const beside chip = nearest_chip(job, job->readings[i].lab);
        cli_print(cli, "%s: chip %s, and ΔL* %+.1f, Δa* %+.1f, Δb* %+.1f (ΔE00 %.1f from it)\n",
                  job->readings[i].id, chip.id, chip.d[0], chip.d[1], chip.d[2], chip.dE);
    }
    cli_put(cli, "Somebody with the same chip beside the part can compare such a difference with "
                 "their own;\nthe nearer the chip's colour, the better.\n");
}
