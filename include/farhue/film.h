/* A coat of paint or a printed wall: its K and S, and its look at any thickness.
 *
 * A coat lies on its backing in optical contact, with one face to the air: Kubelka–Munk with
 * Saunderson's correction. A wall has air on both sides: the sheet model. The amount is in
 * whatever unit the samples are in (mm, coats, ml on the same area); K and S are per unit of it.
 * [Kubelka1948, Saunderson1942] */
#ifndef FARHUE_FILM_H
#define FARHUE_FILM_H

#include "farhue/sheet.h"
#include "farhue/surface.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fh_film_kind { FH_FILM_COAT, FH_FILM_WALL } fh_film_kind;

enum { FH_FILM_SAMPLES = 32 };

typedef struct fh_film {
    fh_film_kind kind;
    double index;
    fh_surface surface; /* of a coat: its face, smooth, and that of what it lies on */
    fh_surface top;     /* of a coat: its face as it is looked at, with its gloss, or a clear coat's */
    fh_sheet sheet;     /* of a wall */
    double veil;        /* of a wall: what its face adds to a look, by its gloss */
    fh_geometry geometry; /* how the readings were taken that surface or sheet belong to */
    fh_specular specular; /* both unknown: as anything that is compared with it */
    fh_spectrum K, S;   /* a wall: μa and μs′ */
} fh_film;

/* A coat of known K and S per unit of amount; surface: the smooth face that they belong to; top:
 * how it is looked at, NULL for the same. index only says what surface was made of; geometry and
 * specular are left unknown. */
FH_API fh_film fh_film_coat(double index, const fh_surface *surface, const fh_surface *top,
                            const fh_spectrum *K, const fh_spectrum *S);

/* One look with the backing and the amount (> 0) of material on it. Borrowed. */
typedef struct fh_film_sample {
    const fh_reading *look;
    const fh_reading *backing;
    double amount;
} fh_film_sample;

typedef struct fh_film_report {
    double dE[FH_FILM_SAMPLES]; /* ΔE00 of each look against fitted, D65/10 */
    double worst, mean;         /* of those */
    size_t loose;               /* bands in which S is not fixed by the readings */
} fh_film_report;

/* K and S from one to FH_FILM_SAMPLES looks: over black and white at one amount, or a ladder of
 * amounts. index ≥ 1 of paint or plastic; 0 for a coat: 1.5, or with four looks and more (that
 * don't state their gloss) the one of 1, 1.2 and 1.35 that fits clearly better (matt and porous
 * surfaces behave like a low one).
 * The gloss of a coat's looks and backings, where stated, is taken off (fh_surface_veil), and that
 * of a wall's looks (behind a wall, air lies on the backing's face, which stays as read); the film
 * then has a face of the looks' mean gloss. What a reading doesn't say of geometry and mode is as
 * the others say, else 45°:0°, and excluded. report and error may be NULL; outputs are untouched on
 * failure.
 * FH_E_ARGUMENT: count, an amount not above 0, index. FH_E_DATA: unsound readings, geometry or
 * specular mode mixed, one sample given twice and no other. FH_E_IMPOSSIBLE: a Lab no reflectance
 * has. */
FH_API fh_status fh_film_fit(fh_film_kind kind, const fh_film_sample *samples, size_t count,
                             double index, fh_film *out, fh_film_report *report, fh_error *error);

/* The look of an amount (≥ 0) over a backing, both as the instrument reads them, a coat's backing
 * with a smooth face. A coat of amount 0 is the backing under the coat's top. */
FH_API fh_spectrum fh_film_look(const fh_film *film, double amount, const fh_spectrum *backing);

/* The look of so much material that no backing shows. */
FH_API fh_spectrum fh_film_thick(const fh_film *film);

/* An amount that is opaque in the band that scatters most, however weak the material: a limit for
 * searches. Infinite where nothing scatters. */
FH_API double fh_film_plenty(const fh_film *film);

#ifdef __cplusplus
}
#endif
#endif
