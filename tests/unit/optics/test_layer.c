#include "check.h"

#include "farhue/body.h"
#include "farhue/fresnel.h"
#include "farhue/layer.h"

#include <math.h>

static fh_spectrum ramp(double from, double to)
{
    fh_spectrum s;
    for (size_t i = 0; i < FH_BANDS; ++i) s.v[i] = from + (to - from) * (double)i / (FH_BANDS - 1);
    return s;
}

static void check_layers(const fh_layer *a, const fh_layer *b, double tolerance)
{
    check_all_close(a->R_top.v, b->R_top.v, FH_BANDS, tolerance);
    check_all_close(a->T_down.v, b->T_down.v, FH_BANDS, tolerance);
    check_all_close(a->R_bottom.v, b->R_bottom.v, FH_BANDS, tolerance);
    check_all_close(a->T_up.v, b->T_up.v, FH_BANDS, tolerance);
}

/* By theory: a uniform layer cut into slices and put together again is the layer. */
static void slices_equal_the_whole(void **state)
{
    (void)state;
    fh_spectrum K = ramp(0.0, 3.0), S = ramp(5.0, 0.0);
    fh_layer whole = fh_body_layer(&K, &S, 1.0);
    const size_t counts[] = {1, 2, 7, 1000};
    for (size_t c = 0; c < 4; ++c) {
        fh_layer built = fh_layer_repeat(fh_body_layer(&K, &S, 1.0 / (double)counts[c]), counts[c]);
        check_layers(&built, &whole, 1e-11);
    }
}

/* Independent computation: a plate without loss of two faces, Stokes: (1 − r)/(1 + r) at each
 * angle; here for diffuse light on asymmetric faces, by summing the bounces. */
static void two_faces_by_summing_bounces(void **state)
{
    (void)state;
    double outside = fh_fresnel_diffuse_outside(1.5), inside = fh_fresnel_diffuse_inside(1.5);
    double through = 0.0, back = outside, light = 1.0 - outside;
    for (int i = 0; i < 400; ++i) { /* even: at the lower face, odd: at the upper face */
        if (i % 2 == 0)
            through += light * (1.0 - inside);
        else
            back += light * (1.0 - inside);
        light *= inside;
    }
    fh_layer face = fh_layer_face(1.5);
    fh_layer plate = fh_layer_add(face, fh_layer_flip(face));
    check_close(plate.T_down.v[7], through, 1e-12);
    check_close(plate.R_top.v[7], back, 1e-12);
    check_close(plate.R_top.v[7] + plate.T_down.v[7], 1.0, 1e-12);
}

static void order_matters_and_grouping_does_not(void **state)
{
    (void)state;
    fh_spectrum K = ramp(0.1, 1.0), S = ramp(2.0, 0.3);
    fh_layer face = fh_layer_face(1.49), body = fh_body_layer(&K, &S, 0.7);
    fh_layer other = fh_body_layer(&S, &K, 0.2);
    fh_layer left = fh_layer_add(fh_layer_add(face, body), other);
    fh_layer right = fh_layer_add(face, fh_layer_add(body, other));
    check_layers(&left, &right, 1e-13);
    fh_layer swapped = fh_layer_add(body, face);
    check(fabs(swapped.R_top.v[3] - fh_layer_add(face, body).R_top.v[3]) > 0.01);
    fh_layer turned = fh_layer_add(fh_layer_flip(body), fh_layer_flip(face));
    fh_layer flipped = fh_layer_flip(fh_layer_add(face, body));
    check_layers(&turned, &flipped, 1e-13);
}

/* A layer over a backing is the layer added to that backing. */
static void over_a_backing(void **state)
{
    (void)state;
    fh_spectrum K = ramp(0.1, 1.0), S = ramp(2.0, 0.3), backing = ramp(0.0, 1.0);
    fh_layer body = fh_body_layer(&K, &S, 1.0);
    fh_layer opaque = {.R_top = backing};
    fh_spectrum look = fh_layer_over(&body, &backing);
    fh_layer sum = fh_layer_add(body, opaque);
    check_all_close(look.v, sum.R_top.v, FH_BANDS, 1e-14);
}

static void nothing_and_trapped_light(void **state)
{
    (void)state;
    fh_layer nothing = fh_layer_nothing(), face = fh_layer_face(1.5);
    fh_layer same = fh_layer_add(nothing, face);
    check_layers(&same, &face, 0.0);
    same = fh_layer_repeat(face, 0);
    check_layers(&same, &nothing, 0.0);
    fh_layer mirror = {.R_top = fh_spectrum_flat(1.0), .R_bottom = fh_spectrum_flat(1.0)};
    fh_layer both = fh_layer_add(mirror, mirror);
    check_close(both.R_top.v[0], 1.0, 0.0);
    check_close(both.T_down.v[0], 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slices_equal_the_whole),
        cmocka_unit_test(two_faces_by_summing_bounces),
        cmocka_unit_test(order_matters_and_grouping_does_not),
        cmocka_unit_test(over_a_backing),
        cmocka_unit_test(nothing_and_trapped_light),
    };
    return cmocka_run_group_tests_name("optics/layer", tests, NULL, NULL);
}
