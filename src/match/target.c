#include "farhue/target.h"

#include "base/error.h"
#include "farhue/surface.h"

/* Beyond this nobody asks whether two colours are the same. */
static const double largest_tolerance = 50.0;

static const char one_mode[] = "expected one mode for both; measure one of them again";

static const char *specular_text(fh_specular specular)
{
    return specular == FH_SPECULAR_INCLUDED ? "included" : "excluded";
}

fh_method fh_target_way(const fh_target *target)
{
    const fh_method *part = &target->part.method;
    if (!target->shell) return *part;
    const fh_method *shell = &target->shell->method;
    const fh_specular mode = fh_method_mode(shell), own = fh_method_mode(part);
    fh_method way = *part;
    if (mode == FH_SPECULAR_UNKNOWN || own == mode) return way;
    way.specular = mode;
    if (own != FH_SPECULAR_UNKNOWN || part->geometry == FH_GEOMETRY_UNKNOWN)
        way.geometry = shell->geometry;
    return way;
}

static fh_status refuse_mode(const fh_target *target, const fh_reading *reading, const char *why,
                             fh_error *error)
{
    const fh_method way = fh_target_way(target);
    const fh_specular mode = fh_method_mode(&way);
    const bool shell = target->shell && fh_method_mode(&target->shell->method) == mode;
    return fh_fail(error, FH_E_DATA,
                   "%s was measured with the mirror reflection %s, the %s with it %s; %s",
                   reading->id, specular_text(fh_method_mode(&reading->method)),
                   shell ? "shell" : "target", specular_text(mode), why);
}

/* An opaque thing in the mode of shell or part: as it was read, or converted. */
static fh_status bring_to_mode(const fh_target *target, const fh_reading *reading, fh_reading *out,
                               bool *converted, fh_error *error)
{
    fh_error why = {0};
    const fh_method way = fh_target_way(target);
    *converted = fh_methods_clash(&reading->method, &way);
    if (fh_reading_in_mode(reading, &way, FH_INDEX_USUAL, out, &why))
        return refuse_mode(target, reading, why.message, error);
    return FH_OK;
}

void fh_target_init(fh_target *target, const fh_reading *part, const fh_shell *shell)
{
    static const fh_condition lights[] = {
        {FH_ILLUMINANT_D65, FH_OBSERVER_10},
        {FH_ILLUMINANT_A, FH_OBSERVER_10},
        {FH_ILLUMINANT_LED_B1, FH_OBSERVER_10},
    };
    *target = (fh_target){.part = *part,
                          .condition = fh_condition_default(),
                          .shell = shell,
                          .light_count = sizeof lights / sizeof *lights,
                          .tolerance = 2.0};
    for (size_t i = 0; i < target->light_count; ++i) target->light[i] = fh_weights_of(lights[i]);
    /* Where it can't be converted the part stays, and fh_target_check refuses it. */
    if (bring_to_mode(target, part, &target->part, &target->converted, NULL))
        target->converted = false;
}

fh_status fh_target_init_look(fh_target *target, const fh_reading *look, const fh_shell *shell,
                              fh_aim *aim, fh_error *error)
{
    fh_aim found;
    fh_status status = fh_aim_at(shell, look, &found, error);
    if (status) return status;
    fh_target_init(target, &found.inner, shell);
    target->aimed = true;
    target->by_look = true;
    target->look = *look;
    if (aim) *aim = found;
    return FH_OK;
}

fh_status fh_target_set_lights(fh_target *target, const fh_condition *lights, size_t count,
                               fh_error *error)
{
    if (count < 1 || count > FH_LIGHTS_MAX)
        return fh_fail(error, FH_E_ARGUMENT, "%zu lights; expected 1 to %d", count, FH_LIGHTS_MAX);
    for (size_t i = 0; i < count; ++i) {
        char text[FH_CONDITION_TEXT];
        fh_condition_text(lights[i], text);
        if ((unsigned)lights[i].illuminant >= FH_ILLUMINANT_COUNT ||
            (unsigned)lights[i].observer >= FH_OBSERVER_COUNT)
            return fh_fail(error, FH_E_ARGUMENT,
                           "a light that is no standard one; expected such "
                           "as D65/10");
        for (size_t j = 0; j < i; ++j)
            if (fh_condition_equal(lights[i], lights[j]))
                return fh_fail(error, FH_E_ARGUMENT, "light %s twice; expected each once", text);
    }
    for (size_t i = 0; i < count; ++i) target->light[i] = fh_weights_of(lights[i]);
    target->light_count = count;
    return FH_OK;
}

static bool is_opaque(const fh_shell *shell)
{
    fh_spectrum reach = fh_shell_reach(&shell->curves);
    for (size_t i = 0; i < FH_BANDS; ++i)
        if (!(reach.v[i] < FH_SHELL_HIDDEN)) return false;
    return true;
}

fh_status fh_target_check(const fh_target *target, fh_error *error)
{
    fh_reading moved;
    bool converted;
    if (!(target->tolerance > 0.0 && target->tolerance <= largest_tolerance))
        return fh_fail(error, FH_E_ARGUMENT,
                       "tolerance %.4g; expected a ΔE00 above 0 and up to %.0f (1 side by side, 2 "
                       "close, 4 across the room)",
                       target->tolerance, largest_tolerance);
    if (target->light_count < 1 || target->light_count > FH_LIGHTS_MAX)
        return fh_fail(error, FH_E_ARGUMENT, "%zu lights; expected 1 to %d", target->light_count,
                       FH_LIGHTS_MAX);
    if ((unsigned)target->condition.illuminant >= FH_ILLUMINANT_COUNT)
        return fh_fail(error, FH_E_ARGUMENT,
                       "bare figures in a condition that is no standard one; "
                       "expected such as D65/10");
    if (target->by_look && !target->shell)
        return fh_fail(error, FH_E_ARGUMENT,
                       "a look without the shell that it was seen through; expected both");
    fh_status status = fh_reading_check(&target->part, NULL, error);
    if (status || !target->shell) return status;
    if (is_opaque(target->shell))
        return fh_fail(error, FH_E_DATA,
                       "the shell hides the part in every band: any part would look the same; "
                       "expected a translucent shell, or none");
    status = bring_to_mode(target, &target->part, &moved, &converted, error);
    if (!status && converted) status = refuse_mode(target, &target->part, one_mode, error);
    if (status || !target->by_look) return status;
    status = fh_reading_check(&target->look, NULL, error);
    const fh_method way = fh_target_way(target);
    if (!status && fh_methods_clash(&target->look.method, &way))
        status = refuse_mode(target, &target->look, one_mode, error);
    return status;
}

fh_status fh_target_adapt(const fh_target *target, const fh_reading *candidate, fh_reading *out,
                          bool *converted, fh_error *error)
{
    fh_status status = fh_reading_check(candidate, NULL, error);
    return status ? status : bring_to_mode(target, candidate, out, converted, error);
}

bool fh_light_is_daylight(fh_condition light)
{
    switch (light.illuminant) {
    case FH_ILLUMINANT_C:
    case FH_ILLUMINANT_D50:
    case FH_ILLUMINANT_D55:
    case FH_ILLUMINANT_D65:
    case FH_ILLUMINANT_D75:
    case FH_ILLUMINANT_F7:
        return true;
    default:
        return false;
    }
}
