/* What `farhue sample` says: the readings, and how far each photo can be trusted. */
#include <math.h>
#include <string.h>

#include "cli/sample.h"
#include "cli/table.h"
#include "farhue/library.h"

int sample_pool(cli_context *cli, sample_job *job)
{
    const bool separate = cli_flag(cli, "separate") && job->photo_count > 1;
    for (size_t i = 0; i < job->found_count; i++) {
        fh_reading same[SAMPLE_PHOTOS];
        size_t n = 0;
        bool first = true;
        for (size_t k = 0; k < job->found_count; k++) {
            if (strcmp(job->found[k].id, job->found[i].id) != 0) continue;
            first = first && k >= i;
            same[n++] = job->found[k].reading;
        }
        fh_reading *out = &job->readings[job->reading_count];
        if (separate) {
            *out = job->found[i].reading;
            fh_format(out->id, sizeof out->id, "%.*s-%zu", FH_ID - 8, job->found[i].id,
                      job->found[i].photo + 1);
        } else if (!first) {
            continue;
        } else if (fh_spots_pool(same, n, out, &job->between[job->reading_count])) {
            return cli_fail_text(cli, FH_E_DATA, "%s: its photos do not pool", job->found[i].id);
        }
        job->reading_count++;
    }
    return CLI_DONE;
}

static double spread_of(const fh_reading *reading, int axis)
{
    return sqrt(fmax(0.0, fh_reading_covariance(reading).m[axis][axis]));
}

int sample_write(cli_context *cli, const sample_job *job)
{
    fh_text text = {0};
    if (!cli_value(cli, "output")) return CLI_DONE;
    if (job->reading_count == 0)
        return cli_usage(cli, "-o is given and nothing is measured; expected at least one --spot");
    const fh_status status =
        fh_library_write(job->readings, job->reading_count, "readings from photos", NULL, &text);
    if (status != FH_OK) return cli_fail_text(cli, status, "the readings cannot be written");
    const int code = cli_product(cli, text.bytes, text.length);
    fh_text_free(&text);
    return code;
}

/* --- Warnings --------------------------------------------------------------------------------- */

static size_t warn_of(cli_context *cli, const sample_photo *photo, const char *spot,
                      const fh_warnings *warnings)
{
    for (size_t i = 0; i < warnings->count; i++)
        cli_note(cli, "%s: %s%s%s%s", photo->name, spot ? "spot " : "", spot ? spot : "",
                 spot ? ": " : "", warnings->items[i].text);
    if (warnings->missed > 0)
        cli_note(cli, "%s: and %zu more of the kind", photo->name, warnings->missed);
    return warnings->count + warnings->missed;
}

int sample_warn(cli_context *cli, const sample_job *job)
{
    size_t count = 0;
    for (size_t i = 0; i < job->photo_count; i++)
        count += warn_of(cli, &job->photos[i], NULL, &job->photos[i].warnings);
    for (size_t i = 0; i < job->found_count; i++)
        count += warn_of(cli, &job->photos[job->found[i].photo], job->found[i].id,
                         &job->found[i].warnings);
    if (count > 0 && cli_flag(cli, "strict"))
        return cli_fail_text(cli, FH_E_DATA,
                             "%zu warnings, and --strict takes none; nothing is "
                             "written",
                             count);
    return CLI_DONE;
}

/* --- As text ---------------------------------------------------------------------------------- */

static void print_photo(cli_context *cli, const sample_job *job, const sample_photo *photo)
{
    const fh_calibration *c = photo->calibration;
    char model[FH_MODEL_TEXT];
    fh_model_text(c->correction.model, model);
    if (job->no_reference) {
        cli_print(cli,
                  "%s: %zu x %zu, %s; nothing of known colour: a guess, good to about %.0f "
                  "ΔE00\n",
                  photo->name, photo->width, photo->height, fh_coding_name(photo->coding),
                  c->experience);
        return;
    }
    cli_print(cli, "%s: %zu x %zu, %s; %zu of %zu patches used", photo->name, photo->width,
              photo->height, fh_coding_name(photo->coding), c->used, c->count);
    const char *before = "; left out ";
    for (size_t i = 0; i < c->count; i++) {
        if (c->exclusion[i] == FH_PATCH_USED) continue;
        cli_print(cli, "%s%s (%s)", before, job->chart->chips[i].id,
                  fh_exclusion_text(c->exclusion[i]));
        before = ", ";
    }
    cli_put(cli, "\n");
    if (job->find)
        cli_print(cli, "  chart found; corners %.1f,%.1f,%.1f,%.1f,%.1f,%.1f,%.1f,%.1f\n",
                  photo->corners[0].x, photo->corners[0].y, photo->corners[1].x,
                  photo->corners[1].y, photo->corners[2].x, photo->corners[2].y,
                  photo->corners[3].x, photo->corners[3].y);
    if (job->chart->edition_count > 1)
        cli_print(cli, "  chart: %s, %s (%s)\n", job->chart->name,
                  job->chart->editions[c->edition].name,
                  c->edition_odds > 1.1 ? "fits clearly better" : "the editions fit about alike");
    if (c->experience > 0.0)
        cli_print(cli, "  so few chips are good to about %.0f ΔE00 by experience\n", c->experience);
    if (c->used < 2) return;
    cli_print(cli,
              "  correction: %s; a patch that it has not seen comes out %.1f ΔE00 off on "
              "average, 95 %% below %.1f (plain 3 x 3: %.1f)\n",
              model, c->left_out_mean, c->left_out_high, c->plain_left_out_mean);
}

static void print_readings(cli_context *cli, const sample_job *job)
{
    static const char *const heads[] = {"",     "spot", "L*",   "a*",  "b*",
                                        "± L*", "± a*", "± b*", "for", "between photos"};
    cli_table table = cli_table_begin("plrrrrrrlr", heads);
    for (size_t i = 0; i < job->reading_count; i++) {
        const fh_reading *r = &job->readings[i];
        char condition[FH_CONDITION_TEXT];
        fh_condition_text(r->condition, condition);
        cli_cell_patch(&table, r->lab);
        cli_cell(&table, "%s", r->id);
        cli_cells_lab(&table, r->lab);
        for (int axis = 0; axis < 3; axis++) cli_cell(&table, "%.2f", 1.96 * spread_of(r, axis));
        cli_cell(&table, "%s", condition);
        if (r->repeats > 1)
            cli_cell(&table, "%.2f", job->between[i]);
        else
            cli_cell(&table, "%s", "");
    }
    cli_table_print(cli, &table);
    cli_put(cli, "± is the half width of the 95 % interval.\n");
}

/* --- As JSON ---------------------------------------------------------------------------------- */

static void json_patches(cli_context *cli, const sample_job *job, const sample_photo *photo,
                         json_t *to)
{
    const fh_calibration *c = photo->calibration;
    json_t *patches = cli_json_array(to, "patches");
    for (size_t i = 0; i < c->count; i++) {
        json_t *one = cli_json_append(patches);
        const fh_rgb code = photo->patches[i].code;
        const double samples[3] = {code.r, code.g, code.b};
        cli_json_text(one, "id", job->chart->chips[i].id);
        cli_json_text(one, "use", fh_exclusion_text(c->exclusion[i]));
        cli_json_numbers(cli, one, "samples", samples, 3);
        cli_json_number(cli, one, "clipped", photo->patches[i].clipped);
        cli_json_number(cli, one, "dE00", c->fitted[i]);
        cli_json_number(cli, one, "dE00_left_out", c->left_out[i]);
    }
}

static void json_warnings(cli_context *cli, const fh_warnings *warnings, json_t *to)
{
    json_t *array = cli_json_array(to, "warnings");
    for (size_t i = 0; i < warnings->count; i++) {
        json_t *one = cli_json_append(array);
        cli_json_text(one, "kind", fh_fault_name(warnings->items[i].fault));
        cli_json_number(cli, one, "value", warnings->items[i].value);
        cli_json_number(cli, one, "limit", warnings->items[i].limit);
        cli_json_text(one, "text", warnings->items[i].text);
    }
}

static void json_spots(cli_context *cli, const sample_job *job)
{
    json_t *spots = cli_json_array(cli->root, "spots");
    for (size_t i = 0; i < job->found_count; i++) {
        const sample_found *found = &job->found[i];
        json_t *one = cli_json_append(spots);
        cli_json_text(one, "id", found->id);
        cli_json_text(one, "file", job->photos[found->photo].path);
        cli_json_lab(cli, one, "lab", found->result.lab);
        cli_json_number(cli, one, "dE00_expected", found->result.expected);
        if (isfinite(found->result.nearest))
            cli_json_number(cli, one, "dE00_nearest_patch", found->result.nearest);
        cli_json_number(cli, one, "pixels", (double)found->patch.count);
        cli_json_number(cli, one, "pixels_kept", found->patch.kept);
        cli_json_number(cli, one, "uneven", found->patch.uneven);
        json_warnings(cli, &found->warnings, one);
    }
}

static void json_photo(cli_context *cli, const sample_job *job, const sample_photo *photo,
                       json_t *to)
{
    const fh_calibration *c = photo->calibration;
    char model[FH_MODEL_TEXT];
    fh_model_text(c->correction.model, model);
    cli_json_text(to, "file", photo->path);
    cli_json_text(to, "coding", fh_coding_name(photo->coding));
    cli_json_number(cli, to, "width", (double)photo->width);
    cli_json_number(cli, to, "height", (double)photo->height);
    if (job->has_grid) {
        double at[8];
        for (int k = 0; k < 4; k++)
            at[2 * k] = photo->corners[k].x, at[2 * k + 1] = photo->corners[k].y;
        cli_json_numbers(cli, to, "corners", at, 8);
        cli_json_bool(to, "corners_found", job->find);
    }
    cli_json_text(to, "edition", job->chart->editions[c->edition].name);
    cli_json_bool(to, "edition_told", c->edition_odds > 1.1);
    cli_json_text(to, "correction", c->plain ? "plain 3 x 3" : model);
    cli_json_number(cli, to, "patches_used", (double)c->used);
    cli_json_number(cli, to, "dE00_mean", c->fitted_mean);
    cli_json_number(cli, to, "dE00_max", c->fitted_max);
    cli_json_number(cli, to, "dE00_left_out_mean", c->left_out_mean);
    cli_json_number(cli, to, "dE00_left_out_95", c->left_out_high);
    if (c->experience > 0.0) cli_json_number(cli, to, "dE00_by_experience", c->experience);
    if (isfinite(c->plain_mean) && c->used >= 6) {
        json_t *plain = cli_json_object(to, "plain");
        cli_json_number(cli, plain, "dE00_mean", c->plain_mean);
        cli_json_number(cli, plain, "dE00_max", c->plain_max);
        cli_json_number(cli, plain, "dE00_left_out_mean", c->plain_left_out_mean);
    }
    json_warnings(cli, &photo->warnings, to);
    json_patches(cli, job, photo, to);
}

static void json_readings(cli_context *cli, const sample_job *job)
{
    json_t *readings = cli_json_array(cli->root, "readings");
    for (size_t i = 0; i < job->reading_count; i++) {
        const fh_reading *r = &job->readings[i];
        json_t *one = cli_json_append(readings);
        const double sd[3] = {spread_of(r, 0), spread_of(r, 1), spread_of(r, 2)};
        cli_json_text(one, "id", r->id);
        cli_json_lab(cli, one, "lab", r->lab);
        cli_json_condition(one, "condition", r->condition);
        cli_json_numbers(cli, one, "standard_deviation", sd, 3);
        cli_json_number(cli, one, "photos", (double)r->repeats);
        if (r->repeats > 1) cli_json_number(cli, one, "dE00_between_photos", job->between[i]);
        sample_json_chip(cli, job, r->lab, one);
    }
}

void sample_report(cli_context *cli, const sample_job *job)
{
    if (cli->json) {
        json_t *photos = cli_json_array(cli->root, "photos");
        for (size_t i = 0; i < job->photo_count; i++)
            json_photo(cli, job, &job->photos[i], cli_json_append(photos));
        json_spots(cli, job);
        json_readings(cli, job);
        return;
    }
    for (size_t i = 0; i < job->photo_count; i++) print_photo(cli, job, &job->photos[i]);
    if (job->reading_count > 0) {
        cli_put(cli, "\n");
        print_readings(cli, job);
        sample_print_chips(cli, job);
    }
}
