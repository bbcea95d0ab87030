/* Bradford adaptation [Lam1985] in the linear form of the ICC specification, annex E [ICC2022]:
 * M = B⁻¹ diag(ρ_to / ρ_from) B, with ρ = B · white. */
#include "farhue/colour.h"

fh_mat3 fh_bradford(fh_xyz from, fh_xyz to)
{
    static const fh_mat3 cone = {{{0.8951, 0.2664, -0.1614},
                                  {-0.7502, 1.7135, 0.0367},
                                  {0.0389, -0.0685, 1.0296}}};
    fh_mat3 inverse = {{{0}}};
    (void)fh_mat3_inverse(cone, &inverse); /* constants: never singular */
    fh_vec3 a = fh_mat3_apply(cone, (fh_vec3){{from.X, from.Y, from.Z}});
    fh_vec3 b = fh_mat3_apply(cone, (fh_vec3){{to.X, to.Y, to.Z}});
    fh_mat3 gain = fh_mat3_diagonal(b.v[0] / a.v[0], b.v[1] / a.v[1], b.v[2] / a.v[2]);
    return fh_mat3_multiply(inverse, fh_mat3_multiply(gain, cone));
}
