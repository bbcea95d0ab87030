/* Tables of the CIE at 380, 385 … 780 nm; see cie_tables.c for their source. */
#ifndef FARHUE_COLOUR_CIE_TABLES_H
#define FARHUE_COLOUR_CIE_TABLES_H

#include "farhue/condition.h"

extern const double fh_cie_cmf[FH_OBSERVER_COUNT][3][FH_POWER_COUNT];
extern const double fh_cie_power[FH_ILLUMINANT_COUNT][FH_POWER_COUNT];

#endif
