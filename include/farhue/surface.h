/* One smooth face on an opaque body: from the reflectance inside to what an instrument reads.
 *
 *   R = outer + enter · leave · R_in / (1 − inner · R_in)        [Saunderson1942]
 *
 * Light leaves towards a 45°:0° instrument as (1 − r(0°))/n² of what arrives at the face, but into
 * a sphere (8°:d) as 1 − r_diffuse: two different numbers for the same paint. */
#ifndef FARHUE_SURFACE_H
#define FARHUE_SURFACE_H

#include "farhue/reading.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct fh_surface {
    double outer; /* mirror reflection that the instrument sees; 0 with specular excluded */
    double enter; /* share of the light that gets in */
    double leave; /* share of diffuse light at the face that the instrument sees leaving */
    double inner; /* share of diffuse light that the face throws back inside */
} fh_surface;

/* The face of a plastic or paint for a geometry. FH_GEOMETRY_PHOTO counts as 45°:0°.
 * index ≥ 1 (asserted). FH_E_ARGUMENT: geometry unknown; specular unknown with FH_GEOMETRY_8_D;
 * specular included with 45°:0° (that instrument can't see it). */
FH_API fh_status fh_surface_of(double index, fh_geometry geometry, fh_specular specular,
                               fh_surface *out);

/* What the instrument reads on a body of reflectance inside, and the reverse. fh_surface_inside
 * may give a value below 0 or above 1 for a reading that no such body can have. */
FH_API fh_spectrum fh_surface_seen(const fh_surface *surface, const fh_spectrum *inside);
FH_API fh_spectrum fh_surface_inside(const fh_surface *surface, const fh_spectrum *seen);

#ifdef __cplusplus
}
#endif
#endif
