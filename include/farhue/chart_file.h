/* Charts in files: a table of colours that says how its patches lie. docs/formats.md, "Chart". */
#ifndef FARHUE_CHART_FILE_H
#define FARHUE_CHART_FILE_H

#include "farhue/chart.h"
#include "farhue/library.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Read a chart from table text. Keywords of a table: CHART_ROWS and CHART_COLUMNS (in the first
 * one at least), EDITION (a name), EDITION_SPREAD (ΔE00, 1 without it). Patches stand in reading
 * order, row by row. With editions, a table without EDITION gives the spectra of the patches, found
 * by their ids. FH_E_DATA with the place: no layout, another number of patches than it says, an
 * edition in another condition or with other ids, a patch twice. error may be NULL. */
FH_API fh_status fh_chart_read(const char *text, size_t length, fh_chart **out, fh_error *error);

/* A chart as table text, which the caller frees with fh_text_free. FH_E_MEMORY. */
FH_API fh_status fh_chart_write(const fh_chart *chart, fh_text *out);

#ifdef __cplusplus
}
#endif
#endif
