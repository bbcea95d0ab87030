/* Membership of bare colours in the tolerance, and rays along which it ends. */
#ifndef FARHUE_MATCH_MEMBER_H
#define FARHUE_MATCH_MEMBER_H

#include "farhue/tolerance.h"
#include "match/near.h"
#include "match/trials.h"

/* A target made ready for many questions. About 15 KiB: on the heap. */
typedef struct fh_member {
    const fh_target *target;
    fh_estimate estimate; /* of the part, with its gain in the condition of the bare figures */
    fh_estimate open;     /* the same Lab estimated anew: its modes are what a Lab leaves open */
    fh_look wanted;       /* the target's looks */
    double limit;         /* seen ΔE00 that ends the region, a little inside the tolerance */
} fh_member;

/* Errors as fh_estimate_of_reading. Free with fh_free. */
fh_status fh_member_new(const fh_target *target, fh_member **out, fh_error *error);

/* The surface closest to the target's own with the bare colour target + offset. FH_E_IMPOSSIBLE:
 * smooth changes of the target do not reach it. */
fh_status fh_member_surface(const fh_member *member, fh_vec3 offset, fh_spectrum *out);

/* Largest seen ΔE00 over the lights of a bare reflectance. */
double fh_member_seen(const fh_member *member, const fh_spectrum *bare);

/* Inside the region, or out of reach of smooth changes (for which see fh_member_confirmed). */
bool fh_member_inside(const fh_member *member, fh_vec3 offset);

/* A slower second opinion on what fh_member_inside has found: within the tolerance also as the
 * estimate made from the bare Lab alone, where the target's own spectrum is estimated or its
 * smooth changes do not reach that far; or a colour that no surface has. */
bool fh_member_confirmed(const fh_member *member, fh_vec3 offset);

/* Bare ΔE00 of an offset. */
double fh_member_bare(const fh_member *member, fh_vec3 offset);

/* Where a ray from the target leaves the region for the first time. */
typedef struct fh_ray_end {
    fh_vec3 offset;
    double bare;  /* ΔE00 there */
    bool capped;  /* it does not leave before FH_BARE_MOST or the last colour that is possible */
} fh_ray_end;

/* direction has length 1. */
fh_ray_end fh_member_ray(const fh_member *member, fh_vec3 direction);

/* The box of fh_tolerance: fills polar, low and high. */
void fh_member_box(const fh_member *member, fh_tolerance *out);

/* The Lab offset of box coordinates at the target's bare colour. */
fh_vec3 fh_box_offset(fh_lab bare, bool polar, const double at[3]);

/* The box coordinates of an offset. */
void fh_box_place(fh_lab bare, bool polar, fh_vec3 offset, double at[3]);

#endif
