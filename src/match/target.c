#include "farhue/target.h"

#include "base/error.h"

/* Beyond this nobody asks whether two colours are the same. */
static const double largest_tolerance = 50.0;

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
            return fh_fail(error, FH_E_ARGUMENT, "a light that is no standard one; expected such "
                                                 "as D65/10");
        for (size_t j = 0; j < i; ++j)
            if (fh_condition_equal(lights[i], lights[j]))
                return fh_fail(error, FH_E_ARGUMENT, "light %s twice; expected each once", text);
    }
    for (size_t i = 0; i < count; ++i) target->light[i] = fh_weights_of(lights[i]);
    target->light_count = count;
    return FH_OK;
}

static const char *specular_text(fh_specular specular)
{
    return specular == FH_SPECULAR_INCLUDED ? "included" : "excluded";
}

static bool clash(fh_specular a, fh_specular b)
{
    return a != FH_SPECULAR_UNKNOWN && b != FH_SPECULAR_UNKNOWN && a != b;
}

/* Part, candidate and shell must have been read in one specular mode. */
static fh_status check_specular(const fh_target *target, const fh_reading *reading, fh_error *error)
{
    fh_specular mine = reading->method.specular, part = target->part.method.specular;
    if (clash(mine, part))
        return fh_fail(error, FH_E_DATA,
                       "%s was measured with the mirror reflection %s, the target with it %s; "
                       "expected one mode for both; measure one of them again",
                       reading->id, specular_text(mine), specular_text(part));
    if (target->shell && clash(mine, target->shell->method.specular))
        return fh_fail(error, FH_E_DATA,
                       "%s was measured with the mirror reflection %s, the shell with it %s; "
                       "expected one mode for both; measure one of them again",
                       reading->id, specular_text(mine),
                       specular_text(target->shell->method.specular));
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
    if (!(target->tolerance > 0.0 && target->tolerance <= largest_tolerance))
        return fh_fail(error, FH_E_ARGUMENT,
                       "tolerance %.4g; expected a ΔE00 above 0 and up to %.0f (1 side by side, 2 "
                       "close, 4 across the room)",
                       target->tolerance, largest_tolerance);
    if (target->light_count < 1 || target->light_count > FH_LIGHTS_MAX)
        return fh_fail(error, FH_E_ARGUMENT, "%zu lights; expected 1 to %d", target->light_count,
                       FH_LIGHTS_MAX);
    if ((unsigned)target->condition.illuminant >= FH_ILLUMINANT_COUNT)
        return fh_fail(error, FH_E_ARGUMENT, "bare figures in a condition that is no standard one; "
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
    status = check_specular(target, &target->part, error);
    if (!status && target->by_look) status = fh_reading_check(&target->look, NULL, error);
    if (!status && target->by_look) status = check_specular(target, &target->look, error);
    return status;
}

fh_status fh_target_accepts(const fh_target *target, const fh_reading *candidate, fh_error *error)
{
    fh_status status = fh_reading_check(candidate, NULL, error);
    return status ? status : check_specular(target, candidate, error);
}

bool fh_light_is_daylight(fh_condition light)
{
    switch (light.illuminant) {
    case FH_ILLUMINANT_C:
    case FH_ILLUMINANT_D50:
    case FH_ILLUMINANT_D55:
    case FH_ILLUMINANT_D65:
    case FH_ILLUMINANT_D75:
    case FH_ILLUMINANT_F7: return true;
    default: return false;
    }
}
