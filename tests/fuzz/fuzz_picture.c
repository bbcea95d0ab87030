/* Picture files from strangers: decode, and bring a pixel of each row to linear light. */
#include <stdint.h>
#include <stdlib.h>

#include "farhue/picture.h"
#include "farhue/profile.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Touches the first and the last sample of every row, so that a view beyond its memory is seen. */
static double touch(const fh_picture *picture, const fh_profile *profile)
{
    double sum = 0;
    for (size_t y = 0; y < picture->pixels.height; y++) {
        fh_rgb ends[2] = {fh_pixels_at(&picture->pixels, 0, y, NULL),
                          fh_pixels_at(&picture->pixels, picture->pixels.width - 1, y, NULL)};
        if (profile) fh_profile_linear(profile, ends, 2);
        sum += ends[0].r + ends[1].b;
    }
    return sum;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fh_picture picture;
    fh_error error = {0};
    if (fh_picture_decode(data, size, &picture, &error) != FH_OK) {
        if (error.message[0] == '\0') abort(); /* every refusal says why */
        return 0;
    }
    if (picture.pixels.width == 0 || picture.pixels.height == 0) abort();
    fh_profile *profile = NULL;
    fh_picture_profile(&picture, &profile, &error);
    volatile double sum = touch(&picture, profile);
    (void)sum;
    fh_profile_free(profile);
    fh_picture_free(&picture);
    return 0;
}
