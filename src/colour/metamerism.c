/* Special metamerism index, change of illuminant [CIE15, 9.2.2.2]. Real pairs rarely match under
 * the reference light; multiplicative correction scales the sample's X, Y and Z under the test
 * light by the ratio of standard to sample under the reference light. */
#include "farhue/appearance.h"
#include "farhue/difference.h"

/* A value of 0 can't be scaled to anything; it stays. */
static double corrected(double test, double standard, double sample)
{
    return sample > 0.0 && standard > 0.0 ? test * (standard / sample) : test;
}

fh_metamerism fh_metamerism_of(const fh_spectrum *standard, const fh_spectrum *sample,
                               const fh_weights *reference, const fh_weights *test)
{
    const fh_xyz r1 = fh_xyz_of_spectrum(standard, reference);
    const fh_xyz r2 = fh_xyz_of_spectrum(sample, reference);
    const fh_xyz t1 = fh_xyz_of_spectrum(standard, test);
    fh_xyz t2 = fh_xyz_of_spectrum(sample, test);
    t2.X = corrected(t2.X, r1.X, r2.X);
    t2.Y = corrected(t2.Y, r1.Y, r2.Y);
    t2.Z = corrected(t2.Z, r1.Z, r2.Z);
    const fh_lab a = fh_lab_of_xyz(t1, test->white), b = fh_lab_of_xyz(t2, test->white);
    return (fh_metamerism){fh_de1976(a, b), fh_de2000(a, b)};
}
