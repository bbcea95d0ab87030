/* Diagrams as SVG: chromaticity and lightness with a tolerance, reflectance curves, the stack cut
 * open, two colours edge to edge.
 *
 * Each writes one <svg> element that scales to its container, takes the colour of lines and text
 * from the text around it, needs no script or style sheet, and carries a title for those who do
 * not see it. The only colours in it are those that it shows; shapes, line styles and labels tell
 * things apart. Labels may come from files: they are escaped. */
#ifndef FARHUE_DIAGRAM_H
#define FARHUE_DIAGRAM_H

#include "farhue/colour.h"
#include "farhue/sink.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fh_mark_kind {
    FH_MARK_TARGET,    /* a square with cross hairs */
    FH_MARK_REFERENCE, /* a diamond: what was measured */
    FH_MARK_CANDIDATE  /* a circle with its label beside it */
} fh_mark_kind;

typedef struct fh_mark {
    fh_mark_kind kind;
    fh_lab lab;
    const char *label; /* short: "3"; may be NULL */
} fh_mark;

/* Marks in the a*b* plane, scales alike on both axes. contour: outline of the tolerance, closed
 * by the writer, contour_count 0 to leave it out. Marks and points that are not finite, or beyond
 * 1000, are left out. Returns the sink's status. */
FH_API fh_status fh_diagram_chroma(fh_sink sink, const fh_mark *marks, size_t count,
                                   const fh_lab *contour, size_t contour_count);

/* The same marks on the axis of L*, with the tolerance's interval low–high (low > high: none). */
FH_API fh_status fh_diagram_lightness(fh_sink sink, const fh_mark *marks, size_t count, double low,
                                      double high);

/* One line of the curves: reflectance or transmittance, 0–1. */
typedef struct fh_curve {
    fh_spectrum values;
    const char *label;
    bool estimated; /* drawn dashed */
} fh_curve;

/* At most this many curves; those beyond are left out. */
enum { FH_CURVES_MAX = 6 };

/* Curves over the wavelength, told apart by line style and a key. */
FH_API fh_status fh_diagram_curves(fh_sink sink, const fh_curve *curves, size_t count);

/* What the section shows. Thicknesses in mm, negative: not known (and drawn so). */
typedef struct fh_section {
    double shell_mm, gap_mm;
    fh_lab shell;            /* the shell over white; NaN: not known */
    fh_lab inner;            /* the inner part, bare */
    fh_lab look;             /* what is seen */
    const char *inner_label; /* e.g. "inner part: the target"; may be NULL */
} fh_section;

/* The stack cut open: shell, gap, inner part, where the eye is, and what it sees. */
FH_API fh_status fh_diagram_section(fh_sink sink, const fh_section *section);

/* Two colours that touch, on mid grey, with a caption under each (may be NULL). */
FH_API fh_status fh_diagram_pair(fh_sink sink, fh_lab left, const char *left_label, fh_lab right,
                                 const char *right_label);

#ifdef __cplusplus
}
#endif
#endif
