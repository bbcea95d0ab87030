/* Readings with and without the mirror reflection. Through a face, R = outer + k X of what is
 * inside, X = R_in / (1 − inner R_in), k = enter leave (surface.h); so from one way of reading to
 * another
 *
 *   R′ = outer′ + (k′/k) (R − outer)
 *
 * alike in every band: XYZ moves by as much of the white and is scaled, and a reading of Lab alone
 * can be carried as well. Within the sphere k stays, and only what the gloss trap takes out counts.
 */
#include "base/error.h"
#include "farhue/fresnel.h"
#include "farhue/surface.h"

/* How far the change may be from that of the index and the gloss, as a share: indices from 1.45 to
 * 1.58, gloss to a few units, gloss traps of other sizes (common practice, no source). */
static const double doubt = 0.15;

/* R′ = by + scale R. */
typedef struct change {
    double by, scale;
} change;

fh_specular fh_method_mode(const fh_method *m)
{
    if (m->specular != FH_SPECULAR_UNKNOWN) return m->specular;
    return m->geometry == FH_GEOMETRY_45_0 || m->geometry == FH_GEOMETRY_PHOTO
               ? FH_SPECULAR_EXCLUDED
               : FH_SPECULAR_UNKNOWN;
}

bool fh_methods_clash(const fh_method *a, const fh_method *b)
{
    const fh_specular one = fh_method_mode(a), other = fh_method_mode(b);
    return one != FH_SPECULAR_UNKNOWN && other != FH_SPECULAR_UNKNOWN && one != other;
}

/* What the doubt about one part of the change does to Lab. */
static fh_mat3 open_by(const fh_mat3 *slope, double X, double Y, double Z)
{
    const fh_vec3 d = fh_mat3_apply(*slope, (fh_vec3){{doubt * X, doubt * Y, doubt * Z}});
    fh_mat3 open;
    for (int i = 0; i < 3; ++i)
        for (int k = 0; k < 3; ++k) open.m[i][k] = d.v[i] * d.v[k];
    return open;
}

/* Lab, and its covariances with it; the change itself is uncertain. */
static fh_status change_lab(fh_reading *r, change c)
{
    const fh_xyz white = fh_weights_of(r->condition).white;
    const fh_xyz from = fh_xyz_of_lab(r->lab, white);
    const fh_xyz to = {c.scale * from.X + c.by * white.X, c.scale * from.Y + c.by * white.Y,
                       c.scale * from.Z + c.by * white.Z};
    const fh_mat3 out = fh_lab_jacobian(to, white);
    fh_mat3 in;
    if (to.X < 0.0 || to.Y < 0.0 || to.Z < 0.0 ||
        fh_mat3_inverse(fh_lab_jacobian(from, white), &in))
        return FH_E_DATA;
    const fh_mat3 scale = fh_mat3_diagonal(c.scale, c.scale, c.scale);
    const fh_mat3 jacobian = fh_mat3_multiply(fh_mat3_multiply(out, scale), in);
    r->random = fh_mat3_carry(jacobian, r->random);
    for (size_t i = 0; i < r->shared_count; ++i)
        r->shared[i].covariance = fh_mat3_carry(jacobian, r->shared[i].covariance);
    const double s = c.scale - 1.0;
    r->lab = fh_lab_of_xyz(to, white);
    return fh_reading_add_shared(
        r, FH_SOURCE_GLOSS,
        fh_mat3_add(open_by(&out, c.by * white.X, c.by * white.Y, c.by * white.Z),
                    open_by(&out, s * from.X, s * from.Y, s * from.Z)));
}

/* The face of a thing of that gloss as it is read by a method that says geometry and mode. */
static fh_status face_of(double index, double gloss, const fh_method *m, fh_surface *out)
{
    return fh_surface_of_finish((fh_finish){index, gloss}, m->geometry, m->specular, out);
}

/* Geometry and mode, where one tells the other. */
static fh_method settled(const fh_method *m, fh_geometry otherwise)
{
    fh_method way = *m;
    way.specular = fh_method_mode(m);
    if (way.geometry == FH_GEOMETRY_PHOTO) way.geometry = FH_GEOMETRY_45_0;
    if (way.geometry == FH_GEOMETRY_UNKNOWN)
        way.geometry = way.specular == FH_SPECULAR_INCLUDED ? FH_GEOMETRY_8_D : otherwise;
    return way;
}

static fh_status find_change(const fh_reading *r, const fh_method *from, const fh_method *to,
                             double index, change *out, fh_error *error)
{
    fh_surface own, other;
    const double gloss = r->method.gloss;
    if (!(index >= 1.0 && index <= 4.0))
        return fh_fail(error, FH_E_ARGUMENT, "an index of %g; expected 1 to 4", index);
    if (from->geometry == FH_GEOMETRY_UNKNOWN)
        return fh_fail(error, FH_E_DATA, "the geometry of %s is not known; expected 45/0 or 8/d",
                       r->id);
    if (!(gloss >= 0.0))
        return fh_fail(error, FH_E_DATA,
                       "the gloss of %s is not known; expected GLOSS, its 60° units (matt 5 to 10, "
                       "satin 25 to 40, gloss above 80)",
                       r->id);
    if (r->condition.illuminant >= FH_ILLUMINANT_COUNT)
        return fh_fail(error, FH_E_DATA,
                       "%s was read under a lamp of its own; expected a standard illuminant",
                       r->id);
    if (face_of(index, gloss, from, &own) || face_of(index, gloss, to, &other))
        return fh_fail(
            error, FH_E_DATA,
            "only a sphere sees the mirror reflection; expected 8/d readings where it is "
            "included");
    out->scale = other.enter * other.leave / (own.enter * own.leave);
    out->by = other.outer - out->scale * own.outer;
    return FH_OK;
}

fh_status fh_reading_in_mode(const fh_reading *reading, const fh_method *as, double index,
                             fh_reading *out, fh_error *error)
{
    fh_reading moved = *reading;
    change c = {0.0, 1.0};
    if (!fh_methods_clash(&reading->method, as)) {
        *out = moved;
        return FH_OK;
    }
    const fh_method from = settled(&reading->method, FH_GEOMETRY_UNKNOWN);
    const fh_method to = settled(as, from.geometry);
    fh_status status = find_change(reading, &from, &to, index, &c, error);
    if (status) return status;
    bool possible = true;
    for (size_t i = 0; i < FH_BANDS && reading->origin != FH_ORIGIN_LAB; ++i) {
        moved.reflectance.v[i] = c.by + c.scale * moved.reflectance.v[i];
        possible = possible && moved.reflectance.v[i] >= 0.0;
    }
    status = possible ? change_lab(&moved, c) : FH_E_DATA;
    if (status == FH_E_DATA)
        return fh_fail(error, status,
                       "%s reflects less than its 60° gloss of %.0f mirrors; expected a lower "
                       "gloss, or readings without the mirror reflection",
                       reading->id, reading->method.gloss);
    if (status)
        return fh_fail(error, status, "%s carries too many sources of uncertainty to convert it",
                       reading->id);
    moved.method.geometry = to.geometry;
    moved.method.specular = to.specular;
    *out = moved;
    return FH_OK;
}
