/* The difference map of `farhue sample`. */
#include <string.h>

#include "base/memory.h"
#include "cli/sample.h"
#include "farhue/map.h"

enum { SIDE = 1600 };

/* A photo read again: only its calibration was kept. */
typedef struct again {
    fh_picture picture;
    fh_profile *profile;
} again;

static int read_again(cli_context *cli, const sample_job *job, size_t index, again *out)
{
    const sample_photo *photo = &job->photos[index];
    fh_error error = {0};
    if (fh_picture_decode(photo->file.bytes, photo->file.length, &out->picture, &error))
        return cli_fail(cli, &error);
    const fh_status status = photo->coding == FH_CODING_ICC
                                 ? fh_picture_profile(&out->picture, &out->profile, &error)
                                 : fh_profile_new(photo->coding, photo->exponent, &out->profile);
    return status ? cli_fail_text(cli, status, "%s: its coding is unusable", photo->path)
                  : CLI_DONE;
}

static fh_map_photo map_photo(const sample_job *job, size_t index, const again *from)
{
    const sample_photo *photo = &job->photos[index];
    return (fh_map_photo){.pixels = from->picture.pixels,
                          .profile = from->profile,
                          .correction = &photo->calibration->correction,
                          .chart = job->chart,
                          .grid = job->has_grid ? &photo->grid : NULL};
}

/* What the map is of: --map-from, else the first spot. */
static int choose_colour(cli_context *cli, const sample_job *job, fh_lab *out)
{
    const char *text = cli_value(cli, "map-from");
    const fh_condition own = job->photos[0].calibration->condition;
    fh_reading colour;
    if (!text) {
        if (job->found_count == 0)
            return cli_usage(cli,
                             "--map needs a colour; expected a --spot or --map-from COLOUR, or "
                             "--map-between for two photos");
        *out = job->found[0].result.lab;
        return CLI_DONE;
    }
    const int code = cli_colour(cli, text, &colour);
    if (code) return code;
    if (!fh_condition_equal(colour.condition, own))
        return cli_usage(cli,
                         "--map-from %s is in another condition than the readings; say the same "
                         "with @ or --light",
                         text);
    *out = colour.lab;
    return CLI_DONE;
}

typedef struct painter {
    cli_context *cli;
    const fh_map *map;
    size_t height;
} painter;

static void paint(void *user, size_t y, unsigned char *row)
{
    const painter *p = user;
    fh_map_row(p->map, y, row);
    cli_show_progress(p->cli, (double)(y + 1) / (double)p->height);
}

static int write_map(cli_context *cli, const fh_map *map)
{
    painter p = {cli, map, 0};
    size_t width, size;
    void *bytes = NULL;
    fh_error error = {0};
    fh_map_size(map, &width, &p.height);
    if (fh_png_encode(width, p.height, paint, &p, &bytes, &size, &error))
        return cli_fail(cli, &error);
    const int code = cli_write(cli, cli_value(cli, "map"), bytes, size);
    fh_picture_release(bytes);
    return code;
}

static int map_of(cli_context *cli, const sample_job *job, again photos[2], bool between)
{
    fh_map map = {.top = 10.0};
    fh_map_photo other;
    int code = cli_number(cli, "map-top", 0.1, 100.0, &map.top);
    if (code) return code;
    map.photo = map_photo(job, 0, &photos[0]);
    map.block = fh_map_block(&map.photo.pixels, SIDE);
    if (between) {
        other = map_photo(job, 1, &photos[1]);
        map.other = &other;
        if (other.pixels.width != map.photo.pixels.width ||
            other.pixels.height != map.photo.pixels.height)
            return cli_fail_text(cli, FH_E_DATA,
                                 "the two photos have different sizes; expected the "
                                 "same camera in the same place");
    } else {
        code = choose_colour(cli, job, &map.from);
    }
    return code ? code : write_map(cli, &map);
}

int sample_map(cli_context *cli, const sample_job *job)
{
    const bool between = cli_flag(cli, "map-between");
    again photos[2];
    memset(photos, 0, sizeof photos);
    if (!cli_value(cli, "map")) {
        if (between || cli_value(cli, "map-from") || cli_value(cli, "map-top"))
            return cli_usage(cli, "--map-from, --map-top and --map-between go with --map FILE");
        return CLI_DONE;
    }
    if (job->photo_count != (between ? 2u : 1u))
        return cli_usage(cli, "--map takes one photo, with --map-between two; %zu are given",
                         job->photo_count);
    if (cli_value(cli, "white-sheet"))
        cli_note(cli, "the map is of the photo as it is: the white sheet is not used in it");
    int code = read_again(cli, job, 0, &photos[0]);
    if (!code && between) code = read_again(cli, job, 1, &photos[1]);
    if (!code) code = map_of(cli, job, photos, between);
    for (int i = 0; i < 2; i++) {
        fh_profile_free(photos[i].profile);
        fh_picture_free(&photos[i].picture);
    }
    return code;
}
