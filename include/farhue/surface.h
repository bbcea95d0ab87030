/* One smooth face on an opaque body: from the reflectance inside to what an instrument reads.
 *
 *   R = outer + enter · leave · R_in / (1 − inner · R_in)        [Saunderson1942]
 *
 * Light leaves towards a 45°:0° instrument as (1 − r(0°))/n² of what arrives at the face, but into
 * a sphere (8°:d) as 1 − r_diffuse: two different numbers for the same paint. A face that is not
 * smooth adds a veil to outer. */
#ifndef FARHUE_SURFACE_H
#define FARHUE_SURFACE_H

#include "farhue/reading.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct fh_surface {
    double outer; /* mirror reflection that the instrument sees; 0 where a smooth face's is
                     excluded */
    double enter; /* share of the light that gets in */
    double leave; /* share of diffuse light at the face that the instrument sees leaving */
    double inner; /* share of diffuse light that the face throws back inside */
} fh_surface;

/* The refractive index where none is known: of plastic and dry paint (common practice, no source).
 */
#define FH_INDEX_USUAL 1.5

/* The face of a plastic or paint for a geometry. FH_GEOMETRY_PHOTO counts as 45°:0°.
 * FH_E_ARGUMENT: an index not from 1 to 4; geometry unknown; specular unknown with FH_GEOMETRY_8_D;
 * specular included with 45°:0° (that instrument can't see it). */
FH_API fh_status fh_surface_of(double index, fh_geometry geometry, fh_specular specular,
                               fh_surface *out);

/* How a face is finished: the refractive index of what it is made of, and its gloss in the units of
 * a 60° glossmeter, 0 to 100 [ISO2813]; a negative gloss stands for a perfectly smooth face. A
 * clear coat on paint is a finish: it decides how light gets in and out. */
typedef struct fh_finish {
    double index, gloss;
} fh_finish;

/* The 60° gloss of a perfectly smooth face: 100 for index 1.567, 89 for 1.5. index > 1. */
FH_API double fh_gloss_of_smooth(double index);

/* The face of that finish: a matt one throws the mirror reflection in all directions, so that even
 * an instrument that excludes it sees a part as a grey veil. A gloss of at least
 * fh_gloss_of_smooth is a smooth face. Errors as fh_surface_of; FH_E_ARGUMENT: an index not from 1
 * to 4, a gloss not finite. */
FH_API fh_status fh_surface_of_finish(fh_finish finish, fh_geometry geometry, fh_specular specular,
                                      fh_surface *out);

/* The face of a finished part: the coat's own, smooth face (of that index) brought to another gloss,
 * or with a clear coat's on top. wish.index: of the clear coat, 0 without one; wish.gloss: of the
 * finished part, negative for a smooth clear coat. Errors as fh_surface_of_finish;
 * FH_E_IMPOSSIBLE: a gloss for a coat without a face (index 1). */
FH_API fh_status fh_surface_finished(double index, const fh_surface *smooth, fh_finish wish,
                                     fh_geometry geometry, fh_specular specular, fh_surface *out);

/* The gloss of a smooth face of what is wished for (wish as above), where the wish is above it by
 * more than half a unit: fh_surface_finished takes it as smooth. Else 0. */
FH_API double fh_finish_exceeds(double index, fh_finish wish);

/* That veil: by how much the method's gloss raises a reading over that of a smooth face of the same
 * index, 0 to 0.06, the same in every band. 0 where the gloss is not known, and where the mirror
 * reflection is included whatever the gloss. An unknown geometry counts as 45°:0°, an unknown mode
 * as excluded. index from 1 to 4 (asserted). */
FH_API double fh_surface_veil(double index, const fh_method *method);

/* L* as if the face was smooth: without a veil, the same in every band and so as much of the
 * white's Y. Negative where the veil is more than there is. */
FH_API double fh_lightness_without(double L, double veil);

/* The source of what a conversion by gloss leaves open, shared by all readings so converted. */
#define FH_SOURCE_GLOSS "gloss: mode converted"

/* Whether readings of that method hold the mirror reflection: as stated; 45°:0° and photos never
 * do; else not known. */
FH_API fh_specular fh_method_mode(const fh_method *method);

/* Whether one of two readings so taken holds the mirror reflection and the other is known not to.
 */
FH_API bool fh_methods_clash(const fh_method *a, const fh_method *b);

/* Carry a reading of an opaque thing to the specular mode of another method, by its stated gloss
 * and an index of its face (1 to 4; FH_INDEX_USUAL as a rule): out of its own face and geometry,
 * into those of `as` (a sphere where `as` includes the mirror reflection, else the reading's own,
 * where `as` doesn't say). What index, gloss and gloss trap leave open, 15 % of the change, is
 * added under FH_SOURCE_GLOSS. A reading whose mode is that already, or where one of the two isn't
 * known, is copied. out may be the reading; error may be NULL. FH_E_DATA: geometry or gloss not
 * known, a mode that its geometry can't have, a lamp of its own, darker than its gloss allows;
 * FH_E_ARGUMENT: index; FH_E_LIMIT: no room for one more source. */
FH_API fh_status fh_reading_in_mode(const fh_reading *reading, const fh_method *as, double index,
                                    fh_reading *out, fh_error *error);

/* What the instrument reads on a body of reflectance inside, and the reverse. fh_surface_inside
 * may give a value below 0 or above 1 for a reading that no such body can have. */
FH_API fh_spectrum fh_surface_seen(const fh_surface *surface, const fh_spectrum *inside);
FH_API fh_spectrum fh_surface_inside(const fh_surface *surface, const fh_spectrum *seen);

#ifdef __cplusplus
}
#endif
#endif
