/* The decoders behind fh_picture_decode; on failure they leave what the picture already holds to
   the caller to free. */
#ifndef FARHUE_HOST_PICTURE_KINDS_H
#define FARHUE_HOST_PICTURE_KINDS_H

#include "farhue/picture.h"

fh_status fh_png_decode(const unsigned char *bytes, size_t size, fh_picture *picture,
                        fh_error *error);
fh_status fh_jpeg_decode(const unsigned char *bytes, size_t size, fh_picture *picture,
                         fh_error *error);

fh_status fh_raw_decode(const unsigned char *bytes, size_t size, fh_picture *picture,
                        fh_error *error);

/* FH_E_LIMIT for a picture too large to read, FH_E_DATA for an empty one. */
fh_status fh_picture_size_check(size_t width, size_t height, fh_error *error);

/* The orientation (1–8) that an Exif block says, 1 when it says none. bytes begin with "Exif\0\0"
 * as in a JPEG APP1 segment. [Exif232] */
unsigned fh_exif_orientation(const unsigned char *bytes, size_t size);

#endif
