/* Adding of layers: equations (10)–(13) of [Kubelka1954], written for layers that differ from
 * above and below.
 *
 *   R  = R_1 + T_1 T_1′ R_2 / (1 − R_1′ R_2)        T = T_1 T_2 / (1 − R_1′ R_2)
 *
 * where a dash means "from below". Trap: when both inner reflectances are 1 the light between the
 * layers is trapped; a layer that throws everything back lets nothing through, so the numerators
 * are 0 and the limit is 0. */
#include "farhue/layer.h"

#include "farhue/fresnel.h"

fh_layer fh_layer_nothing(void)
{
    fh_spectrum zero = fh_spectrum_flat(0.0), one = fh_spectrum_flat(1.0);
    return (fh_layer){.R_top = zero, .T_down = one, .R_bottom = zero, .T_up = one};
}

fh_layer fh_layer_face(double index)
{
    double outside = fh_fresnel_diffuse_outside(index), inside = fh_fresnel_diffuse_inside(index);
    return (fh_layer){.R_top = fh_spectrum_flat(outside),
                      .T_down = fh_spectrum_flat(1.0 - outside),
                      .R_bottom = fh_spectrum_flat(inside),
                      .T_up = fh_spectrum_flat(1.0 - inside)};
}

fh_layer fh_layer_flip(fh_layer layer)
{
    return (fh_layer){.R_top = layer.R_bottom,
                      .T_down = layer.T_up,
                      .R_bottom = layer.R_top,
                      .T_up = layer.T_down};
}

fh_layer fh_layer_add(fh_layer top, fh_layer bottom)
{
    fh_layer sum;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double between = 1.0 - top.R_bottom.v[i] * bottom.R_top.v[i];
        double round = between > 0.0 ? 1.0 / between : 0.0;
        sum.R_top.v[i] =
            top.R_top.v[i] + top.T_down.v[i] * top.T_up.v[i] * bottom.R_top.v[i] * round;
        sum.R_bottom.v[i] = bottom.R_bottom.v[i] +
                            bottom.T_down.v[i] * bottom.T_up.v[i] * top.R_bottom.v[i] * round;
        sum.T_down.v[i] = top.T_down.v[i] * bottom.T_down.v[i] * round;
        sum.T_up.v[i] = top.T_up.v[i] * bottom.T_up.v[i] * round;
    }
    return sum;
}

fh_layer fh_layer_repeat(fh_layer layer, size_t count)
{
    fh_layer sum = fh_layer_nothing();
    for (; count > 0; count /= 2) {
        if (count % 2 == 1) sum = fh_layer_add(sum, layer);
        layer = fh_layer_add(layer, layer);
    }
    return sum;
}

fh_spectrum fh_layer_over(const fh_layer *layer, const fh_spectrum *backing)
{
    fh_spectrum look;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double between = 1.0 - layer->R_bottom.v[i] * backing->v[i];
        double through = layer->T_down.v[i] * layer->T_up.v[i] * backing->v[i];
        look.v[i] = layer->R_top.v[i] + (between > 0.0 ? through / between : 0.0);
    }
    return look;
}
