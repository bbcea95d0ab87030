#include "match/member.h"

#include <math.h>

#include "base/error.h"
#include "base/memory.h"
#include "farhue/difference.h"

/* The region is searched by rays and surface points; what lies between them is covered by ending
 * it this much before the tolerance. */
static const double margin = 0.98;

/* The same for the second opinion. */
static const double second_margin = 0.99;

/* The part as a surface of known spectrum in the condition of the bare figures. */
static fh_status rebase(const fh_target *target, fh_estimate *out, fh_error *error)
{
    fh_status status = fh_estimate_of_reading(&target->part, out, error);
    if (status) return status;
    if (fh_condition_equal(out->weights.condition, target->condition)) return FH_OK;
    fh_reading moved = target->part;
    fh_weights weights = fh_weights_of(target->condition);
    moved.origin = FH_ORIGIN_SPECTRUM;
    moved.reflectance = out->reflectance;
    moved.condition = target->condition;
    moved.lab = fh_lab_of_spectrum(&moved.reflectance, &weights);
    return fh_estimate_of_reading(&moved, out, error);
}

static fh_status fill(fh_member *member, const fh_target *target, fh_error *error)
{
    fh_status status = fh_target_check(target, error);
    if (!status) status = rebase(target, &member->estimate, error);
    if (status) return status;
    member->target = target;
    member->limit = margin * target->tolerance;
    const fh_shell_curves *curves = target->shell ? &target->shell->curves : NULL;
    const fh_spectrum *bare = &member->estimate.reflectance;
    const fh_weights *weights = &member->estimate.weights;
    member->wanted = fh_look_of(target, curves, bare, weights);
    status = fh_estimate_spectrum(fh_lab_of_spectrum(bare, weights), weights, &member->open, NULL,
                                  NULL);
    if (status == FH_E_MEMORY) return fh_fail(error, FH_E_MEMORY, "not enough memory");
    if (status) member->open = member->estimate;
    return FH_OK;
}

fh_status fh_member_new(const fh_target *target, fh_member **out, fh_error *error)
{
    fh_member *member = fh_allocate(1, sizeof *member);
    if (!member) return fh_fail(error, FH_E_MEMORY, "not enough memory");
    fh_status status = fill(member, target, error);
    if (status) fh_free(member);
    else *out = member;
    return status;
}

fh_status fh_member_surface(const fh_member *member, fh_vec3 offset, fh_spectrum *out)
{
    return fh_near_colour(&member->estimate, offset, out);
}

bool fh_member_confirmed(const fh_member *member, fh_vec3 offset)
{
    fh_spectrum bare;
    fh_estimate other;
    const bool measured = member->estimate.mode_count == 0;
    if (!measured || fh_member_surface(member, offset, &bare)) {
        fh_lab at = member->wanted.lab[member->target->light_count];
        fh_lab lab = {at.L + offset.v[0], at.a + offset.v[1], at.b + offset.v[2]};
        if (fh_estimate_spectrum(lab, &member->estimate.weights, &other, NULL, NULL)) return true;
        bare = other.reflectance;
    }
    return fh_member_seen(member, &bare) <= second_margin * member->target->tolerance;
}

double fh_member_seen(const fh_member *member, const fh_spectrum *bare)
{
    const fh_target *target = member->target;
    const fh_shell_curves *curves = target->shell ? &target->shell->curves : NULL;
    fh_look look = fh_look_of(target, curves, bare, &member->estimate.weights);
    double worst = 0.0;
    for (size_t i = 0; i < target->light_count; ++i)
        worst = fmax(worst, fh_de2000(member->wanted.lab[i], look.lab[i]));
    return worst;
}

bool fh_member_inside(const fh_member *member, fh_vec3 offset)
{
    fh_spectrum bare;
    if (fh_member_surface(member, offset, &bare)) return true;
    return fh_member_seen(member, &bare) <= member->limit;
}

double fh_member_bare(const fh_member *member, fh_vec3 offset)
{
    fh_lab bare = member->wanted.lab[member->target->light_count];
    return fh_de2000(bare, (fh_lab){bare.L + offset.v[0], bare.a + offset.v[1],
                                    bare.b + offset.v[2]});
}

static fh_vec3 along(fh_vec3 direction, double length)
{
    return (fh_vec3){{length * direction.v[0], length * direction.v[1], length * direction.v[2]}};
}

typedef enum { STEP_INSIDE, STEP_OUTSIDE, STEP_END } step_kind;

static step_kind step_at(const fh_member *member, fh_vec3 offset)
{
    fh_spectrum bare;
    if (fh_member_bare(member, offset) > FH_BARE_MOST) return STEP_END;
    if (fh_member_surface(member, offset, &bare)) return STEP_END;
    return fh_member_seen(member, &bare) <= member->limit ? STEP_INSIDE : STEP_OUTSIDE;
}

fh_ray_end fh_member_ray(const fh_member *member, fh_vec3 direction)
{
    double inside = 0.0, beyond = 0.25 * member->limit;
    step_kind kind;
    while ((kind = step_at(member, along(direction, beyond))) == STEP_INSIDE && beyond < 400.0) {
        inside = beyond;
        beyond = fmin(beyond * 1.3, beyond + 4.0);
    }
    for (int i = 0; i < 40 && beyond - inside > 1e-4 * (1.0 + inside); ++i) {
        double middle = 0.5 * (inside + beyond);
        step_kind here = step_at(member, along(direction, middle));
        if (here == STEP_INSIDE) {
            inside = middle;
        } else {
            beyond = middle;
            kind = here;
        }
    }
    fh_vec3 offset = along(direction, inside);
    return (fh_ray_end){
        .offset = offset, .bare = fh_member_bare(member, offset), .capped = kind != STEP_OUTSIDE};
}
