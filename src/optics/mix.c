/* K and S of a mixture are those of its paints times their shares [Duncan1940]. An opaque coat has
 * R∞ of K/S, a film the reflectance of its body over the backing as it is inside; both are then
 * seen through one interface [Saunderson1942]. */
#include "farhue/mix.h"

#include <assert.h>
#include <math.h>

#include "farhue/body.h"

fh_paint fh_paint_blank(void)
{
    return (fh_paint){.density = -1.0, .drop = -1.0, .spread = FH_PAINT_SPREAD};
}

/* Sums of parts × K and parts × S, and of the parts. */
static double add_up(const fh_paint *shelf, const fh_blend *blend, fh_spectrum *K, fh_spectrum *S)
{
    double total = 0.0;
    assert(blend->count >= 1 && blend->count <= FH_MIX_PAINTS);
    *K = *S = fh_spectrum_flat(0.0);
    for (size_t p = 0; p < blend->count; ++p) {
        const fh_paint *paint = &shelf[blend->paint[p]];
        const double part = blend->part[p];
        assert(part >= 0.0 && isfinite(part));
        *K = fh_spectrum_add(*K, paint->K, part);
        *S = fh_spectrum_add(*S, paint->S, part);
        total += part;
    }
    assert(total > 0.0);
    return total;
}

void fh_blend_constants(const fh_paint *shelf, const fh_blend *blend, fh_spectrum *K,
                        fh_spectrum *S)
{
    fh_spectrum k, s;
    const double total = add_up(shelf, blend, &k, &s);
    for (size_t i = 0; i < FH_BANDS; ++i) {
        K->v[i] = k.v[i] / total;
        S->v[i] = s.v[i] / total;
    }
}

fh_spectrum fh_blend_opaque(const fh_paint *shelf, const fh_blend *blend, const fh_surface *surface)
{
    fh_spectrum K, S, inside;
    add_up(shelf, blend, &K, &S);
    for (size_t i = 0; i < FH_BANDS; ++i) inside.v[i] = fh_body_thick(K.v[i], S.v[i]);
    return fh_surface_seen(surface, &inside);
}

fh_spectrum fh_blend_film(const fh_paint *shelf, const fh_blend *blend, const fh_surface *surface,
                          const fh_spectrum *backing)
{
    fh_spectrum K, S, inside = fh_surface_inside(surface, backing);
    add_up(shelf, blend, &K, &S);
    for (size_t i = 0; i < FH_BANDS; ++i) {
        const fh_body body = fh_body_of((fh_body_pair){K.v[i], S.v[i]});
        inside.v[i] = fh_body_over(body, fmin(1.0, fmax(0.0, inside.v[i])));
    }
    return fh_surface_seen(surface, &inside);
}

fh_film fh_blend_coat(const fh_paint *shelf, const fh_blend *blend, double index,
                      const fh_surface *face, const fh_surface *top)
{
    fh_spectrum K, S;
    fh_blend_constants(shelf, blend, &K, &S);
    return fh_film_coat(index, face, top, &K, &S);
}

double fh_paint_safety(double sd)
{
    return exp(1.96 * sd);
}

double fh_blend_safety(const fh_paint *shelf, const fh_blend *blend)
{
    double doubt = 0.0;
    for (size_t i = 0; i < blend->count; ++i) {
        const fh_paint *p = &shelf[blend->paint[i]];
        if (blend->part[i] > 0.0) doubt = fmax(doubt, hypot(p->spread, p->strength));
    }
    return fh_paint_safety(doubt);
}

const fh_paint *fh_blend_unscaled(const fh_paint *shelf, const fh_blend *blend)
{
    for (size_t i = 0; i < blend->count; ++i)
        if (blend->part[i] > 0.0 && !shelf[blend->paint[i]].scaled) return &shelf[blend->paint[i]];
    return NULL;
}
