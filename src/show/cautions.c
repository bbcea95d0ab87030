/* The texts of include/farhue/cautions.h. */
#include "farhue/cautions.h"

static const struct {
    const char *title, *text;
} cautions[FH_CAUTION_COUNT] = {
    [FH_CAUTION_PAINTING] =
        {"Painting", "Paint in the open or with strong ventilation, wear gloves and a mask that "
                     "suits the paint (a dust mask does not stop vapour), and keep flames, sparks "
                     "and hot surfaces away until it is dry."},
    [FH_CAUTION_SANDING] =
        {"Sanding", "Sand wet where you can, wear a dust mask and eye protection, and collect the "
                    "dust: old plastic and old paint may hold lead, cadmium or other harmful "
                    "substances."},
    [FH_CAUTION_SOLVENTS] =
        {"Solvents", "Solvents and primers give off vapour that burns and harms: ventilate, wear "
                     "suitable gloves and mask, no ignition sources, and try them on a hidden spot "
                     "first, since they may craze or dissolve plastic."},
    [FH_CAUTION_OPENING] = {"Opening equipment",
                            "Mains and cathode-ray-tube equipment holds a dangerous charge even "
                            "after it is unplugged: leave opening it to qualified people."},
    [FH_CAUTION_SHEET] = {"Always",
                          "Follow the product's safety data sheet and local rules, for use and for "
                          "disposal."},
};

const char *fh_caution_text(fh_caution caution)
{
    return caution < FH_CAUTION_COUNT ? cautions[caution].text : "";
}

const char *fh_caution_title(fh_caution caution)
{
    return caution < FH_CAUTION_COUNT ? cautions[caution].title : "";
}
