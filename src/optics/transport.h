/* A plastic wall by exact transport of light, for another thickness. */
#ifndef FARHUE_OPTICS_TRANSPORT_H
#define FARHUE_OPTICS_TRANSPORT_H

#include "farhue/sheet.h"

/* Faces, directions and the phase function of a sheet, made once; some 30 KiB on the heap. */
typedef struct fh_transport fh_transport;

/* NULL without memory. Scattering is taken as forward as that of common fillers and dyes (g 0.8).
 */
fh_transport *fh_transport_new(const fh_sheet *sheet);
void fh_transport_free(fh_transport *transport);

/* One band for absorption and reduced scattering times the thickness, as fh_sheet_band_of. About a
 * tenth of a millisecond. */
fh_sheet_band fh_transport_band(fh_transport *transport, double absorption, double scattering);

#endif
