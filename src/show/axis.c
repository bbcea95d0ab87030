/* Scales, and the few SVG elements that all diagrams share. */
#include <math.h>

#include "show/axis.h"

fh_axis fh_axis_of(double low, double high, double start, double stop, unsigned wanted)
{
    double rough = (high - low) / wanted, power = pow(10, floor(log10(rough)));
    double lead = rough / power;
    double step = power * (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10);
    return (fh_axis){low, high, start, stop, step};
}

double fh_axis_at(const fh_axis *axis, double value)
{
    return axis->start +
           (value - axis->low) / (axis->high - axis->low) * (axis->stop - axis->start);
}

double fh_axis_first(const fh_axis *axis, unsigned *count)
{
    double first = ceil(axis->low / axis->step - 1e-9) * axis->step;
    *count = (unsigned)(floor((axis->high - first) / axis->step + 1e-9) + 1);
    return first;
}

int fh_axis_decimals(const fh_axis *axis)
{
    int decimals = (int)ceil(-log10(axis->step) - 1e-9);
    return decimals > 0 ? decimals : 0;
}

void fh_svg_open(fh_markup *m, double width, double height, const char *title)
{
    fh_putf(m,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %.0f %.0f\" width=\"%.0f\" "
            "height=\"%.0f\" role=\"img\" font-family=\"system-ui, sans-serif\" font-size=\"13\" "
            "fill=\"currentColor\"><title>",
            width, height, width, height);
    fh_put_text(m, title);
    fh_put(m, "</title>");
}

void fh_svg_close(fh_markup *m)
{
    fh_put(m, "</svg>");
}

void fh_svg_text(fh_markup *m, double x, double y, const char *anchor, const char *text)
{
    fh_putf(m, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">", x, y, anchor);
    fh_put_text(m, text);
    fh_put(m, "</text>");
}

void fh_svg_number(fh_markup *m, double x, double y, const char *anchor, double value, int decimals)
{
    fh_putf(m, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">%s%.*f</text>", x, y, anchor,
            value < -1e-9 ? "\xe2\x88\x92" : "", decimals, fabs(value));
}

void fh_svg_line(fh_markup *m, double x1, double y1, double x2, double y2, double opacity)
{
    fh_putf(m,
            "<line x1=\"%.1f\" y1=\"%.1f\" x2=\"%.1f\" y2=\"%.1f\" stroke=\"currentColor\" "
            "stroke-opacity=\"%.2f\"/>",
            x1, y1, x2, y2, opacity);
}
