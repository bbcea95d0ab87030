/* One photo of `farhue sample`: decode, find out the coding, calibrate, measure the spots. */
#include <string.h>

#include "base/memory.h"
#include "cli/sample.h"

enum { NAME_CUT = FH_SOURCE - 8 }; /* so that "photo: NAME" fits a source tag */

/* Shares of the pitch: well inside the patch whatever its frame, and nearly all of it. */
static const double WINDOW = 0.44, RIM = 0.62;

/* A photo while it is worked on. */
typedef struct view {
    fh_picture picture;
    fh_profile *profile;
    sample_sheet sheet;
} view;

static int fail_in(cli_context *cli, const sample_photo *photo, fh_error *error)
{
    if (!error->file[0]) fh_copy_text(error->file, sizeof error->file, photo->path);
    return cli_fail(cli, error);
}

static void name_photo(sample_photo *photo, const char *path)
{
    const char *slash = strrchr(path, '/');
    photo->path = path;
    fh_copy_text(photo->name, NAME_CUT, slash ? slash + 1 : path);
}

static int choose_profile(cli_context *cli, const sample_job *job, sample_photo *photo, view *v)
{
    fh_error error = {0};
    fh_status status;
    if (job->coding_given) {
        photo->coding = job->coding;
        photo->exponent = job->exponent;
        status = fh_profile_new(job->coding, job->exponent, &v->profile);
        error.status = status;
    } else {
        photo->coding = v->picture.coding;
        photo->exponent = v->picture.exponent;
        status = fh_picture_profile(&v->picture, &v->profile, &error);
    }
    return status == FH_OK ? CLI_DONE : fail_in(cli, photo, &error);
}

static size_t photo_index(const sample_job *job, const sample_photo *photo)
{
    return (size_t)(photo - job->photos);
}

/* A pixel on the scale of the chart, or of the picture's half width where there is no chart. */
static fh_point place_of(const sample_job *job, const sample_photo *photo, fh_point pixel)
{
    const double half = (double)photo->width / 2.0;
    if (!job->has_grid)
        return (fh_point){(pixel.x - half) / half, (pixel.y - (double)photo->height / 2.0) / half};
    const fh_point place = fh_grid_place(&photo->grid, pixel);
    return fh_chart_place(job->chart, place.x, place.y);
}

/* The patches of a grid in the light of the white sheet, where there is one. */
static int even_out(cli_context *cli, const sample_photo *photo, const view *v, double share,
                    fh_patch *patches)
{
    for (size_t r = 0; r < photo->grid.rows; r++) {
        for (size_t c = 0; c < photo->grid.columns; c++) {
            const fh_shape shape = fh_grid_window(&photo->grid, c, r, share);
            const int code =
                sample_sheet_apply(cli, &v->sheet, &shape, &patches[r * photo->grid.columns + c]);
            if (code) return code;
        }
    }
    return CLI_DONE;
}

/* The patches of the chart, or the loose chips, through their windows. */
static int measure_patches(cli_context *cli, const sample_job *job, sample_photo *photo, view *v)
{
    fh_error error = {0}, inner = {0};
    int code = sample_sheet_begin(cli, &v->sheet, photo->coding, job->exponent);
    if (code) return code;
    if (job->has_grid) {
        if (fh_grid_measure(&photo->grid, &v->picture.pixels, v->profile, WINDOW, photo->patches,
                            &error))
            return fail_in(cli, photo, &error);
        return even_out(cli, photo, v, WINDOW, photo->patches);
    }
    for (size_t i = 0; i < job->chip_count; i++) {
        const char *id = job->chart->chips[i].id;
        const fh_shape *shape = sample_shape(&job->chips, id, photo_index(job, photo));
        if (fh_patch_measure(&v->picture.pixels, v->profile, shape, &photo->patches[i], &inner)) {
            error.status = inner.status;
            fh_format(error.message, sizeof error.message, "chip %s: %s", id, inner.message);
            return fail_in(cli, photo, &error);
        }
        code = sample_sheet_apply(cli, &v->sheet, shape, &photo->patches[i]);
        if (code) return code;
    }
    return CLI_DONE;
}

/* A file that says nothing counts as sRGB, unless its neutral row says that it is linear. */
static int look_at_neutrals(cli_context *cli, const sample_job *job, sample_photo *photo, view *v)
{
    const double exponent = fh_neutral_exponent(job->chart, photo->patches);
    if (exponent <= 0.0 || exponent >= 1.4 || photo->coding == FH_CODING_LINEAR) return CLI_DONE;
    if (job->coding_given || v->picture.coding_said) {
        cli_note(cli,
                 "%s: the chart's neutral row looks linear (exponent %.2f), but the coding is "
                 "taken as %s",
                 photo->path, exponent, fh_coding_name(photo->coding));
        return CLI_DONE;
    }
    fh_profile_free(v->profile);
    v->profile = NULL;
    photo->coding = FH_CODING_LINEAR;
    if (fh_profile_new(FH_CODING_LINEAR, 1.0, &v->profile))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    cli_note(cli,
             "%s: read as linear: the file says nothing and the chart's neutral row has an "
             "exponent of %.2f (sRGB: about 2.2)",
             photo->path, exponent);
    return measure_patches(cli, job, photo, v);
}

static int calibrate(cli_context *cli, const sample_job *job, sample_photo *photo)
{
    fh_error error = {0};
    fh_calibrate_options options = {
        .condition = job->condition, .plain = job->plain, .edition = job->edition - 1};
    fh_point places[SAMPLE_CHIPS];
    /* A chart without spectra is used in its own condition; the spots are converted. */
    for (size_t i = 0; i < job->chart->count; i++)
        if (!job->chart->chips[i].has_spectrum) options.condition = job->chart->condition;
    photo->calibration = fh_calibration_new();
    if (!photo->calibration) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    if (job->no_reference) {
        fh_calibrate_none(job->condition, photo->calibration);
        return CLI_DONE;
    }
    if (job->chip_count > 0) {
        options.few = true;
        options.places = places;
        for (size_t i = 0; i < job->chip_count; i++) {
            const fh_shape *shape =
                sample_shape(&job->chips, job->chart->chips[i].id, photo_index(job, photo));
            places[i] = place_of(job, photo, fh_shape_centre(shape));
        }
    }
    if (fh_calibrate(job->chart, photo->patches, &options, cli_show_progress, cli,
                     photo->calibration, &error))
        return fail_in(cli, photo, &error);
    return CLI_DONE;
}

/* Patches through wider windows tell blur; where those reach outside, that is no fault. */
static int judge(cli_context *cli, const sample_job *job, sample_photo *photo, const view *v)
{
    if (job->no_reference) return CLI_DONE;
    fh_patch *rims = fh_allocate(job->chart->count, sizeof *rims);
    if (!rims) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    const bool wide = job->has_grid && fh_grid_measure(&photo->grid, &v->picture.pixels, v->profile,
                                                       RIM, rims, NULL) == FH_OK;
    const int code = wide ? even_out(cli, photo, v, RIM, rims) : CLI_DONE;
    fh_judge_photo(photo->calibration, job->chart, photo->patches, wide ? rims : NULL,
                   &photo->warnings);
    fh_free(rims);
    return code;
}

static int measure_spot(cli_context *cli, sample_job *job, size_t index, const char *id,
                        const view *v)
{
    sample_photo *photo = &job->photos[index];
    const fh_shape *shape = sample_shape(&job->spots, id, index);
    sample_found *found = &job->found[job->found_count];
    fh_error error = {0}, inner = {0};
    found->id = id;
    found->photo = index;
    fh_status status =
        fh_patch_measure(&v->picture.pixels, v->profile, shape, &found->patch, &inner);
    if (status != FH_OK) {
        fh_format(error.message, sizeof error.message, "spot %s: %s", id, inner.message);
        error.status = status;
        return fail_in(cli, photo, &error);
    }
    if (found->patch.clipped > 0.02) {
        fh_format(error.message, sizeof error.message,
                  "spot %s: %.0f %% of its pixels are clipped; expose one step less", id,
                  100.0 * found->patch.clipped);
        error.status = FH_E_DATA;
        return fail_in(cli, photo, &error);
    }
    const int code = sample_sheet_apply(cli, &v->sheet, shape, &found->patch);
    if (code) return code;
    const fh_point at = place_of(job, photo, fh_shape_centre(shape));
    status = fh_calibration_spot(photo->calibration, &found->patch, at, &found->result);
    if (status != FH_OK) return cli_fail_text(cli, status, "spot %s: no colour comes out", id);
    status = fh_spot_reading(photo->calibration, job->chart, &found->result, photo->name, id,
                             job->condition, &found->reading, &error);
    if (status != FH_OK) return fail_in(cli, photo, &error);
    fh_judge_spot(photo->calibration, photo->patches, &found->patch, at, &found->result,
                  &found->warnings);
    job->found_count++;
    return CLI_DONE;
}

static int measure_spots(cli_context *cli, sample_job *job, size_t index, const view *v)
{
    for (size_t i = 0; i < job->spots.count; i++) {
        bool again = false; /* a name that came before */
        for (size_t k = 0; k < i; k++)
            again = again || strcmp(job->spots.items[k].id, job->spots.items[i].id) == 0;
        if (again) continue;
        const int code = measure_spot(cli, job, index, job->spots.items[i].id, v);
        if (code) return code;
    }
    return CLI_DONE;
}

/* The chart where its corners are, or where it is found. */
static int place_grid(cli_context *cli, const sample_job *job, sample_photo *photo, const view *v)
{
    fh_error error = {0};
    if (!job->has_grid) return CLI_DONE;
    if (!job->find) {
        if (fh_grid_from_corners(photo->corners, job->chart->rows, job->chart->columns,
                                 &photo->grid, &error))
            return fail_in(cli, photo, &error);
        return CLI_DONE;
    }
    fh_found *found = fh_allocate(1, sizeof *found);
    if (!found) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    const fh_status status =
        fh_chart_find(&v->picture.pixels, job->chart, cli_show_progress, cli, found, &error);
    photo->grid = found->grid;
    for (int k = 0; status == FH_OK && k < 4; k++) photo->corners[k] = found->corners[k];
    if (status == FH_OK && found->doubtful) {
        fh_warning *w = &photo->warnings.items[photo->warnings.count++];
        *w = (fh_warning){.fault = FH_FAULT_PLACE, .value = found->residual};
        fh_format(w->text, sizeof w->text,
                  "the chart is found with doubt: %s; check it with "
                  "--overlay",
                  found->warning);
    }
    fh_free(found);
    return status == FH_OK ? CLI_DONE : fail_in(cli, photo, &error);
}

static int work(cli_context *cli, sample_job *job, size_t index, view *v)
{
    sample_photo *photo = &job->photos[index];
    photo->width = v->picture.pixels.width;
    photo->height = v->picture.pixels.height;
    int code = choose_profile(cli, job, photo, v);
    if (code) return code;
    code = place_grid(cli, job, photo, v);
    if (!code) code = sample_sheet_read(cli, job, index, &v->sheet);
    if (!code) code = measure_patches(cli, job, photo, v);
    if (!code) code = look_at_neutrals(cli, job, photo, v);
    if (!code) code = calibrate(cli, job, photo);
    if (!code) code = judge(cli, job, photo, v);
    if (!code) code = measure_spots(cli, job, index, v);
    if (!code) code = sample_overlay(cli, job, index, &v->picture, v->profile);
    return code;
}

int sample_photo_run(cli_context *cli, sample_job *job, size_t index)
{
    sample_photo *photo = &job->photos[index];
    view v = {0};
    fh_error error = {0};
    name_photo(photo, cli->operands[index]);
    int code = cli_read(cli, photo->path, FH_LIMIT_PHOTO, &photo->file);
    if (code) return code;
    if (fh_picture_decode(photo->file.bytes, photo->file.length, &v.picture, &error))
        return fail_in(cli, photo, &error);
    code = work(cli, job, index, &v);
    sample_sheet_end(&v.sheet);
    fh_profile_free(v.profile);
    fh_picture_free(&v.picture);
    return code;
}
