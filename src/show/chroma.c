/* The a*b* plane and the axis of L*, with marks and tolerance. */
#include <math.h>

#include "farhue/diagram.h"

#include "show/axis.h"

/* A number that a colour can have; false for NaN. */
static bool is_drawable(fh_lab lab)
{
    return fabs(lab.L) < 1000 && fabs(lab.a) < 1000 && fabs(lab.b) < 1000;
}

/* A mark at its place: shape by kind, fill its own colour, outlined dark with a light rim. */
static void put_mark(fh_markup *m, fh_mark mark, double x, double y)
{
    char hex[FH_HEX];
    fh_hex_of_lab(mark.lab, hex, NULL);
    const char *outline = "stroke=\"#000\" stroke-width=\"1.5\"";
    const char *rim = "fill=\"none\" stroke=\"#fff\" stroke-width=\"4\"";
    if (mark.kind == FH_MARK_TARGET)
        fh_putf(m,
                "<path d=\"M%.1f %.1fh30M%.1f %.1fv30\" stroke=\"currentColor\" "
                "stroke-width=\"1.5\"/><rect x=\"%.1f\" y=\"%.1f\" width=\"14\" height=\"14\" "
                "fill=\"%s\" %s/>",
                x - 15, y, x, y - 15, x - 7, y - 7, hex, outline);
    else if (mark.kind == FH_MARK_REFERENCE)
        fh_putf(m,
                "<path d=\"M%.1f %.1fl8 8l-8 8l-8 -8z\" %s/><path d=\"M%.1f %.1fl8 8l-8 8l-8 -8z\" "
                "fill=\"%s\" %s/>",
                x, y - 8, rim, x, y - 8, hex, outline);
    else
        fh_putf(m,
                "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"6\" %s/><circle cx=\"%.1f\" cy=\"%.1f\" "
                "r=\"6\" fill=\"%s\" %s/>",
                x, y, rim, x, y, hex, outline);
}

/* A label, with a halo of the paper's colour that keeps lines behind it from crossing it; where the
 * paper is not white, the style of the page says so by the class. */
static void put_label(fh_markup *m, const char *text, double x, double y)
{
    fh_putf(m,
            "<text class=\"label\" x=\"%.1f\" y=\"%.1f\" stroke=\"#fff\" stroke-width=\"4\" "
            "stroke-linejoin=\"round\" paint-order=\"stroke\">",
            x, y);
    fh_put_text(m, text);
    fh_put(m, "</text>");
}

enum { LABELLED_MAX = 64 };

/* Push labels that would overlap apart, downwards in the order of their height. */
static void spread_labels(const double *x, double *y, size_t count, double reach)
{
    size_t order[LABELLED_MAX];
    for (size_t i = 0; i < count; i++) {
        size_t j = i;
        for (; j > 0 && y[order[j - 1]] > y[i]; j--) order[j] = order[j - 1];
        order[j] = i;
    }
    for (size_t i = 1; i < count; i++)
        for (size_t j = 0; j < i; j++) {
            double *low = &y[order[i]];
            if (fabs(x[order[i]] - x[order[j]]) < reach && *low - y[order[j]] < 14)
                *low = y[order[j]] + 14;
        }
}

/* The axis of L* has room for the candidates' labels only. */
static bool has_label(const fh_mark *mark, bool lightness)
{
    return mark->label && *mark->label && (!lightness || mark->kind == FH_MARK_CANDIDATE);
}

static void put_marks(fh_markup *m, const fh_mark *marks, size_t count, const fh_axis *ax,
                      const fh_axis *ay, bool lightness)
{
    double x[LABELLED_MAX], y[LABELLED_MAX], label_y[LABELLED_MAX];
    const fh_mark *shown[LABELLED_MAX];
    size_t n = 0;
    for (size_t i = 0; i < count && n < LABELLED_MAX; i++) {
        if (!is_drawable(marks[i].lab)) continue;
        x[n] = lightness ? ax->start + (marks[i].kind == FH_MARK_CANDIDATE ? 26 : 0)
                         : fh_axis_at(ax, marks[i].lab.a);
        y[n] = label_y[n] = fh_axis_at(ay, lightness ? marks[i].lab.L : marks[i].lab.b);
        shown[n++] = &marks[i];
    }
    spread_labels(x, label_y, n, lightness ? 12 : 40);
    for (size_t i = 0; i < n; i++)
        if (has_label(shown[i], lightness) && fabs(label_y[i] - y[i]) > 3)
            fh_svg_line(m, x[i] + 7, y[i], x[i] + 12, label_y[i], 0.6);
    for (int kind = FH_MARK_CANDIDATE; kind >= FH_MARK_TARGET; kind--) /* the target on top */
        for (size_t i = 0; i < n; i++)
            if ((int)shown[i]->kind == kind) put_mark(m, *shown[i], x[i], y[i]);
    for (size_t i = 0; i < n; i++)
        if (has_label(shown[i], lightness))
            put_label(m, shown[i]->label, x[i] + (shown[i]->kind == FH_MARK_TARGET ? 17 : 14),
                      label_y[i] + 4.5);
}

static void widen(double *low, double *high, double value)
{
    if (value < *low) *low = value;
    if (value > *high) *high = value;
}

/* The square window on the plane that holds everything, at least 12 units wide. */
static void window_of(const fh_mark *marks, size_t count, const fh_lab *contour, size_t points,
                      double centre[2], double *half)
{
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};
    for (size_t i = 0; i < count + points; i++) {
        fh_lab lab = i < count ? marks[i].lab : contour[i - count];
        if (!is_drawable(lab)) continue;
        widen(&low[0], &high[0], lab.a);
        widen(&low[1], &high[1], lab.b);
    }
    *half = 6;
    for (int i = 0; i < 2; i++) {
        if (low[i] > high[i]) low[i] = high[i] = 0;
        centre[i] = (low[i] + high[i]) / 2;
        *half = fmax(*half, (high[i] - low[i]) / 2 * 1.15);
    }
}

static void put_grid(fh_markup *m, const fh_axis *ax, const fh_axis *ay)
{
    unsigned count;
    double first = fh_axis_first(ax, &count);
    for (unsigned i = 0; i < count; i++) {
        double value = first + i * ax->step, x = fh_axis_at(ax, value);
        fh_svg_line(m, x, ay->start, x, ay->stop, fabs(value) < 1e-9 ? 0.8 : 0.2);
        fh_svg_number(m, x, ay->start + 17, "middle", value, fh_axis_decimals(ax));
    }
    first = fh_axis_first(ay, &count);
    for (unsigned i = 0; i < count; i++) {
        double value = first + i * ay->step, y = fh_axis_at(ay, value);
        fh_svg_line(m, ax->start, y, ax->stop, y, fabs(value) < 1e-9 ? 0.8 : 0.2);
        fh_svg_number(m, ax->start - 6, y + 4.5, "end", value, fh_axis_decimals(ay));
    }
}

fh_status fh_diagram_chroma(fh_sink sink, const fh_mark *marks, size_t count, const fh_lab *contour,
                            size_t contour_count)
{
    fh_markup m = fh_markup_to(sink);
    double centre[2], half;
    window_of(marks, count, contour, contour_count, centre, &half);
    fh_axis ax = fh_axis_of(centre[0] - half, centre[0] + half, 52, 412, 5);
    fh_axis ay = fh_axis_of(centre[1] - half, centre[1] + half, 384, 24, 5);
    fh_svg_open(&m, 440, 440,
                "a* and b*: where the colours lie, with the tolerance around the target");
    put_grid(&m, &ax, &ay);
    fh_svg_text(&m, 232, 420, "middle", "a*  green \xe2\x86\x94 red");
    fh_put(&m, "<text transform=\"translate(13 204) rotate(-90)\" text-anchor=\"middle\">b*  blue "
               "\xe2\x86\x94 yellow</text>");
    bool open = false;
    for (size_t i = 0; i < contour_count; i++) {
        if (!is_drawable(contour[i])) continue;
        fh_putf(&m, open ? "L%.1f %.1f" : "<path d=\"M%.1f %.1f", fh_axis_at(&ax, contour[i].a),
                fh_axis_at(&ay, contour[i].b));
        open = true;
    }
    if (open)
        fh_put(&m, "Z\" fill=\"currentColor\" fill-opacity=\"0.1\" stroke=\"currentColor\" "
                   "stroke-width=\"1.5\" stroke-dasharray=\"5 3\"/>");
    put_marks(&m, marks, count, &ax, &ay, false);
    fh_svg_close(&m);
    return m.status;
}

fh_status fh_diagram_lightness(fh_sink sink, const fh_mark *marks, size_t count, double low,
                               double high)
{
    fh_markup m = fh_markup_to(sink);
    double from = INFINITY, to = -INFINITY;
    for (size_t i = 0; i < count; i++)
        if (is_drawable(marks[i].lab)) widen(&from, &to, marks[i].lab.L);
    bool band = fabs(low) < 1000 && fabs(high) < 1000 && low <= high;
    if (band) widen(&from, &to, low), widen(&from, &to, high);
    if (from > to) from = to = 50;
    double centre = (from + to) / 2, half = fmax(6, (to - from) / 2 * 1.15);
    fh_axis ay = fh_axis_of(centre - half, centre + half, 384, 24, 5);
    fh_axis ax = fh_axis_of(0, 1, 78, 150, 1);
    fh_svg_open(&m, 170, 440, "L*: how light the colours are, with the tolerance");
    fh_svg_text(&m, 78, 420, "middle", "L*  dark \xe2\x86\x95 light");
    if (band) {
        double top = fh_axis_at(&ay, high);
        fh_putf(&m,
                "<rect x=\"58\" y=\"%.1f\" width=\"40\" height=\"%.1f\" fill=\"currentColor\" "
                "fill-opacity=\"0.1\" stroke=\"currentColor\" stroke-width=\"1.5\" "
                "stroke-dasharray=\"5 3\"/>",
                top, fh_axis_at(&ay, low) - top);
    }
    fh_svg_line(&m, 78, 24, 78, 384, 0.8);
    unsigned ticks;
    double first = fh_axis_first(&ay, &ticks);
    for (unsigned i = 0; i < ticks; i++) {
        double y = fh_axis_at(&ay, first + i * ay.step);
        fh_svg_line(&m, 46, y, 78, y, 0.25);
        fh_svg_number(&m, 42, y + 4.5, "end", first + i * ay.step, fh_axis_decimals(&ay));
    }
    put_marks(&m, marks, count, &ax, &ay, true);
    fh_svg_close(&m);
    return m.status;
}
