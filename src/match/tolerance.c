#include "farhue/tolerance.h"

#include <math.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"
#include "farhue/draw.h"
#include "farhue/difference.h"
#include "match/member.h"
#include "match/spread.h"

enum { DIRECTIONS = 400, REFINEMENTS = 24, PIGMENT_DRAWS = 400, CONFIRMED = 240 };

static fh_vec3 unit(fh_vec3 x)
{
    double length = sqrt(x.v[0] * x.v[0] + x.v[1] * x.v[1] + x.v[2] * x.v[2]);
    for (int i = 0; i < 3; ++i) x.v[i] /= length;
    return x;
}

/* Directions spread evenly over the sphere: a spiral with the golden angle. */
static fh_vec3 direction(size_t i, size_t count)
{
    double z = 1.0 - (2.0 * (double)i + 1.0) / (double)count;
    double turn = (double)i * 2.39996322972865332, r = sqrt(1.0 - z * z);
    return (fh_vec3){{z, r * cos(turn), r * sin(turn)}};
}

/* Walk on the sphere from a good direction to the best nearby: towards smaller bare ΔE00 when
 * sign is 1, larger when −1. Capped rays limit nothing. */
static fh_ray_end refine(const fh_member *member, fh_ray_end best, double sign)
{
    double step = 0.15;
    if (!(best.bare > 0.0)) return best;
    for (int round = 0; round < REFINEMENTS && step > 0.004; ++round) {
        bool better = false;
        for (int k = 0; k < 6; ++k) {
            fh_vec3 try = unit(best.offset);
            try.v[k / 2] += k % 2 ? step : -step;
            fh_ray_end end = fh_member_ray(member, unit(try));
            if (sign > 0.0 && end.capped) continue;
            if (end.bare > 0.0 && sign * end.bare < sign * best.bare) {
                best = end;
                better = true;
                break;
            }
        }
        if (!better) step *= 0.5;
    }
    return best;
}

/* The offset along a direction whose bare ΔE00 is wanted. */
static fh_vec3 offset_at(const fh_member *member, fh_vec3 way, double wanted)
{
    double low = 0.0, high = 200.0;
    for (int i = 0; i < 40; ++i) {
        double middle = 0.5 * (low + high);
        fh_vec3 at = {{middle * way.v[0], middle * way.v[1], middle * way.v[2]}};
        if (fh_member_bare(member, at) < wanted) low = middle;
        else high = middle;
    }
    return (fh_vec3){{low * way.v[0], low * way.v[1], low * way.v[2]}};
}

/* Shrink the safe radius until the second opinion agrees with it all around. */
static double confirmed_radius(const fh_member *member, double safe)
{
    size_t agreed = 0;
    for (size_t i = 0; agreed < CONFIRMED && safe > 1e-3; i = (i + 1) % CONFIRMED) {
        double part = 1.0 - 0.25 * (double)(i % 3); /* mostly on the surface, some inside */
        fh_vec3 at = offset_at(member, direction(i, CONFIRMED), part * safe);
        if (fh_member_confirmed(member, at)) {
            ++agreed;
        } else {
            safe *= 0.96;
            agreed = 0;
        }
    }
    return agreed == CONFIRMED ? safe : 0.0;
}

/* The most forgiving direction is the one with the longest ray; the tightest has the shortest of
 * those that end because the difference shows. */
static void find_extremes(const fh_member *member, fh_tolerance *out)
{
    fh_ray_end tight = {.bare = FH_BARE_MOST, .capped = true}, loose = {.bare = 0.0};
    for (size_t i = 0; i < DIRECTIONS; ++i) {
        fh_ray_end end = fh_member_ray(member, direction(i, DIRECTIONS));
        if (!end.capped && end.bare < tight.bare) tight = end;
        if (end.bare > loose.bare) loose = end;
    }
    if (!tight.capped) tight = refine(member, tight, 1.0);
    if (!loose.capped) loose = refine(member, loose, -1.0);
    out->safe = confirmed_radius(member, tight.bare);
    out->tightest = tight.offset;
    out->forgiving = loose.bare;
    out->loosest = loose.offset;
    out->capped = loose.capped;
}

/* How much parts of exactly the bare colour, but other pigments, show: the 95th percentile of the
 * worst light over draws of what the Lab leaves open, against the draw's own centre. */
static double pigments(const fh_member *member)
{
    const fh_estimate *open = &member->open;
    const uint64_t stream = fh_draw_stream("pigments");
    fh_member centre = {.target = member->target, .estimate = member->estimate};
    const fh_shell_curves *curves =
        member->target->shell ? &member->target->shell->curves : NULL;
    centre.wanted = fh_look_of(member->target, curves, &open->reflectance, &open->weights);
    float worst[PIGMENT_DRAWS];
    for (size_t trial = 0; trial < PIGMENT_DRAWS; ++trial) {
        double z[FH_ESTIMATE_MODES] = {0};
        for (size_t k = 0; k < open->mode_count; ++k)
            z[k] = fh_draw_normal(1, stream, trial, k);
        fh_spectrum bare = fh_estimate_draw(open, (fh_vec3){{0, 0, 0}}, z);
        worst[trial] = (float)fh_member_seen(&centre, &bare);
    }
    fh_sort_floats(worst, PIGMENT_DRAWS);
    return (double)worst[PIGMENT_DRAWS * 95 / 100 - 1];
}

fh_status fh_tolerance_find(const fh_target *target, fh_tolerance *out, fh_error *error)
{
    fh_member *member;
    fh_status status = fh_member_new(target, &member, error);
    if (status) return status;
    fh_tolerance found = {.seen = target->tolerance, .condition = target->condition};
    found.bare = member->wanted.lab[target->light_count];
    find_extremes(member, &found);
    fh_member_box(member, &found);
    found.pigments = pigments(member);
    fh_free(member);
    *out = found;
    return FH_OK;
}

double fh_seen_difference(const fh_target *target, const fh_spectrum *bare,
                          double seen[FH_LIGHTS_MAX])
{
    fh_estimate part;
    if (fh_estimate_of_reading(&target->part, &part, NULL)) return -1.0;
    const fh_shell_curves *curves = target->shell ? &target->shell->curves : NULL;
    fh_look wanted = fh_look_of(target, curves, &part.reflectance, &part.weights);
    fh_look look = fh_look_of(target, curves, bare, &part.weights);
    double worst = 0.0;
    for (size_t i = 0; i < target->light_count; ++i) {
        double dE00 = fh_de2000(wanted.lab[i], look.lab[i]);
        if (seen) seen[i] = dE00;
        worst = fmax(worst, dE00);
    }
    return worst;
}

bool fh_tolerance_box_holds(const fh_tolerance *tolerance, fh_lab bare)
{
    fh_vec3 offset = {{bare.L - tolerance->bare.L, bare.a - tolerance->bare.a,
                       bare.b - tolerance->bare.b}};
    double at[3];
    fh_box_place(tolerance->bare, tolerance->polar, offset, at);
    for (int axis = 0; axis < 3; ++axis)
        if (!(at[axis] >= tolerance->low[axis] && at[axis] <= tolerance->high[axis]))
            return false;
    return true;
}

fh_status fh_tolerance_contour(const fh_target *target, fh_vec3 u, fh_vec3 v, size_t count,
                               fh_vec3 *offsets, bool *capped, fh_error *error)
{
    if (count < 3) return fh_fail(error, FH_E_ARGUMENT, "%zu points; expected 3 or more", count);
    fh_member *member;
    fh_status status = fh_member_new(target, &member, error);
    if (status) return status;
    for (size_t i = 0; i < count; ++i) {
        double turn = 2.0 * 3.14159265358979323846 * (double)i / (double)count;
        fh_vec3 way;
        for (int k = 0; k < 3; ++k) way.v[k] = cos(turn) * u.v[k] + sin(turn) * v.v[k];
        fh_ray_end end = fh_member_ray(member, unit(way));
        offsets[i] = end.offset;
        if (capped) capped[i] = end.capped;
    }
    fh_free(member);
    return FH_OK;
}

/* "lighter, bluer": the parts of an offset that make up at least a third of it. */
static void way_text(fh_vec3 offset, char *out, size_t size)
{
    static const char *const words[3][2] = {
        {"darker", "lighter"}, {"greener", "redder"}, {"bluer", "yellower"}};
    double most = 0.0;
    for (int k = 0; k < 3; ++k) most = fmax(most, fabs(offset.v[k]));
    size_t used = 0;
    out[0] = '\0';
    for (int k = 0; k < 3; ++k) {
        if (most <= 0.0 || fabs(offset.v[k]) < most / 3.0) continue;
        used += fh_format(out + used, size - used, "%s%s", used ? ", " : "",
                          words[k][offset.v[k] > 0.0]);
    }
}

void fh_tolerance_sentence(const fh_tolerance *tolerance, bool shell, char out[FH_SENTENCE])
{
    const char *where = shell ? "through the shell" : "under the stated lights";
    char way[64];
    way_text(tolerance->loosest, way, sizeof way);
    size_t used = 0;
    if (tolerance->safe >= 0.1)
        used = fh_format(out, FH_SENTENCE, "Any bare difference below %.1f shows less than %.1f %s",
                         floor(10.0 * tolerance->safe) / 10.0, tolerance->seen, where);
    else
        used = fh_format(out, FH_SENTENCE, "In some directions hardly any bare difference stays "
                         "below %.1f %s", tolerance->seen, where);
    if (tolerance->forgiving >= 1.5 * tolerance->safe)
        used += fh_format(out + used, FH_SENTENCE - used,
                          "; in the most forgiving direction (%s) %s %.1f does", way,
                          tolerance->capped ? "even" : "up to",
                          floor(10.0 * tolerance->forgiving) / 10.0);
    fh_format(out + used, FH_SENTENCE - used, " (ΔE00).");
}
