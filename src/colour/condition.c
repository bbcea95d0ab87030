#include "farhue/condition.h"

#include <string.h>

#include "base/text.h"

static const char *const illuminant_names[FH_ILLUMINANT_COUNT] = {
    "A", "C", "D50", "D55", "D65", "D75", "F2", "F7", "F11", "LED-B1", "LED-B3"};

fh_condition fh_condition_default(void)
{
    return (fh_condition){FH_ILLUMINANT_D65, FH_OBSERVER_10};
}

bool fh_condition_equal(fh_condition a, fh_condition b)
{
    return a.illuminant == b.illuminant && a.observer == b.observer;
}

const char *fh_illuminant_name(fh_illuminant illuminant)
{
    return illuminant < FH_ILLUMINANT_COUNT ? illuminant_names[illuminant] : "file";
}

void fh_condition_text(fh_condition condition, char out[FH_CONDITION_TEXT])
{
    fh_format(out, FH_CONDITION_TEXT, "%s/%s", fh_illuminant_name(condition.illuminant),
              condition.observer == FH_OBSERVER_2 ? "2" : "10");
}

fh_status fh_condition_parse(const char *text, fh_condition *out)
{
    const char *slash = strchr(text, '/');
    if (!slash) return FH_E_DATA;
    fh_slice light = {text, (size_t)(slash - text)};
    fh_condition found;
    if (strcmp(slash, "/2") == 0) found.observer = FH_OBSERVER_2;
    else if (strcmp(slash, "/10") == 0) found.observer = FH_OBSERVER_10;
    else return FH_E_DATA;
    for (unsigned i = 0; i < FH_ILLUMINANT_COUNT; ++i)
        if (fh_slice_is_fold(light, illuminant_names[i])) {
            found.illuminant = (fh_illuminant)i;
            *out = found;
            return FH_OK;
        }
    return FH_E_DATA;
}
