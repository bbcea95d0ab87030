/* One band of a shell: A, B, C from looks y over backings ρ, inside their bounds. */
#ifndef FARHUE_OPTICS_BAND_FIT_H
#define FARHUE_OPTICS_BAND_FIT_H

#include <stdbool.h>
#include <stddef.h>

typedef struct fh_band_fit {
    double A, B, C;
    bool bounded;                  /* a bound was reached */
    double inverse[3][3];          /* covariance of A, B, C for errors as large as stated */
    double transmitted[3];         /* d(A, B, C) by the transmittance, where one was used */
    double absorption, scattering; /* of the sheet model; negative: not fitted */
    double model_C;                /* its C */
} fh_band_fit;

/* What is known of a band before its readings: a value and its standard deviation (infinite: not
 * known), e.g. C from the sheet model. */
typedef struct fh_band_prior {
    double C, sigma_C;
} fh_band_prior;

/* Least squares over count ≥ 2 samples; sigma_y and sigma_rho are their standard deviations. */
fh_band_fit fh_band_fit_of(const double *y, const double *rho, const double *sigma_y,
                           const double *sigma_rho, size_t count, fh_band_prior prior);

/* d look / d(A, B, C) over a backing. */
void fh_band_fit_slopes(const fh_band_fit *fit, double rho, double slope[3]);

/* 1 over the variance of a look, its backing's error included. */
double fh_band_fit_weight(const fh_band_fit *fit, double rho, double sigma_y, double sigma_rho);

/* How A, B, C move when look and backing of one sample move: d(A,B,C) = inverse · slope · w · e
 * for an error e = dy − f′(ρ) dρ. Adds to move[3]. */
void fh_band_fit_move(const fh_band_fit *fit, double rho, double sigma_y, double sigma_rho,
                      double dy, double drho, double move[3]);

#endif
