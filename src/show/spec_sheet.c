/* The sheet: its parts in order. */
#include "farhue/spec_sheet.h"

#include "base/error.h"
#include "base/memory.h"
#include "farhue/estimate.h"
#include "show/sheet_parts.h"

fh_spec_sheet_extra fh_spec_sheet_nothing(void)
{
    return (fh_spec_sheet_extra){.count = 0};
}

/* The part's reflectance and its colour in the spec's condition. */
static fh_status work_out(fh_sheet_work *work, fh_error *error)
{
    fh_estimate estimate;
    fh_status status = fh_spec_target(work->spec, &work->target, error);
    if (!status) status = fh_estimate_of_reading(&work->spec->part, &estimate, error);
    if (status) return status;
    work->reflectance = estimate.reflectance;
    work->estimated = work->spec->part.origin != FH_ORIGIN_SPECTRUM;
    fh_weights weights = fh_weights_of(work->spec->condition);
    work->bare = fh_lab_of_spectrum(&work->reflectance, &weights);
    return FH_OK;
}

static void write_parts(fh_markup *m, const fh_sheet_work *work)
{
    fh_put(m, "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
              "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
              "style-src 'unsafe-inline'\">"
              "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><title>");
    fh_put_text(m, work->spec->title[0] ? work->spec->title : "A colour to match");
    fh_put(m, "</title>\n<style>");
    fh_put(m, fh_sheet_style());
    fh_put(m, "</style></head>\n<body>\n");
    fh_sheet_head(m, work);
    fh_sheet_target(m, work);
    fh_sheet_figures(m, work);
    fh_sheet_drawings(m, work);
    fh_sheet_candidates(m, work);
    fh_sheet_measured(m, work);
    fh_sheet_advice(m, work);
    fh_put(m, "</body></html>\n");
}

fh_status fh_spec_sheet_write(fh_sink sink, const fh_spec *spec, const fh_spec_sheet_extra *extra,
                              fh_error *error)
{
    fh_spec_sheet_extra nothing = fh_spec_sheet_nothing();
    fh_sheet_work *work = fh_allocate(1, sizeof *work);
    if (!work) return fh_fail(error, FH_E_MEMORY, "not enough memory for the sheet");
    work->spec = spec;
    work->extra = extra ? extra : &nothing;
    fh_status status = work_out(work, error);
    if (!status) {
        fh_markup m = fh_markup_to(sink);
        write_parts(&m, work);
        status = m.status;
        if (status) fh_fail(error, status, "the sheet could not be written");
    }
    fh_free(work);
    return status;
}
