#include "farhue/spec.h"

#include <math.h>
#include <string.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/text.h"

/* Figures for people, to 0.01 and towards the safe side, so that a file says no more than it
 * knows. */
static fh_tolerance rounded(fh_tolerance told)
{
    told.safe = floor(100.0 * told.safe) / 100.0;
    told.forgiving = floor(100.0 * told.forgiving) / 100.0;
    told.pigments = ceil(100.0 * told.pigments) / 100.0;
    told.bare = (fh_lab){round(1e4 * told.bare.L) / 1e4, round(1e4 * told.bare.a) / 1e4,
                         round(1e4 * told.bare.b) / 1e4};
    for (int i = 0; i < 3; ++i) {
        told.tightest.v[i] = round(100.0 * told.tightest.v[i]) / 100.0;
        told.loosest.v[i] = round(100.0 * told.loosest.v[i]) / 100.0;
        told.low[i] = ceil(100.0 * told.low[i]) / 100.0;
        told.high[i] = floor(100.0 * told.high[i]) / 100.0;
    }
    return told;
}

static fh_status fill(fh_spec *spec, const fh_target *target, fh_error *error)
{
    spec->part = target->part;
    spec->aimed = target->aimed;
    spec->by_look = target->by_look;
    spec->look = target->look;
    spec->condition = target->condition;
    spec->tolerance = target->tolerance;
    spec->light_count = target->light_count;
    for (size_t i = 0; i < target->light_count; ++i) {
        spec->light[i] = target->light[i].condition;
        if ((unsigned)spec->light[i].illuminant >= FH_ILLUMINANT_COUNT)
            return fh_fail(error, FH_E_DATA,
                           "a lamp given by a file; expected standard lights in a spec, such as "
                           "LED-B1/10");
    }
    if (!target->shell) return FH_OK;
    spec->shell = fh_allocate(1, sizeof *spec->shell);
    if (!spec->shell) return fh_fail(error, FH_E_MEMORY, "not enough memory");
    *spec->shell = *target->shell;
    return FH_OK;
}

fh_status fh_spec_new(const fh_target *target, fh_spec **out, fh_error *error)
{
    fh_tolerance told;
    fh_status status = fh_tolerance_find(target, &told, error);
    if (status) return status;
    fh_spec *spec = fh_allocate(1, sizeof *spec);
    if (!spec) return fh_fail(error, FH_E_MEMORY, "not enough memory");
    spec->told = rounded(told);
    spec->shell_mm = spec->gap_mm = -1;
    status = fill(spec, target, error);
    if (status) fh_spec_free(spec);
    else *out = spec;
    return status;
}

void fh_spec_free(fh_spec *spec)
{
    if (!spec) return;
    fh_free(spec->shell);
    fh_free(spec);
}

double fh_spec_shell_mm(const fh_spec *spec)
{
    if (!spec->shell) return -1;
    return spec->shell_mm >= 0 ? spec->shell_mm : spec->shell->method.thickness_mm;
}

double fh_spec_gap_mm(const fh_spec *spec)
{
    if (!spec->shell) return -1;
    return spec->gap_mm >= 0 ? spec->gap_mm : spec->shell->method.gap_mm;
}

fh_status fh_spec_target(const fh_spec *spec, fh_target *out, fh_error *error)
{
    fh_target target;
    fh_target_init(&target, &spec->part, spec->shell);
    target.aimed = spec->aimed;
    target.by_look = spec->by_look;
    target.look = spec->look;
    target.condition = spec->condition;
    target.tolerance = spec->tolerance;
    fh_status status = fh_target_set_lights(&target, spec->light, spec->light_count, error);
    if (!status) status = fh_target_check(&target, error);
    if (!status) *out = target;
    return status;
}

void fh_reply_free(fh_reply *reply)
{
    if (!reply) return;
    fh_free(reply->readings);
    fh_free(reply);
}

fh_status fh_reply_new(const fh_spec *spec, size_t count, fh_reply **out)
{
    if (count < 1 || count > FH_REPLY_READINGS) return FH_E_ARGUMENT;
    fh_reply *reply = fh_allocate(1, sizeof *reply);
    if (!reply) return FH_E_MEMORY;
    reply->readings = fh_allocate(count, sizeof *reply->readings);
    if (!reply->readings) {
        fh_free(reply);
        return FH_E_MEMORY;
    }
    reply->count = count;
    memcpy(reply->answers, spec->code, sizeof reply->answers);
    memcpy(reply->title, spec->title, sizeof reply->title);
    *out = reply;
    return FH_OK;
}

fh_status fh_reply_answers(const fh_reply *reply, const fh_spec *spec, fh_error *error)
{
    if (spec->code[0] && strcmp(reply->answers, spec->code) == 0) return FH_OK;
    return fh_fail(error, FH_E_DATA,
                   "the reply answers the spec with check code %s (%s); expected %s: ask for a "
                   "reply to this spec, or check against the other",
                   reply->answers[0] ? reply->answers : "(none)", reply->title,
                   spec->code[0] ? spec->code : "a spec that was read from its file");
}
