/* A flat layer as four numbers a band, and layers stacked on each other [Kubelka1954].
 *
 * Values are shares of the light that falls on the layer: R_top, T_down for light from above,
 * R_bottom, T_up for light from below. A layer need not be the same from both sides. */
#ifndef FARHUE_LAYER_H
#define FARHUE_LAYER_H

#include "farhue/spectrum.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct fh_layer {
    fh_spectrum R_top, T_down;
    fh_spectrum R_bottom, T_up;
} fh_layer;

/* No layer at all: everything passes. The neutral element of fh_layer_add. */
FH_API fh_layer fh_layer_nothing(void);

/* The face of a plastic for diffuse light, air above, plastic below. index ≥ 1 (asserted). */
FH_API fh_layer fh_layer_face(double index);

/* The same layer turned over. */
FH_API fh_layer fh_layer_flip(fh_layer layer);

/* top over bottom. */
FH_API fh_layer fh_layer_add(fh_layer top, fh_layer bottom);

/* count equal layers on each other, in about log2(count) additions. 0 gives nothing. */
FH_API fh_layer fh_layer_repeat(fh_layer layer, size_t count);

/* Reflectance of the layer over an opaque backing. */
FH_API fh_spectrum fh_layer_over(const fh_layer *layer, const fh_spectrum *backing);

#ifdef __cplusplus
}
#endif
#endif
