/* Yellowness index of ASTM E313-20, table 1 [ASTME313]. */
#include <math.h>

#include "farhue/appearance.h"

fh_status fh_yellowness(fh_xyz xyz, fh_condition condition, double *out)
{
    static const double c[2][2] = {{1.2769, 1.0592}, {1.2871, 1.0781}};
    static const double d65[2][2] = {{1.2985, 1.1335}, {1.3013, 1.1498}};
    if (condition.illuminant != FH_ILLUMINANT_C && condition.illuminant != FH_ILLUMINANT_D65)
        return FH_E_ARGUMENT;
    if (!isfinite(xyz.X) || !isfinite(xyz.Y) || !isfinite(xyz.Z) || !(xyz.Y > 0.0))
        return FH_E_DATA;
    const double *k =
        condition.illuminant == FH_ILLUMINANT_C ? c[condition.observer] : d65[condition.observer];
    *out = 100.0 * (k[0] * xyz.X - k[1] * xyz.Z) / xyz.Y;
    return FH_OK;
}
