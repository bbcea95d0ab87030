/* A lamp as a file: its relative spectral power. docs/formats.md has the names. */
#ifndef FARHUE_LAMP_FILE_H
#define FARHUE_LAMP_FILE_H

#include "farhue/condition.h"
#include "farhue/table.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The power at 380, 385 … 780 nm from a table with the columns NM (ascending) and POWER (≥ 0, any
 * unit). Where its steps are coarser than 5 nm it is read between them along straight lines
 * [CIE15]; finer ones are averaged over 5 nm, so that no narrow line is missed. It must reach from
 * 400 to 700 nm; what is missing at an end holds the end's value, and *held (may be NULL) says how
 * many of the 81 that are. FH_E_DATA with the place. */
FH_API fh_status fh_lamp_read(const fh_table *table, double power[FH_POWER_COUNT], size_t *held,
                              fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
