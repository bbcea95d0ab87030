/* The cautions, in one place: program, sheet and page print these texts wherever painting,
 * sanding, solvents or opening equipment comes up. */
#ifndef FARHUE_CAUTIONS_H
#define FARHUE_CAUTIONS_H

#include "farhue/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fh_caution {
    FH_CAUTION_PAINTING, /* air, mask, gloves, no ignition sources */
    FH_CAUTION_SANDING,  /* dust of paint and plastic */
    FH_CAUTION_SOLVENTS, /* thinners, cleaners, primers */
    FH_CAUTION_OPENING,  /* mains and cathode-ray-tube equipment */
    FH_CAUTION_SHEET,    /* safety data sheet and local rules; belongs under each of the others */
    FH_CAUTION_COUNT
} fh_caution;

/* One or two plain sentences, without markup or line breaks; never NULL. Static. */
FH_API const char *fh_caution_text(fh_caution caution);

/* A short heading for it: "Painting", "Opening equipment"… Static. */
FH_API const char *fh_caution_title(fh_caution caution);

#ifdef __cplusplus
}
#endif
#endif
