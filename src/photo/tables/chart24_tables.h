/* Figures of the common 24-patch chart; see chart24_tables.c for their source. */
#ifndef FARHUE_PHOTO_CHART24_TABLES_H
#define FARHUE_PHOTO_CHART24_TABLES_H

#include "farhue/spectrum.h"

extern const char *const fh_chart24_name[24];
extern const double fh_chart24_lab[2][24][3];
extern const double fh_chart24_reflectance[24][FH_BANDS];

#endif
