/* The overlay of `farhue sample`: what was measured, drawn over the photo. */
#include "base/memory.h"
#include "cli/sample.h"
#include "farhue/map.h"
#include "farhue/overlay.h"

enum { SIDE = 1600 };
static const double WINDOW = 0.44;

static size_t chart_marks(const sample_job *job, size_t index, fh_outline *marks)
{
    const sample_photo *photo = &job->photos[index];
    if (job->has_grid) {
        fh_overlay_chart(photo->calibration, &photo->grid, WINDOW, marks);
        return job->chart->count;
    }
    for (size_t i = 0; i < job->chip_count; i++) {
        const fh_shape *shape = sample_shape(&job->chips, job->chart->chips[i].id, index);
        const bool used = photo->calibration->exclusion[i] == FH_PATCH_USED;
        marks[i] = (fh_outline){.kind = used ? FH_OUTLINE_USED : FH_OUTLINE_REJECTED, .shape = *shape};
    }
    return job->chip_count;
}

/* Spots have their names beside them. */
static size_t all_marks(const sample_job *job, size_t index, fh_outline *marks)
{
    size_t count = job->no_reference ? 0 : chart_marks(job, index, marks);
    for (size_t i = 0; i < job->found_count; i++) {
        if (job->found[i].photo != index) continue;
        const char *id = job->found[i].id;
        marks[count++] = fh_overlay_spot(sample_shape(&job->spots, id, index), id);
    }
    return count;
}

static void paint(void *user, size_t y, unsigned char *row)
{
    fh_overlay_row(user, y, row);
}

static int write_overlay(cli_context *cli, const char *path, fh_overlay *overlay)
{
    size_t width, height, size;
    void *bytes = NULL;
    fh_error error = {0};
    fh_overlay_size(overlay, &width, &height);
    if (fh_png_encode(width, height, paint, overlay, &bytes, &size, &error))
        return cli_fail(cli, &error);
    const int code = cli_write(cli, path, bytes, size);
    fh_picture_release(bytes);
    return code;
}

int sample_overlay(cli_context *cli, const sample_job *job, size_t index, const fh_picture *picture,
                   const fh_profile *profile)
{
    const char *path = cli_value_at(cli, "overlay", index);
    if (!path) return CLI_DONE;
    fh_outline *marks = fh_allocate(FH_CHART_PATCHES + SAMPLE_SPOTS, sizeof *marks);
    if (!marks) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    fh_overlay overlay = {.pixels = picture->pixels, .profile = profile, .marks = marks};
    overlay.count = all_marks(job, index, marks);
    overlay.block = fh_map_block(&picture->pixels, SIDE);
    const int code = write_overlay(cli, path, &overlay);
    fh_free(marks);
    if (!code && overlay.block > 1)
        cli_note(cli,
                 "%s shows the photo at 1/%zu of its size; a place read from it has to be "
                 "multiplied by %zu",
                 path, overlay.block, overlay.block);
    return code;
}
