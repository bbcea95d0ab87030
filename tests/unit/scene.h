/* Rendered photos of a chart among other things, for tests and studies of finding and sampling it.
 *
 * Everything is invented and drawn from a seed: where the chart lies and how it is turned, a camera
 * that mixes its channels, uneven light, clutter, texture, blur, noise, things that cover patches.
 * Shares no code with the engine but the random numbers and the colour spaces. */
#ifndef FARHUE_TESTS_SCENE_H
#define FARHUE_TESTS_SCENE_H

#include <stddef.h>
#include <stdint.h>

#include "farhue/chart.h"

typedef struct scene {
    size_t width, height;
    unsigned char *rgb;  /* 8 bit, sRGB coded */
    fh_point corners[4]; /* true centres of the corner patches */
    double pitch;        /* smallest distance of neighbouring patches, pixels */
    size_t covered;      /* patches that something hides */
    bool present;        /* false: no chart in it at all */
} scene;

/* The scene of a seed; lab: the chart's colours, D50/2. One in 20 scenes holds no chart but a board
 * of other colours. Free with scene_free. */
scene scene_render(const fh_chart *chart, const fh_lab *lab, uint64_t seed);
void scene_free(scene *done);

#endif
