/* Hiding power from K and S: the looks over two backings at any amount.
 *
 * Trap: neither measure need fall steadily (a thin grey coat can bring two colours together and
 * apart again in hue), so the smallest amount is searched upwards in steps of 3 % and then halved,
 * not by halving alone. */
#include "farhue/hide.h"

#include "base/error.h"
#include "farhue/difference.h"
#include "farhue/estimate.h"

#include <math.h>

fh_hide_scene fh_hide_scene_standard(void)
{
    return (fh_hide_scene){.dark = fh_spectrum_flat(0.0),
                           .light = fh_spectrum_flat(0.8),
                           .weights = fh_weights_of(fh_condition_default())};
}

fh_hide_scene fh_hide_scene_over(const fh_film *film, const fh_spectrum *part)
{
    fh_hide_scene scene = fh_hide_scene_standard();
    fh_film below = *film;
    below.top = film->surface; /* what a coat lies on is told by its smooth face */
    scene.dark = *part;
    scene.light = fh_film_thick(&below);
    return scene;
}

/* How the part was read; what it doesn't say is as the film's readings are. */
static fh_method way_of(const fh_film *film, const fh_method *part)
{
    fh_method m = *part;
    if (m.geometry == FH_GEOMETRY_PHOTO) m.geometry = FH_GEOMETRY_45_0;
    if (m.geometry == FH_GEOMETRY_UNKNOWN) m.geometry = film->geometry;
    if (m.specular == FH_SPECULAR_UNKNOWN)
        m.specular = m.geometry == film->geometry ? film->specular : FH_SPECULAR_EXCLUDED;
    return m;
}

/* Through the part's own face and out as the film's instrument sees light leave a smooth one. */
static fh_status carry(const fh_film *film, const fh_reading *part, const fh_method *way,
                       fh_spectrum *curve, fh_error *error)
{
    static const double noise = 0.01; /* of readings near black (common practice, no source) */
    const bool elsewhere = way->geometry != film->geometry || way->specular != film->specular;
    fh_surface face;
    if (fh_surface_of_finish((fh_finish){FH_INDEX_USUAL, way->gloss}, way->geometry, way->specular,
                             &face))
        return fh_fail(error, FH_E_DATA,
                       "%s: specular mode and geometry don't go together; expected 45/0 with "
                       "specular excluded, or 8/d with either",
                       part->id);
    const fh_spectrum inside = fh_surface_inside(&face, curve);
    for (size_t i = 0; i < FH_BANDS; ++i)
        if (elsewhere && !(inside.v[i] >= -noise))
            return fh_fail(error, FH_E_DATA,
                           "%s reflects less than the face of such a thing mirrors; expected "
                           "another specular mode, or a part read in the way of the film",
                           part->id);
    *curve = fh_surface_seen(&film->surface, &inside);
    return FH_OK;
}

fh_status fh_hide_scene_over_reading(const fh_film *film, const fh_reading *part,
                                     fh_hide_scene *out, fh_error *error)
{
    fh_estimate estimate;
    fh_spectrum curve = part->reflectance;
    fh_status status = FH_OK;
    if (part->origin == FH_ORIGIN_LAB) {
        status = fh_estimate_of_reading(part, &estimate, error);
        if (status) return status;
        curve = estimate.reflectance;
    }
    const fh_method way = way_of(film, &part->method);
    const bool elsewhere = way.geometry != film->geometry || way.specular != film->specular;
    if (film->geometry != FH_GEOMETRY_UNKNOWN && (film->kind == FH_FILM_COAT || elsewhere))
        status = carry(film, part, &way, &curve, error);
    else if (film->kind == FH_FILM_COAT)
        curve =
            fh_spectrum_add(curve, fh_spectrum_flat(1.0), -fh_surface_veil(FH_INDEX_USUAL, &way));
    if (!status) *out = fh_hide_scene_over(film, &curve);
    return status;
}

fh_hiding fh_hide_at(const fh_film *film, double amount, const fh_hide_scene *scene)
{
    fh_spectrum dark = fh_film_look(film, amount, &scene->dark);
    fh_spectrum light = fh_film_look(film, amount, &scene->light);
    if (scene->shell) {
        dark = fh_shell_look(scene->shell, &dark);
        light = fh_shell_look(scene->shell, &light);
    }
    double over_dark = fh_xyz_of_spectrum(&dark, &scene->weights).Y;
    double over_light = fh_xyz_of_spectrum(&light, &scene->weights).Y;
    double high = fmax(over_dark, over_light);
    fh_hiding hiding = {.ratio = high > 0.0 ? fmin(over_dark, over_light) / high : 1.0,
                        .dark = fh_lab_of_spectrum(&dark, &scene->weights),
                        .light = fh_lab_of_spectrum(&light, &scene->weights)};
    hiding.dE = fh_de2000(hiding.dark, hiding.light);
    return hiding;
}

static bool meets(const fh_film *film, const fh_hide_scene *scene, fh_hide_goal goal, double amount)
{
    fh_hiding hiding = fh_hide_at(film, amount, scene);
    return hiding.ratio >= goal.ratio && hiding.dE <= goal.dE;
}

/* An amount that hardly colours: (K + S) X = 10⁻⁴ where they are largest. */
static double trace(const fh_film *film)
{
    double most = 1e-12;
    for (size_t i = 0; i < FH_BANDS; ++i) most = fmax(most, film->K.v[i] + film->S.v[i]);
    return 1e-4 / most;
}

/* Downwards from the most: a little of a paint may happen to look as light as what is behind it,
 * and more of it shows again. */
fh_status fh_hide_amount(const fh_film *film, const fh_hide_scene *scene, fh_hide_goal goal,
                         double most, double *amount)
{
    if (!(most > 0.0) || !isfinite(most)) return FH_E_ARGUMENT;
    if (!(goal.ratio >= 0.0) || !(goal.ratio < 1.0) || !(goal.dE > 0.0)) return FH_E_ARGUMENT;
    if (goal.ratio == 0.0 && isinf(goal.dE)) return FH_E_ARGUMENT;
    const double least = fmin(most, trace(film));
    double low = most, high = most;
    while (meets(film, scene, goal, low)) {
        high = low;
        if (low <= least) break;
        low = fmax(low / 1.03, least);
    }
    if (low >= most && !meets(film, scene, goal, most)) return FH_E_IMPOSSIBLE;
    while (high - low > 0.001 * high) {
        double middle = 0.5 * (low + high);
        if (meets(film, scene, goal, middle))
            high = middle;
        else
            low = middle;
    }
    *amount = high;
    return FH_OK;
}

double fh_hide_coats(double amount, double coat)
{
    return fmax(1.0, ceil(amount / coat - 1e-3));
}
