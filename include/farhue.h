/* farhue: colour matching at a distance, for an inner part behind a tinted shell.
 *
 * This header brings in the whole public interface; each header under farhue/ also stands alone.
 * Functions keep no state between calls and may be called from several threads on distinct data. */
#ifndef FARHUE_H
#define FARHUE_H

#include "farhue/aim.h"
#include "farhue/appearance.h"
#include "farhue/body.h"
#include "farhue/calibration.h"
#include "farhue/chart.h"
#include "farhue/colour.h"
#include "farhue/condition.h"
#include "farhue/correction.h"
#include "farhue/difference.h"
#include "farhue/draw.h"
#include "farhue/estimate.h"
#include "farhue/file.h"
#include "farhue/film.h"
#include "farhue/find.h"
#include "farhue/fresnel.h"
#include "farhue/hide.h"
#include "farhue/job.h"
#include "farhue/kind.h"
#include "farhue/library.h"
#include "farhue/layer.h"
#include "farhue/light.h"
#include "farhue/matrix.h"
#include "farhue/picture.h"
#include "farhue/pixels.h"
#include "farhue/profile.h"
#include "farhue/rank.h"
#include "farhue/reading.h"
#include "farhue/sheet.h"
#include "farhue/recipe.h"
#include "farhue/shell.h"
#include "farhue/spectrum.h"
#include "farhue/spots.h"
#include "farhue/status.h"
#include "farhue/surface.h"
#include "farhue/table.h"
#include "farhue/target.h"
#include "farhue/tie.h"
#include "farhue/tolerance.h"
#include "farhue/verdict.h"
#include "farhue/version.h"

#endif
