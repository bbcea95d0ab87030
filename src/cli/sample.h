/* The parts of `farhue sample`: its arguments, the work on one photo, the report. */
#ifndef FARHUE_CLI_SAMPLE_H
#define FARHUE_CLI_SAMPLE_H

#include "cli/cli.h"
#include "farhue/find.h"
#include "farhue/light.h"
#include "farhue/picture.h"
#include "farhue/spots.h"

enum { SAMPLE_PHOTOS = 64, SAMPLE_SPOTS = 400, SAMPLE_CHIPS = 100 };

/* A named place in one photo. */
typedef struct sample_spot {
    char id[FH_ID];
    fh_shape shape;
} sample_spot;

/* Named places in the order given: a name given once stands for all photos, given again for the
 * next one. */
typedef struct sample_spots {
    sample_spot *items;
    size_t count;
} sample_spots;

/* What was found of one spot in one photo. */
typedef struct sample_found {
    const char *id;
    size_t photo;
    fh_patch patch;
    fh_spot_result result;
    fh_reading reading;
    fh_warnings warnings;
} sample_found;

typedef struct sample_photo {
    const char *path;
    char name[FH_NAME];
    fh_point corners[4];
    fh_file file; /* its bytes, kept to the end of the program */
    fh_coding coding;
    double exponent;
    fh_patch patches[FH_CHART_PATCHES];
    fh_grid grid;
    size_t width, height;
    fh_calibration *calibration;
    fh_warnings warnings;
} sample_photo;

typedef struct sample_job {
    fh_condition condition;
    bool plain;
    long edition; /* 0: the better fit */
    bool coding_given;
    fh_coding coding;
    double exponent;
    fh_chart *chart;

    sample_photo *photos;
    size_t photo_count;

    bool has_grid; /* a chart; else loose chips, or nothing */
    bool find;     /* its corners are not given */
    bool no_reference;
    sample_spots chips; /* known chips; the chart is made of them */
    size_t chip_count;  /* different ones */

    sample_spots spots;
    sample_found *found;
    size_t found_count;

    fh_reading *readings; /* what comes out */
    double *between;      /* ΔE00 between photos, a reading */
    size_t reading_count;
} sample_job;

/* sample_arguments.c */
int sample_read_coding(cli_context *cli, sample_job *job);
int sample_read_corners(cli_context *cli, sample_job *job);
int sample_read_spots(cli_context *cli, sample_job *job);

/* NAME=SHAPE into spots; rest is what follows a second '=', NULL for none. */
int sample_read_spot(cli_context *cli, const char *option, const char *text, sample_spot *out,
                     const char **rest);

/* Whether every name is there once or once for each photo. */
int sample_check_spots(cli_context *cli, const char *option, const sample_spots *spots,
                       size_t photos);

/* The shape of a name in a photo. */
const fh_shape *sample_shape(const sample_spots *spots, const char *id, size_t photo);

/* sample_reference.c: the chart, loose chips, or nothing. */
int sample_read_reference(cli_context *cli, sample_job *job);

/* sample_photo.c: read, calibrate and measure one photo. */
int sample_photo_run(cli_context *cli, sample_job *job, size_t index);

/* sample_sheet.c: a photo of a white sheet as the map of the light. Empty where none is given. */
typedef struct sample_sheet {
    fh_picture picture;
    fh_profile *profile;
    fh_rgb average;
    bool given;
} sample_sheet;

/* Read the sheet of a photo, which must be of the same size. */
int sample_sheet_read(cli_context *cli, const sample_job *job, size_t index, sample_sheet *sheet);

/* Take it as coded like the photo, and even out the photo's patches or one shape. */
int sample_sheet_begin(cli_context *cli, sample_sheet *sheet, fh_coding coding, double exponent);
int sample_sheet_apply(cli_context *cli, const sample_sheet *sheet, const fh_shape *shape,
                       fh_patch *patch);
void sample_sheet_end(sample_sheet *sheet);

/* sample_report.c: pool what was found into readings; say what came out. */
int sample_pool(cli_context *cli, sample_job *job);
void sample_report(cli_context *cli, const sample_job *job);

/* sample_chips.c: each reading as the difference to the nearest loose chip, where there are some.
 */
void sample_json_chip(cli_context *cli, const sample_job *job, fh_lab lab, json_t *reading);
void sample_print_chips(cli_context *cli, const sample_job *job);

/* sample_aged.c: whether the spot of --sheltered is there; the other spots against it. */
int sample_aged_check(cli_context *cli, const sample_job *job);
void sample_aged(cli_context *cli, const sample_job *job);

/* sample_overlay.c: draw what was measured over a photo, with --overlay. */
int sample_overlay(cli_context *cli, const sample_job *job, size_t index, const fh_picture *picture,
                   const fh_profile *profile);

/* sample_map.c: the difference map, with --map. */
int sample_map(cli_context *cli, const sample_job *job);

/* The readings as a table, to -o FILE. */
int sample_write(cli_context *cli, const sample_job *job);

/* Say the warnings; with --strict any of them is a refusal. */
int sample_warn(cli_context *cli, const sample_job *job);

#endif
