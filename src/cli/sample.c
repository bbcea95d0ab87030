/* farhue sample: photos with a chart to readings. */
#include <string.h>

#include "base/memory.h"
#include "cli/sample.h"

static const cli_option OPTIONS[] = {
    {"corners", 'c', "X,Y,X,Y,X,Y,X,Y",
     "centres of the first patch, the end of its row, the last patch, the start of the last row, "
     "in "
     "pixels; once for all photos, or once for each in order; without it the chart is looked for",
     true},
    {"chart", 0, "FILE", "the chart's colours; without it the common 24-patch chart", false},
    {"chip", 0, "NAME=SHAPE=COLOUR",
     "in place of a chart: something of known colour in the photo, such as a grey card; the more "
     "the "
     "better, and at least three for a good reading; for further photos NAME=SHAPE",
     true},
    {"white-sheet", 0, "FILE",
     "a photo of a plain white sheet in the same place and light: evens out the light; once for "
     "all "
     "photos or once for each",
     true},
    {"no-reference", 0, NULL, "nothing of known colour is in the photo: a rough guess", false},
    {"spot", 's', "NAME=SHAPE",
     "what to measure: NAME=X,Y,RADIUS a circle, NAME=X,Y,WIDTH,HEIGHT a rectangle, "
     "NAME=X,Y,X,Y,X,Y… a polygon; a name given once counts for all photos, given again for the "
     "next one",
     true},
    {"coding", 0, "CODING",
     "how the file is coded: srgb, linear, or an exponent such as 2.2; without it what the file "
     "says, else sRGB",
     false},
    {"light", 0, "COND", "condition of the readings, D65/10 without it", false},
    {"edition", 0, "NUMBER", "edition of the chart, 1 for the first; without it the better fit",
     false},
    {"plain", 0, NULL,
     "correct by a plain 3 x 3 matrix on every patch that is not clipped: a yardstick, not for use",
     false},
    {"strict", 0, NULL, "refuse where there would be a warning", false},
    {"sheltered", 0, "NAME", "a spot that light has not reached: how much have the others yellowed",
     false},
    {"overlay", 0, "FILE.png",
     "the photo with the patches and spots drawn over it, to check with one "
     "look; once for each photo",
     true},
    {"map", 0, "FILE.png", "a map of the ΔE00 over the photo, dark for none, white for much",
     false},
    {"map-from", 0, "COLOUR", "the colour that the map is from; without it the first spot's",
     false},
    {"map-between", 0, NULL, "the map is between two aligned photos", false},
    {"map-top", 0, "NUMBER", "the ΔE00 that the map shows white, 10 without it", false},
    {"separate", 0, NULL, "one reading for each photo instead of their mean", false},
    {0},
};

static int read_options(cli_context *cli, sample_job *job)
{
    const char *condition = cli_value(cli, "light");
    job->condition = fh_condition_default();
    job->plain = cli_flag(cli, "plain");
    job->edition = 0;
    if (condition) {
        const int code = cli_condition(cli, "--light", condition, &job->condition);
        if (code) return code;
    }
    int code = cli_whole(cli, "edition", 1, FH_CHART_EDITIONS, &job->edition);
    if (!code) code = sample_read_coding(cli, job);
    if (!code) code = sample_read_corners(cli, job);
    if (!code) code = sample_read_spots(cli, job);
    if (!code) code = sample_read_reference(cli, job);
    return code;
}

static int make_readings(cli_context *cli, sample_job *job)
{
    for (size_t i = 0; i < job->photo_count; i++) {
        const int code = sample_photo_run(cli, job, i);
        if (code) return code;
    }
    return sample_pool(cli, job);
}

/* What is saved names its photos. */
static int check_names(cli_context *cli, const sample_job *job)
{
    for (size_t i = 0; cli_value(cli, "output") && i < job->photo_count; i++)
        if (!fh_utf8_is_line(fh_slice_of(cli->operands[i])))
            return cli_fail_text(cli, FH_E_DATA,
                                 "%s: the readings that are saved name the photo; expected a name "
                                 "of plain text in UTF-8",
                                 cli->operands[i]);
    return CLI_DONE;
}

static int run(cli_context *cli)
{
    sample_job *job = cli_keep(cli, fh_allocate(1, sizeof *job));
    if (!job) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    job->photo_count = cli->operand_count;
    job->photos = cli_keep(cli, fh_allocate(job->photo_count, sizeof *job->photos));
    if (!job->photos) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    int code = check_names(cli, job);
    if (!code) code = read_options(cli, job);
    if (!code) code = make_readings(cli, job);
    if (!code) code = sample_warn(cli, job);
    if (!code) code = sample_aged_check(cli, job);
    if (!code) code = sample_write(cli, job);
    if (!code) code = sample_map(cli, job);
    if (!code) sample_report(cli, job);
    if (!code) sample_aged(cli, job);
    for (size_t i = 0; i < job->photo_count; i++) fh_calibration_free(job->photos[i].calibration);
    fh_chart_free(job->chart);
    return code;
}

const cli_command cli_sample = {
    .name = "sample",
    .summary = "photos with a chart to readings",
    .usage = "PHOTO...",
    .details =
        "Measures spots in photos that show a chart of known colours: the common 24-patch chart in "
        "4 rows of 6, or any other that --chart describes (docs/formats.md). JPEG and PNG are "
        "read, "
        "and camera raw where the program was built for it. -o FILE saves the readings as a "
        "table.\n\n"
        "The report says how well the correction does on patches that it has not seen, which is "
        "what a reading from it is worth; every reading carries that as its uncertainty. Places "
        "are in pixels from the top left corner; look at what --overlay draws before you believe "
        "a figure.\n\n"
        "  farhue sample clock.jpg -s ring=1100,400,60 --overlay check.png -o part.txt\n"
        "  farhue sample clock.jpg -s face=1100,400,60 -s label=980,610,40 --sheltered label\n"
        "  farhue sample clock.jpg --chip sand=300,220,50=lab:70,5,20 -s ring=1100,400,60\n"
        "  farhue sample part-1.jpg part-2.jpg -c 210,180,905,174,910,630,207,640 \\\n"
        "      -c 214,171,911,180,906,642,203,628 -s ring=1100,400,60 -s ring=1084,412,60\n",
    .options = OPTIONS,
    .least = 1,
    .most = SAMPLE_PHOTOS,
    .run = run,
};
