/* 3 × 3 matrices and vectors: covariances of a colour, adaptation, camera corrections. */
#ifndef FARHUE_MATRIX_H
#define FARHUE_MATRIX_H

#include "farhue/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct fh_vec3 {
    double v[3];
} fh_vec3;

/* Row-major: m[row][column]. */
typedef struct fh_mat3 {
    double m[3][3];
} fh_mat3;

/* Plain constructors and products; a b is the matrix that applies b first. */
FH_API fh_mat3 fh_mat3_identity(void);
FH_API fh_mat3 fh_mat3_diagonal(double a, double b, double c);
FH_API fh_mat3 fh_mat3_multiply(fh_mat3 a, fh_mat3 b); /* a b */
FH_API fh_mat3 fh_mat3_transpose(fh_mat3 a);
FH_API fh_mat3 fh_mat3_add(fh_mat3 a, fh_mat3 b);
FH_API fh_mat3 fh_mat3_scale(fh_mat3 a, double factor);
FH_API fh_vec3 fh_mat3_apply(fh_mat3 a, fh_vec3 x); /* a x */

/* The inverse; FH_E_DATA when a is singular to working precision or not finite. */
FH_API fh_status fh_mat3_inverse(fh_mat3 a, fh_mat3 *inverse);

/* J C Jᵀ: the covariance C carried through a map with Jacobian J. */
FH_API fh_mat3 fh_mat3_carry(fh_mat3 jacobian, fh_mat3 covariance);

/* Lower triangular L with L Lᵀ = covariance, for symmetric positive semi-definite matrices (a
 * zero pivot gives a zero column). FH_E_DATA when it is not symmetric, not finite, or has a
 * negative eigenvalue beyond rounding. */
FH_API fh_status fh_mat3_cholesky(fh_mat3 covariance, fh_mat3 *lower);

#ifdef __cplusplus
}
#endif
#endif
