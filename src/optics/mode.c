/* Specular included and excluded in the sphere differ by the mirror reflection that the gloss trap
 * takes out: r(8°) times the share that goes the mirror's way (surface.c), alike in every band. So
 * XYZ moves by as much of the white, and a reading of Lab alone can be carried as well. */
#include "base/error.h"
#include "farhue/fresnel.h"
#include "farhue/surface.h"

/* How far the mirror reflection may be from that of the index and the gloss, as a share: indices
 * from 1.45 to 1.58, gloss to a few units, gloss traps of other sizes (common practice, no source).
 */
static const double doubt = 0.15;

/* Lab, and its covariances with it; the shift itself is uncertain. */
static fh_status shift_lab(fh_reading *r, double by)
{
    const fh_xyz white = fh_weights_of(r->condition).white;
    const fh_xyz from = fh_xyz_of_lab(r->lab, white);
    const fh_xyz to = {from.X + by * white.X, from.Y + by * white.Y, from.Z + by * white.Z};
    const fh_mat3 out = fh_lab_jacobian(to, white);
    const double spread = by * doubt;
    const fh_vec3 d =
        fh_mat3_apply(out, (fh_vec3){{spread * white.X, spread * white.Y, spread * white.Z}});
    fh_mat3 in, open;
    if (to.X < 0.0 || to.Y < 0.0 || to.Z < 0.0 ||
        fh_mat3_inverse(fh_lab_jacobian(from, white), &in))
        return FH_E_DATA;
    const fh_mat3 jacobian = fh_mat3_multiply(out, in);
    r->random = fh_mat3_carry(jacobian, r->random);
    for (size_t i = 0; i < r->shared_count; ++i)
        r->shared[i].covariance = fh_mat3_carry(jacobian, r->shared[i].covariance);
    for (int i = 0; i < 3; ++i)
        for (int k = 0; k < 3; ++k) open.m[i][k] = d.v[i] * d.v[k];
    r->lab = fh_lab_of_xyz(to, white);
    return fh_reading_add_shared(r, FH_SOURCE_GLOSS, open);
}

fh_status fh_reading_in_mode(const fh_reading *reading, fh_specular to, double index,
                             fh_reading *out, fh_error *error)
{
    const fh_method *m = &reading->method;
    fh_reading moved = *reading;
    if (to == FH_SPECULAR_UNKNOWN || m->specular == FH_SPECULAR_UNKNOWN || m->specular == to) {
        *out = moved;
        return FH_OK;
    }
    if (m->geometry != FH_GEOMETRY_8_D)
        return fh_fail(error, FH_E_DATA,
                       "%s was not read in a sphere, so its mirror reflection is not known; "
                       "expected 8/d readings",
                       reading->id);
    if (!(m->gloss >= 0.0))
        return fh_fail(error, FH_E_DATA,
                       "the gloss of %s is not known; expected GLOSS, its 60° units", reading->id);
    if (reading->condition.illuminant >= FH_ILLUMINANT_COUNT)
        return fh_fail(error, FH_E_DATA,
                       "%s was read under a lamp of its own; expected a standard illuminant",
                       reading->id);
    fh_surface open, trapped;
    fh_status status = fh_surface_of_finish((fh_finish){index, m->gloss}, FH_GEOMETRY_8_D,
                                            FH_SPECULAR_INCLUDED, &open);
    if (!status)
        status = fh_surface_of_finish((fh_finish){index, m->gloss}, FH_GEOMETRY_8_D,
                                      FH_SPECULAR_EXCLUDED, &trapped);
    if (status) return fh_fail(error, status, "an index of %g; expected 1 to 4", index);
    double by = open.outer - trapped.outer;
    if (to == FH_SPECULAR_EXCLUDED) by = -by;
    bool possible = true;
    for (size_t i = 0; i < FH_BANDS && reading->origin != FH_ORIGIN_LAB; ++i) {
        moved.reflectance.v[i] += by;
        possible = possible && moved.reflectance.v[i] >= 0.0;
    }
    status = possible ? shift_lab(&moved, by) : FH_E_DATA;
    if (status == FH_E_DATA)
        return fh_fail(error, status,
                       "%s reflects less than its 60° gloss of %.0f mirrors; expected a lower "
                       "gloss, or readings without the mirror reflection",
                       reading->id, m->gloss);
    if (status)
        return fh_fail(error, status, "%s carries too many sources of uncertainty to convert it",
                       reading->id);
    moved.method.specular = to;
    *out = moved;
    return FH_OK;
}
