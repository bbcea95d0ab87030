/* Small dense linear algebra: n × n symmetric matrices, row-major, in the caller's arrays.
 *
 * Sizes here are a dozen to a few hundred; nothing is blocked or pivoted for cache. */
#ifndef FARHUE_BASE_LINEAR_H
#define FARHUE_BASE_LINEAR_H

#include <stddef.h>

#include "farhue/status.h"

/* Lower triangular L with L Lᵀ = a, in place: the lower triangle of a is read and overwritten, the
 * upper one left alone. FH_E_DATA when a isn't positive definite to working precision; a is then
 * spoilt. */
fh_status fh_cholesky(double *a, size_t n);

/* Solve L Lᵀ x = b in place, L from fh_cholesky. */
void fh_cholesky_solve(const double *lower, size_t n, double *b);

/* Solve L x = b (forward) and Lᵀ x = b (backward) in place. */
void fh_lower_solve(const double *lower, size_t n, double *b);
void fh_lower_solve_transposed(const double *lower, size_t n, double *b);

/* Eigenvalues in descending order and eigenvectors (vectors[k·n + i]: component i of the k-th,
 * length 1) of a symmetric matrix by Jacobi's rotations [Golub2013]. a is destroyed. */
void fh_eigen_symmetric(double *a, size_t n, double *values, double *vectors);

#endif
