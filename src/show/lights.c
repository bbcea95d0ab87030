/* Names of lights for people. */
#include "farhue/words.h"

const char *fh_words_of_light(fh_illuminant illuminant)
{
    switch (illuminant) {
    case FH_ILLUMINANT_A:
        return "filament lamp";
    case FH_ILLUMINANT_C:
        return "daylight, old standard";
    case FH_ILLUMINANT_D50:
        return "warm daylight";
    case FH_ILLUMINANT_D55:
        return "mid-morning daylight";
    case FH_ILLUMINANT_D65:
        return "daylight";
    case FH_ILLUMINANT_D75:
        return "north sky";
    case FH_ILLUMINANT_F2:
        return "fluorescent tube, plain";
    case FH_ILLUMINANT_F7:
        return "fluorescent tube, daylight";
    case FH_ILLUMINANT_F11:
        return "fluorescent tube, three-band";
    case FH_ILLUMINANT_LED_B1:
        return "LED lamp, warm";
    case FH_ILLUMINANT_LED_B3:
        return "LED lamp, cool";
    default:
        return "lamp from a file";
    }
}
