/* Mixing paints: absorption K and scattering S add up by quantity [Kubelka1931, Duncan1940].
 *
 * A paint is K and S per band for a unit of quantity; mixing by volume, or by parts of whatever
 * the paints were characterised in. Opaque coats depend on ratios only, so there the unit of S is
 * free; for films it is the unit of quantity per area. */
#ifndef FARHUE_MIX_H
#define FARHUE_MIX_H

#include "farhue/film.h"

#ifdef __cplusplus
extern "C" {
#endif

/* FH_MIX_LOOSE: so many loose bands of a paint are worth a word (common practice, no source). */
enum { FH_MIX_PAINTS = 8, FH_MIX_SHELF = 64, FH_MIX_LOOSE = 4 };

typedef struct fh_paint {
    char id[FH_ID];
    char name[FH_NAME];
    fh_spectrum K, S;    /* finite, ≥ 0, S > 0 somewhere */
    bool single;         /* only a masstone is known, and so only K/S; S is guessed */
    bool scaled;         /* films fix the unit: K and S are per quantity on an area; else only their
                            ratios mean something, and nothing can be said of coats */
    bool estimated;      /* from spectra that were estimated from Lab */
    double density;      /* g/ml; negative: not known */
    double drop;         /* ml in a drop from its bottle; negative: not known */
    double spread;       /* standard deviation of ln K and of ln S, each common to all bands */
    double strength;     /* the same of a factor common to K and S: how strong the paint is in
                            mixtures where only its K/S is known well */
    size_t samples;      /* it was fitted to; 0: not fitted */
    size_t loose;        /* bands where it absorbs and they say little of K and S, only of K/S */
    double dE, dE_worst; /* ΔE00 of those samples, D65/10: mean and worst */
} fh_paint;

/* The spread of a paint of which no other is said (common practice, no source). */
#define FH_PAINT_SPREAD 0.10

/* An empty paint: density and drop not known, spread FH_PAINT_SPREAD, strength exact. */
FH_API fh_paint fh_paint_blank(void);

/* Some paints of a shelf and how much of each; parts ≥ 0, finite, not all 0 (asserted). */
typedef struct fh_blend {
    size_t count;                /* 1 to FH_MIX_PAINTS */
    size_t paint[FH_MIX_PAINTS]; /* index on the shelf */
    double part[FH_MIX_PAINTS];
} fh_blend;

/* K and S of a blend, per unit of quantity for parts that sum to 1. */
FH_API void fh_blend_constants(const fh_paint *shelf, const fh_blend *blend, fh_spectrum *K,
                               fh_spectrum *S);

/* Reflectance of an opaque coat of the blend, as read through the surface. */
FH_API fh_spectrum fh_blend_opaque(const fh_paint *shelf, const fh_blend *blend,
                                   const fh_surface *surface);

/* Reflectance of a film; the parts are quantities per area. backing: what is below, as read through
 * the same surface (a painted or glossy one) before the film was there. */
FH_API fh_spectrum fh_blend_film(const fh_paint *shelf, const fh_blend *blend,
                                 const fh_surface *surface, const fh_spectrum *backing);

/* The coat of a blend as a film of unit amount, for hiding and coats; face: the smooth face that
 * the paints were fitted with, top: how the dry coat is looked at, NULL for the same; index only
 * says what face is made of. Amounts count when all paints of the blend are scaled. */
FH_API fh_film fh_blend_coat(const fh_paint *shelf, const fh_blend *blend, double index,
                             const fh_surface *face, const fh_surface *top);

/* By what factor an amount of paint may have to be larger (97.5 %) where how strong the paint is,
 * or how much a coat lays on, is known to that standard deviation of its logarithm (≥ 0): exp(1.96
 * sd), at least 1. */
FH_API double fh_paint_safety(double sd);

/* The same for a coat of a blend, were all its paints weaker by spread and strength. */
FH_API double fh_blend_safety(const fh_paint *shelf, const fh_blend *blend);

/* The first paint of the blend that isn't scaled, NULL when all are. */
FH_API const fh_paint *fh_blend_unscaled(const fh_paint *shelf, const fh_blend *blend);

/* A measured coat of known make. */
typedef struct fh_mix_sample {
    fh_blend blend; /* paint: index into the paints to be fitted */
    fh_spectrum reflectance;
    bool film;                 /* else opaque */
    fh_spectrum backing;       /* of a film */
    double veil, backing_veil; /* mirror light of a matt face in each, see fh_surface_veil; ≥ 0 */
} fh_mix_sample;

/* Standard error of the cube root of a coat's reflectance: careful draw-downs; brushed coats are
 * nearer 0.02 (common practice, no source). */
#define FH_MIX_NOISE 0.005

typedef struct fh_mix_options {
    fh_surface surface;      /* start, or given */
    bool fit_surface;        /* find the inner reflectance that fits best; enter and outer stay,
                                leave goes with 1 − inner */
    double noise;            /* standard error of the cube root of a reflectance, > 0 */
    double prior_K, prior_S; /* standard deviation of ln K and ln S about the first guess, > 0 */
} fh_mix_options;

/* The face of paint of index 1.5 read in 45°:0°, given; FH_MIX_NOISE, priors 2 and 1. */
FH_API fh_mix_options fh_mix_options_default(void);

/* K and S of paint_count paints (1 to FH_MIX_SHELF) from all samples together, by least squares on
 * cube roots of reflectance, band by band, with a weak prior on ln K and ln S, the latter smooth
 * along the spectrum, that decides what the samples leave open: a paint known by its masstone alone
 * comes out as single.
 * paints: id, name, density, spread and estimated are the caller's and stay; K, S, single,
 * strength, scaled, samples, loose, dE and dE_worst are written.
 * dE: sample_count numbers or NULL: ΔE00 of each sample, D65/10. used: the surface, or NULL.
 * FH_E_DATA: a reflectance that is not finite or beyond 0–1, parts negative or all 0, a paint in
 * no sample, or a paint twice in one. FH_E_ARGUMENT: counts and options. FH_E_STOPPED.
 * progress and error may be NULL. */
FH_API fh_status fh_mix_fit(const fh_mix_sample *samples, size_t sample_count,
                            const fh_mix_options *options, fh_paint *paints, size_t paint_count,
                            double *dE, fh_surface *used, fh_progress progress, void *user,
                            fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
