/* A reading: a measured colour with its condition, its uncertainty and how it was taken.
 *
 * Uncertainty has two kinds. The random covariance belongs to this reading alone and falls with
 * repeats. A shared covariance is tagged with its source (an instrument, the chart photo, a tie…):
 * two readings with the same tag carry the same error, which cancels between them; with
 * different tags it does not. Covariances are in L*, a*, b* of the reading's condition. */
#ifndef FARHUE_READING_H
#define FARHUE_READING_H

#include "farhue/colour.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_ID = 64, FH_NAME = 96, FH_SOURCE = 64, FH_SHARED_MAX = 6, FH_NOTE = 128 };

/* One shared error and where it comes from. */
typedef struct fh_shared {
    char source[FH_SOURCE]; /* tag, e.g. "instrument: owner's colorimeter" */
    fh_mat3 covariance;
} fh_shared;

typedef enum fh_geometry {
    FH_GEOMETRY_UNKNOWN,
    FH_GEOMETRY_45_0,  /* 45°:0° or 0°:45°, no mirror reflection */
    FH_GEOMETRY_8_D,   /* sphere, 8°:di/de or d:8° */
    FH_GEOMETRY_PHOTO  /* a camera above, light at about 45° */
} fh_geometry;

typedef enum fh_specular {
    FH_SPECULAR_UNKNOWN,
    FH_SPECULAR_EXCLUDED,
    FH_SPECULAR_INCLUDED
} fh_specular;

/* How a reading was taken. Negative numbers mean: not known. */
typedef struct fh_method {
    fh_geometry geometry;
    fh_specular specular;
    double port_mm;      /* aperture of the instrument */
    double gap_mm;       /* air gap behind the shell, or below the instrument */
    double gloss;        /* 60° gloss units */
    double thickness_mm; /* of the sample */
    char backing[FH_ID]; /* id or description of what is behind, may be empty */
} fh_method;

/* All unknown. */
FH_API fh_method fh_method_unknown(void);

/* How the spectrum of a reading was come by. */
typedef enum fh_origin {
    FH_ORIGIN_LAB,      /* only Lab; reflectance is not set */
    FH_ORIGIN_SPECTRUM, /* measured reflectance; lab is computed from it */
    FH_ORIGIN_ESTIMATED /* reflectance estimated from Lab, or Lab from an estimated spectrum */
} fh_origin;

/* What a colour rests on. */
typedef enum fh_basis {
    FH_BASIS_MEASURED, /* the thing itself was measured */
    FH_BASIS_SCREEN,   /* chosen on a screen, such as a seller's hex value: nothing measured it */
    FH_BASIS_LOOK      /* worked back from the look of the assembled stack */
} fh_basis;

typedef struct fh_reading {
    char id[FH_ID];     /* unique in its file, UTF-8 */
    char name[FH_NAME]; /* for people, may be empty */
    fh_condition condition;
    fh_lab lab;
    fh_origin origin;
    fh_basis basis;
    fh_spectrum reflectance; /* valid unless origin is FH_ORIGIN_LAB */
    unsigned repeats;        /* readings pooled into this one, at least 1 */
    fh_mat3 random;          /* covariance of the pooled mean */
    size_t shared_count;
    fh_shared shared[FH_SHARED_MAX];
    fh_method method;
    char note[FH_NOTE]; /* may be empty */
} fh_reading;

/* An empty reading: D65/10, one repeat, method unknown, no uncertainty. */
FH_API fh_reading fh_reading_blank(void);

/* The colour of a reading from an sRGB value 0xrrggbb, as sellers show it: Lab for D65/2, basis
 * FH_BASIS_SCREEN, and as random covariance what such a value leaves open, standard deviations of 4
 * in L* and 5 in a* and b* (common practice, no source). Neither repeats nor a tie lessen it. */
FH_API void fh_reading_set_srgb(fh_reading *reading, unsigned long rgb);

/* Sum of the random and all shared covariances. */
FH_API fh_mat3 fh_reading_covariance(const fh_reading *reading);

/* Does a reading state no uncertainty at all, so that it counts as exact? */
FH_API bool fh_reading_is_exact(const fh_reading *reading);

/* Add a shared covariance; one with the same source is added to it. FH_E_LIMIT when
 * FH_SHARED_MAX sources are there already, FH_E_DATA when it is not positive semi-definite. */
FH_API fh_status fh_reading_add_shared(fh_reading *reading, const char *source,
                                       fh_mat3 covariance);

/* Covariance of (a − b): random parts add; a source that both carry enters once, as the
 * difference of its factors (drawn together), a source of one alone in full. FH_E_DATA: a shared
 * covariance that is not positive semi-definite; out is then untouched. */
FH_API fh_status fh_reading_difference_covariance(const fh_reading *a, const fh_reading *b,
                                                  fh_mat3 *out);

/* Check that values are finite and possible: L in 0–120, |a|,|b| ≤ 200 at most, reflectance in
 * 0–1.2, covariances positive semi-definite. FH_E_DATA with a sentence in error (may be NULL).
 * *glow (may be NULL) is set when a reflectance exceeds 1: fluorescent or glossy. */
FH_API fh_status fh_reading_check(const fh_reading *reading, bool *glow, fh_error *error);

/* Pool repeat readings of one object, all in one condition and by one method, into their mean.
 * The random covariance of the mean is the larger of the spread's S/n and the stated one, with
 * the t-factor for small n as in [JCGM100] G.3 folded in. A shared source is drawn once for all
 * that carry it: one that all have stays, one that m of n have shrinks to m/n. FH_E_ARGUMENT: count
 * 0; FH_E_DATA: conditions, kinds, geometries, specular modes or bases that differ; FH_E_LIMIT:
 * more than FH_SHARED_MAX sources. Values chosen on a screen keep what they leave open, however
 * many say the same. error may be NULL; out may be one of the readings. */
FH_API fh_status fh_reading_pool(const fh_reading *readings, size_t count, fh_reading *out,
                                 fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
