/* CIEDE2000 seen from near by: a metric, its factor and covariances of a stated ΔE00. */
#ifndef FARHUE_PHOTO_METRIC_H
#define FARHUE_PHOTO_METRIC_H

#include "farhue/difference.h"

/* M with ΔE00² ≈ dᵀ M d for small d = (dL, da, db) at a colour. */
fh_mat3 fh_de2000_metric(fh_lab lab);

/* U with Uᵀ U = M: |U d| ≈ ΔE00. */
fh_mat3 fh_de2000_factor(fh_lab lab);

/* The covariance, alike in all directions of ΔE00, whose root mean square is de. */
fh_mat3 fh_covariance_of_de(fh_lab lab, double de);

#endif
