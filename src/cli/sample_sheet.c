/* The white sheet of `farhue sample`. */
#include <string.h>

#include "cli/sample.h"

static const char *path_of(cli_context *cli, size_t index)
{
    return cli_value_at(cli, "white-sheet", 1) ? cli_value_at(cli, "white-sheet", index)
                                               : cli_value(cli, "white-sheet");
}

int sample_sheet_read(cli_context *cli, const sample_job *job, size_t index, sample_sheet *sheet)
{
    size_t given = 0;
    fh_file file;
    fh_error error = {0};
    memset(sheet, 0, sizeof *sheet);
    while (cli_value_at(cli, "white-sheet", given)) given++;
    if (given == 0) return CLI_DONE;
    if (given != 1 && given != job->photo_count)
        return cli_usage(cli,
                         "--white-sheet is given %zu times for %zu photos; expected once, or "
                         "once for each",
                         given, job->photo_count);
    const char *path = path_of(cli, index);
    const sample_photo *photo = &job->photos[index];
    const int code = cli_read(cli, path, FH_LIMIT_PHOTO, &file);
    if (code) return code;
    const fh_status status = fh_picture_decode(file.bytes, file.length, &sheet->picture, &error);
    if (status != FH_OK) {
        fh_copy_text(error.file, sizeof error.file, path);
        return cli_fail(cli, &error);
    }
    sheet->given = true;
    if (sheet->picture.pixels.width != photo->width ||
        sheet->picture.pixels.height != photo->height)
        return cli_fail_text(cli, FH_E_DATA,
                             "%s: the sheet has %zu x %zu pixels and the photo %zu "
                             "x %zu; expected the same camera in the same place",
                             path, sheet->picture.pixels.width, sheet->picture.pixels.height,
                             photo->width, photo->height);
    return CLI_DONE;
}

int sample_sheet_begin(cli_context *cli, sample_sheet *sheet, fh_coding coding, double exponent)
{
    fh_patch all;
    fh_error error = {0};
    if (!sheet->given) return CLI_DONE;
    fh_profile_free(sheet->profile);
    sheet->profile = NULL;
    const fh_status status = coding == FH_CODING_ICC && sheet->picture.icc
                                 ? fh_picture_profile(&sheet->picture, &sheet->profile, &error)
                                 : fh_profile_new(coding == FH_CODING_ICC ? FH_CODING_SRGB : coding,
                                                  exponent, &sheet->profile);
    if (status != FH_OK) return cli_fail_text(cli, status, "the white sheet's coding is unusable");
    const fh_pixels *pixels = &sheet->picture.pixels;
    const fh_shape whole =
        fh_shape_rectangle(-0.5, -0.5, (double)pixels->width, (double)pixels->height);
    if (fh_patch_measure(pixels, sheet->profile, &whole, &all, &error))
        return cli_fail_text(cli, FH_E_DATA, "the white sheet: %s", error.message);
    sheet->average = all.mean;
    return CLI_DONE;
}

int sample_sheet_apply(cli_context *cli, const sample_sheet *sheet, const fh_shape *shape,
                       fh_patch *patch)
{
    fh_patch here;
    fh_error error = {0};
    if (!sheet->given) return CLI_DONE;
    if (fh_patch_measure(&sheet->picture.pixels, sheet->profile, shape, &here, &error))
        return cli_fail_text(cli, FH_E_DATA, "the white sheet: %s", error.message);
    if (here.clipped > 0.02)
        return cli_fail_text(cli, FH_E_DATA,
                             "the white sheet is clipped at %.0f,%.0f; expose it "
                             "one step less",
                             fh_shape_centre(shape).x, fh_shape_centre(shape).y);
    fh_patch_flatten(patch, &here, sheet->average);
    return CLI_DONE;
}

void sample_sheet_end(sample_sheet *sheet)
{
    fh_profile_free(sheet->profile);
    fh_picture_free(&sheet->picture);
}
