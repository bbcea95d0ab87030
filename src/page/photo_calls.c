/* Calls about photos: open one, find its chart, measure patches, calibrate, measure spots. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/chart_file.h"
#include "farhue/estimate.h"
#include "farhue/find.h"
#include "farhue/spots.h"
#include "page/door.h"
#include "page/photo.h"

/* Shares of the pitch: well inside the patch whatever its frame, and nearly all of it. */
static const double WINDOW = 0.44, RIM = 0.62;

/* A photo's name, size and the bytes of its ICC profile, if it has one. */
static fh_status call_open(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    page_photo *photo = &desk->photo;
    fh_profile *profile = NULL;
    char name[sizeof photo->name];
    size_t width, height;
    request_text(r, "name", name, sizeof name);
    if (!fh_utf8_is_line(fh_slice_of(name)))
        return fh_fail(error, FH_E_DATA,
                       "The photo's name holds a character that controls a line or turns the "
                       "writing, and its readings are to name it; rename the file.");
    if (!request_count(r, "width", &width) || !request_count(r, "height", &height) || !width ||
        !height)
        return fh_fail(error, FH_E_ARGUMENT, "The photo has no size.");
    fh_status status = r->body.length
                           ? fh_profile_from_icc(r->body.start, r->body.length, &profile, error)
                           : fh_profile_new(FH_CODING_SRGB, 1, &profile);
    if (!status && !photo->chart) status = fh_chart_24(&photo->chart);
    if (status) {
        fh_profile_free(profile);
        return status;
    }
    photo_forget_grid(photo);
    fh_profile_free(photo->profile);
    photo->profile = profile;
    photo->coding_said = r->body.length > 0;
    photo->width = width;
    photo->height = height;
    fh_copy_text(photo->name, sizeof photo->name, name);
    json_text(j, "coding", fh_coding_name(fh_profile_coding(profile)));
    json_text(j, "chart", photo->chart->name);
    return FH_OK;
}

/* Another chart, from its reference file; without one the 24-patch chart. */
static fh_status call_chart(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    fh_chart *chart = NULL;
    fh_status status = r->body.length ? fh_chart_read(r->body.start, r->body.length, &chart, error)
                                      : fh_chart_24(&chart);
    if (!status && (chart->rows < 2 || chart->columns < 2))
        status = fh_fail(error, FH_E_DATA, "A chart of one row has no four corners.");
    if (status) {
        fh_chart_free(chart);
        return status;
    }
    photo_forget_grid(&desk->photo);
    fh_chart_free(desk->photo.chart);
    desk->photo.chart = chart;
    desk->photo.spot_count = 0;
    json_text(j, "chart", chart->name[0] ? chart->name : "chart");
    json_count(j, "rows", chart->rows);
    json_count(j, "columns", chart->columns);
    return FH_OK;
}

static fh_status require_photo(const page_desk *desk, fh_error *error)
{
    if (desk->photo.chart && desk->photo.profile) return FH_OK;
    return fh_fail(error, FH_E_ARGUMENT, "There is no photo yet.");
}

/* Find the chart in a picture of reduced size; scale leads back to the photo's pixels. */
static fh_status call_find(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    photo_window window;
    double scale = 1;
    fh_status status = require_photo(desk, error);
    if (!status) status = photo_window_of(r, &window, error);
    if (status) return status;
    request_number(r, "scale", &scale);
    fh_found *found = fh_allocate(1, sizeof *found);
    if (!found) return FH_E_MEMORY;
    status = fh_chart_find(&window.pixels, desk->photo.chart, page_progress, NULL, found, error);
    if (!status) {
        json_open(j, "corners", '[');
        for (size_t i = 0; i < 4; i++) {
            json_number(j, NULL, (found->corners[i].x + 0.5) * scale - 0.5);
            json_number(j, NULL, (found->corners[i].y + 0.5) * scale - 0.5);
        }
        json_close(j, ']');
        json_text(j, "warning", found->doubtful ? found->warning : "");
    }
    fh_free(found);
    return status;
}

/* The rectangle of whole pixels around a shape, with one to spare. */
static void write_rectangle(page_json *j, const fh_shape *shape)
{
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};
    for (size_t i = 0; i < (shape->count ? shape->count : 1); i++) {
        const double at[2] = {shape->points[i].x, shape->points[i].y};
        for (int k = 0; k < 2; k++) {
            low[k] = fmin(low[k], at[k] - shape->radius);
            high[k] = fmax(high[k], at[k] + shape->radius);
        }
    }
    json_number(j, "x", floor(low[0]) - 1);
    json_number(j, "y", floor(low[1]) - 1);
    json_number(j, "w", ceil(high[0]) - floor(low[0]) + 3);
    json_number(j, "h", ceil(high[1]) - floor(low[1]) + 3);
}

static void write_outline(page_json *j, const fh_shape *shape)
{
    json_open(j, "outline", '[');
    for (size_t i = 0; i < shape->count; i++) {
        json_number(j, NULL, shape->points[i].x);
        json_number(j, NULL, shape->points[i].y);
    }
    json_close(j, ']');
}

static void write_windows(page_json *j, const page_photo *photo)
{
    json_open(j, "windows", '[');
    for (size_t row = 0; row < photo->chart->rows; row++)
        for (size_t column = 0; column < photo->chart->columns; column++) {
            fh_shape rim = fh_grid_window(&photo->grid, column, row, RIM);
            fh_shape inner = fh_grid_window(&photo->grid, column, row, WINDOW);
            json_open(j, NULL, '{');
            json_text(j, "id", photo->chart->chips[row * photo->chart->columns + column].id);
            write_rectangle(j, &rim);
            write_outline(j, &inner);
            json_close(j, '}');
        }
    json_close(j, ']');
}

/* Where the chart lies: the centres of its corner patches in pixels. */
static fh_status call_corners(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    page_photo *photo = &desk->photo;
    fh_point corners[4];
    fh_grid grid;
    fh_status status = require_photo(desk, error);
    if (status) return status;
    for (size_t i = 0; i < 4; i++) {
        char key[3] = {'x', (char)('0' + i), 0};
        bool there = request_number(r, key, &corners[i].x);
        key[0] = 'y';
        if (!there || !request_number(r, key, &corners[i].y))
            return fh_fail(error, FH_E_ARGUMENT, "Four corners are needed.");
    }
    status = fh_grid_from_corners(corners, photo->chart->rows, photo->chart->columns, &grid, error);
    if (status) return status;
    fh_patch *patches = fh_allocate(photo->chart->count, sizeof *patches);
    fh_patch *rims = fh_allocate(photo->chart->count, sizeof *rims);
    if (!patches || !rims) {
        fh_free(patches);
        fh_free(rims);
        return FH_E_MEMORY;
    }
    photo_forget_grid(photo);
    photo->grid = grid;
    photo->has_grid = true;
    photo->patches = patches;
    photo->rims = rims;
    write_windows(j, photo);
    json_number(j, "pitch", fh_grid_pitch(&grid));
    return FH_OK;
}

/* One patch of the chart: its rectangle comes with it. */
static fh_status call_patch(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    page_photo *photo = &desk->photo;
    photo_window window;
    size_t index;
    (void)j;
    if (!photo->has_grid || !request_count(r, "index", &index) || index >= photo->chart->count)
        return fh_fail(error, FH_E_ARGUMENT, "There is no such patch.");
    fh_status status = photo_window_of(r, &window, error);
    size_t column = index % photo->chart->columns, row = index / photo->chart->columns;
    fh_shape inner = fh_grid_window(&photo->grid, column, row, WINDOW);
    fh_shape rim = fh_grid_window(&photo->grid, column, row, RIM);
    if (status) return status;
    inner = photo_shape_in(&inner, &window);
    rim = photo_shape_in(&rim, &window);
    status =
        fh_patch_measure(&window.pixels, photo->profile, &inner, &photo->patches[index], error);
    if (!status)
        status = fh_patch_measure(&window.pixels, photo->profile, &rim, &photo->rims[index], error);
    if (!status) photo->measured = index + 1;
    return status;
}

/* A file that says nothing counts as sRGB, unless its neutral row says that it is linear: then the
 * patches have to be measured again. */
static bool turns_linear(page_photo *photo, page_json *j)
{
    double exponent = fh_neutral_exponent(photo->chart, photo->patches);
    if (photo->coding_said || fh_profile_coding(photo->profile) == FH_CODING_LINEAR) return false;
    if (!(exponent > 0 && exponent < 1.4)) return false;
    fh_profile *linear = NULL;
    if (fh_profile_new(FH_CODING_LINEAR, 1, &linear)) return false;
    fh_profile_free(photo->profile);
    photo->profile = linear;
    json_bool(j, "again", true);
    json_text(j, "note",
              "Read as linear: the file says nothing, and the chart's neutral row is not "
              "encoded.");
    return true;
}

static void write_warnings(page_json *j, const fh_warnings *warnings)
{
    json_open(j, "warnings", '[');
    for (size_t i = 0; i < warnings->count; i++) json_text(j, NULL, warnings->items[i].text);
    json_close(j, ']');
}

static void write_calibration(page_json *j, const page_photo *photo)
{
    const fh_calibration *c = photo->calibration;
    fh_warnings warnings = {0};
    fh_judge_photo(c, photo->chart, photo->patches, photo->rims, &warnings);
    json_number(j, "error", c->left_out_mean);
    json_number(j, "high", c->left_out_high);
    json_count(j, "used", c->used);
    json_count(j, "count", c->count);
    json_open(j, "left", '[');
    for (size_t i = 0; i < c->count; i++)
        if (c->exclusion[i] != FH_PATCH_USED) {
            json_open(j, NULL, '{');
            json_count(j, "index", i);
            json_text(j, "why", fh_exclusion_text(c->exclusion[i]));
            json_close(j, '}');
        }
    json_close(j, ']');
    write_warnings(j, &warnings);
}

static fh_status call_calibrate(page_desk *desk, const page_request *r, page_json *j,
                                fh_error *error)
{
    page_photo *photo = &desk->photo;
    (void)r;
    if (!photo->has_grid || photo->measured != photo->chart->count)
        return fh_fail(error, FH_E_ARGUMENT, "The patches are not measured yet.");
    if (turns_linear(photo, j)) return FH_OK;
    fh_calibrate_options options = {.condition = fh_condition_default(), .edition = -1};
    for (size_t i = 0; i < photo->chart->count; i++)
        if (!photo->chart->chips[i].has_spectrum) options.condition = photo->chart->condition;
    fh_calibration *calibration = fh_calibration_new();
    if (!calibration) return FH_E_MEMORY;
    fh_status status = fh_calibrate(photo->chart, photo->patches, &options, page_progress, NULL,
                                    calibration, error);
    if (status) {
        fh_calibration_free(calibration);
        return status;
    }
    fh_calibration_free(photo->calibration);
    photo->calibration = calibration;
    write_calibration(j, photo);
    return FH_OK;
}

/* A round spot, its rectangle with it: its colour, not yet kept. */
static fh_status call_spot(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    page_photo *photo = &desk->photo;
    photo_window window;
    fh_point centre;
    double radius;
    char id[FH_ID];
    if (!photo->calibration)
        return fh_fail(error, FH_E_ARGUMENT, "The chart, or a chip, comes first.");
    if (!request_number(r, "cx", &centre.x) || !request_number(r, "cy", &centre.y) ||
        !request_number(r, "radius", &radius) || !(radius > 0))
        return fh_fail(error, FH_E_ARGUMENT, "The spot has no place.");
    request_text(r, "id", id, sizeof id);
    fh_status status = photo_window_of(r, &window, error);
    if (status) return status;
    fh_shape shape = fh_shape_circle(centre, radius), here = photo_shape_in(&shape, &window);
    fh_patch patch;
    status = fh_patch_measure(&window.pixels, photo->profile, &here, &patch, error);
    if (status) return status;
    if (patch.clipped > 0.02)
        return fh_fail(error, FH_E_DATA,
                       "%.0f %% of the spot's pixels are clipped; expose one step "
                       "less.",
                       100 * patch.clipped);
    fh_spot_result result;
    fh_point at = photo_place(photo, centre);
    status = fh_calibration_spot(photo->calibration, &patch, at, &result);
    if (status) return fh_fail(error, status, "No colour comes out at this spot.");
    status = fh_spot_reading(photo->calibration, photo_reference(photo), &result, photo->name,
                             id[0] ? id : "spot", fh_condition_default(), &photo->last, error);
    if (status) return status;
    photo->has_last = true;
    fh_warnings warnings = {0};
    fh_patch loose[PHOTO_CHIPS];
    const fh_patch *patches = photo->has_grid ? photo->patches : loose;
    for (size_t i = 0; i < photo->chip_count; i++) loose[i] = photo->chip[i].patch;
    fh_judge_spot(photo->calibration, patches, &patch, at, &result, &warnings);
    json_lab(j, "lab", photo->last.lab);
    json_screen(j, "screen", photo->last.lab);
    json_number(j, "expected", result.expected);
    write_warnings(j, &warnings);
    return FH_OK;
}

/* Keep the last spot: with those of the same id in other photos as one reading. */
static fh_status call_keep(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    page_photo *photo = &desk->photo;
    char name[16];
    desk_tray tray;
    request_text(r, "tray", name, sizeof name);
    if (!photo->has_last || !desk_tray_of(name, &tray))
        return fh_fail(error, FH_E_ARGUMENT, "There is no spot to keep.");
    fh_reading last = photo->last, same[16], pooled;
    char id[FH_ID];
    fh_status status = request_line(r, "name", "name", last.name, sizeof last.name, error);
    if (!status) status = request_line(r, "id", "name", id, sizeof id, error);
    if (!status)
        status = request_line(r, "behind", "backing's name", last.method.backing,
                              sizeof last.method.backing, error);
    if (status) return status;
    if (id[0]) fh_copy_text(last.id, FH_ID, id);
    size_t count = 1;
    same[0] = last;
    for (size_t i = 0; i < photo->spot_count && count < 16; i++)
        if (strcmp(photo->spots[i].id, last.id) == 0) same[count++] = photo->spots[i];
    double between = 0;
    status = fh_spots_pool(same, count, &pooled, &between);
    if (status) return fh_fail(error, status, "The spots of that name cannot be taken together.");
    fh_copy_text(pooled.name, sizeof pooled.name, last.name);
    pooled.method = last.method;
    desk_readings *readings = &desk->now.tray[tray];
    for (size_t i = 0; count > 1 && i < readings->count; i++)
        if (strcmp(readings->items[i].id, last.id) == 0) desk_remove(readings, i--);
    status = desk_add(readings, &pooled);
    if (status) return status;
    if (photo->spot_count < PHOTO_SPOTS) photo->spots[photo->spot_count++] = last;
    json_count(j, "photos", count);
    json_number(j, "between", between);
    return FH_OK;
}

/* The chips as a chart: one row, or as few rows as hold them all. */
static fh_status chart_of_chips(const page_photo *photo, fh_chart **out)
{
    fh_chart *chart;
    fh_status status = fh_chart_new(1, photo->chip_count, fh_condition_default(), &chart);
    if (status) return status;
    fh_copy_text(chart->name, sizeof chart->name, "loose chips");
    for (size_t i = 0; i < photo->chip_count; i++) {
        fh_copy_text(chart->chips[i].id, FH_ID, photo->chip[i].id);
        chart->editions[0].lab[i] = photo->chip[i].lab;
    }
    *out = chart;
    return FH_OK;
}

/* Calibrate on the chips that were touched so far. */
static fh_status calibrate_chips(page_photo *photo, page_json *j, fh_error *error)
{
    fh_patch patches[PHOTO_CHIPS];
    fh_point places[PHOTO_CHIPS];
    fh_chart *chart = NULL;
    for (size_t i = 0; i < photo->chip_count; i++) {
        patches[i] = photo->chip[i].patch;
        places[i] = photo->chip[i].place;
    }
    fh_calibration *calibration = fh_calibration_new();
    fh_status status = calibration ? chart_of_chips(photo, &chart) : FH_E_MEMORY;
    fh_calibrate_options options = {
        .condition = fh_condition_default(), .edition = -1, .few = true, .places = places};
    if (!status)
        status = fh_calibrate(chart, patches, &options, page_progress, NULL, calibration, error);
    if (status) {
        fh_chart_free(chart);
        fh_calibration_free(calibration);
        return status;
    }
    fh_chart_free(photo->loose);
    fh_calibration_free(photo->calibration);
    photo->loose = chart;
    photo->calibration = calibration;
    fh_warnings warnings = {0};
    fh_judge_photo(calibration, chart, patches, NULL, &warnings);
    json_count(j, "count", photo->chip_count);
    json_number(j, "error",
                calibration->left_out_mean > 0 ? calibration->left_out_mean
                                               : calibration->experience);
    write_warnings(j, &warnings);
    return FH_OK;
}

/* A chip of the tray, touched in the photo; the same chip again takes the new place. */
static fh_status call_chip(page_desk *desk, const page_request *r, page_json *j, fh_error *error)
{
    page_photo *photo = &desk->photo;
    photo_window window;
    fh_reading known;
    photo_chip chip;
    fh_point centre;
    double radius;
    fh_status status = require_photo(desk, error);
    if (!status) status = photo_window_of(r, &window, error);
    if (status) return status;
    request_text(r, "id", chip.id, sizeof chip.id);
    const fh_reading *reading = desk_find(&desk->now.tray[TRAY_CHIPS], chip.id);
    if (!reading || !request_number(r, "cx", &centre.x) || !request_number(r, "cy", &centre.y) ||
        !request_number(r, "radius", &radius) || !(radius > 0))
        return fh_fail(error, FH_E_ARGUMENT, "There is no such chip.");
    fh_weights weights = fh_weights_of(fh_condition_default());
    status = fh_reading_in_condition(reading, &weights, &known, error);
    if (status) return status;
    fh_shape shape = fh_shape_circle(centre, radius), here = photo_shape_in(&shape, &window);
    status = fh_patch_measure(&window.pixels, photo->profile, &here, &chip.patch, error);
    if (status) return status;
    if (photo->has_grid) photo_forget_grid(photo);
    chip.lab = known.lab;
    chip.place = photo_place(photo, centre);
    size_t at = 0;
    while (at < photo->chip_count && strcmp(photo->chip[at].id, chip.id)) at++;
    if (at == PHOTO_CHIPS)
        return fh_fail(error, FH_E_LIMIT, "At most %d chips in a photo.", PHOTO_CHIPS);
    photo->chip[at] = chip;
    if (at == photo->chip_count) photo->chip_count++;
    return calibrate_chips(photo, j, error);
}

const page_entry page_photo_calls[] = {
    {"photo-open", call_open, false},   {"photo-chart", call_chart, false},
    {"photo-find", call_find, false},   {"photo-corners", call_corners, false},
    {"photo-patch", call_patch, false}, {"photo-calibrate", call_calibrate, false},
    {"photo-chip", call_chip, false},   {"photo-spot", call_spot, false},
    {"photo-keep", call_keep, true},    {NULL, NULL, false}};
