/* Writing HTML and SVG to a sink, with one place where text is escaped. */
#ifndef FARHUE_SHOW_MARKUP_H
#define FARHUE_SHOW_MARKUP_H

#include "farhue/colour.h"
#include "farhue/sink.h"

/* Errors stick: after one nothing more is written, and the writer returns status at the end. */
typedef struct fh_markup {
    fh_sink sink;
    fh_status status;
} fh_markup;

fh_markup fh_markup_to(fh_sink sink);

/* Markup of our own, as it is. */
void fh_put(fh_markup *m, const char *markup);

/* Markup of our own with numbers and our own words (fh_format's conversions, ≤ 1023 bytes). Never
 * for text that came from a file. */
void fh_putf(fh_markup *m, const char *format, ...) FH_PRINTF(2, 3);

/* Text from anywhere: & < > " ' become references; control characters, those that turn the
 * direction of writing, and bytes that are not UTF-8 become U+FFFD. Fit for content and for a
 * quoted attribute. NULL writes nothing. */
void fh_put_text(fh_markup *m, const char *text);

/* "#rrggbb", the screen colour nearest to lab; #808080 when lab is not finite. *inside (may be
 * NULL) tells whether a screen can show it. */
enum { FH_HEX = 8 };
void fh_hex_of_lab(fh_lab lab, char out[FH_HEX], bool *inside);

/* "#000000" or "#ffffff", whichever stands out more on that colour (WCAG 2.2 relative
 * luminance: the two meet at 0.179). */
const char *fh_ink_on(fh_lab lab);

#endif
