/* What stored pixel values mean as light: sRGB, linear, a gamma curve, or an ICC profile. */
#ifndef FARHUE_PROFILE_H
#define FARHUE_PROFILE_H

#include "farhue/colour.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fh_coding {
    FH_CODING_SRGB,   /* the curve of [IEC61966] */
    FH_CODING_LINEAR, /* the samples are proportional to light */
    FH_CODING_GAMMA,  /* a power law, its exponent given */
    FH_CODING_ICC     /* a profile, by its bytes */
} fh_coding;

/* "sRGB", "linear", "gamma", "ICC profile". */
FH_API const char *fh_coding_name(fh_coding coding);

/* Turns samples into linear light. Owned by the caller, freed with fh_profile_free. */
typedef struct fh_profile fh_profile;

/* A profile without a file: sRGB, linear, or gamma with its exponent (0.2–5, only read for
 * gamma). FH_E_ARGUMENT for another coding or exponent, FH_E_MEMORY. */
FH_API fh_status fh_profile_new(fh_coding coding, double exponent, fh_profile **out);

/* From the bytes of an ICC profile of class input, display or colour space, RGB or grey; matrix
 * and table profiles alike. The bytes are not kept. The light is that of the profile connection
 * space, relative to its white, expressed in linear sRGB primaries so that it looks like a
 * camera's three channels. FH_E_DATA with a sentence for anything else; error may be NULL.
 * [ICC2022] */
FH_API fh_status fh_profile_from_icc(const void *bytes, size_t size, fh_profile **out,
                                     fh_error *error);

/* Give a profile back; NULL is fine. */
FH_API void fh_profile_free(fh_profile *profile);

/* How the samples of this profile are coded. */
FH_API fh_coding fh_profile_coding(const fh_profile *profile);

/* count samples, 0–1, to linear light in place. Not clipped. Uses state inside the profile: one
 * thread at a time. */
FH_API void fh_profile_linear(const fh_profile *profile, fh_rgb *samples, size_t count);

#ifdef __cplusplus
}
#endif
#endif
