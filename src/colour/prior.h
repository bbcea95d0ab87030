/* What is known about reflectance curves before any is measured. */
#ifndef FARHUE_COLOUR_PRIOR_H
#define FARHUE_COLOUR_PRIOR_H

#include "farhue/estimate.h"

/* A Gaussian process on logit reflectance; standard deviations in logit units. */
typedef struct fh_prior {
    double mean;     /* logit of a middling reflectance */
    double constant; /* of the level */
    double slope;    /* of a straight line, at either end of the grid */
    double smooth;   /* of a Matérn 5/2 process … */
    double length;   /* … of this length, nm */
    double walk;     /* of a random walk, for each 10 nm */
    double spread;   /* the modes are this much wider than the process says */
} fh_prior;

/* The one in use. */
fh_prior fh_prior_standard(void);

/* The limiting case that only asks for the smallest sum of squared steps. */
fh_prior fh_prior_smoothest(void);

/* Its covariance, FH_BANDS × FH_BANDS. */
void fh_prior_covariance(const fh_prior *prior, double *covariance);

/* fh_estimate_spectrum under a given prior. */
fh_status fh_estimate_under(const fh_prior *prior, fh_lab lab, const fh_weights *weights,
                            fh_estimate *out, fh_lab *nearest, fh_error *error);

/* Estimate around a given reflectance: gain, and modes when with_modes. */
fh_status fh_estimate_around(const fh_prior *prior, const fh_spectrum *reflectance,
                             const fh_weights *weights, bool with_modes, fh_estimate *out);

#endif
