/* Arguments of `farhue sample`: places in pixels. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "cli/sample.h"

/* Numbers between commas; their count, or 0 where one is none or there are more than most. */
static size_t read_numbers(const char *text, double *out, size_t most)
{
    size_t count = 0;
    for (;;) {
        const char *comma = strchr(text, ',');
        const size_t length = comma ? (size_t)(comma - text) : strlen(text);
        if (count == most || !fh_parse_number(fh_slice_trim((fh_slice){text, length}), &out[count]))
            return 0;
        count++;
        if (!comma) return count;
        text = comma + 1;
    }
}

int sample_read_coding(cli_context *cli, sample_job *job)
{
    const char *text = cli_value(cli, "coding");
    job->coding_given = text != NULL;
    job->exponent = 1.0;
    if (!text || strcmp(text, "srgb") == 0)
        job->coding = FH_CODING_SRGB;
    else if (strcmp(text, "linear") == 0)
        job->coding = FH_CODING_LINEAR;
    else if (fh_parse_number(fh_slice_of(text), &job->exponent) && job->exponent >= 0.2 &&
             job->exponent <= 5.0)
        job->coding = FH_CODING_GAMMA;
    else
        return cli_usage(cli, "--coding %s: expected srgb, linear or an exponent from 0.2 to 5",
                         text);
    return CLI_DONE;
}

int sample_read_corners(cli_context *cli, sample_job *job)
{
    size_t given = 0;
    while (cli_value_at(cli, "corners", given)) given++;
    job->has_grid = given > 0;
    if (given == 0) return CLI_DONE;
    if (given != 1 && given != job->photo_count)
        return cli_usage(cli,
                         "--corners is given %zu times for %zu photos; expected once, or once "
                         "for each",
                         given, job->photo_count);
    for (size_t i = 0; i < job->photo_count; i++) {
        double v[9];
        const char *text = cli_value_at(cli, "corners", given == 1 ? 0 : i);
        if (read_numbers(text, v, 9) != 8)
            return cli_usage(cli, "--corners %s: expected eight numbers between commas", text);
        for (int k = 0; k < 4; k++) job->photos[i].corners[k] = (fh_point){v[2 * k], v[2 * k + 1]};
    }
    return CLI_DONE;
}

static int read_shape(cli_context *cli, const char *option, const char *whole, const char *text,
                      fh_shape *out)
{
    double v[2 * FH_SHAPE_POINTS + 1];
    const size_t n = read_numbers(text, v, 2 * FH_SHAPE_POINTS + 1);
    if (n == 3 && v[2] > 0.0) {
        *out = fh_shape_circle((fh_point){v[0], v[1]}, v[2]);
    } else if (n == 4 && v[2] > 0.0 && v[3] > 0.0) {
        *out = fh_shape_rectangle(v[0], v[1], v[2], v[3]);
    } else if (n >= 6 && n % 2 == 0) {
        memset(out, 0, sizeof *out);
        out->count = n / 2;
        for (size_t i = 0; i < out->count; i++) out->points[i] = (fh_point){v[2 * i], v[2 * i + 1]};
    } else {
        return cli_usage(cli,
                         "--%s %s: expected NAME=X,Y,RADIUS or NAME=X,Y,WIDTH,HEIGHT or "
                         "NAME=X,Y,X,Y,X,Y… with at most %d points",
                         option, whole, FH_SHAPE_POINTS);
    }
    return CLI_DONE;
}

int sample_read_spot(cli_context *cli, const char *option, const char *text, sample_spot *out,
                     const char **rest)
{
    char shape[1024];
    const char *equals = strchr(text, '=');
    const size_t length = equals ? (size_t)(equals - text) : 0;
    if (length == 0 || length >= FH_ID || memchr(text, '#', length))
        return cli_usage(cli,
                         "--%s %s: expected a name of at most %d bytes without #, then = and "
                         "a shape",
                         option, text, FH_ID - 1);
    fh_copy_slice(out->id, sizeof out->id, (fh_slice){text, length});
    if (!fh_utf8_valid(fh_slice_of(out->id)))
        return cli_usage(cli, "--%s: the name is not UTF-8", option);
    const char *second = rest ? strchr(equals + 1, '=') : NULL;
    if (rest) *rest = second ? second + 1 : NULL;
    const size_t wide = second ? (size_t)(second - equals - 1) : strlen(equals + 1);
    fh_copy_slice(shape, sizeof shape, (fh_slice){equals + 1, wide});
    return read_shape(cli, option, text, shape, &out->shape);
}

static size_t count_of(const sample_spots *spots, const char *id)
{
    size_t n = 0;
    for (size_t i = 0; i < spots->count; i++) n += strcmp(spots->items[i].id, id) == 0;
    return n;
}

int sample_check_spots(cli_context *cli, const char *option, const sample_spots *spots,
                       size_t photos)
{
    for (size_t i = 0; i < spots->count; i++) {
        const size_t n = count_of(spots, spots->items[i].id);
        if (n != 1 && n != photos)
            return cli_usage(cli,
                             "--%s %s is given %zu times for %zu photos; expected once, or "
                             "once for each",
                             option, spots->items[i].id, n, photos);
    }
    return CLI_DONE;
}

int sample_read_spots(cli_context *cli, sample_job *job)
{
    size_t given = 0;
    while (cli_value_at(cli, "spot", given)) given++;
    if (given > SAMPLE_SPOTS)
        return cli_usage(cli, "%zu spots are given; expected at most %d", given, SAMPLE_SPOTS);
    job->spots.items = cli_keep(cli, fh_allocate(given, sizeof *job->spots.items));
    job->found = cli_keep(cli, fh_allocate(given * job->photo_count, sizeof *job->found));
    job->readings = cli_keep(cli, fh_allocate(given * job->photo_count, sizeof *job->readings));
    job->between = cli_keep(cli, fh_allocate(given * job->photo_count, sizeof *job->between));
    if (!job->spots.items || !job->found || !job->readings || !job->between)
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    for (size_t i = 0; i < given; i++) {
        const int code =
            sample_read_spot(cli, "spot", cli_value_at(cli, "spot", i), &job->spots.items[i], NULL);
        if (code) return code;
        job->spots.count++;
    }
    return sample_check_spots(cli, "spot", &job->spots, job->photo_count);
}

const fh_shape *sample_shape(const sample_spots *spots, const char *id, size_t photo)
{
    const fh_shape *found = NULL;
    size_t seen = 0;
    for (size_t i = 0; i < spots->count; i++) {
        if (strcmp(spots->items[i].id, id) != 0) continue;
        if (seen == 0 || seen == photo) found = &spots->items[i].shape;
        seen++;
    }
    return found;
}
