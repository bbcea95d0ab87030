/* Reflectance curves over the wavelength. */
#include <math.h>

#include "farhue/diagram.h"

#include "show/axis.h"

static const char *const dashes[FH_CURVES_MAX] = {"none", "9 4", "2 4", "12 3 2 3", "5 5", "1 7"};

static double top_of(const fh_curve *curves, size_t count)
{
    double top = 0;
    for (size_t i = 0; i < count; i++)
        for (size_t band = 0; band < FH_BANDS; band++)
            if (curves[i].values.v[band] > top) top = curves[i].values.v[band];
    /* A whole number of tenths, at least 0.2 and not absurd. */
    return fmin(fmax(ceil(top * 10 + 0.2) / 10, 0.2), 2);
}

static void put_curve(fh_markup *m, const fh_curve *curve, const char *dash, const fh_axis *ax,
                      const fh_axis *ay)
{
    bool open = false;
    for (size_t band = 0; band < FH_BANDS; band++) {
        double value = curve->values.v[band];
        if (!isfinite(value)) continue;
        double y = fh_axis_at(ay, fmin(fmax(value, ay->low), ay->high));
        fh_putf(m, open ? "L%.1f %.1f" : "<path d=\"M%.1f %.1f", fh_axis_at(ax, fh_band_nm(band)),
                y);
        open = true;
    }
    if (open)
        fh_putf(m,
                "\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\" "
                "stroke-dasharray=\"%s\"/>",
                dash);
}

fh_status fh_diagram_curves(fh_sink sink, const fh_curve *curves, size_t count)
{
    if (count > FH_CURVES_MAX) count = FH_CURVES_MAX;
    fh_markup m = fh_markup_to(sink);
    double height = 290 + 20 * (double)count;
    fh_axis ax = fh_axis_of(380, 730, 46, 626, 7);
    fh_axis ay = fh_axis_of(0, top_of(curves, count), 240, 16, 5);
    fh_svg_open(&m, 640, height, "Reflectance over the wavelength");
    unsigned ticks;
    double first = fh_axis_first(&ax, &ticks);
    for (unsigned i = 0; i < ticks; i++) {
        double nm = first + i * ax.step, x = fh_axis_at(&ax, nm);
        fh_svg_line(&m, x, 16, x, 240, 0.2);
        fh_svg_number(&m, x, 257, "middle", nm, 0);
    }
    first = fh_axis_first(&ay, &ticks);
    for (unsigned i = 0; i < ticks; i++) {
        double value = first + i * ay.step, y = fh_axis_at(&ay, value);
        fh_svg_line(&m, 46, y, 626, y, i ? 0.2 : 0.8);
        fh_svg_number(&m, 40, y + 4.5, "end", value * 100, 0);
    }
    fh_svg_text(&m, 626, 276, "end", "wavelength, nm");
    fh_svg_text(&m, 4, 276, "start", "reflectance, %");
    for (size_t i = 0; i < count; i++) {
        double y = 296 + 20 * (double)i;
        put_curve(&m, &curves[i], dashes[i], &ax, &ay);
        fh_putf(&m,
                "<line x1=\"46\" y1=\"%.1f\" x2=\"110\" y2=\"%.1f\" stroke=\"currentColor\" "
                "stroke-width=\"2\" stroke-dasharray=\"%s\"/>",
                y, y, dashes[i]);
        fh_putf(&m, "<text x=\"120\" y=\"%.1f\">", y + 4.5);
        fh_put_text(&m, curves[i].label ? curves[i].label : "");
        fh_put(&m, curves[i].estimated ? " (estimated)</text>" : "</text>");
    }
    fh_svg_close(&m);
    return m.status;
}
