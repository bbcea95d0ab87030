/* A box in ΔL*, ΔC*, ΔH* (near grey ΔL*, Δa*, Δb*) inside the tolerance.
 *
 * It starts with the reach along each axis, shrinks as a whole until points on its corners, edges
 * and faces (and on two smaller boxes inside it) are members, then tries to win back each side, and
 * shrinks again until the second opinion agrees. */
#include "match/member.h"

#include <math.h>

enum { STEPS = 6 }; /* points per edge − 1 */

static const double grey_chroma = 10.0, longest_side = 30.0;

fh_vec3 fh_box_offset(fh_lab bare, bool polar, const double at[3])
{
    if (!polar) return (fh_vec3){{at[0], at[1], at[2]}};
    fh_lch centre = fh_lch_of_lab(bare);
    double C = fmax(centre.C + at[1], 0.0);
    double full = 2.0 * sqrt(centre.C * C);
    double sine = full > 0.0 ? fmin(fmax(at[2] / full, -1.0), 1.0) : 0.0;
    double turn = 2.0 * asin(sine) * 180.0 / 3.14159265358979323846;
    fh_lab lab = fh_lab_of_lch((fh_lch){bare.L + at[0], C, centre.h + turn});
    return (fh_vec3){{at[0], lab.a - bare.a, lab.b - bare.b}};
}

void fh_box_place(fh_lab bare, bool polar, fh_vec3 offset, double at[3])
{
    at[0] = offset.v[0];
    at[1] = offset.v[1];
    at[2] = offset.v[2];
    if (!polar) return;
    double a = bare.a + offset.v[1], b = bare.b + offset.v[2];
    double from = hypot(bare.a, bare.b), to = hypot(a, b);
    at[1] = to - from;
    double turn = atan2(bare.a * b - bare.b * a, bare.a * a + bare.b * b);
    at[2] = 2.0 * sqrt(from * to) * sin(0.5 * turn);
}

static fh_lab bare_of(const fh_member *member)
{
    return member->wanted.lab[member->target->light_count];
}

/* All points on the surface of the box, shrunk by scale, are members; steps to an edge. */
static bool surface_inside(const fh_member *member, const fh_tolerance *box, double scale,
                           int steps, bool (*inside)(const fh_member *member, fh_vec3 offset))
{
    for (int i = 0; i <= steps; ++i)
        for (int j = 0; j <= steps; ++j)
            for (int k = 0; k <= steps; ++k) {
                bool inner = i % steps && j % steps && k % steps;
                if (inner) continue;
                const int step[3] = {i, j, k};
                double at[3];
                for (int axis = 0; axis < 3; ++axis)
                    at[axis] = scale * (box->low[axis] + (box->high[axis] - box->low[axis]) *
                                                             step[axis] / steps);
                if (!inside(member, fh_box_offset(bare_of(member), box->polar, at))) return false;
            }
    return true;
}

static bool box_inside(const fh_member *member, const fh_tolerance *box)
{
    return surface_inside(member, box, 1.0, STEPS, fh_member_inside) &&
           surface_inside(member, box, 0.66, STEPS, fh_member_inside) &&
           surface_inside(member, box, 0.33, STEPS, fh_member_inside);
}

static bool box_confirmed(const fh_member *member, const fh_tolerance *box)
{
    for (int part = 4; part > 0; --part)
        if (!surface_inside(member, box, 0.25 * part, 4, fh_member_confirmed)) return false;
    return true;
}

/* The reach along one axis in one direction, at most limit. */
static double reach(const fh_member *member, bool polar, int axis, double sign, double limit)
{
    double inside = 0.0, beyond = 0.25 * member->limit;
    double at[3] = {0, 0, 0};
    for (;;) {
        if (beyond > limit) beyond = limit;
        at[axis] = sign * beyond;
        if (!fh_member_inside(member, fh_box_offset(bare_of(member), polar, at))) break;
        inside = beyond;
        if (beyond >= limit) return sign * limit;
        beyond *= 1.3;
    }
    while (beyond - inside > 1e-3 * beyond) {
        double middle = 0.5 * (inside + beyond);
        at[axis] = sign * middle;
        if (fh_member_inside(member, fh_box_offset(bare_of(member), polar, at))) inside = middle;
        else beyond = middle;
    }
    return sign * inside;
}

static void scale_box(const fh_tolerance *full, double factor, fh_tolerance *box)
{
    for (int axis = 0; axis < 3; ++axis) {
        box->low[axis] = factor * full->low[axis];
        box->high[axis] = factor * full->high[axis];
    }
}

/* Try to lengthen one side of the box by a tenth, not beyond its reach. */
static void win_back(const fh_member *member, const fh_tolerance *full, fh_tolerance *box)
{
    for (int round = 0; round < 4; ++round)
        for (int side = 0; side < 6; ++side) {
            int axis = side / 2;
            double *edge = side % 2 ? &box->high[axis] : &box->low[axis];
            double most = side % 2 ? full->high[axis] : full->low[axis];
            double before = *edge, longer = before * 1.1;
            *edge = fabs(longer) > fabs(most) ? most : longer;
            if (!box_inside(member, box)) *edge = before;
        }
}

void fh_member_box(const fh_member *member, fh_tolerance *out)
{
    fh_lab bare = bare_of(member);
    double chroma = fh_lch_of_lab(bare).C;
    fh_tolerance full = {.polar = chroma >= grey_chroma};
    for (int axis = 0; axis < 3; ++axis) {
        double limit = longest_side, inwards = longest_side;
        /* Where chroma falls to a quarter, ΔH* can still be as long as the chroma. */
        if (full.polar && axis == 1) inwards = fmin(inwards, 0.75 * chroma);
        if (full.polar && axis == 2) limit = inwards = fmin(limit, 0.9 * chroma);
        full.low[axis] = reach(member, full.polar, axis, -1.0, inwards);
        full.high[axis] = reach(member, full.polar, axis, 1.0, limit);
    }
    fh_tolerance box = full;
    if (!box_inside(member, &box)) {
        double inside = 0.0, beyond = 1.0;
        for (int i = 0; i < 10; ++i) {
            double middle = 0.5 * (inside + beyond);
            scale_box(&full, middle, &box);
            if (box_inside(member, &box)) inside = middle;
            else beyond = middle;
        }
        scale_box(&full, inside, &box);
        win_back(member, &full, &box);
    }
    for (int i = 0; i < 60 && !box_confirmed(member, &box); ++i) scale_box(&box, 0.95, &box);
    out->polar = full.polar;
    for (int axis = 0; axis < 3; ++axis) {
        out->low[axis] = box.low[axis];
        out->high[axis] = box.high[axis];
    }
}
