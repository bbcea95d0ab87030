/* From a spot's colour to a reading, and several photos of one spot to one reading. */
#include "farhue/spots.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/text.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"
#include "photo/metric.h"

static const char PHOTO[] = "photo: ";

static fh_reading begin(const fh_calibration *c, const fh_spot_result *spot, const char *id)
{
    fh_reading reading = fh_reading_blank();
    fh_copy_text(reading.id, sizeof reading.id, id);
    reading.condition = c->condition;
    reading.lab = spot->lab;
    reading.origin = FH_ORIGIN_LAB;
    reading.random = spot->random;
    reading.method.geometry = FH_GEOMETRY_PHOTO;
    reading.method.specular = FH_SPECULAR_EXCLUDED;
    return reading;
}

fh_status fh_spot_reading(const fh_calibration *calibration, const fh_chart *chart,
                          const fh_spot_result *spot, const char *photo, const char *id,
                          fh_condition wanted, fh_reading *out, fh_error *error)
{
    const fh_calibration *c = calibration;
    fh_reading reading = begin(c, spot, id);
    char source[FH_SOURCE];
    /* An edition that fits clearly better than the others leaves the chart's own age and dirt. */
    const double strays = c->edition_odds > 1.1 ? 0.7 * c->spread : c->spread;
    fh_format(source, sizeof source, "%s%s", PHOTO, photo);
    fh_status status = fh_reading_add_shared(&reading, source, spot->shared);
    const char *edition = chart->editions[c->edition].name;
    if (c->experience > 0.0 && c->used > 0)
        fh_format(source, sizeof source, "chip: %s", chart->chips[spot->nearest_patch].id);
    else
        fh_format(source, sizeof source, "chart: %s%s%s", chart->name, edition[0] ? ", " : "",
                  edition);
    if (status == FH_OK)
        status = fh_reading_add_shared(&reading, source, fh_covariance_of_de(spot->lab, strays));
    if (status != FH_OK) return fh_fail(error, status, "%s: its uncertainty is unusable", id);
    status = fh_reading_check(&reading, NULL, error);
    if (status != FH_OK) return status;
    if (!fh_condition_equal(wanted, c->condition)) {
        const fh_weights to = fh_weights_of(wanted);
        status = fh_reading_in_condition(&reading, &to, &reading, error);
        if (status != FH_OK) return status;
    }
    *out = reading;
    return FH_OK;
}

/* "photo: a.jpg" and "photo: b.jpg" become "photo: a.jpg, b.jpg", cut to fit. */
static void join_source(char *tag, size_t size, const char *source)
{
    const char *name = source + strlen(PHOTO);
    const size_t length = strlen(tag);
    if (length == 0) {
        fh_copy_text(tag, size, source);
    } else if (!strstr(tag, name) && length + strlen(name) + 8 < size) {
        fh_format(tag + length, size - length, ", %s", name);
    }
}

static fh_status pool_sources(const fh_reading *readings, size_t count, fh_reading *pooled)
{
    const double share = 1.0 / (double)count;
    char tag[FH_SOURCE] = "";
    fh_mat3 photo = fh_mat3_diagonal(0.0, 0.0, 0.0);
    fh_status status = FH_OK;
    pooled->shared_count = 0;
    for (size_t n = 0; n < count; n++) {
        for (size_t k = 0; k < readings[n].shared_count && status == FH_OK; k++) {
            const fh_shared *s = &readings[n].shared[k];
            const fh_mat3 part = fh_mat3_scale(s->covariance, share);
            if (strncmp(s->source, PHOTO, strlen(PHOTO)) == 0) {
                join_source(tag, sizeof tag, s->source);
                photo = fh_mat3_add(photo, part);
            } else {
                status = fh_reading_add_shared(pooled, s->source, part);
            }
        }
    }
    if (status == FH_OK && tag[0]) status = fh_reading_add_shared(pooled, tag, photo);
    return status;
}

fh_status fh_spots_pool(const fh_reading *readings, size_t count, fh_reading *out, double *between)
{
    if (count == 0) return FH_E_ARGUMENT;
    fh_reading pooled = readings[0];
    const double n = (double)count;
    double most = 0.0;
    fh_mat3 spread = fh_mat3_diagonal(0.0, 0.0, 0.0);
    pooled.lab = (fh_lab){0.0, 0.0, 0.0};
    pooled.random = spread;
    for (size_t i = 0; i < count; i++) {
        if (!fh_condition_equal(readings[i].condition, readings[0].condition)) return FH_E_DATA;
        pooled.lab.L += readings[i].lab.L / n;
        pooled.lab.a += readings[i].lab.a / n;
        pooled.lab.b += readings[i].lab.b / n;
        pooled.random =
            fh_mat3_add(pooled.random, fh_mat3_scale(readings[i].random, 1.0 / (n * n)));
        for (size_t k = 0; k < i; k++)
            most = fmax(most, fh_de2000(readings[i].lab, readings[k].lab));
    }
    for (size_t i = 0; i < count; i++) {
        const double d[3] = {readings[i].lab.L - pooled.lab.L, readings[i].lab.a - pooled.lab.a,
                             readings[i].lab.b - pooled.lab.b};
        for (int r = 0; r < 3; r++)
            for (int c = 0; c < 3; c++) spread.m[r][c] += d[r] * d[c];
    }
    if (count > 1)
        pooled.random = fh_mat3_add(pooled.random, fh_mat3_scale(spread, 1.0 / (n * (n - 1.0))));
    pooled.repeats = (unsigned)count;
    const fh_status status = pool_sources(readings, count, &pooled);
    if (status != FH_OK) return status;
    if (pooled.origin == FH_ORIGIN_ESTIMATED && count > 1) {
        pooled.reflectance = fh_spectrum_flat(0.0);
        for (size_t i = 0; i < count; i++)
            pooled.reflectance =
                fh_spectrum_add(pooled.reflectance, readings[i].reflectance, 1.0 / n);
    }
    *out = pooled;
    if (between) *between = most;
    return FH_OK;
}
