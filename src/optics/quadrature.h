/* Gauss–Legendre quadrature on (0, 1): Σ weight · f(node), exact to degree 63. */
#ifndef FARHUE_OPTICS_QUADRATURE_H
#define FARHUE_OPTICS_QUADRATURE_H

enum { FH_GAUSS = 32 };
extern const double fh_gauss_node[FH_GAUSS];
extern const double fh_gauss_weight[FH_GAUSS];

#endif
