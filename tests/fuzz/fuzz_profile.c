/* ICC profiles from strangers, as a photo carries them. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "farhue/profile.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fh_profile *profile = NULL;
    fh_error error = {0};
    if (fh_profile_from_icc(data, size, &profile, &error) != FH_OK) {
        if (profile || error.message[0] == '\0') abort();
        return 0;
    }
    fh_rgb samples[3] = {{0, 0, 0}, {1, 1, 1}, {0.2, 0.5, 0.8}};
    fh_profile_linear(profile, samples, 3);
    fh_profile_free(profile);
    return 0;
}
