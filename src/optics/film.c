/* Looks of coats and walls.
 *
 * Coat: the backing goes through the face (inverse of Saunderson's correction), the body on top of
 * it by Kubelka–Munk, and out through the face that is then on top: the same one, one of another
 * gloss, or that of a clear coat. Wall: A + B ρ/(1 − C ρ) of the sheet model.
 */
#include "farhue/film.h"

#include "farhue/body.h"
#include "optics/film_work.h"

#include <math.h>

static double coat_look(const fh_film *film, double KX, double SX, double backing)
{
    const fh_surface *face = &film->surface, *top = &film->top;
    double below = face->enter * face->leave, rise = backing - face->outer;
    double inside = fmin(fmax(rise / (below + face->inner * rise), 0.0), 1.0);
    double R = fh_body_over(fh_body_of((fh_body_pair){KX, SX}), inside);
    return top->outer + top->enter * top->leave * R / (1.0 - top->inner * R);
}

double fh_film_band(const fh_film *film, double K, double S, double amount, double backing)
{
    if (film->kind == FH_FILM_COAT) return coat_look(film, K * amount, S * amount, backing);
    fh_sheet_band band = fh_sheet_band_of(&film->sheet, K * amount, S * amount);
    return film->veil + band.A + band.B * backing / (1.0 - band.C * backing);
}

fh_spectrum fh_film_look(const fh_film *film, double amount, const fh_spectrum *backing)
{
    fh_spectrum look;
    for (size_t i = 0; i < FH_BANDS; ++i)
        look.v[i] = fh_film_band(film, film->K.v[i], film->S.v[i], amount, backing->v[i]);
    return look;
}

fh_spectrum fh_film_thick(const fh_film *film)
{
    fh_spectrum look;
    for (size_t i = 0; i < FH_BANDS; ++i) {
        double K = film->K.v[i], S = film->S.v[i];
        double unit = 1e4 / fmax(K + S, 1e-12); /* optically 10,000 thick */
        look.v[i] = fh_film_band(film, K, S, unit, 0.5);
    }
    return look;
}

double fh_film_plenty(const fh_film *film)
{
    double S = 0.0;
    for (size_t i = 0; i < FH_BANDS; ++i) S = fmax(S, film->S.v[i]);
    return 3000.0 / S;
}

fh_film fh_film_coat(double index, const fh_surface *surface, const fh_surface *top,
                     const fh_spectrum *K, const fh_spectrum *S)
{
    return (fh_film){.kind = FH_FILM_COAT,
                     .index = index,
                     .surface = *surface,
                     .top = top ? *top : *surface,
                     .K = *K,
                     .S = *S};
}

fh_status fh_film_of(fh_film_kind kind, double index, const fh_method *method, fh_film *out)
{
    fh_film film = {.kind = kind, .index = index};
    film.geometry = method->geometry == FH_GEOMETRY_8_D ? FH_GEOMETRY_8_D : FH_GEOMETRY_45_0;
    film.specular =
        method->specular == FH_SPECULAR_UNKNOWN ? FH_SPECULAR_EXCLUDED : method->specular;
    fh_status status = fh_surface_of(index, film.geometry, film.specular, &film.surface);
    film.top = film.surface;
    if (!status) status = fh_sheet_of(index, film.geometry, film.specular, &film.sheet);
    if (!status) *out = film;
    return status;
}
